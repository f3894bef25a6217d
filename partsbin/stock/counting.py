"""Stock-taking, place by place: what the ledger says, what lies there, and the difference with its sign."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, select

from partsbin.errors import UsageError
from partsbin.stock.acts import Who, part_of
from partsbin.stock.ledger import Line, add_lines, claims_on, open_act
from partsbin.stock.shelf import number_of
from partsbin.store.tables import Part, Place, table_of

MOST = 10_000_000
"""Pieces of one part [-]."""


@dataclass(frozen=True)
class Expected:
    """What the ledger says of one part in a place."""

    part_id: int
    title: str
    on_hand: int
    reserved: int
    rough: bool

    @property
    def number(self) -> str:
        """``P-0042``."""
        return number_of(self.part_id)


@dataclass(frozen=True)
class Counted:
    """One part counted: before, now, and the pieces set aside that are not there and were let go, by job (0: no job)."""

    part_id: int
    title: str
    before: int
    now: int
    let_go: Mapping[int, int]
    rough: bool = False

    @property
    def difference(self) -> int:
        """Pieces more than the ledger said; less than 0 if some are missing [-]."""
        return self.now - self.before


def expected_in(connection: Connection, place: str) -> list[Expected]:
    """Return what should lie in a place, by number.

    Raises
    ------
    UsageError
        If nothing was ever put there.
    """
    part, where = table_of(Part), table_of(Place)
    ident = connection.execute(select(where.c.id).where(where.c.name == place.strip())).scalar()
    if ident is None:
        raise UsageError(f"no place {place.strip()!r}", hint="partsbin search finds places by words")
    query = (
        select(part.c.id, part.c.title, part.c.on_hand, part.c.reserved, part.c.rough)
        .where(part.c.place_id == ident, part.c.origin == "shelf")
        .order_by(part.c.id)
    )
    return [Expected(row[0], row[1], row[2], row[3], bool(row[4])) for row in connection.execute(query)]


def count(connection: Connection, counted: Mapping[int, tuple[int, bool]], who: Who) -> tuple[list[Counted], int]:
    """Write down what was counted, as one act.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    counted : mapping of int to (int, bool)
        Pieces of each part, and whether that is only about right.
    who : Who
        When, by whom, why.

    Returns
    -------
    (list of Counted, int)
        Each part with its difference, and the act.

    Notes
    -----
    Fewer pieces than are set aside: what is not there cannot be kept for anybody, so the newest claims are let go and said.
    """
    act_id = open_act(connection, "counted", **who.said())
    done = []
    for part_id, (pieces, rough) in sorted(counted.items()):
        if not 0 <= pieces <= MOST:
            raise UsageError(f"{number_of(part_id)}: {pieces} counted, expected 0 to {MOST}")
        part = part_of(connection, part_id)
        gone = _giving_way(connection, part_id, part.reserved - pieces)
        changes = {"rough": (part.rough, rough)} if part.rough != rough else {}
        lines = [Line(part_id, "counted", pieces - part.on_hand, changes=changes)]
        lines += [Line(part_id, "released", aside=-taken, job_id=job or None) for job, taken in gone.items()]
        add_lines(connection, act_id, lines)
        done.append(Counted(part_id, part.title, part.on_hand, pieces, gone, rough))
    return done, act_id


def _giving_way(connection: Connection, part_id: int, missing: int) -> dict[int, int]:
    """Which claims on a part give way when so many of the pieces set aside are not there: the newest first, by job."""
    gone: dict[int, int] = {}
    for job_id, pieces in (claims_on(connection, part_id) if missing > 0 else {}).items():
        taken = min(pieces, missing - sum(gone.values()))
        if taken > 0:
            gone[job_id] = taken
    return gone
