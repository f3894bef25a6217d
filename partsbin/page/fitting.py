"""Fit: a part from its card into a job's set: for which need, what it still owes, and what to read after it went in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, RefusedError, UsageError
from partsbin.jobs.fitted import fitted_by, needs_fitted_by, open_needs, over_full
from partsbin.jobs.fitting import Spot, fit, lines_for, owed_as
from partsbin.jobs.fitting_sections import fit_sections, judge_sections
from partsbin.jobs.fitting_together import fit_together
from partsbin.jobs.needs import Wanted, need_of, numbered
from partsbin.jobs.record import Opened, job_named, jobs
from partsbin.jobs.spots import Said, Told, write_down
from partsbin.matching.answer import GENERAL_CAUTION
from partsbin.matching.make_ups.one import judge_make_up
from partsbin.matching.one import judge_part
from partsbin.needs import Request
from partsbin.page.desk import Desk, Form, asked, desk_of, last_act, posted, refuse_stale, see_other
from partsbin.page.fields import (
    address,
    count_of,
    facts_of,
    kept,
    number_said,
    parts_named,
    refuse_stale_parts,
    seen_of,
)
from partsbin.page.margins import WIDTH, bars
from partsbin.page.words import MOST_JOBS, VERDICTS
from partsbin.rules.serving import servers
from partsbin.stock.acts import part_of
from partsbin.stock.shelf import Shelved, id_of, number_of
from partsbin.store.engine import reading, writing
from partsbin.words import listed

NAMES = ("part", "how", "job", "need", "also", "family", "text", "position")
TYPED = ("pieces", "found", "designator", "change", "instrument")
OWED = "owed."
MOST_SECTIONS = 16
"""Needs that one can is fitted for beside the first, at most [-]."""


def page(request: Asked) -> Response:
    """Show where a part may go; with a job said, how it is judged there and what it owes."""
    return _page(desk_of(request), request, asked(request))


def _page(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    form = _said(form)
    with reading(desk.engine) as connection:
        ids = parts_named(form["part"])
        if not ids:
            raise UsageError("no part is named to be fitted")
        parts = [part_of(connection, ident) for ident in ids]
        shared = {
            "form": form,
            "parts": list({part.id: part for part in parts}.values()),
            "title": _title(parts, form["how"]),
            "kept": kept(form, NAMES),
            "fault": fault,
            "words": VERDICTS,
            "width": WIDTH,
        }
        if not form["job"]:
            return desk.show(request, "fit_where.html", status, places=_places(connection, form, parts[0]), **shared)
        spot = _where(form).spot(connection, ids[0])
        spots = _spots(connection, form, ids[0])
        judged = (
            _sections(connection, spots, parts[0]) if form["also"] else _judged(connection, spot, parts, form["how"])
        )
        shared["seen"] = seen_of(connection, ids)
    return desk.show(request, "fit.html", status, spot=spot, judged=judged, **shared)


def _said(form: Form) -> Form:
    """Return the form with every field, the place that was chosen told as job and need."""
    form = {**dict.fromkeys((*NAMES, *TYPED, "seen", "spot"), ""), **form}
    if form["spot"]:
        form["job"], _, form["need"] = form.pop("spot").partition("/")
    return form


def _where(form: Form) -> Said:
    number = number_said(form["need"], "a need")
    own = {} if number else {name: form[name] for name in ("family", "text", "position")}
    return Said(form["job"], designator=form["designator"].strip(), facts=facts_of(form), number=number, **own)


def _spots(connection: Connection, form: Form, part_id: int) -> list[Spot]:
    """Return where a part goes: one place, or, of a can, all whose sections it serves."""
    where = _where(form)
    others = [replace(where, number=count_of(number)) for number in form["also"].split()[:MOST_SECTIONS]]
    return [each.spot(connection, part_id) for each in (where, *others)]


def _sections(connection: Connection, spots: Sequence[Spot], part: Shelved) -> dict[str, Any]:
    """Return how a can is judged where its sections go: as the first of them, with which section goes where."""
    for spot in spots:
        if (shown := _judged(connection, spot, [part], ""))["entry"]["verdict"] == "measure":
            return shown
    judged, where = judge_sections(connection, spots, part)
    words = [(each.wanted, use.candidate.option.label, use.candidate.verdict.word) for each, use, _ in judged]
    worst = max(judged, key=lambda each: each[1].candidate.verdict)
    shown = _judged(connection, worst[0], [part], "")
    answer = worst[2]
    entry = (answer["candidates"] or answer["near_misses"])[0]
    return {**shown, "entry": {**entry, "changes": [*entry["changes"], where]}, "bars": bars(entry), "sections": words}


def _title(parts: Sequence[Shelved], how: str) -> str:
    names = listed([part.number for part in parts], "and")
    return f"{names} {how}" if how else f"{names} {parts[0].title}"


def _places(connection: Connection, form: Form, part: Shelved) -> list[dict[str, Any]]:
    """Return the open jobs with the needs that a part of this family may serve, those of the position asked for first."""
    found: list[dict[str, Any]] = []
    for job in jobs(connection, open_only=True, most=MOST_JOBS):
        numbers = {wanted.id: number for number, wanted in numbered(connection, job).items()}
        may = [each for each in open_needs(connection, job) if _may_serve(part.family, each[0])]
        may.sort(key=lambda each: each[0].position != form["position"])
        needs = [{"spot": f"{job.code}/{numbers[wanted.id]}", "wanted": wanted, "left": left} for wanted, left in may]
        found.append({"job": job, "needs": needs})
    found.sort(key=lambda each: not each["needs"])
    return found


def _may_serve(family: str, wanted: Wanted) -> bool:
    own = wanted.family == family or family in dict(servers(wanted.family, wanted.position))
    return bool(wanted.position) and own


def _judged(connection: Connection, spot: Spot, parts: Sequence[Shelved], how: str) -> dict[str, Any]:
    """Return how the part is judged there: its entry of the answer, drawn, with what it owes and how that is answered."""
    answer = judge_make_up(spot.request, parts, how) if how else judge_part(spot.request, parts[0])
    entry = (answer["candidates"] or answer["near_misses"])[0]
    owed = [{**card, "kind": owed_as(parts[0], card)} for card in entry["tests"]] if not how else entry["tests"]
    reasons = [check["reason"] for check in entry["checks"] if check["verdict"] == "unknown"]
    return {
        "entry": entry,
        "bars": bars(entry),
        "owed": owed,
        "reasons": reasons if entry["verdict"] == "measure" and not owed else [],
        "missing": "" if how else _missing(connection, spot, parts[0]),
        "need": answer["need"],
        "buy": answer["buy"],
        "cautions": answer["cautions"],
        "sections": [],
    }


def _missing(connection: Connection, spot: Spot, part: Shelved) -> str:
    """Return why no piece can be taken now, "" if one can."""
    try:
        lines_for(connection, spot.job, part, 1, False)
    except RefusedError as fault:
        return fault.message
    return ""


def fit_it(desk: Desk, request: Asked, form: Form) -> Response:
    """Write down what was told of what is owed, then fit the part; each is an act of its own."""
    form = _said(form)
    try:
        done, job = _together(desk, request, form) if form["how"] else _alone(desk, request, form)
    except _StillOwingError as still:
        return see_other(
            address("/fit", {**kept(form, NAMES), "part": still.number}),
            f"written down of {still.number}; not fitted yet: {still.fault.message}",
        )
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other(f"/job/{job}/fitted/{done}", f"fitted in {job}")


class _StillOwingError(Exception):
    """What was told is written down, and the part did not go in all the same."""

    def __init__(self, number: str, fault: PartsbinError) -> None:
        super().__init__(number)
        self.number, self.fault = number, fault


def _alone(desk: Desk, request: Asked, form: Form) -> tuple[int, str]:
    who, where = desk.who(request), _where(form)
    ident = id_of(form["part"])
    pieces, found = count_of(form["pieces"]), bool(form["found"])
    with writing(desk.engine) as connection:
        refuse_stale(connection, ident, form["seen"])
        spot = where.spot(connection, ident)
        told = _told(connection, spot, ident, form)
        read = write_down(connection, spot, ident, told, who, pieces=pieces, found=found, instrument=form["instrument"])
        seen = last_act(connection, read)
    try:
        with writing(desk.engine) as connection:
            refuse_stale(connection, read, str(seen))
            spot, *others = _spots(connection, form, read)
            change = form["change"].strip()
            if others:
                done = fit_sections(connection, [spot, *others], read, who, pieces=pieces, found=found, change=change)
            else:
                done = fit(connection, spot, read, who, pieces=pieces, found=found, change=change)
    except PartsbinError as fault:
        if told == Told():
            raise
        raise _StillOwingError(number_of(read), fault) from None
    return done.act_id, spot.job.code


def _told(connection: Connection, spot: Spot, ident: int, form: Form) -> Told:
    """Return what was typed for the cards that the part owes now."""
    told, part = Told(), part_of(connection, ident)
    if not any(name.startswith(OWED) and text.strip() for name, text in form.items()):
        return told
    for card in _judged(connection, spot, [part], "")["owed"]:
        if said := form.get(f"{OWED}{card['reading']}", "").strip():
            told.take(part, card["reading"], card["kind"], said)
    return told


def _together(desk: Desk, request: Asked, form: Form) -> tuple[int, str]:
    who, ids = desk.who(request), parts_named(form["part"])
    with writing(desk.engine) as connection:
        refuse_stale_parts(connection, ids, form["seen"])
        spot = _where(form).spot(connection, ids[0])
        done = fit_together(
            connection, spot, ids, form["how"], who,
            pieces=count_of(form["pieces"]), found=bool(form["found"]), change=form["change"].strip(),
        )  # fmt: skip
    return done.act_id, spot.job.code


def fitted(request: Asked) -> Response:
    """Show what an act fitted: why, what was changed for it, what else to check, what to read after power-up."""
    desk = desk_of(request)
    with reading(desk.engine) as connection:
        job = job_named(connection, request.path_params["code"])
        lines = fitted_by(connection, job.id, request.path_params["act"])
        if not lines:
            raise UsageError(f"act {request.path_params['act']} fitted nothing that sits in {job.code}")
        around = [_around(connection, job, line) for line in lines[:1]]
        needs = needs_fitted_by(connection, job.id, request.path_params["act"])
        around += [_around(connection, job, {**lines[0], "need": need}) for need in needs if need != lines[0]["need"]]
        answer = {
            name: list(dict.fromkeys(said for each in around for said in each[name]))
            for name in ("also", "after", "cautions")
        }
        over = over_full(connection, job, lines[0]["need"])
    return desk.show(request, "fitted.html", job=job, lines=lines, answer=answer, over=over)


def _around(connection: Connection, job: Opened, line: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what else is to be checked and read, as the answer says it of the need that was served."""
    wanted = need_of(connection, line["need"]) if line["need"] else None
    try:
        asked_for = wanted.request(job) if wanted else Request(line["family"], "", line["position"], {}, job.facts)
        return judge_part(asked_for, part_of(connection, parts_named(line["part"])[0]))
    except PartsbinError:  # fitted for another family's need that the job does not name
        return {"also": [], "after": [], "cautions": [GENERAL_CAUTION]}


ROUTES = [
    Route("/fit", page),
    Route("/fit/do", posted(fit_it), methods=["POST"]),
    Route("/job/{code}/fitted/{act:int}", fitted),
]
