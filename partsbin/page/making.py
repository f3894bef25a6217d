"""What a process beside the server runs: it is asked for pages on its standard input and answers on its standard output."""

from __future__ import annotations

import marshal
import os
import sys
from contextlib import suppress
from datetime import UTC, datetime
from importlib import import_module
from typing import Any, BinaryIO

from starlette.requests import Request

from partsbin import families
from partsbin.errors import RulesError
from partsbin.page.desk import Desk
from partsbin.page.makers import SIZE, framed
from partsbin.page.pages import load_all
from partsbin.page.shown import Pieces, Shown
from partsbin.rules import load_rules, rules_stand
from partsbin.store.engine import open_store


class _Standing:
    """What a page asks of the application."""

    class state:  # noqa: N801
        """Its desk."""

        desk: Desk


def main() -> None:
    """Open the catalogue that is named first, make oneself ready, and make pages until the input ends."""
    asked, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever else is printed is no answer
    _Standing.state.desk = desk = Desk(open_store(_next(asked), create=False), lambda: datetime.now(UTC))
    _load(desk)
    _say(answers, True)
    with suppress(EOFError, BrokenPipeError, KeyboardInterrupt):  # the server has ended, however it did
        while True:
            _say(answers, made(*_next(asked)))


def _load(desk: Desk) -> None:
    """Load what the first page of a kind would wait for: whoever comes first waits no longer than the next."""
    load_all()
    for template in desk.templates.list_templates():
        desk.templates.get_template(template)
    for family in families.names():
        families.load(family)
        with suppress(RulesError):  # the page that needs them tells it
            load_rules(family)


def _next(asked: BinaryIO) -> Any:
    size = int.from_bytes(asked.read(SIZE), "big")
    if not size:
        raise EOFError
    return marshal.loads(asked.read(size))


def _say(answers: BinaryIO, said: Any) -> None:
    answers.write(framed(said))
    answers.flush()


def made(module: str, name: str, path: str, query: bytes, named: bool, params: dict[str, Any]) -> Pieces | None:
    """Return the page that a function of a module makes, None where the server must make it itself.

    Parameters
    ----------
    module, name : str
        Where the function is.
    path : str
        Of the address.
    query : bytes
        Of the address.
    named : bool
        Whether somebody has said their name.
    params : dict
        What stands in the path.
    """
    scope = {
        "type": "http", "method": "GET", "scheme": "http", "server": ("127.0.0.1", 80), "root_path": "", "path": path,
        "query_string": query, "headers": [(b"cookie", b"partsbin_name=x")] if named else [],
        "path_params": params, "app": _Standing,
    }  # fmt: skip
    with suppress(Exception):  # the server meets it again and tells it
        page, repeated = getattr(import_module(module), name), _Standing.state.desk.repeated
        answer = repeated.of((path, query, named, name, rules_stand()), lambda: page(Request(scope)))
        if isinstance(answer, Shown) and answer.status_code == 200:
            return answer.pieces
    return None
