"""Places: the list, what lies in one, taking stock of it, parts brought there; and the field that takes a scanned label."""

from __future__ import annotations

import re
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.labels.codes import code_of_place, read_code
from partsbin.page.addresses import donor_address, job_address, part_address, place_address
from partsbin.page.codes import drawn
from partsbin.page.desk import Desk, Form, asked, desk_of, last_acts, posted, refuse_stale, see_other
from partsbin.page.paging import Pages
from partsbin.page.part_acts import counted
from partsbin.stock.acts import move, part_of
from partsbin.stock.counting import count
from partsbin.stock.places import how_much, lying_in, places
from partsbin.stock.shelf import id_of, number_of
from partsbin.store.engine import reading, writing

LISTED = 50
"""Places on a page [-]."""

PARTS = 40
"""Parts of a place on a page: each has a field, and a form no more fields than it may have [-]."""


def page(request: Request) -> Response:
    """Show the places; with a name asked for, that one."""
    return _one(desk_of(request), request) if asked(request).get("name") else _list(desk_of(request), request)


def _list(desk: Desk, request: Request, fault: PartsbinError | None = None) -> Response:
    fields = asked(request)
    pages = Pages.of(fields, LISTED)
    with reading(desk.engine) as connection:
        found, many = places(connection, limit=pages.size, start=pages.start, words=fields.get("words", ""))
    return desk.show(
        request,
        "places.html",
        404 if fault else 200,
        places=found,
        pages=pages.among(many),
        form={"code": "", "words": "", **fields},
        fault=fault,
    )


def scan(request: Request) -> Response:
    """Go to the page of what a label says, scanned or typed: a part, a place, a donor, a job."""
    desk = desk_of(request)
    try:
        with reading(desk.engine) as connection:
            return see_other(_where(connection, asked(request).get("code", "").strip()))
    except PartsbinError as fault:
        return _list(desk, request, fault)


def _where(connection: Connection, code: str) -> str:
    """The address behind a code. What is typed by hand may leave out the letter of a part, or the word before a place."""
    try:
        found = read_code(code)
    except UsageError:
        if re.fullmatch(r"[Dd]-?\d{1,9}", code):
            return donor_address(f"D-{int(re.sub(r'[^0-9]', '', code)):03d}")
        if re.fullmatch(r"[Jj]-?\d{1,9}", code):
            return job_address(f"J-{int(re.sub(r'[^0-9]', '', code)):04d}")
        if re.fullmatch(r"(?:[Pp]-?)?\d{1,9}", code):
            return part_address(part_of(connection, id_of(code)).number)
        if any(each["place"] == code for each in places(connection, limit=LISTED, words=code)[0]):
            return place_address(code)
        raise
    return part_address(part_of(connection, id_of(found.part)).number) if found.part else place_address(found.place)


def one(request: Request) -> Response:
    """Show what lies in a place."""
    return _one(desk_of(request), request)


def _name(request: Request) -> str:
    return str(request.path_params.get("place") or asked(request).get("name", "")).strip()


def _one(desk: Desk, request: Request, form: Form | None = None, fault: PartsbinError | None = None) -> Response:
    name, pages = _name(request), Pages.of(asked(request), PARTS)
    with reading(desk.engine) as connection:
        parts, (many, pieces) = lying_in(connection, name, limit=PARTS, start=pages.start), how_much(connection, name)
        seen = " ".join(
            f"{ident}:{act}" for ident, act in last_acts(connection, [each["id"] for each in parts]).items()
        )
    return desk.show(
        request,
        "place.html",
        409 if fault else 200,
        place=name,
        parts=parts,
        pieces=pieces,
        pages=pages.among(many),
        seen=seen,
        code=drawn(code_of_place(name)),
        form=form or {},
        fault=fault,
    )


def take_stock(desk: Desk, request: Request, form: Form) -> Response:
    """Write down what was counted in a place, all of it as one act."""
    name = form.get("place", "").strip()
    shown = dict(pair.split(":", 1) for pair in form.get("seen", "").split() if ":" in pair)
    try:
        said = {id_of(key.removeprefix("count.")): counted(t) for key, t in form.items() if _says(key, t)}
        if not said:
            raise UsageError("nothing was counted", hint="leave empty what you did not count")
        who = desk.who(request, f"counted {name}")
        with writing(desk.engine) as connection:
            for ident in said:
                refuse_stale(connection, ident, shown.get(str(ident), ""))
                if part_of(connection, ident).place != name:
                    raise UsageError(f"{number_of(ident)} does not lie in {name!r}", hint="it is moved there first")
            done, _ = count(connection, said, who)
    except PartsbinError as fault:
        return _named(desk, request, form, fault)
    off = [f"{number_of(each.part_id)} {each.difference:+d}" for each in done if each.difference]
    return see_other(place_address(name), f"{len(done)} counted: {', '.join(off) or 'as the ledger says'}")


def _says(key: str, text: str) -> bool:
    return key.startswith("count.") and bool(text.strip())


def bring(desk: Desk, request: Request, form: Form) -> Response:
    """Bring a part to a place: its label is scanned, or its number typed."""
    name = form.get("place", "").strip()
    try:
        if not name:
            raise UsageError("no place was said")
        number = form.get("code", "").strip()
        with writing(desk.engine) as connection:
            move(connection, id_of(number), name, desk.who(request))
    except PartsbinError as fault:
        return _named(desk, request, form, fault)
    return see_other(place_address(name), f"{number_of(id_of(number))} lies in {name} now")


def _named(desk: Desk, request: Request, form: Form, fault: PartsbinError) -> Response:
    """Show the place that a form speaks of, with what is wrong."""
    request.scope["path_params"] = {"place": form.get("place", "")}
    return _one(desk, request, form, fault)


ROUTES: list[Any] = [
    Route("/places", page),
    Route("/scan", scan),
    Route("/place", page),
    Route("/place/count", posted(take_stock), methods=["POST"]),
    Route("/place/bring", posted(bring), methods=["POST"]),
    Route("/place/{place:path}", one),
]
