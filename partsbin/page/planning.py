"""The plan of a job: all its open needs against the shelf at once, with reasons; one button sets aside what it says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.jobs.plan import Served, plan, reserve
from partsbin.jobs.record import job_named, still_open
from partsbin.matching.make_ups.said import entry_of, said_parts
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import address, line_of, refuse_other, word_for
from partsbin.page.needs import numbers_of
from partsbin.page.words import VERDICTS
from partsbin.store.engine import reading, writing

A_PAGE = 50
"""Needs on one page [-]."""


def page(request: Asked) -> Response:
    """Show the plan."""
    return _page(desk_of(request), request, asked(request))


def _page(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    at = line_of(form.get("from", ""))
    with reading(desk.engine) as connection:
        job = still_open(job_named(connection, request.path_params["code"]))
        made = plan(connection, [job])
        numbers = numbers_of(connection, job)
    total = sum(served.left for served in made)
    return desk.show(
        request,
        "plan.html",
        status,
        job=job,
        needs=[_need(served, numbers) for served in made[at : at + A_PAGE]],
        served=sum(served.pieces for served in made),
        total=total,
        count=len(made),
        at=at,
        a_page=A_PAGE,
        seen=state_of(made),
        words=VERDICTS,
        fault=fault,
    )


def _need(served: Served, numbers: Mapping[int, int]) -> dict[str, Any]:
    """Return a need as the page shows it: what it gets, and where each is fitted from."""
    parts = []
    number = numbers[served.wanted.id]
    also = " ".join(str(numbers[wanted.id]) for wanted in served.along if wanted.id != served.wanted.id)
    for chosen, pieces in served.parts:
        entry = entry_of(chosen)
        make_up = entry["make_up"]
        single = {"part": entry["part"], "pieces": 1, "place": entry["place"]}
        each = [place for one in make_up or [single] for place in [one["part"]] * one["pieces"]]
        fields = {"part": " ".join(each), "job": served.job.code, "need": str(number)}
        fields |= {"also": also} if also else {}
        parts.append(
            {
                "pieces": pieces,
                "name": said_parts(make_up, entry["option"]) if make_up else _counted(chosen),
                "each": make_up or [single],
                "title": f"{entry['title']}, {entry['option']}" if entry["option"] and not make_up else entry["title"],
                "verdict": entry["verdict"],
                "first": [card["title"] for card in entry["tests"]],
                "changes": entry["changes"],
                "fit": address("/fit", {**fields, "how": entry["option"]} if make_up else fields),
            }
        )
    return {
        "number": number,
        "wanted": served.wanted,
        "left": served.left,
        "short": served.left - served.pieces,
        "parts": parts,
        "why": served.why,
        "near": [{**miss, "failed": _failed(miss)} for miss in served.near[:2]],
        "buy": served.buy,
    }


def _counted(chosen: Any) -> str:
    """A part, and how many of it make one of what is wanted."""
    return f"{chosen.pieces} × {chosen.part.number}" if chosen.pieces > 1 else str(chosen.part.number)


def _failed(miss: dict[str, Any]) -> str:
    return next((str(check["reason"]) for check in miss["checks"] if check["verdict"] == "fail"), "")


def state_of(made: Sequence[Served]) -> str:
    """Return a word for a plan: which part goes where, how many."""
    said = [(served.job.id, served.wanted.id, served.left, sorted(served.taken().items())) for served in made]
    return word_for(said)


def set_aside(desk: Desk, request: Asked, form: Form) -> Response:
    """Set aside what the plan says, in one act; refused where it says something else by now."""
    try:
        who = desk.who(request)
        with writing(desk.engine) as connection:
            job = still_open(job_named(connection, request.path_params["code"]))
            made, moved = reserve(connection, [job], who)
            refuse_other(form.get("seen", ""), lambda: state_of(made), "the plan")
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    said = f"{moved} movement{'s' * (moved != 1)}" if moved else "it was set aside before: nothing to do"
    return see_other(f"/job/{job.code}", f"set aside as planned: {said}")


ROUTES = [
    Route("/job/{code}/plan", page),
    Route("/job/{code}/plan/reserve", posted(set_aside), methods=["POST"]),
]
