"""A browser in which somebody has said their name, for the tests of the pages."""

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
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve as put
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
OTHER = Who(NOON, "other")
SCRIPT = '"><script>alert(1)</script>'


class Visit:
    """Pages asked for and forms sent, each with the token of the visit."""

    def __init__(self, client: TestClient) -> None:
        self.client = client
        self.token = hidden(client.get("/find").text, "token")
        self.post("/name", name="bench")

    def get(self, address: str) -> str:
        """Return a page that is there."""
        answer = self.client.get(address)
        assert answer.status_code == 200, (address, answer.status_code, said(answer.text))
        return answer.text

    def post(self, address: str, **fields: str) -> Any:
        """Send a form and follow it to the page that it leads to."""
        return self.client.post(address, data={"token": self.token, **fields})


@contextmanager
def visiting(engine: Engine) -> Iterator[Visit]:
    """Give a visit to the pages over a catalogue."""
    with TestClient(create(engine, clock=lambda: NOON), base_url="http://127.0.0.1") as client:
        yield Visit(client)


def shelve(engine: Engine, words: str, family: str = "capacitor", **more: Any) -> None:
    """Shelve one new piece, if nothing else is said."""
    draft, _ = draft_from_text(words, family=family, **{"count": 1, "condition": "new", **more})
    with writing(engine) as connection:
        put(connection, [draft], at=NOON, by="test")


def hidden(page: str, name: str) -> str:
    """Return what a hidden field of a page holds."""
    found = re.search(rf'name="{re.escape(name)}" value="([^"]*)"', page)
    assert found, name
    return html.unescape(found[1])


def said(page: str) -> str:
    """Return what a page says of what was done or is at fault."""
    found = re.search(r'class="(?:done|fault)"[^>]*>(.*?)</p>', page, re.DOTALL)
    return html.unescape(found[1].replace("<br>", " ")) if found else ""


def count(engine: Engine, query: str) -> int:
    """Return one number of the catalogue."""
    with engine.connect() as connection:
        return int(connection.execute(text(query)).scalar() or 0)
