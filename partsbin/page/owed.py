"""What is still to be read on a donor's parts: one reading after another, a large field and the next, the meter in the other hand."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from sqlalchemy import Connection
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.families import load
from partsbin.page.addresses import donor_address
from partsbin.page.desk import Desk, Form, asked, desk_of, last_act, posted, refuse_stale, see_other
from partsbin.page.part_acts import reading_said
from partsbin.stock.acts import part_of
from partsbin.stock.donors import donor_of, owed
from partsbin.stock.instruments import recorded
from partsbin.stock.marking import mark
from partsbin.stock.measuring import write_down
from partsbin.stock.portrait import said_reading
from partsbin.stock.readings import SAMPLE
from partsbin.stock.shelf import id_of
from partsbin.store.engine import reading, writing

NEXT = 20
"""Parts that are listed after the one in the hand [-]."""


def page(request: Request) -> Response:
    """Show the next reading that is owed."""
    return _page(desk_of(request), request, asked(request))


def _page(desk: Desk, request: Request, form: Form, fault: PartsbinError | None = None) -> Response:
    with reading(desk.engine) as connection:
        donor = donor_of(connection, request.path_params["donor"])
        found = owed(connection, donor)
        at = _place_in(found, form)
        current = _current(connection, found[at], form) if found else None
        instruments = sorted(recorded(connection) or ())
    return desk.show(
        request,
        "owed.html",
        409 if fault else 200,
        donor=donor,
        at=donor_address(donor.code),
        current=current,
        where=at,
        left=len(found),
        following=found[at + 1 : at + 1 + NEXT],
        instruments=instruments,
        form={"value": "", "text": "", "instrument": "", "stands": "one", **form},
        fault=fault,
    )


def _place_in(found: list[dict[str, Any]], form: Form) -> int:
    """Where in the list we are: at the part in the hand if it still owes something, else where it stood."""
    said = form.get("at", "")
    where = int(said) if said.isascii() and said.isdecimal() and len(said) < 7 else 0
    named = [at for at, entry in enumerate(found) if entry["part"] == form.get("part")]
    return named[0] if named else min(where, max(0, len(found) - 1))


def _current(connection: Connection, entry: dict[str, Any], form: Form) -> dict[str, Any]:
    """The part in the hand: what is asked of it now, and what else."""
    family = load(part_of(connection, id_of(entry["part"])).family)
    known = {each.name: each for each in family.readings}
    names = entry["readings"]
    now = known[form["reading"] if form.get("reading") in names else names[0]] if names else None
    sample = ("12uA@350V" if now.name == "leakage" else SAMPLE.get(now.unit, "45.2")) if now else ""
    return {
        **entry,
        "now": now,
        "others": [known[name] for name in names if now is None or name != now.name],
        "sample": sample,
        "seen": last_act(connection, id_of(entry["part"])),
    }


def write(desk: Desk, request: Request, form: Form) -> Response:
    """Write a reading down, or what was found printed on the part; then go on."""
    try:
        with writing(desk.engine) as connection:
            ident = id_of(form.get("part", ""))
            refuse_stale(connection, ident, form.get("seen", ""))
            number, done = _written(connection, desk, request, form)
    except PartsbinError as fault:
        return _page(desk, request, form, fault)
    where = urlencode({"at": form.get("at", ""), "part": number})
    return see_other(f"{donor_address(request.path_params['donor'])}/owed?{where}", done)


def _written(connection: Connection, desk: Desk, request: Request, form: Form) -> tuple[str, str]:
    """The part that has it now, and what is said of it."""
    who = desk.who(request)
    if "text" in form:
        mark(connection, id_of(form["part"]), form["text"], who)
        part = part_of(connection, id_of(form["part"]))
        return part.number, f"{part.number} is marked: {part.title}"
    every = form.get("stands") == "every"
    found = write_down(
        connection, form["part"], [reading_said(form)], who, every=every, instrument=form.get("instrument", "")
    )
    split = f", split off {found.parted_from}" if found.parted_from else ""
    return found.part, "; ".join([f"{found.part}{split}", *map(said_reading, found.readings), *found.drift])


ROUTES: list[Any] = [
    Route("/donor/{donor}/owed", page),
    Route("/donor/{donor}/owed", posted(write), methods=["POST"]),
]
