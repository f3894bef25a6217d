"""What a job needs: one added, a list pasted, one looked at as it is understood, its position corrected, taken back."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.families import named, names
from partsbin.jobs.fitted import serving
from partsbin.jobs.needs import Wanted, add_need, drop_need, need_numbered, not_understood, numbered, place_need
from partsbin.jobs.needs_list import NeedsTaken, open_list, take_needs
from partsbin.jobs.record import Opened, job_named, still_open
from partsbin.matching.answer import build, chosen_questions
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import address, count_of, facts_of, refuse_other, typed_facts
from partsbin.page.jobs import changed, job_page, need_state
from partsbin.page.trade import positions_of, with_family
from partsbin.store.engine import reading, writing

TOLD = 10
"""Lines that are named of what a list says and nobody understood [-]."""


def adding(request: Asked) -> Response:
    """Show the form that adds a need; with a text said, the positions of the family that it is of."""
    return _adding(desk_of(request), request, asked(request))


def _adding(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    form = with_family({**dict.fromkeys(("text", "family", "position", "designator", "pieces", "facts"), ""), **form})
    with reading(desk.engine) as connection:
        job = still_open(job_named(connection, request.path_params["code"]))
    positions = positions_of(form["family"])
    return desk.show(
        request, "need_new.html", status, job=job, form=form, families=names(), positions=positions, fault=fault
    )


def add(desk: Desk, request: Asked, form: Form) -> Response:
    """Note something that the set needs."""
    code = request.path_params["code"]
    try:
        desk.who(request)
        with writing(desk.engine) as connection:
            job = still_open(job_named(connection, code))
            wanted = add_need(
                connection, job, named(form.get("family", "")), form.get("text", "").strip(), form.get("position", ""),
                designator=form.get("designator", ""), facts=typed_facts(form.get("facts", "")) + facts_of(form),
                quantity=count_of(form.get("pieces", "")),
            )  # fmt: skip
    except PartsbinError as fault:
        return _adding(desk, request, form, fault, 409)
    return see_other(f"/job/{job.code}", "; ".join([f"wanted: {_name(wanted)}", *not_understood(job, wanted)]))


def _name(wanted: Wanted) -> str:
    return " ".join(filter(None, (wanted.designator, wanted.position, wanted.family)))


def pasted(desk: Desk, request: Asked, form: Form) -> Response:
    """Note the needs of a list, all or nothing; what nobody understood is named."""
    code, typed = request.path_params["code"], form.get("list", "")
    try:
        desk.who(request)
        if not typed.strip():
            raise UsageError("the list is empty: expected a line a part, such as C31 22n 630V")
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "list.txt"
            path.write_text(typed, encoding="utf-8")
            read = open_list(path)
            with writing(desk.engine) as connection:
                job = still_open(job_named(connection, code))
                taken = take_needs(connection, job, read, keep_good=bool(form.get("keep")))
    except PartsbinError as fault:
        return job_page(desk, request, code, form, fault, 409)
    if not taken.written:
        unread = UsageError(f"{len(taken.problems)} lines cannot be read; nothing was written")
        return job_page(desk, request, code, form, unread, 409, taken.problems[:TOLD])
    return see_other(f"/job/{job.code}", _became(taken))


def _became(taken: NeedsTaken) -> str:
    """Return what became of a list, in words."""
    sums = taken.sums
    unread = [entry for entry in taken.entries if entry.fate == "not understood"]
    lines = [f"{' '.join(entry.names) or f'line {entry.line}'} {entry.text}".strip() for entry in unread[:TOLD]]
    named = f": {'; '.join(lines)}" if lines else ""
    return (
        f"{sums.all} pieces on the list: {sums.served} served by the shelf, {sums.short} short, {sums.not_ours} not ours, "
        f"{sums.unread} not understood{named}"
    )


# ---- one need


def page(request: Asked) -> Response:
    """Show a need as it is understood."""
    return _page(desk_of(request), request)


def _page(desk: Desk, request: Asked, fault: PartsbinError | None = None, status: int = 200) -> Response:
    with reading(desk.engine) as connection:
        job, wanted = _need(connection, request)
        left = _left(connection, job, wanted)
    stated: dict[str, Any] = {"headline": (), "assumptions": (), "questions": ()}
    try:
        family, need = build(wanted.request(job))
        stated = {
            "headline": need.headline,
            "assumptions": need.assumptions,
            "questions": chosen_questions(family, need, []),
        }
    except PartsbinError as found:
        fault = fault or found
    return desk.show(
        request,
        "need.html",
        status,
        job=job,
        wanted=wanted,
        number=request.path_params["number"],
        seen=need_state(wanted, left),
        left=left,
        positions=positions_of(wanted.family),
        find=find_address(job, wanted, request.path_params["number"]),
        fault=fault,
        **stated,
    )


def _need(connection: Connection, request: Asked) -> tuple[Opened, Wanted]:
    job = job_named(connection, request.path_params["code"])
    return job, need_numbered(connection, job, request.path_params["number"])


def _left(connection: Connection, job: Opened, wanted: Wanted) -> int:
    return wanted.quantity - serving(connection, job.id).get(wanted.id, 0)


def _refuse_other(connection: Connection, job: Opened, wanted: Wanted, form: Form) -> None:
    """Refuse a form that shows a need as it no longer is: said otherwise, served or put back meanwhile."""
    now = need_state(wanted, _left(connection, job, wanted))
    refuse_other(form.get("seen", ""), lambda: now, f"{_name(wanted)}, as {job.code} wants it,")


def find_address(job: Opened, wanted: Wanted, number: int) -> str:
    """Return the address of find that asks for a need of a job."""
    own: Mapping[str, str] = {**job.texts, **wanted.texts}
    fields = {"text": wanted.text, "family": wanted.family, "position": wanted.position, "job": job.code}
    return address("/find", {**fields, "need": str(number), **{f"set.{name}": text for name, text in own.items()}})


def placed(desk: Desk, request: Asked, form: Form) -> Response:
    """Say what a need does in the circuit."""
    try:
        desk.who(request)
        with writing(desk.engine) as connection:
            job, wanted = _need(connection, request)
            _refuse_other(connection, job, wanted, form)
            wanted = place_need(connection, still_open(job), wanted, form.get("position", ""))
    except PartsbinError as fault:
        return _page(desk, request, fault, 409)
    back = "" if form.get("back", "") == "job" else f"/need/{request.path_params['number']}"
    return see_other(f"/job/{job.code}{back}", f"{_name(wanted)} it is")


def _dropped(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    desk.who(request)
    wanted = need_numbered(connection, job, request.path_params["number"])
    _refuse_other(connection, job, wanted, form)
    drop_need(connection, wanted)
    return f"no longer wanted: {_name(wanted)}"


def find_it(request: Asked) -> Response:
    """Lead to find, asking for a need."""
    with reading(desk_of(request).engine) as connection:
        job, wanted = _need(connection, request)
    return see_other(find_address(job, wanted, request.path_params["number"]))


def numbers_of(connection: Connection, job: Opened) -> dict[int, int]:
    """Return the number of each need of a job, by its id."""
    return {wanted.id: number for number, wanted in numbered(connection, job).items()}


ROUTES = [
    Route("/job/{code}/need", adding),
    Route("/job/{code}/need/add", posted(add), methods=["POST"]),
    Route("/job/{code}/list", posted(pasted), methods=["POST"]),
    Route("/job/{code}/need/{number:int}", page),
    Route("/job/{code}/need/{number:int}/find", find_it),
    Route("/job/{code}/need/{number:int}/position", posted(placed), methods=["POST"]),
    Route("/job/{code}/need/{number:int}/drop", changed(_dropped), methods=["POST"]),
]
