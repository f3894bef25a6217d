"""Stock rules: a need of which so many pieces are to be there, whatever serves it; the point at which more are ordered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from partsbin.errors import UsageError
from partsbin.families import Family
from partsbin.jobs.orders import Ordered, by_kind, lines
from partsbin.jobs.standing_in import pieces_for, rests
from partsbin.jobs.usage import MOST as MOST_PIECES
from partsbin.jobs.usage import Point, Usage, by_month, point
from partsbin.matching.answer import build, build_each
from partsbin.matching.candidates import Candidate, brute
from partsbin.matching.offered import USABLE
from partsbin.matching.search import run
from partsbin.needs import Need, Request
from partsbin.sets import read_facts
from partsbin.stock.shelf import get
from partsbin.store.offer_tables import StockRule
from partsbin.store.statements import Statement
from partsbin.store.tables import Act, table_of

MOST = 1000
"""Parts that are counted for one rule, at most [-]."""


@dataclass(frozen=True)
class Rule:
    """One stock rule."""

    id: int
    family: str
    text: str
    position: str
    texts: Mapping[str, str]
    level: int
    service: float | None
    lead: int | None

    def request(self) -> Request:
        """Return the need as a repairer would ask it."""
        facts = read_facts(f"{name}={text}" for name, text in self.texts.items())
        return Request(self.family, self.text, self.position, {}, facts)

    @property
    def name(self) -> str:
        """What to call it."""
        return " ".join(filter(None, (f"rule {self.id}:", self.position, self.family, self.text)))


@dataclass(frozen=True)
class Level:
    """How a rule stands: pieces there and ordered already, the point, and how many to order."""

    rule: Rule
    here: int
    point: Point | None
    usage: Usage | None
    coming: int = 0

    @property
    def name(self) -> str:
        """What to call it."""
        return self.rule.name

    @property
    def order(self) -> int:
        """Pieces to order [-]."""
        have = self.here + self.coming
        return max(self._target - have, 0) if have <= self._asks_at else 0

    @property
    def short(self) -> int:
        """Pieces that are not here, those included that are coming and asked for [-]."""
        if self.order:
            return self.order + self.coming
        return min(self._target - self.here, self.coming) if self.here <= self._asks_at else 0

    @property
    def _asks_at(self) -> int:
        return self.rule.level - 1 if self.point is None else self.point.pieces

    @property
    def _target(self) -> int:
        return max(self.rule.level, self._asks_at + 1)

    @property
    def why(self) -> str:
        """In words."""
        here = f"{self.here} here" + (f", {self.coming} coming" if self.coming else "")
        if self.point is None or self.usage is None:
            return f"{here}, {self.rule.level} wanted"
        p, months = self.point, len(self.usage.months)
        used = (
            f"{self.usage.mean:.2g} a month went in {months} month{'s' * (months != 1)}"
            if months
            else "no whole month yet"
        )
        return (
            f"{here}; {used}; {p.pieces} last {self.rule.lead} days at {p.service:.1%} ({p.law}, mean {p.mean:.2g}, variance "
            f"{p.variance:.2g}: {p.reached:.1%})"
        )

    def as_json(self) -> dict[str, Any]:
        """Return it as it is printed."""
        p, usage = self.point, self.usage
        shown = (
            None
            if p is None or usage is None
            else {**vars(p), "lead_days": self.rule.lead, "months": list(usage.months)}
        )
        return {
            "rule": self.rule.id,
            "family": self.rule.family,
            "text": self.rule.text,
            "position": self.rule.position,
            "set": dict(self.rule.texts),
            "level": self.rule.level,
            "here": self.here,
            "coming": self.coming,
            "order": self.order,
            "point": shown,
            "why": self.why,
        }


def add_rule(
    connection: Connection,
    family: str,
    text: str,
    position: str,
    level: int,
    *,
    facts: Sequence[str] = (),
    service: float | None = None,
    lead: int | None = None,
) -> Rule:
    """Note a stock rule.

    Raises
    ------
    UsageError
        If the need cannot be read, the level is none, or a service level stands without a lead time, or out of range.
    """
    if not 0 < level <= MOST_PIECES:
        raise UsageError(f"{level} pieces: expected 1 to {MOST_PIECES:,}")
    if (service is None) != (lead is None):
        raise UsageError("a service level needs a lead time, and the reverse", hint="--service 0.95 --lead 14")
    if service is not None and lead is not None:
        point(Usage(()), service, lead)  # says at once what is wrong with them
    texts = dict(read_facts(facts).texts)
    need = build(Rule(0, family, text, position, texts, level, service, lead).request())[1]
    table = table_of(StockRule)
    row = {
        "family": family,
        "text": text,
        "position": need.position,
        "facts": texts,
        "level": level,
        "service": service,
        "lead": lead,
        "dropped": False,
    }
    ident = int(connection.execute(insert(table).returning(table.c.id), row).scalar_one())
    return next(rule for rule in rules(connection) if rule.id == ident)


def rules(connection: Connection) -> list[Rule]:
    """Return the rules in force, the oldest first."""
    table = table_of(StockRule)
    return [
        Rule(r["id"], r["family"], r["text"], r["position"], r["facts"], r["level"], r["service"], r["lead"])
        for r in connection.execute(select(table).where(~table.c.dropped).order_by(table.c.id)).mappings()
    ]


def drop_rule(connection: Connection, ident: int) -> None:
    """Take a rule out of force.

    Raises
    ------
    UsageError
        If there is none in force of that number.
    """
    table = table_of(StockRule)
    known = {rule.id for rule in rules(connection)}
    if ident in known:
        connection.execute(update(table).where(table.c.id == ident).values(dropped=True))
    else:
        raise UsageError(f"no rule {ident}", hint="partsbin rule list shows them")


def levels(connection: Connection, now: datetime, under_way: Sequence[Ordered] | None = None) -> list[Level]:
    """Return how each rule stands.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    now : datetime
        Usage is counted up to now.
    under_way : sequence of Ordered, optional
        What is ordered and to come, where it has been read already.

    Notes
    -----
    Pieces set aside are not counted: they are spoken for. A part that serves several rules counts for each of them.
    """
    table = table_of(Act)
    first = connection.execute(select(func.min(table.c.at))).scalar() or now
    coming = lines(connection, coming=True) if under_way is None else under_way
    return [_level(connection, rule, first, now, coming) for rule in rules(connection)]


def _level(connection: Connection, rule: Rule, first: datetime, now: datetime, under_way: Sequence[Ordered]) -> Level:
    asked = build_each(rule.request())
    here = sum(c.part.available // _makes(c, rule) for each in asked for c in run(connection, *each, MOST).usable)
    lines_of = [line for line in under_way if line.family in {each.name for each, _ in asked}]
    serve = {ident: n for each in asked for ident, n in _usable(connection, *each, by_kind(lines_of), rule).items()}
    coming = _coming(connection, lines_of, serve)
    if rule.service is None or rule.lead is None:
        return Level(rule, here, None, None, coming)
    usage = by_month([went for each in asked for went in _went(connection, *each, rule)], first, now)
    return Level(rule, here, point(usage, rule.service, rule.lead), usage, coming)


def _makes(one: Candidate, rule: Rule) -> int:
    return pieces_for(one.family, one.need, one.option, rule.family)


def _coming(connection: Connection, under_way: Sequence[Ordered], serve: Mapping[int, int]) -> int:
    """Pieces of the need to come, line by line; where several make one, with those that came and lie there too few."""
    some = [line for line in under_way if line.part_id in serve]
    left = rests(connection, [line for line in some if serve[line.part_id] > 1])
    return sum((line.coming + left.get(line.id, 0) % serve[line.part_id]) // serve[line.part_id] for line in some)


def _usable(connection: Connection, family: Family, need: Need, part_ids: Iterable[int], rule: Rule) -> dict[int, int]:
    """Those of some parts that are of a family and serve a need, judged in full, and how many make one piece of it."""
    parts = list(get(connection, family, sorted(set(part_ids))).values())
    return {one.part.id: _makes(one, rule) for one in brute(family, need, parts) if one.verdict in USABLE}


_WENT = Statement("""
SELECT movement.part_id, act.at, -sum(movement.quantity) FROM movement JOIN act ON act.id = movement.act_id
JOIN part ON part.id = movement.part_id
WHERE part.family = :family AND movement.word IN ('fitted', 'returned') AND act.reverses_id IS NULL
  AND NOT EXISTS (SELECT 1 FROM act AS later WHERE later.reverses_id = act.id)
GROUP BY movement.part_id, act.id, act.at ORDER BY act.id
""")


def _went(connection: Connection, family: Family, need: Need, rule: Rule) -> Iterable[tuple[datetime, int]]:
    """When pieces of parts that serve a need were fitted, those used up by now included; what was taken back never went.

    Where several make one, they went as one.
    """
    rows = _WENT.rows(connection, {"family": family.name})
    usable = _usable(connection, family, need, (row[0] for row in rows), rule)
    return [(_time(at), -(-int(pieces) // usable[part])) for part, at, pieces in rows if part in usable]


def _time(at: Any) -> datetime:
    return at if isinstance(at, datetime) else datetime.fromisoformat(str(at))
