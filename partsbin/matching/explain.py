"""Wording what was judged: findings with their numbers, changes, test cards. Only for rows that are shown."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from partsbin.checks import Finding, Outcome, Verdict
from partsbin.families import Family
from partsbin.families._declare import Option, columns_of
from partsbin.matching.judge import judge
from partsbin.matching.search import Candidate
from partsbin.needs import Need
from partsbin.sources import source


def row_of(family: Family, option: Option) -> dict[str, Any]:
    """Return an option's quantities as plain values, NaN and "" for unknown."""
    columns = columns_of([option], family.quantities, family.words)
    return {name: values[0] if name in family.words else float(values[0]) for name, values in columns.items()}


def findings(family: Family, need: Need, option: Option) -> list[Finding]:
    """Return what every check says of one option, in words, with the numbers behind it."""
    columns = columns_of([option], family.quantities, family.words)
    row = row_of(family, option)
    said = []
    for check, ruling in judge(family, need, family.search(need), columns).rulings:
        margin = None if ruling.margin is None else _number(ruling.margin[0])
        bare = Finding(
            check.code,
            Outcome(int(ruling.outcome[0])).word,
            _one(ruling.offered),
            _one(ruling.needed),
            check.unit,
            margin,
            check.wall,
            "",
            source(check.source).cite(),
            check.title,
            check.reading,
            check.change,
        )
        said.append(_worded(bare, check.say(need, bare, row)))
    return said


def _worded(bare: Finding, reason: str) -> Finding:
    return Finding(
        bare.check,
        bare.verdict,
        bare.offered,
        bare.needed,
        bare.unit,
        bare.margin,
        bare.wall,
        reason,
        bare.source,
        bare.title,
        bare.reading,
        bare.change,
    )


def _number(value: Any) -> float | None:
    number = float(value)
    return number if math.isfinite(number) else None


def _one(value: Any) -> float | str | dict[str, float] | None:
    """Return the first row's figure as JSON takes it: a number, {"lo", "hi"} or a text; None where it is not known."""
    if isinstance(value, tuple):
        low, high = _number(value[0][0]), _number(value[1][0])
        if low is None or high is None:
            return None
        return low if low == high else {"lo": low, "hi": high}
    first = value[0]
    if isinstance(first, str):
        return first or None
    return _number(first)


def candidate_json(family: Family, need: Need, candidate: Candidate, place_in_list: int) -> dict[str, Any]:
    """Return one candidate as an object of the answer."""
    said = findings(family, need, candidate.option)
    part = candidate.part
    order = {"fail": 0, "unknown": 1, "thin": 2, "pass": 3}
    if candidate.verdict is Verdict.UNFIT:
        said = sorted(said, key=lambda finding: order[finding.verdict])
    row = row_of(family, candidate.option)
    cards = [
        family.cards(name, need, row)
        for name in dict.fromkeys(f.reading for f in said if f.verdict == "unknown" and f.reading)
    ]
    return {
        "part": part.number if part.id > 0 else "",
        "family": family.name,
        "option": candidate.option.label,
        "title": part.title,
        "verdict": candidate.verdict.word,
        "rank": place_in_list,
        "score": round(candidate.score, 6),
        "terms": {name: round(value, 6) for name, value in candidate.terms.items()},
        "count": part.available,
        "rough": part.rough,
        "place": part.place,
        "origin": part.donor or part.origin,
        "condition": part.item.condition,
        "make_up": [],
        "checks": [finding_json(finding) for finding in said],
        "tests": [card.as_json() for card in cards if card is not None] if candidate.verdict is Verdict.MEASURE else [],
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
