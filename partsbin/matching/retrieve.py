"""Reading search keys: rings of values round the ideal, classes of rating, parts whose value nobody knows, near misses.

Each query walks one of two covering indexes; `tests/matching/test_plans.py` holds the query plans.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from typing import Any

from sqlalchemy import Connection

from partsbin.families import Family
from partsbin.families._declare import Search
from partsbin.matching.judge import distance_at, rating_penalty
from partsbin.matching.keyrows import ALIKE, COLUMNS, LIMIT, NUMBER, TOGETHER, KeyRows, key_rows
from partsbin.matching.names import Names, names_of
from partsbin.needs import Need
from partsbin.stock.keys import LIMIT_UNKNOWN, MISSING_VALUE, NUMBERS, class_bounds, limit_class
from partsbin.store.statements import Statement

RINGS = (1.06, 1.25, 1.6)
"""Factors round the ideal; the last ring is whatever is left of the window."""

MANY = 100
"""Keys on one side of a ring beyond which it is read class of rating by class of rating, those alike as one."""

STEPS_DOWN = 4
"""Classes of rating under the least that are asked one by one for near misses."""

FEW = 200
"""Options that are judged together: fewer take as long."""

_ALL = 2**31 - 1

# CROSS JOIN keeps SQLite's planner from turning the loops round: few rungs outside, one index range each inside.
_OF_RUNGS = """
SELECT {columns} FROM rung r CROSS JOIN option_keys o
WHERE r.family = :family AND (r.missing & 1) = 0 AND (r.limit_class BETWEEN :rung AND :top OR r.limit_class = :also)
  AND o.family = r.family AND o.missing = r.missing AND o.limit_class = r.limit_class AND o.spread = r.spread
  AND o.value >= {start} AND o.value < {stop}
"""
_GOOD = "AND o.low <= :high AND o.high >= :low AND (o.limit_high >= :least OR o.limit_high IS NULL)"
_SPANS = ((":start", ":stop"), (":start / r.ratio", ":stop"), (":start", ":stop * r.ratio"))
RING, BELOW, ABOVE = (
    f"{_OF_RUNGS.format(columns=COLUMNS, start=start, stop=stop)} {_GOOD} LIMIT :n" for start, stop in _SPANS
)
# Rows alike are alike in what _GOOD asks: `_good` asks it once of all of them.
RING_ALIKE, BELOW_ALIKE, ABOVE_ALIKE = (
    f"{_OF_RUNGS.format(columns=ALIKE, start=start, stop=stop)} {TOGETHER}" for start, stop in _SPANS
)
WINDOW = f"{_OF_RUNGS.format(columns=COLUMNS, start=':start / r.ratio', stop=':stop * r.ratio')} {_GOOD}"
# A crowded class of the rating that is just enough would be read to its end for the few of it that are not.
UNDER_RATED = f"""
SELECT * FROM ({_OF_RUNGS.format(columns=COLUMNS, start=":start", stop=":stop")} LIMIT 200) AS few
WHERE limit_high < :least LIMIT :n
"""

BY_PROMISE = f"""
SELECT {COLUMNS} FROM option_keys o
WHERE o.family = :family AND o.missing = :missing AND (o.promise > :promise OR (o.promise = :promise AND o.id > :id))
  AND (o.limit_high >= :least OR o.limit_high IS NULL)
ORDER BY o.promise, o.id LIMIT :n
"""

COUNT_UNKNOWN = """
SELECT count(*) FROM (SELECT 1 FROM option_keys o WHERE o.family = :family AND o.missing = :missing
  AND (o.limit_high >= :least OR o.limit_high IS NULL) LIMIT :n) AS counted
"""

RUNGS = "SELECT DISTINCT missing, limit_class FROM rung WHERE family = :family ORDER BY limit_class DESC, missing"

_BY_PROMISE, _COUNT_UNKNOWN, _UNDER_RATED, _RUNGS, _WINDOW = (
    Statement(query) for query in (BY_PROMISE, COUNT_UNKNOWN, UNDER_RATED, RUNGS, WINDOW)
)
_EACH = {"ring": Statement(RING), "below": Statement(BELOW), "above": Statement(ABOVE)}
_ALIKE = {"ring": Statement(RING_ALIKE), "below": Statement(BELOW_ALIKE), "above": Statement(ABOVE_ALIKE)}


@dataclass(frozen=True)
class Rungs:
    """Which masks and which classes of rating occur among a family's options: what there is to walk."""

    unknown: tuple[int, ...]
    classes: tuple[int, ...]


