"""Jobs: those on the bench and those gone home, a new one; one job with its set, what it needs, what sits in it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.jobs.fitting import bring_back
from partsbin.jobs.lines import write_line
from partsbin.jobs.needs import Wanted, numbered
from partsbin.jobs.portrait import brief, portrait
from partsbin.jobs.record import Opened, close_job, job_named, jobs, learn, open_job, still_open
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, refuse_stale, see_other
from partsbin.page.fields import count_of, facts_of, line_of, number_said, refuse_other, seen_of, word_for
from partsbin.rules import load_rules
from partsbin.sets.facts import FACTS
from partsbin.stock.acts import release
from partsbin.stock.ledger import set_aside_for
from partsbin.stock.shelf import id_of, number_of
from partsbin.store.engine import reading, writing

A_PAGE = 50
"""Jobs or needs on one page [-]."""

UNSAID = 10
"""Needs without a position whose choice stands on the job's page at once [-]."""

FIRST_FACTS = ("lineup", "chassis", "mains", "rectifier", "secondary", "speaker")
"""What is worth saying of a set when it comes in."""


def listed(request: Asked) -> Response:
    """Show the jobs, those on the bench or all, and the form that opens one."""
    return _listed(desk_of(request), request, asked(request))


def _listed(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    before, every = number_said(form.get("before", ""), "a job"), form.get("which") == "all"
    with reading(desk.engine) as connection:
        found = jobs(connection, before=before or None, open_only=not every, most=A_PAGE + 1)
    return desk.show(
        request,
        "jobs.html",
        status,
        jobs=[brief(job) for job in found[:A_PAGE]],
        next=found[A_PAGE - 1].id if len(found) > A_PAGE else 0,
        every=every,
        form=form,
        first=[FACTS[name] for name in FIRST_FACTS],
        fault=fault,
    )


def opened(desk: Desk, request: Asked, form: Form) -> Response:
    """Open a job with what is known of its set."""
    try:
        who = desk.who(request)
        with writing(desk.engine) as connection:
            said = {"reference": form.get("reference", ""), "what": form.get("what", "")}
            job = open_job(connection, who, facts=facts_of(form), **said)
    except PartsbinError as fault:
        return _listed(desk, request, form, fault, 409)
    return see_other(f"/job/{job.code}", f"{job.code} is open")


# ---- one job


def page(request: Asked) -> Response:
    """Show a job."""
    return job_page(desk_of(request), request, request.path_params["code"], asked(request))


def job_page(
    desk: Desk,
    request: Asked,
    code: str,
    form: Form,
    fault: PartsbinError | None = None,
    status: int = 200,
    problems: tuple[str, ...] = (),
) -> Response:
    """Show a job; what was typed stands in its fields again where something is at fault."""
    at = line_of(form.get("from", ""))
    with reading(desk.engine) as connection:
        job = job_named(connection, code)
        found = portrait(connection, job)
        for entry in (*found["fitted"], *found["set_aside"]):
            entry["seen"] = seen_of(connection, [id_of(entry["part"])])
        seen = state_of(connection, job)
        wanted = numbered(connection, job)
    needs = found["open_needs"]
    unsaid = [need for need in needs if not need["position"]][:UNSAID]
    return desk.show(
        request,
        "job.html",
        status,
        job=found,
        seen=seen,
        needs=needs[at : at + A_PAGE],
        total=len(needs),
        at=at,
        a_page=A_PAGE,
        unsaid=[
            {
                **need,
                "choices": list(load_rules(need["family"]).positions),
                "seen": need_state(wanted[need["number"]], need["pieces"]),
            }
            for need in unsaid
        ],
        known=[{"fact": FACTS[name], "text": text} for name, text in found["set"].items() if name in FACTS],
        others=[fact for name, fact in FACTS.items() if name not in found["set"]],
        form=form,
        fault=fault,
        problems=problems,
    )


def state_of(connection: Connection, job: Opened) -> str:
    """Return a word for how a job stands: what a form shows of its set and its needs."""
    needs = [(n, w.designator, w.position, w.quantity, dict(w.texts)) for n, w in numbered(connection, job).items()]
    return word_for([job.closed_at is None, dict(job.texts), needs])


def need_state(wanted: Wanted, left: int) -> str:
    """Return a word for how a need stands: what its page shows of it, and how many pieces it still wants."""
    return word_for([wanted.designator, wanted.text, wanted.position, dict(wanted.texts), left])


Change = Callable[[Connection, Opened, Desk, Asked, Form], str]


def changed(work: Change, *, back: str = "", shown: bool = False, closed: bool = False) -> Callable[[Asked], Any]:
    """Return the endpoint of a form of a job's page.

    Parameters
    ----------
    work : callable
        Does it inside the transaction and returns what was done, in words.
    back : str
        What follows the job's address on the way back.
    shown : bool
        Whether the form shows what it changes, so that it is refused when somebody else changed that.
    closed : bool
        Whether it may be done to a closed job.
    """

    def done(desk: Desk, request: Asked, form: Form) -> Response:
        code = request.path_params["code"]
        try:
            with writing(desk.engine) as connection:
                job = job_named(connection, code)
                if shown:
                    refuse_other(form.get("seen", ""), lambda: state_of(connection, job), f"this job {job.code}")
                said = work(connection, job if closed else still_open(job), desk, request, form)
        except PartsbinError as fault:
            return job_page(desk, request, code, form, fault, 409)
        return see_other(f"/job/{job.code}{back}", said)

    return posted(done)


def _facts(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    said = [f"{name.removeprefix('set.')}={text.strip()}" for name, text in form.items() if name.startswith("set.")]
    if form.get("fact") and form.get("value", "").strip():
        said.append(f"{form['fact']}={form['value'].strip()}")
    job = learn(connection, job, said)
    return f"known of the set: {', '.join(f'{name}={text}' for name, text in job.texts.items()) or 'nothing'}"


def _noted(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    said = {"said": form.get("said", ""), "instrument": form.get("instrument", "")}
    write_line(connection, job, form.get("kind", ""), form.get("what", ""), desk.who(request), **said)
    return "written down"


def _closed(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    close_job(connection, job, desk.who(request))
    aside = set_aside_for(connection, job.id)
    left = ", ".join(f"{pieces} of {number_of(ident)}" for ident, pieces in list(aside.items())[:10])
    return f"{job.code} is closed{f'; still set aside: {left}' if left else ''}"


def _reopened(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    close_job(connection, job, desk.who(request), again=True)
    return f"{job.code} is open again"


def _returned(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    ident = id_of(form.get("part", ""))
    refuse_stale(connection, ident, form.get("seen", ""))
    pieces, unused = count_of(form.get("pieces", "")), bool(form.get("unused"))
    back, _ = bring_back(connection, job, ident, pieces, desk.who(request), unused=unused)
    return f"{pieces} of {number_of(ident)} back on the shelf{f', as {number_of(back)}' if back != ident else ''}"


def _let_go(connection: Connection, job: Opened, desk: Desk, request: Asked, form: Form) -> str:
    ident = id_of(form.get("part", ""))
    refuse_stale(connection, ident, form.get("seen", ""))
    pieces = count_of(form.get("pieces", ""))
    release(connection, ident, pieces, desk.who(request), job_id=job.id)
    return f"{pieces} of {number_of(ident)} let go"


ROUTES = [
    Route("/jobs", listed),
    Route("/jobs/open", posted(opened), methods=["POST"]),
    Route("/job/{code}", page),
    Route("/job/{code}/facts", changed(_facts, shown=True), methods=["POST"]),
    Route("/job/{code}/note", changed(_noted, closed=True), methods=["POST"]),
    Route("/job/{code}/close", changed(_closed, shown=True), methods=["POST"]),
    Route("/job/{code}/again", changed(_reopened, shown=True, closed=True), methods=["POST"]),
    Route("/job/{code}/return", changed(_returned, closed=True), methods=["POST"]),
    Route("/job/{code}/release", changed(_let_go, closed=True), methods=["POST"]),
]
