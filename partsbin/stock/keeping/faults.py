"""What can be wrong with a catalogue, found by plain SQL over the whole of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, inspect, text

from partsbin import families
from partsbin.stock.shelf import number_of


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong.

    Parameters
    ----------
    code : str
        Stable name of the kind: ``DAMAGE``, ``REFERENCE``, ``COUNT``, ``CLAIM``, ``FACTS``, ``KEYS``, ``WORDS``, ``UNDO``.
    said : str
        In words.
    part_id : int or None
        The part that it concerns.
    derived : bool
        Whether it can be made right from the rest of the catalogue.
    """

    code: str
    said: str
    part_id: int | None = None
    derived: bool = False

    @property
    def part(self) -> str:
        """``P-0042``, "" where it concerns no part."""
        return "" if self.part_id is None else number_of(self.part_id)


def damage(connection: Connection) -> Iterator[Fault]:
    """Yield what SQLite says of its own pages and indexes; a server looks after its own."""
    if connection.dialect.name == "sqlite":
        for (said,) in connection.execute(text("PRAGMA integrity_check")):
            if said != "ok":
                yield Fault("DAMAGE", f"the file is damaged: {said}")


def references(connection: Connection) -> Iterator[Fault]:
    """Yield rows that point at nothing: an owner's tool may have been told not to look."""
    found = _checked_by_sqlite if connection.dialect.name == "sqlite" else _checked_by_joins
    for table, row, parent in found(connection):
        yield Fault("REFERENCE", f"row {row} of {table} points at a {parent} that is not there")


def _checked_by_sqlite(connection: Connection) -> Iterator[tuple[str, int, str]]:
    for table, row, parent, _ in connection.execute(text("PRAGMA foreign_key_check")):
        yield table, row, parent


def _checked_by_joins(connection: Connection) -> Iterator[tuple[str, int, str]]:
    tables = inspect(connection)
    for table in tables.get_table_names():
        key = tables.get_pk_constraint(table)["constrained_columns"]
        for reference in tables.get_foreign_keys(table):
            parent, own, its = (
                reference["referred_table"],
                *reference["constrained_columns"],
                *reference["referred_columns"],
            )
            query = (
                f"SELECT child.{key[0]} FROM {table} AS child LEFT JOIN {parent} AS parent ON parent.{its} = child.{own} "
                f"WHERE child.{own} IS NOT NULL AND parent.{its} IS NULL ORDER BY 1"
            )
            for (row,) in connection.execute(text(query)):
                yield table, row, parent


_COUNTS = """
SELECT part.id, part.on_hand, part.reserved, coalesce(sum(movement.quantity), 0), coalesce(sum(movement.aside), 0)
FROM part LEFT JOIN movement ON movement.part_id = part.id GROUP BY part.id, part.on_hand, part.reserved
HAVING part.on_hand <> coalesce(sum(movement.quantity), 0) OR part.reserved <> coalesce(sum(movement.aside), 0)
ORDER BY part.id
"""


def counts(connection: Connection) -> Iterator[Fault]:
    """Yield parts whose counts are not the sums of their movements; where these are possible, they are right."""
    for ident, here, aside, moved, claimed in connection.execute(text(_COUNTS)):
        said = f"{here} on hand and {aside} set aside, the ledger says {moved} and {claimed}"
        yield Fault("COUNT", said, ident, derived=0 <= claimed <= moved)


_CLAIMS = """
SELECT part_id, coalesce(job_id, 0), sum(aside) FROM movement GROUP BY part_id, job_id HAVING sum(aside) < 0 ORDER BY part_id
"""


def claims(connection: Connection) -> Iterator[Fault]:
    """Yield claims of jobs on parts that are less than nothing."""
    for ident, job, held in connection.execute(text(_CLAIMS)):
        yield Fault("CLAIM", f"{held} set aside for {f'job {job}' if job else 'no job'}", ident)


_UNDONE = """
SELECT back.id, back.reverses_id FROM act AS back
LEFT JOIN movement AS line ON line.act_id IN (back.id, back.reverses_id)
WHERE back.reverses_id IS NOT NULL GROUP BY back.id, back.reverses_id, line.part_id
HAVING coalesce(sum(line.quantity), 0) <> 0 OR coalesce(sum(line.aside), 0) <> 0 ORDER BY back.id
"""


def undone(connection: Connection) -> Iterator[Fault]:
    """Yield acts that do not take back just what they reverse."""
    for act, reversed_act in dict.fromkeys(tuple(row) for row in connection.execute(text(_UNDONE))):
        yield Fault("UNDO", f"act {act} does not take back just what act {reversed_act} did")


def facts(connection: Connection) -> Iterator[Fault]:
    """Yield parts without marked facts of their family."""
    for name in families.names():
        query = (
            f"SELECT part.id FROM part LEFT JOIN family_{name} ON part_id = part.id "
            f"WHERE part.family = '{name}' AND part_id IS NULL ORDER BY part.id"
        )
        for (ident,) in connection.execute(text(query)):
            yield Fault("FACTS", f"has no row in family_{name}", ident)
    known = ", ".join(f"'{name}'" for name in families.names())
    for ident, name in connection.execute(
        text(f"SELECT id, family FROM part WHERE family NOT IN ({known}) ORDER BY id")
    ):
        yield Fault("FACTS", f"is of the family {name!r}, which this program does not know", ident)


LOOKS: tuple[Callable[[Connection], Iterator[Fault]], ...] = (damage, references, counts, claims, undone, facts)
"""Every look at the whole, in the order in which it is done."""
