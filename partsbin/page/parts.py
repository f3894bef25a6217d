"""One part: everything known of it with where each figure is from, its history, its code; and the forms of what is done to it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any
from urllib.parse import urlencode

from sqlalchemy import Connection
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.families import load
from partsbin.families._said import plain, said_fields
from partsbin.jobs.trace import sets_of
from partsbin.jobs.wanted import would_serve
from partsbin.labels.codes import code_of_part
from partsbin.page import part_acts
from partsbin.page.addresses import part_address
from partsbin.page.codes import drawn
from partsbin.page.desk import Desk, Form, asked, desk_of, last_act, posted, refuse_stale, see_other
from partsbin.page.fields import word_for
from partsbin.page.kept import kept
from partsbin.page.paging import Pages
from partsbin.page.plots import Plot, drift, track_law
from partsbin.stock.acts import Who, part_of
from partsbin.stock.history import USUAL_TOLERANCE, last_standing, marked_since
from partsbin.stock.instruments import recorded
from partsbin.stock.photographs import photographs_of
from partsbin.stock.portrait import portrait, said_movement
from partsbin.stock.shelf import id_of
from partsbin.store.engine import reading, writing
from partsbin.words import say

LISTED = 20
"""Readings, or lines of the ledger, on a page, the newest first [-]."""

DRAWN = 40
"""Readings of one quantity that are drawn, the newest, at most [-]."""

MOST_DRAWN = 4
"""Quantities that are drawn, at most [-]."""

NAMED = 100
"""Needs that are named, at most [-]."""


def page(request: Request) -> Response:
    """Show a part."""
    return _page(desk_of(request), request)


def _page(desk: Desk, request: Request, form: Form | None = None, fault: PartsbinError | None = None) -> Response:
    fields, ident = asked(request), id_of(request.path_params["part"])
    with reading(desk.engine) as connection:
        found = portrait(connection, request.path_params["part"])
        beside = {
            "facts": _facts(found, marked_since(connection, ident)),
            "sets": sets_of(connection, [ident]).get(ident, []),
            "photographs": [{**each, "seen": word_for(each)} for each in photographs_of(connection, ident)],
            "last": last_standing(connection, ident),
            "instruments": sorted(recorded(connection) or ()),
            "seen": last_act(connection, ident),
        }
    readings = Pages.of(fields, LISTED, "readings").among(len(found["readings"]))
    ledger = Pages.of(fields, LISTED, "acts").among(len(found["ledger"]))
    return desk.show(
        request,
        "part.html",
        409 if fault else 200,
        part=found,
        at=part_address(found["part"]),
        find=f"/find?{urlencode({'text': found['title'], 'family': found['family']})}",
        quantities=load(found["family"]).readings,
        readings=[_read(each) for each in found["readings"][::-1][readings.start : readings.start + LISTED]],
        readings_pages=readings,
        ledger=[(m, said_movement(m)) for m in found["ledger"][::-1][ledger.start : ledger.start + LISTED]],
        ledger_pages=ledger,
        plots=_plots(found),
        code=drawn(code_of_part(found["part"])),
        form={"act": "", **(form or {})},
        fault=fault,
        **beside,
    )


def serves(request: Request) -> Response:
    """Show which open needs a part would serve: every one is judged, so this is a page of its own."""
    desk, ident = desk_of(request), id_of(request.path_params["part"])
    with reading(desk.engine) as connection:
        part, found = part_of(connection, ident), would_serve(connection, [ident])
    return desk.show(request, "serves.html", part=part, at=part_address(part.number), found=found, most=NAMED)


def _facts(found: Mapping[str, Any], since: Mapping[str, Mapping[str, Any]]) -> list[tuple[str, str, str]]:
    """What is marked: name, figure, since when and by whom."""
    said = said_fields(load(found["family"]).facts, found["fields"])
    return [
        (name, text, _origin(since.get(field) or since.get("") or {}))
        for field, (name, text) in zip(found["fields"], said, strict=True)
    ]


def _origin(said: Mapping[str, Any]) -> str:
    return f"marked, noted {said['at'][:10]}{_by(said['by'])}" if said else "marked"


def _by(name: str) -> str:
    return f" by {name}" if name else ""


def _read(each: Mapping[str, Any]) -> dict[str, Any]:
    """A reading as a row: what, figure, when and with what; whether it still counts."""
    spread = f" ±{say(each['uncertainty'], each['unit'])}" if each["uncertainty"] else ""
    volts = "".join(f" at {say(float(value), 'V')}" for value in each["conditions"].values())
    with_what = f", {each['instrument']}" if each["instrument"] else ""
    return {
        "quantity": each["quantity"].replace("_", " "),
        "figure": f"{plain(each['value'], each['unit'])}{spread}{volts}",
        "origin": f"read {each['at'][:10]}{_by(each['by'])}{with_what}",
        "valid": each["valid"],
    }


def _plots(found: Mapping[str, Any]) -> list[Plot]:
    """The law of a track, and how readings moved over time, of each quantity that was read more than once."""
    marked, drawings = found["fields"], []
    for quantity in dict.fromkeys(each["quantity"] for each in found["readings"]):
        own = [each for each in found["readings"] if each["quantity"] == quantity and each["valid"]][-DRAWN:]
        value = marked.get(quantity)
        mark = value if isinstance(value, float) and value > 0 else None
        drawings.append(drift(quantity, own, mark, marked.get("tolerance") or USUAL_TOLERANCE))
    mids = [each for each in found["readings"] if each["quantity"] == "mid" and each["valid"]]
    if mids or "taper" in marked:
        at_half = (mids[-1]["value"], mids[-1]["uncertainty"]) if mids else (None, 0.0)
        drawings.insert(0, track_law(marked.get("taper") or "", *at_half))
    return [plot for plot in drawings if plot][:MOST_DRAWN]


Endpoint = Callable[[Desk, Request, Form], Response]


def told_on_the_page(act: str) -> Callable[[Endpoint], Endpoint]:
    """Return what makes of a form's work one whose fault is told on the part's page, with what was typed."""

    def around(work: Endpoint) -> Endpoint:
        @wraps(work)
        def endpoint(desk: Desk, request: Request, form: Form) -> Response:
            try:
                return work(desk, request, form)
            except PartsbinError as fault:
                return _page(desk, request, {**form, "act": act}, fault)

        return endpoint

    return around


Work = Callable[[Connection, str, Form, Who], tuple[str, str]]


def _done(act: str, work: Work) -> Callable[[Request], Any]:
    """Return the endpoint of a form of the page, refused if the part was changed since."""

    @told_on_the_page(act)
    def endpoint(desk: Desk, request: Request, form: Form) -> Response:
        number = request.path_params["part"]
        who = desk.who(request, form.get("why", "").strip())
        with writing(desk.engine) as connection:
            refuse_stale(connection, id_of(number), form.get("seen", ""))
            goes, done = work(connection, number, form, who)
        return see_other(part_address(goes), done)

    return posted(endpoint)


ROUTES: list[Any] = [
    Route("/part/{part}", kept(page)),
    Route("/part/{part}/serves", kept(serves, long=True)),
    *(Route(f"/part/{{part}}/{act}", _done(act, work), methods=["POST"]) for act, work in part_acts.ACTS.items()),
]
