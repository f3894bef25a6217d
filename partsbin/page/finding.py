"""Find: one line in trade language, its reading as it is typed, plain choices, and the answer as cards."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any
from urllib.parse import urlencode

from markupsafe import Markup
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, StoreError
from partsbin.families import load, named, names
from partsbin.families._said import said_fields
from partsbin.jobs.fitting import owed_as
from partsbin.jobs.record import Opened, job_named, jobs, still_open
from partsbin.jobs.spots import Told
from partsbin.matching.answer import find
from partsbin.matching.said import came_from, first_said, more_said
from partsbin.needs import Request
from partsbin.page import plots
from partsbin.page.desk import Desk, Form, Refused, asked, desk_of, last_acts, posted, refuse_stale, see_other
from partsbin.page.kept import kept
from partsbin.page.margins import WIDTH, bars
from partsbin.page.shown import GAPS
from partsbin.page.trade import positions_of, with_family
from partsbin.page.words import MOST_JOBS, VERDICTS
from partsbin.sets import read_facts
from partsbin.sets.facts import FACTS
from partsbin.stock.acts import measure, part_of, reserve
from partsbin.stock.describe import readings_of
from partsbin.stock.marking import mark
from partsbin.stock.readings import read_taken
from partsbin.stock.shelf import id_of, number_of
from partsbin.store.engine import reading, writing
from partsbin.store.repeating import digest

KEPT = ("text", "family", "position", "job", "need")
SHOWN = 5
"""Candidates on a page, at most [-]."""


def page(request: Asked) -> Response:
    """Show the page; with a family and a position said, the answer."""
    desk, (form, understood) = desk_of(request), _said(asked(request))
    fault: PartsbinError | None = None
    answer: dict[str, Any] | None = None
    open_jobs: list[Opened] = []
    if form["family"] and form["position"]:
        try:
            answer, open_jobs = _answer(desk, form)
        except StoreError:  # no fault of what was asked, and no answer that would stand
            raise
        except PartsbinError as found:
            fault = found
    return desk.show(
        request,
        "find.html",
        400 if fault else 200,
        form=form,
        **_asked_of_set(form, answer),
        families=names(),
        positions=positions_of(form["family"]),
        readings=understood,
        answer=answer,
        cards=lambda candidates, acts: (
            _card(desk, each, form, acts, open_jobs if acts else ()) for each in candidates
        ),
        fault=fault,
        words=VERDICTS,
        rail=plots.rail(answer) if answer else None,
        margins=plots.candidates(answer) if answer else None,
    )


def _said(form: Form) -> tuple[Form, list[str]]:
    """Return the form with the family that its text plainly is, and how the text is understood."""
    form = {**dict.fromkeys(KEPT, ""), **form}
    found = readings_of(form["text"], form["family"] if form["family"] in names() else "") if form["text"] else []
    form = with_family(form)
    if form["family"] and form["position"] not in positions_of(form["family"]):
        form["position"] = ""
    return form, [_reading(entry) for entry in found]


def _reading(entry: Any) -> str:
    said = ", ".join(f"{name} {text}" for name, text in said_fields(load(entry.family).facts, entry.fields))
    return f"{entry.family}{'' if entry.sure else ' (not sure)'}: {said}"


def _answer(desk: Desk, form: Form) -> tuple[dict[str, Any], list[Opened]]:
    pairs = [f"{name.removeprefix('set.')}={text}" for name, text in form.items() if name.startswith("set.") and text]
    wanted = Request(named(form["family"]), form["text"], form["position"], {}, read_facts(pairs))
    with reading(desk.engine) as connection:
        answer = {**find(connection, wanted, limit=SHOWN), "missed": wanted.facts.missed}
        answer |= {"first": first_said(answer), "left": more_said(answer)}
        shown = (*answer["candidates"], *answer["near_misses"])
        seen = last_acts(connection, [id_of(candidate["part"]) for candidate in shown if candidate["part"]])
        for candidate in shown:
            candidate["bars"] = bars(candidate)
            candidate["came"] = came_from(candidate)
            candidate["seen"] = seen[id_of(candidate["part"])] if candidate["part"] else 0
        return answer, jobs(connection, open_only=True, most=MOST_JOBS)


def _card(desk: Desk, candidate: Mapping[str, Any], form: Form, acts: bool, open_jobs: Sequence[Opened]) -> Markup:
    """Return a card; one that says what it said before is not written out again: most of an answer stays when a part changes."""
    jobs_said = [(job.code, job.what) for job in open_jobs]
    said = digest(({**candidate, "bars": None}, sorted(form.items()), acts, jobs_said))
    return desk.cards.of(said, lambda: _written(desk, candidate, form, acts, open_jobs))


def _written(desk: Desk, candidate: Mapping[str, Any], form: Form, acts: bool, open_jobs: Sequence[Opened]) -> Markup:
    cards: Any = desk.templates.get_template("card.html").module
    return Markup(cards.card(candidate, form, GAPS["token"], VERDICTS, WIDTH, acts, open_jobs))


def _asked_of_set(form: Form, answer: dict[str, Any] | None) -> dict[str, Any]:
    """Return what the page asks of the set: what would change the answer, what was said, what else would be read."""
    found = answer["need"]["questions"] if answer else ()
    questions = [{**each, "choices": FACTS[each["fact"]].choices} for each in found if each["fact"] in FACTS]
    asked = {each["fact"] for each in questions}
    said = [name for name in FACTS if form.get(f"set.{name}") and name not in asked]
    missed = answer["missed"] if answer else ()
    return {
        "questions": questions,
        "said": [FACTS[name] for name in said],
        "wanted": [FACTS[name] for name in missed if name not in (*asked, *said)],
    }


def read(request: Asked) -> Response:
    """Show how a text is understood: the fragment that the page puts beside the line while it is typed."""
    form, understood = _said(asked(request))
    return desk_of(request).show(request, "reading.html", readings=understood, form=form)


def record(desk: Desk, request: Asked, form: Form) -> Response:
    """Write down what a card asked for: a reading of the part, or what is printed on it; a fact of the set goes with the question."""
    asked_for = {"reading": form.get("reading", ""), "instrument": form.get("instrument", "")}
    learnt: dict[str, str] = {}

    def work() -> str:
        with writing(desk.engine) as connection:
            ident = id_of(form.get("part", ""))
            refuse_stale(connection, ident, form.get("seen", ""))
            part, told = part_of(connection, ident), Told()
            told.take(part, asked_for["reading"], owed_as(part, asked_for), form.get("value", ""))
            learnt.update({f"set.{name}": text for name, text in read_facts(told.facts).texts.items()})
            for text in told.marks:
                mark(connection, ident, text, desk.who(request))
            if told.readings:
                ident = measure(connection, ident, read_taken(load(part.family), told.readings), desk.who(request))[0]
            return "said of the set" if told.facts else f"{asked_for['reading']} of {number_of(ident)} written down"

    return _done(desk, request, form, work, learnt)


def set_aside(desk: Desk, request: Asked, form: Form) -> Response:
    """Set one piece of a part aside, for a job or for none yet."""

    def work() -> str:
        with writing(desk.engine) as connection:
            ident = id_of(form.get("part", ""))
            refuse_stale(connection, ident, form.get("seen", ""))
            job = still_open(job_named(connection, form["for"])) if form.get("for") else None
            reserve(connection, ident, 1, desk.who(request), job_id=job.id if job else None)
            return f"one of {number_of(ident)} set aside{f' for {job.code}' if job else ''}"

    return _done(desk, request, form, work)


def _done(
    desk: Desk, request: Asked, form: Form, work: Callable[[], str], learnt: Mapping[str, str] = MappingProxyType({})
) -> Response:
    """Do it and show the page again; a fault is told on the page that the form came from, with what was typed."""
    still = {name: text for name, text in form.items() if name in KEPT or name.startswith("set.")}
    try:
        done = work()
    except PartsbinError as fault:
        return Refused(page, f"/find?{urlencode(still)}", fault)
    return see_other(f"/find?{urlencode({**still, **learnt})}", done)


ROUTES = [
    Route("/find", kept(page, long=True)),
    Route("/find/reading", read),
    Route("/find/record", posted(record), methods=["POST"]),
    Route("/find/aside", posted(set_aside), methods=["POST"]),
]
