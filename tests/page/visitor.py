"""A browser for the tests of the pages: somebody who has said their name, and reads forms as they stand."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Engine, text
from starlette.testclient import TestClient

from partsbin.page.app import create

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime:
        """Return the time."""
        return self.now


@contextmanager
def browser(engine: Engine, *, clock: Any = lambda: NOON, name: str = "bench") -> Iterator[TestClient]:
    """Open a browser in which somebody has said their name."""
    with TestClient(create(engine, clock=clock), base_url="http://127.0.0.1") as client:
        if name:
            client.post("/name", data={"token": fields_of(client.get("/find").text, "/name")["token"], "name": name})
        yield client


def fields_of(page: str, action: str) -> dict[str, str]:
    """Return the hidden fields and the filled ones of the first form that goes to an address."""
    found = re.search(rf'<form[^>]*action="{re.escape(html.escape(action))}"[^>]*>(.*?)</form>', page, re.DOTALL)
    assert found, f"no form to {action}"
    given = re.findall(r"<input([^>]*)>", found[1])
    fields = {}
    for attributes in given:
        named = dict(re.findall(r'([a-z]+)="([^"]*)"', attributes))
        if "name" in named and named.get("type") not in ("radio", "checkbox", "file"):
            fields[html.unescape(named["name"])] = html.unescape(named.get("value", ""))
    return fields


def send(client: TestClient, address: str, action: str, **said: str) -> Any:
    """Fill in the form of a page and send it."""
    return client.post(action, data={**fields_of(client.get(address).text, action), **said})


def one(engine: Engine, query: str) -> Any:
    """Return one figure of the catalogue."""
    with engine.connect() as connection:
        return connection.execute(text(query)).scalar()
