"""The bench: the first page. Jobs open, wanted parts that have just come in, readings owed, what runs short, thin margins.

It is what a server that has just been started is asked for: what reckons a list is loaded only where there is something to list.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import line_of, number_said
from partsbin.page.remembered import Remembered
from partsbin.store.engine import reading, writing
from partsbin.store.statements import Statement

if TYPE_CHECKING:
    from partsbin.jobs.record import Opened
    from partsbin.jobs.review import ThinMargin

A_PAGE = 10
"""Lines of each list on the page; the rest lies behind a link [-]."""

LOOKED_AT = 40
"""Parts of donors that are looked at for what is still to be read, the newest [-]."""

JUST = 12
"""Parts that have just come in that are held against what is wanted [-]."""


def page(request: Asked) -> Response:
    """Show the bench."""
    return _page(desk_of(request), request, asked(request))


def _page(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    at = line_of(form.get("thin", ""))
    with reading(desk.engine) as connection:
        open_jobs = _jobs(connection)
        thin = _thin(connection, at)
        reads = _owed(connection)
        came, came_at = _remembered(desk, connection, "came", lambda: _came(connection, bool(open_jobs)))
        short, short_at = _remembered(desk, connection, "short", lambda: _short(connection, desk.clock()))
    return desk.show(
        request,
        "bench.html",
        status,
        jobs=open_jobs,
        thin=thin,
        owed=reads,
        came=came,
        came_at=came_at,
        short=short,
        short_at=short_at,
        at=at,
        a_page=A_PAGE,
        form=form,
        fault=fault,
    )


def _any(connection: Connection, what: str) -> bool:
    return bool(_ANY[what].rows(connection, {}))


_ANY = {
    "jobs": Statement("SELECT 1 FROM job WHERE closed_at IS NULL LIMIT 1"),
    "fitted": Statement("SELECT 1 FROM fitting LIMIT 1"),
    "donors": Statement("SELECT 1 FROM donor LIMIT 1"),
    "rules": Statement("SELECT 1 FROM stock_rule LIMIT 1"),
}


def _jobs(connection: Connection) -> list[Opened]:
    if not _any(connection, "jobs"):
        return []
    from partsbin.jobs.record import jobs

    return jobs(connection, open_only=True, most=A_PAGE + 1)


def _thin(connection: Connection, start: int) -> list[ThinMargin]:
    if not _any(connection, "fitted"):
        return []
    from partsbin.jobs.review import thin_margins

    return thin_margins(connection, most=A_PAGE + 1, start=start)


def _owed(connection: Connection) -> list[dict[str, Any]]:
    if not _any(connection, "donors"):
        return []
    from partsbin.stock.donors import owed

    return owed(connection, newest=LOOKED_AT)[: A_PAGE + 1]


_LAST_ACT = Statement(
    "SELECT id, at, word FROM act ORDER BY id DESC LIMIT 1"
)  # a copy restored counts on from its own last one

_RESTS_ON = {
    "came": (
        _LAST_ACT,
        Statement("""
        SELECT job.id, job.facts, need.id, need.family, need.text, need.position, need.facts, need.quantity, need.dropped
        FROM job LEFT JOIN job_need AS need ON need.job_id = job.id WHERE job.closed_at IS NULL
        """),
    ),
    "short": (
        _LAST_ACT,
        Statement("SELECT id, level, dropped FROM stock_rule"),
        Statement("SELECT count(*), sum(pieces), sum(cancelled) FROM purchase_line"),
    ),
}
"""What an answer rests on in the catalogue: acts are every change of stock; jobs, needs, rules and orders change beside them."""


def _remembered(
    desk: Desk, connection: Connection, name: str, reckon: Callable[[], Any]
) -> tuple[Any, datetime | None]:
    """Return an answer that is reckoned anew when what it rests on has changed: usage is counted by the day."""
    rows = [statement.rows(connection, {}) for statement in _RESTS_ON[name]]
    kept: Remembered[Any] = desk.remembered.setdefault(name, Remembered())
    return kept.get(repr((rows, _rules(bool(rows[1])), desk.clock().date())), desk.clock(), reckon)


def _rules(wanted: bool) -> object:
    if not wanted:  # where nothing is judged they are not loaded
        return None
    from partsbin.rules import rules_stand

    return rules_stand()


def _short(connection: Connection, now: datetime) -> list[dict[str, Any]]:
    """Return the rules that ask for an order."""
    if not _any(connection, "rules"):
        return []
    from partsbin.jobs.stock_rules import levels

    asking = [level for level in levels(connection, now) if level.order][: A_PAGE + 1]
    return [{"name": level.name, "why": level.why, "order": level.order} for level in asking]


def _came(connection: Connection, wanted: bool) -> list[dict[str, str]]:
    """Return which needs are served by what has just come in; nothing is judged where no job is open."""
    if not wanted:
        return []
    from partsbin.jobs.wanted import just_come, would_serve
    from partsbin.stock.shelf import number_of

    matches = would_serve(connection, just_come(connection, JUST))
    return [{"part": number_of(each.part_id), "said": each.said, "job": each.job} for each in matches[: A_PAGE + 1]]


def review(desk: Desk, request: Asked, form: Form) -> Response:
    """Write down that a thin margin was looked at again."""
    from partsbin.jobs.review import reviewed

    try:
        who = desk.who(request)
        with writing(desk.engine) as connection:
            said = reviewed(connection, number_said(form.get("act", ""), "an act"), who, form.get("said", "").strip())
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other("/bench", said)


ROUTES = [Route("/bench", page), Route("/bench/reviewed", posted(review), methods=["POST"])]