def rungs(connection: Connection, family: Family) -> Rungs:
    """Return the masks with an unknown value, ascending, and the classes of those with a known one, highest first."""
    found = _RUNGS.rows(connection, {"family": family.name})
    unknown = sorted({missing for missing, _ in found if missing & MISSING_VALUE})
    classes = dict.fromkeys(limit for missing, limit in found if not missing & MISSING_VALUE)
    return Rungs(tuple(unknown), tuple(classes))


def _parameters(family: Family, search: Search) -> dict[str, Any]:
    least = 0.0 if math.isnan(search.least) else search.least
    rung = LIMIT_UNKNOWN if least <= 0 else limit_class(least)
    return {
        "family": family.name, "low": search.low, "high": search.high, "least": least, "n": _ALL,
        "rung": rung, "top": _ALL, "also": LIMIT_UNKNOWN,
    }  # fmt: skip


@dataclass(frozen=True)
class _Ring:
    """One ring: how near it comes to the ideal, and the spans of values to read: which way, from, to."""

    nearest: float
    spans: tuple[tuple[str, float, float], ...]


def _rings(search: Search) -> list[_Ring]:
    made: list[_Ring] = []
    inner, low, high = 1.0, search.ideal, search.ideal
    for factor in RINGS:
        start, stop = search.ideal / factor, search.ideal * factor
        if start <= search.low and stop >= search.high:
            break
        spans = (("ring", start, low), ("ring", high, stop)) if made else (("ring", start, stop),)
        made.append(_Ring(inner, spans))
        inner, low, high = factor, start, stop
    rest = (("below", min(search.low, low), low), ("above", high, max(search.high, high) * (1 + 1e-12)))
    return [*made, _Ring(inner, rest)]


def by_score(
    connection: Connection,
    family: Family,
    need: Need,
    search: Search,
    classes: Sequence[int],
    beside: Sequence[tuple[Any, ...]] = (),
) -> Iterator[tuple[KeyRows, float]]:
    """Yield keys of options that may do, the best possible score first, each with the least score of anything unread.

    A ring of values with many keys is read class of rating by class of rating, options alike as one row. The last yield has the
    score infinity: every option whose interval touches the window has been read. Rows read before, `beside`, come with the first.
    """
    base = _parameters(family, search)
    rings = _rings(search)
    allowed = [name for name in classes if name >= base["rung"] or name == LIMIT_UNKNOWN]
    owed = {name: _least_penalty(need, search, name) for name in allowed}
    least = min(owed.values(), default=0.0)
    waiting: list[tuple[float, int, int | None]] = [
        (distance_at(need, ring.nearest) + least, number, None) for number, ring in enumerate(rings)
    ]
    heapify(waiting)
    found, best = list(beside), -1.0
    while waiting:
        edge, number, chosen = heappop(waiting)
        best = best if best >= 0 else edge
        ring = rings[number]
        if chosen is None:
            read = _few(connection, base, ring)
            if read is None:
                for name in allowed:
                    heappush(waiting, (distance_at(need, ring.nearest) + owed[name], number, name))
                continue
        else:
            limits = {"rung": chosen, "top": chosen, "also": chosen}
            read = [row for row in _read(connection, _ALIKE, ring.spans, base | limits) if _good(row, base)]
        found += read
        # nothing found can come before something unread that may be as good
        if not waiting or (waiting[0][0] > best and _worth(search, found) >= FEW):
            yield key_rows(connection, family, found), waiting[0][0] if waiting else math.inf
            found, best = [], -1.0


def _worth(search: Search, found: Sequence[Sequence[Any]]) -> int:
    """Return how many options may be usable: where a rating is asked for, none without one [-]."""
    return sum(row[NUMBER] for row in found if row[LIMIT] is not None or math.isnan(search.least))


def _few(connection: Connection, base: Mapping[str, Any], ring: _Ring) -> list[Any] | None:
    """Return the keys of a ring, None where one side of it has many."""
    found: list[Any] = []
    for span in ring.spans:
        side = _read(connection, _EACH, (span,), {**base, "n": MANY})
        if len(side) == MANY:
            return None
        found += side
    return found


def _read(
    connection: Connection,
    ways: Mapping[str, Statement],
    spans: Sequence[tuple[str, float, float]],
    given: Mapping[str, Any],
) -> list[Any]:
    return [
        row for way, start, stop in spans for row in ways[way].rows(connection, {**given, "start": start, "stop": stop})
    ]


def _good(row: Sequence[Any], base: Mapping[str, Any]) -> bool:
    """Return whether a row's interval touches the window and its rating is enough or unknown."""
    _, _, low, high, limit, *_ = row
    return bool(low <= base["high"] and high >= base["low"] and (limit is None or limit >= base["least"]))


