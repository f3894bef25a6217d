"""The answer to "what can I fit?": need as understood, candidates, near misses, what to read first, what to buy, what else."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection

from partsbin.checks import Columns, Verdict
from partsbin.errors import UsageError
from partsbin.families import Family, load
from partsbin.families._declare import Item, Laid, columns_of
from partsbin.matching.candidates import Candidate, brute
from partsbin.matching.explain import candidates_json, order_cards
from partsbin.matching.judge import rulings, worst
from partsbin.matching.make_ups.said import made_up_json
from partsbin.matching.make_ups.search import MakeUp, make_ups
from partsbin.matching.search import Found, merged, run
from partsbin.needs import Need, Question, Request
from partsbin.notation.choices import chosen
from partsbin.rules.serving import servers
from partsbin.stock.instruments import recorded
from partsbin.stock.shelf import Shelved, number_of

QUESTIONS_SHOWN = 2
MAKE_UPS_SHOWN = 3
GENERAL_CAUTION = (
    "Mains and HT kill. Work on mains equipment only if you are competent and permitted to; local regulations and licensed "
    "practice come first. Figures are estimates from recorded data: the readings decide"
)


def build(request: Request) -> tuple[Family, Need]:
    """Return the family and the need of a request.

    Raises
    ------
    UsageError
        If the family or the position is unknown.
    """
    family = load(request.family)
    positions = family.rules().positions
    if not request.position:
        raise UsageError(
            f"no position given for the {family.name}", hint=f"--position with one of: {', '.join(positions)}"
        )
    position = chosen(request.position, positions, "position", f"of a {family.name}")
    return family, family.need(replace(request, position=position))


def build_each(request: Request) -> list[tuple[Family, Need]]:
    """Return the family and the need of a request, then those of each other family that may serve it."""
    family, need = build(request)
    return [(family, need), *build_others(request, need.position)]


def build_others(request: Request, position: str) -> list[tuple[Family, Need]]:
    """Return the families and the needs of those that may serve a request of another family at a position."""
    others = servers(load(request.family).name, position)
    return [build(Request(name, request.text, at, {}, request.facts)) for name, at in others]


def find(connection: Connection, request: Request, *, limit: int = 5, origin: str = "shelf") -> dict[str, Any]:
    """Answer from the catalogue.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    request : Request
        What the repairer said.
    limit : int
        How many candidates that fit, with or without care.
    origin : str
        ``shelf``, or ``offered`` for what suppliers have.

    Returns
    -------
    dict
        The answer of schemas/answer.json.
    """
    (family, need), *others = build_each(request)
    found = merged([run(connection, *each, limit, origin=origin) for each in [(family, need), *others]], limit)
    found.make_ups = _make_ups(connection, family, need, found, limit) if origin == "shelf" else []
    answer = answer_of(family, need, found, recorded(connection))
    answer["beside"] = beside(connection, family, need, found)
    return answer


def _make_ups(connection: Connection, family: Family, need: Need, found: Found, limit: int) -> list[MakeUp]:
    """What several parts would do, where no single one fits without care; to be measured only where nothing else is left.

    Two parts are not spent, nor looked for, where one does.
    """
    room = min(MAKE_UPS_SHOWN, limit - len(found.usable))
    if room < 1 or any(candidate.verdict is Verdict.FITS for candidate in found.usable):
        return []
    made = make_ups(connection, family, need, room, measured=not (found.usable or found.measure))
    return [each for each in made if each.verdict is not Verdict.MEASURE or not (found.usable or found.measure)]


def beside(connection: Connection, family: Family, need: Need, found: Found) -> list[dict[str, Any]]:
    """Return what goes with the parts found, or does instead where the need itself has another way: named from the shelf."""

    def look(request: Request) -> Laid | None:
        other, wanted = build(request)
        pool = run(connection, other, wanted, 1)
        best = next(iter([*pool.usable, *pool.measure]), None)
        if best is None:
            return None
        part = best.part
        return Laid(
            number_of(part.id),
            other.name,
            part.title,
            best.verdict.word,
            part.place,
            part.available,
            best.option.offers,
        )

    asked = {id(need): (family, need)} | {id(c.need): (c.family, c.need) for c in (*found.usable, *found.measure)}
    entries = [entry for each, its in asked.values() for entry in each.beside(its, look)]
    if not found.usable:
        entries += [entry for each, its in asked.values() for entry in each.instead(its, look)]
    return [entry.as_json() for entry in entries]


def try_parts(request: Request, parts: Sequence[tuple[Item, str]]) -> dict[str, Any]:
    """Judge parts in the hand, without shelving them: the readings of one text, each by its best option.

    Parameters
    ----------
    request : Request
        The need.
    parts : sequence of (Item, str)
        The part as it was read, and how it was given.

    Returns
    -------
    dict
        An answer with those parts alone.
    """
    family, need = build(request)
    held = [
        Shelved(-number, family.name, title, item, 1, 0, False, "in the hand", "", "in the hand", {})
        for number, (item, title) in enumerate(parts, 1)
    ]
    judged = sorted(brute(family, need, held), key=lambda c: (c.verdict, c.rank))
    chosen = {verdict: [c for c in judged if c.verdict is verdict] for verdict in Verdict}
    usable = [*chosen[Verdict.FITS], *chosen[Verdict.CARE]]
    return answer_of(family, need, Found(usable, chosen[Verdict.MEASURE], chosen[Verdict.UNFIT]))


def answer_of(family: Family, need: Need, found: Found, instruments: frozenset[str] | None = None) -> dict[str, Any]:
    """Return the answer of schemas/answer.json for what was found; with `instruments`, only cards that the bench can do."""
    listed = [*found.usable, *found.measure]
    candidates = _ranked(listed, found.make_ups, instruments)
    misses = [*candidates_json(found.near), *(made_up_json(made, 1) for made in found.make_up_misses)]
    rules = need.rules
    stated = need.as_json()
    stated["headline"] = list(need.headline)
    stated["questions"] = [
        {"fact": q.fact, "text": q.text}
        for q in chosen_questions(family, need, [c for c in (*listed, *found.near) if c.need is need])
    ]
    hazards = [line for entry in candidates for line in entry["hazards"]]
    buy, cautions, after = family.buy(need), family.cautions(need), family.after(need)
    others = {id(c.need): c.need for c in listed if c.need is not need}.values()
    stated["assumptions"] += dict.fromkeys(
        line for n in others for line in n.assumptions if line not in need.assumptions
    )
    stated["assumptions"] += need.facts.notes
    stated["unused"] = list(need.facts.unused)  # last of all, when everybody has asked for what he needs
    return {
        "need": stated,
        "candidates": candidates,
        "near_misses": misses,
        "more": {verdict: {"n": n, "capped": capped} for verdict, (n, capped) in found.more.items()},
        "read_first": order_cards(candidates),
        "beside": [],
        "buy": buy,
        "also": list(rules.of(need.position, "also", ())),
        "after": [*after, *rules.of(need.position, "after", ())],
        "cautions": [
            GENERAL_CAUTION,
            *cautions,
            *rules.of(need.position, "cautions", ()),
            *dict.fromkeys(hazards),
        ],
    }


def _ranked(
    single: Sequence[Candidate], made: Sequence[MakeUp], instruments: Collection[str] | None
) -> list[dict[str, Any]]:
    """Return candidates as objects of the answer: of a verdict the single parts first, then what is made up of several."""
    entries = candidates_json(single, instruments) + [made_up_json(each, 0, instruments) for each in made]
    verdicts = [*(each.verdict for each in single), *(each.verdict for each in made)]
    order = sorted(range(len(entries)), key=lambda at: verdicts[at])
    return [{**entries[at], "rank": rank} for rank, at in enumerate(order, 1)]


def chosen_questions(family: Family, need: Need, shown: Sequence[Candidate]) -> list[Question]:
    """Return at most two questions: those whose answers would change most verdicts of what is shown.

    Each answer is tried: the need is built again with it and the shown options are judged again. A question that changes
    nothing shown is still asked where nothing is shown.
    """
    if not shown:
        return list(need.questions[:QUESTIONS_SHOWN])
    columns = columns_of([candidate.option for candidate in shown], family.quantities, family.words)
    verdicts = np.array([candidate.verdict for candidate in shown])
    alone = len(need.questions) == 1  # then it is enough that one answer changes anything
    weighed = []
    for index, question in enumerate(need.questions):
        changes = _changes(family, need, question, columns, verdicts)
        weighed.append((any(changes) if alone else sum(changes), -index, question))
    ordered = sorted((entry for entry in weighed if entry[0] > 0), key=lambda entry: entry[:2], reverse=True)
    return [question for _, _, question in ordered[:QUESTIONS_SHOWN]]


def _changes(
    family: Family, need: Need, question: Question, columns: Columns, verdicts: npt.NDArray[np.integer]
) -> Iterator[int]:
    """Yield how many verdicts of the shown options change with each of the answers tried."""
    for given in question.answers:
        facts = need.facts.having(**{question.fact: given})
        other = family.need(replace(need.request, facts=facts))
        yield int((worst(len(verdicts), rulings(family, other, columns)) != verdicts).sum())


def decided(answer: Mapping[str, Any]) -> bool:
    """Return whether the answer holds a part that fits, fits with care, or may once measured."""
    return bool(answer["candidates"])
