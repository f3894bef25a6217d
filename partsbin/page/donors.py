"""Donors: the list, one of them with what it gave and where that went, what is worth pulling; notes on them."""

from __future__ import annotations

import hashlib
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.jobs.trace import sets_of
from partsbin.jobs.worth import LEAVE, worth
from partsbin.notation.money import read_money, say_money
from partsbin.page.addresses import donor_address
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import refuse_other
from partsbin.page.paging import Pages
from partsbin.page.plots import donor_yield
from partsbin.stock.donor_list import donors_with_sums, given, how_many, went, yield_of
from partsbin.stock.donors import Chassis, add_donor, donor_of, learn, minutes_of
from partsbin.stock.shelf import number_of
from partsbin.store.engine import reading, writing

SAID = ("name", "lineup", "note", "cost", "came")
"""What is said of a donor."""

LISTED = 50
"""Donors, or parts of one, on a page [-]."""


def page(request: Request) -> Response:
    """Show the list."""
    return _list(desk_of(request), request, asked(request))


def _list(desk: Desk, request: Request, form: Form, fault: PartsbinError | None = None) -> Response:
    pages = Pages.of(asked(request), LISTED)
    with reading(desk.engine) as connection:
        found, count = donors_with_sums(connection, limit=pages.size, start=pages.start), how_many(connection)
    return desk.show(
        request,
        "donors.html",
        409 if fault else 200,
        donors=found,
        pages=pages.among(count),
        form={**dict.fromkeys((*SAID, "number"), ""), **form},
        fault=fault,
    )


def add(desk: Desk, request: Request, form: Form) -> Response:
    """Note a donor."""
    try:
        desk.who(request)
        with writing(desk.engine) as connection:
            made = add_donor(connection, code=form.get("number", "").strip(), **_said(form))
    except PartsbinError as fault:
        return _list(desk, request, form, fault)
    return see_other(donor_address(made.code), f"{made.code} noted")


def _said(form: Form) -> dict[str, Any]:
    said: dict[str, Any] = {name: form.get(name, "").strip() for name in SAID}
    return {**said, "cost": read_money(said["cost"]) if said["cost"] else None}


def one(request: Request) -> Response:
    """Show a donor."""
    return _one(desk_of(request), request)


def _one(desk: Desk, request: Request, form: Form | None = None, fault: PartsbinError | None = None) -> Response:
    pages = Pages.of(asked(request), LISTED)
    with reading(desk.engine) as connection:
        donor = donor_of(connection, request.path_params["donor"])
        sums, parts = yield_of(connection, donor), given(connection, donor, limit=pages.size, start=pages.start)
        fitted = went(connection, donor, limit=LISTED)
        sets = sets_of(connection, list(fitted))
        minutes = minutes_of(connection, donor)
    return desk.show(
        request,
        "donor.html",
        409 if fault else 200,
        donor=donor,
        cost=say_money(donor.cost) if donor.cost is not None else "",
        at=donor_address(donor.code),
        seen=_seen(donor),
        sums=sums,
        drawing=donor_yield(sums),
        minutes=minutes,
        parts=parts,
        pages=pages.among(sums["parts"]),
        inside=[{"part": number_of(ident), "title": fitted[ident], "sets": found} for ident, found in sets.items()],
        form={**{name: str(getattr(donor, name) or "") for name in SAID}, "cost": "", **(form or {})},
        fault=fault,
    )


def _seen(donor: Chassis) -> str:
    """What a form shows of a donor, in short: no act is kept of notes on donors."""
    return hashlib.sha256(repr(donor).encode()).hexdigest()[:16]


def know(desk: Desk, request: Request, form: Form) -> Response:
    """Add to what is known of a donor."""
    try:
        desk.who(request)
        with writing(desk.engine) as connection:
            donor = donor_of(connection, request.path_params["donor"])
            refuse_other(form.get("seen", ""), lambda: _seen(donor), donor.code)
            learn(connection, donor, **_said(form))
    except PartsbinError as fault:
        return _one(desk, request, form, fault)
    return see_other(donor_address(donor.code), f"{donor.code} noted")


def pull(request: Request) -> Response:
    """Show what is worth pulling."""
    desk = desk_of(request)
    with reading(desk.engine) as connection:
        donor = donor_of(connection, request.path_params["donor"])
        found = worth(connection, donor, desk.clock())
    return desk.show(request, "worth.html", donor=donor, at=donor_address(donor.code), pulls=found, leave=LEAVE)


ROUTES: list[Any] = [
    Route("/donors", page),
    Route("/donors", posted(add), methods=["POST"]),
    Route("/donor/{donor}", one),
    Route("/donor/{donor}/know", posted(know), methods=["POST"]),
    Route("/donor/{donor}/worth", pull),
]