def _least_penalty(need: Need, search: Search, name: int) -> float:
    """Return the least penalty that a rating of this class can have [-]."""
    if name == LIMIT_UNKNOWN or math.isnan(search.least):
        return 0.0
    low, high = class_bounds(name)
    return rating_penalty(need, search, min(max(search.comfortable, low), high))


def by_name(
    connection: Connection, family: Family, need: Need, search: Search, names: Names, most: int
) -> Iterator[tuple[KeyRows, float]]:
    """Yield, as `by_score` does, keys of options whose names are not refused, all at once; with them those of names that miss
    narrowly, no more than about `most`."""
    wanted, refused = names.judged(family, need, search)
    found = _called(connection, family, _ALIKE, wanted)
    aside: list[Any] = []
    for number in refused[:most]:
        if len(aside) < most:
            aside += _called(connection, family, _EACH, [number], n=most)
    yield key_rows(connection, family, [*found, *aside], names), math.inf


def _called(
    connection: Connection, family: Family, ways: Mapping[str, Statement], numbers: Sequence[float], n: int = _ALL
) -> list[Any]:
    """Return the keys under the numbers of some names; of many names in one go."""
    only = {"rung": LIMIT_UNKNOWN, "top": LIMIT_UNKNOWN, "also": LIMIT_UNKNOWN}
    base = {"family": family.name, "low": 0.0, "high": NUMBERS, "least": 0.0, "n": n, **only}
    if len(numbers) > MANY:
        asked = set(numbers)
        return [row for row in _read(connection, ways, (("ring", 0.0, NUMBERS),), base) if row[1] in asked]
    return _read(connection, ways, [("ring", number, number + 1) for number in numbers], base)


def window(connection: Connection, family: Family, need: Need, search: Search) -> KeyRows:
    """Return keys of every option of known value whose interval touches the window and whose rating is enough or unknown; where
    a name decides, of every one whose name is not refused."""
    if names := names_of(connection, family):
        return key_rows(
            connection, family, _called(connection, family, _EACH, names.judged(family, need, search)[0]), names
        )
    spans = {"start": search.low, "stop": search.high * (1 + 1e-12)}
    return key_rows(connection, family, _WINDOW.rows(connection, _parameters(family, search) | spans))


def unknown_value(connection: Connection, family: Family, search: Search, missing: int) -> Iterator[KeyRows]:
    """Yield keys of options whose value nobody knows, in the order of their promise, in growing chunks."""
    base = _parameters(family, search) | {"missing": missing, "promise": -1, "id": -1}
    n = 64
    while True:
        found = _BY_PROMISE.rows(connection, base | {"n": n})
        rows = key_rows(connection, family, found)
        yield rows
        if len(found) < n:
            return
        base |= {"promise": int(rows.promise[-1]), "id": int(rows.id[-1])}
        n = min(4 * n, 4096)


def count_unknown(connection: Connection, family: Family, search: Search, masks: Sequence[int], most: int) -> int:
    """Return how many options of unknown value there are, counting no further than `most` [-]."""
    base = _parameters(family, search)
    total = 0
    for missing in masks:
        total += _COUNT_UNKNOWN.rows(connection, base | {"missing": missing, "n": most - total})[0][0]
        if total >= most:
            break
    return total


def near(connection: Connection, family: Family, search: Search, classes: Sequence[int], most: int) -> list[Any]:
    """Return keys of options that miss narrowly, in a stated order: the next lower ratings inside the window, then values
    just outside it with the rating kept; no more than about `most` of each."""
    base = _parameters(family, search) | {"n": most}
    under = [name for name in classes if LIMIT_UNKNOWN < name <= base["rung"]]
    found: list[Any] = []
    for name in under[:STEPS_DOWN]:
        if len(found) < most:
            found += _under(connection, base, search, name, name)
    if len(found) < most and under[STEPS_DOWN:]:
        found += _under(connection, base, search, under[-1], under[STEPS_DOWN])
    for inner, outer in ((1.0, 1.15), (1.15, 1.5), (1.5, 3.0)):
        aside: list[Any] = []
        for start, stop in ((search.low / outer, search.low / inner), (search.high * inner, search.high * outer)):
            span = {"start": start, "stop": stop, "low": start / 3, "high": stop * 3}
            aside += _EACH["ring"].rows(connection, base | span)
        found += aside
        if len(aside) >= most:
            break
    return found


def _under(connection: Connection, base: Mapping[str, Any], search: Search, lowest: int, highest: int) -> list[Any]:
    """Return keys of options in the window with too low a rating, of some classes."""
    chosen = {"rung": lowest, "top": highest, "also": highest, "start": search.low, "stop": search.high}
    return _UNDER_RATED.rows(connection, {**base, **chosen})
