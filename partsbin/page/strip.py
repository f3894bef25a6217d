"""Strip: one field and one button, a part a line, each read back at once; what is doubtful is asked or kept as unsure."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.page.addresses import donor_address
from partsbin.page.desk import Desk, Form, desk_of, posted, see_other
from partsbin.page.sittings import Running
from partsbin.stock.acts import Who
from partsbin.stock.describe import reading_said
from partsbin.stock.donor_list import donors_with_sums
from partsbin.stock.donors import Chassis, donor_of
from partsbin.stock.stripping import Taken
from partsbin.store.engine import reading

MOST_LINES = 100
"""Lines that are pasted at once, at most [-]."""

DONORS = 50
"""Donors on the list, the newest first [-]."""


def choose(request: Request) -> Response:
    """Show the donors, to strip one."""
    desk = desk_of(request)
    with reading(desk.engine) as connection:
        found = donors_with_sums(connection, limit=DONORS)
    return desk.show(request, "strip_choose.html", donors=found)


def page(request: Request) -> Response:
    """Show the field, and the last lines as they were read."""
    desk = desk_of(request)
    return _page(desk, request, _donor(desk, request))


def _donor(desk: Desk, request: Request) -> Chassis:
    with reading(desk.engine) as connection:
        return donor_of(connection, request.path_params["donor"])


def _page(
    desk: Desk,
    request: Request,
    donor: Chassis,
    form: Form | None = None,
    *,
    fault: PartsbinError | None = None,
    asked: Taken | None = None,
) -> Response:
    running = _running(desk, request, donor)
    newest = running.told[0] if running.told else None
    again = newest.line if newest and newest.kind == "refused" else ""  # to be put right, not typed anew
    return desk.show(
        request,
        "strip.html",
        409 if fault else 200,
        donor=donor,
        at=donor_address(donor.code),
        running=running,
        back=list(running.told),
        form={"line": again, "list": "", **(form or {})},
        place=(form or {}).get("place", running.lines.sitting.place),
        fault=fault,
        asked=asked,
        readings=[reading_said(each.family, each.fields, sure=each.sure) for each in asked.readings] if asked else [],
        most=MOST_LINES,
    )


def _running(desk: Desk, request: Request, donor: Chassis) -> Running:
    return desk.sittings.of(desk.engine, request.scope["visit"], donor)


def take(desk: Desk, request: Request, form: Form) -> Response:
    """Take a line, or several that were pasted; one that can be read in several ways is asked about first."""
    donor = _donor(desk, request)
    running = _running(desk, request, donor)
    left = [line for name in ("line", "list") for line in form.get(name, "").splitlines() if line.strip()]
    with running.lock:
        try:
            who = desk.who(request)
            _refuse_none_or_many(left, donor)
            if (asked := _unclear(running, left, form)) is not None:
                return _page(desk, request, donor, form, asked=asked)
            running.begin(form.get("turn", ""), who.at)
            running.lines.sitting.place = form.get("place", "").strip()
            chosen = _chosen(form) if len(left) == 1 else 0
            while left:
                running.take(left[0].strip(), who, chosen)
                left.pop(0)
        except PartsbinError as fault:
            alone = len(left) == 1  # what was taken already is not shown to be sent again
            kept = {"line": left[0] if alone else "", "list": "" if alone else "\n".join(left)}
            return _page(desk, request, donor, {**form, **kept}, fault=fault)
    return see_other(f"{donor_address(donor.code)}/strip")


def _refuse_none_or_many(lines: list[str], donor: Chassis) -> None:
    if not lines:
        raise UsageError("no line was said", hint="such as: OPT 45:1 Rp 380 ; place B3")
    if len(lines) > MOST_LINES:
        raise UsageError(
            f"{len(lines)} lines at once: expected at most {MOST_LINES}",
            hint=f"a whole file goes in with: partsbin strip {donor.code} FILE",
        )


def _unclear(running: Running, lines: list[str], form: Form) -> Taken | None:
    """What a single line was taken for, if it has several readings and nobody said which."""
    if len(lines) > 1 or form.get("chosen"):
        return None
    taken = running.lines.look(lines[0])
    return taken if len(taken.readings) > 1 else None


def _chosen(form: Form) -> int:
    """Which reading is meant; 0 where it is to be kept as unsure, or nobody was asked."""
    said = form.get("chosen", "")
    return int(said) if said.isascii() and said.isdecimal() and len(said) < 4 else 0


def take_back(desk: Desk, request: Request, form: Form) -> Response:
    """Take the last line back."""
    return _in_turn(desk, request, form, lambda running, who: (running.take_back(who), "/strip"))


def end(desk: Desk, request: Request, form: Form) -> Response:
    """End the sitting: the minutes between its lines are written down with what it gave."""

    def ended(running: Running, who: Who) -> tuple[str, str]:
        desk.sittings.end(desk.engine, request.scope["visit"], running, who)
        lines, minutes = running.lines, round(running.minutes)
        return f"{_many(lines.parts, 'part')}, {_many(lines.pieces, 'piece')} in {minutes} minutes", ""

    return _in_turn(desk, request, form, ended)


def _in_turn(desk: Desk, request: Request, form: Form, work: Callable[[Running, Who], tuple[str, str]]) -> Response:
    """Do something to a sitting, if nothing was said since its form was shown; `work` says what was done and where to go on."""
    donor = _donor(desk, request)
    running = _running(desk, request, donor)
    with running.lock:
        try:
            who = desk.who(request)
            running.begin(form.get("turn", ""), who.at)
            done, goes = work(running, who)
        except PartsbinError as fault:
            return _page(desk, request, donor, fault=fault)
    return see_other(f"{donor_address(donor.code)}{goes}", done)


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'s' * (count != 1)}"


ROUTES: list[Any] = [
    Route("/strip", choose),
    Route("/donor/{donor}/strip", page),
    Route("/donor/{donor}/strip", posted(take), methods=["POST"]),
    Route("/donor/{donor}/strip/back", posted(take_back), methods=["POST"]),
    Route("/donor/{donor}/strip/end", posted(end), methods=["POST"]),
]
