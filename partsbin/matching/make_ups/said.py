"""Wording make-ups: which parts, what every check says of the whole and of each, what to read on which part."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any

from partsbin.checks import Finding, Outcome, Verdict
from partsbin.families._declare import EYES, Card, columns_of
from partsbin.families._joining import PARALLEL
from partsbin.matching.explain import candidates_json, finding_json, finding_of, row_of
from partsbin.matching.make_ups.search import MakeUp, Member
from partsbin.matching.search import Candidate

_ORDER = tuple(outcome.word for outcome in sorted(Outcome, reverse=True))


def made_up_json(made: MakeUp, rank: int, instruments: Collection[str] | None = None) -> dict[str, Any]:
    """Return a make-up as a candidate of the answer: ``part`` is empty, ``make_up`` names the parts.

    Parameters
    ----------
    made : MakeUp
        As judged.
    rank : int
        Its place in the answer, from 1 [-].
    instruments : collection of str, optional
        What the bench has; without it every test card is shown.
    """
    said = findings_of(made)
    cards = _cards(made)
    can = [card for card in cards if instruments is None or card.instrument in (EYES, *instruments)]
    measure = made.verdict is Verdict.MEASURE
    parts, family = made.parts, made.family
    conditions = dict.fromkeys(part.item.condition for part, _ in parts)
    return {
        "part": "",
        "family": family.name,
        "option": made.join.how,
        "title": made.title,
        "verdict": made.verdict.word,
        "rank": rank,
        "score": round(made.score, 6),
        "terms": {name: round(value, 6) for name, value in made.terms.items()},
        "count": min(part.available // pieces for part, pieces in parts),
        "rough": any(part.rough for part, _ in parts),
        "place": "",
        "origin": "shelf",
        "condition": next(iter(conditions)) if len(conditions) == 1 else "",
        "make_up": [_part_json(made, part.id, pieces) for part, pieces in parts],
        "checks": [finding_json(finding) for finding in said],
        "tests": [card.as_json() for card in can] if measure else [],
        "beyond": [f"{card.title}: needs a {card.instrument}" for card in cards if card not in can] if measure else [],
        "changes": [finding.reason for finding in said if finding.change and finding.verdict == "thin"],
        "assumed": [
            _of(made, member, line) for member in _different(made) for line in dict.fromkeys(member.option.assumed)
        ],
        "hazards": list(dict.fromkeys(line for part, _ in parts for line in family.hazards(part.item))),
    }


def entry_of(each: Candidate | MakeUp) -> dict[str, Any]:
    """Return a part, or several joined, as a candidate of the answer."""
    return made_up_json(each, 1) if isinstance(each, MakeUp) else candidates_json([each])[0]


def said_parts(make_up: Sequence[Mapping[str, Any]], how: str) -> str:
    """Return the parts of a make-up in words.

    Examples
    --------
    >>> said_parts([{"part": "P-0233", "pieces": 2, "option": ""}], "in series")
    '2 × P-0233 in series'
    """
    words = [f"{each['pieces']} × {each['part']}" if each["pieces"] > 1 else str(each["part"]) for each in make_up]
    sections = [f" ({each['option']})" if each["option"] else "" for each in make_up]
    return f"{' + '.join(word + section for word, section in zip(words, sections, strict=True))} {how}"


def findings_of(made: MakeUp) -> list[Finding]:
    """Return what every check says, once: of what it says of each part the worst."""
    worst: dict[str, Finding] = {}
    alone: dict[int, dict[str, Any]] = {}
    for place, by_itself, check, ruling in made.together.rulings:
        member = made.members[place]
        columns = made.together.places[place]
        row = alone.setdefault(place, _alone(made, member)) if by_itself else row_of(columns, made.index)
        found = finding_of(made.need, check, ruling, made.index, row)
        if by_itself and found.verdict != "pass":
            found = found._replace(reason=_of(made, member, found.reason))
        before = worst.get(check.code)
        if before is None or _ORDER.index(found.verdict) < _ORDER.index(before.verdict):
            worst[check.code] = found
    return list(worst.values())


def _alone(made: MakeUp, member: Member) -> dict[str, Any]:
    return row_of(columns_of([member.option], made.family.quantities, made.family.words), 0)


def _different(made: MakeUp) -> list[Member]:
    """One member of each part."""
    return list({member.part.id: member for member in made.members}.values())


def _of(made: MakeUp, member: Member, text: str) -> str:
    """Say of which part something holds, where they differ."""
    return f"{member.part.number}: {text}" if len(made.parts) > 1 else text


def _cards(made: MakeUp) -> list[Card]:
    """What to read on which part; what several parts must bear together is said so."""
    cards = []
    for member in _different(made):
        place = made.members.index(member)
        owed: dict[str, bool] = {}  # by reading, whether all of them are judged by what they read together
        for at, by_itself, check, ruling in made.together.rulings:
            if at == place and ruling.outcome[made.index] == Outcome.UNKNOWN and check.reading:
                owed[check.reading] = owed.get(check.reading, False) or not by_itself
        row = _alone(made, member)
        for reading, together in owed.items():
            card = made.family.cards(reading, made.need, row)
            if card is None:
                continue
            adds = made.join.how == PARALLEL or card.reading == made.family.keys.value
            if card.instrument != EYES and together and adds:
                card = replace(card, passes=f"all together: {card.passes}")
            cards.append(replace(card, title=_of(made, member, card.title)))
    return cards


def _part_json(made: MakeUp, part_id: int, pieces: int) -> dict[str, Any]:
    member = next(member for member in made.members if member.part.id == part_id)
    part = member.part
    return {
        "part": part.number,
        "option": member.option.label,
        "title": part.title,
        "pieces": pieces,
        "count": part.available,
        "rough": part.rough,
        "place": part.place,
        "origin": part.donor or part.origin,
        "condition": part.item.condition,
    }
