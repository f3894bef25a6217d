"""Wording what was judged: findings with their numbers, changes, test cards. Only for rows that are shown."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from functools import cache
from typing import Any

from partsbin.checks import Check, Columns, Finding, Outcome, Ruling, Verdict
from partsbin.families import Family
from partsbin.families._declare import EYES, Option, columns_of
from partsbin.matching.candidates import Candidate
from partsbin.matching.judge import Judgement, judge
from partsbin.needs import Need
from partsbin.sources import source

_OUTCOMES = tuple(outcome.word for outcome in sorted(Outcome))


def findings(family: Family, need: Need, option: Option) -> list[Finding]:
    """Return what every check says of one option, in words, with the numbers behind it."""
    columns = columns_of([option], family.quantities, family.words)
    return _said(need, judge(family, need, family.search(need), columns), 0, row_of(columns, 0))


def row_of(columns: Columns, index: int) -> dict[str, Any]:
    """Return one option's quantities as plain values, NaN and "" for unknown."""
    return {name: values.item(index) for name, values in columns.items()}


def _said(need: Need, judgement: Judgement, index: int, row: Mapping[str, Any]) -> list[Finding]:
    return [finding_of(need, check, ruling, index, row) for check, ruling in judgement.rulings]


def finding_of(need: Need, check: Check, ruling: Ruling, index: int, row: Mapping[str, Any]) -> Finding:
    """Return one check's word on one row, in words, with the numbers behind it."""
    bare = (
        check.code,
        _OUTCOMES[ruling.outcome[index]],
        _one(ruling.offered, index),
        _one(ruling.needed, index),
        check.unit,
        None if ruling.margin is None else _number(ruling.margin[index]),
        check.wall,
    )
    about = (_cited(check.source), check.title, check.reading, check.change)
    return Finding(*bare, check.say(need, Finding(*bare, "", *about), row), *about)


@cache
def _cited(key: str) -> str:
    return source(key).cite()


def _number(value: Any) -> float | None:
    number = float(value)
    return number if math.isfinite(number) else None


def _one(value: Any, index: int) -> float | str | dict[str, float] | None:
    """Return one row's figure as JSON takes it: a number, {"lo", "hi"} or a text; None where it is not known."""
    if isinstance(value, tuple):
        low, high = _number(value[0][index]), _number(value[1][index])
        if low is None or high is None:
            return None
        return low if low == high else {"lo": low, "hi": high}
    first = value[index]
    if isinstance(first, str):
        return first or None
    return _number(first)


def candidates_json(
    candidates: Sequence[Candidate], instruments: Collection[str] | None = None
) -> list[dict[str, Any]]:
    """Return candidates as objects of the answer, in their order.

    Parameters
    ----------
    candidates : sequence of Candidate
        As judged.
    instruments : collection of str, optional
        What the bench has; without it every test card is shown.
    """
    return [_candidate_json(candidate, rank, instruments) for rank, candidate in enumerate(candidates, 1)]


def _candidate_json(candidate: Candidate, rank: int, instruments: Collection[str] | None) -> dict[str, Any]:
    family, need = candidate.family, candidate.need
    row = row_of(candidate.columns, candidate.index)
    said = _said(need, candidate.judgement, candidate.index, row)
    part = candidate.part
    order = {"fail": 0, "unknown": 1, "thin": 2, "pass": 3}
    if candidate.verdict is Verdict.UNFIT:
        said = sorted(said, key=lambda finding: order[finding.verdict])
    owed = dict.fromkeys(f.reading for f in said if f.verdict == "unknown" and f.reading)
    cards = [card for name in owed if (card := family.cards(name, need, row))]
    can = [card for card in cards if instruments is None or card.instrument in (EYES, *instruments)]
    measure = candidate.verdict is Verdict.MEASURE
    return {
        "part": part.number if part.id > 0 else "",
        "family": family.name,
        "option": candidate.option.label,
        "title": part.title,
        "verdict": candidate.verdict.word,
        "rank": rank,
        "score": round(candidate.score, 6),
        "terms": {name: round(value, 6) for name, value in candidate.terms.items()},
        "count": part.available,
        "rough": part.rough,
        "place": part.place,
        "origin": part.donor or part.origin,
        "condition": part.item.condition,
        "make_up": [],
        "checks": [finding_json(finding) for finding in said],
        "tests": [card.as_json() for card in can] if measure else [],
        "beyond": [f"{card.title}: needs a {card.instrument}" for card in cards if card not in can] if measure else [],
        "changes": [finding.reason for finding in said if finding.change and finding.verdict == "thin"],
        "assumed": list(candidate.option.assumed),
        "hazards": list(family.hazards(part.item)),
    }


def finding_json(finding: Finding) -> dict[str, Any]:
    """Return one finding as an object of the answer."""
    return {
        "check": finding.check,
        "title": finding.title,
        "verdict": finding.verdict,
        "offered": finding.offered,
        "needed": finding.needed,
        "unit": finding.unit,
        "margin": finding.margin,
        "wall": finding.wall,
        "reason": finding.reason,
        "source": finding.source,
        "reading": finding.reading,
    }


def order_cards(candidates: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return the readings owed over all candidates, those that decide most candidates first."""
    tally: dict[str, int] = {}
    for candidate in candidates:
        for card in candidate["tests"]:
            tally[card["reading"]] = tally.get(card["reading"], 0) + 1
    return sorted(tally, key=lambda name: (-tally[name], name))
