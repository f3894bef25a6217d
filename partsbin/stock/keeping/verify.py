"""A catalogue looked over, and what can be derived made anew."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sqlalchemy import Connection, text

from partsbin.stock.keeping.derived import derived_faults
from partsbin.stock.keeping.faults import LOOKS, Fault
from partsbin.stock.renewal import renew
from partsbin.stock.searching.index import rebuild


def verify(connection: Connection, tell: Callable[[int, int], None] = lambda parts, of: None) -> list[Fault]:
    """Return what is wrong with a catalogue; nothing is changed.

    Parameters
    ----------
    connection : Connection
        Reading one state of it.
    tell : callable
        ``tell(parts, of)`` now and then, once the parts are looked at one by one: how many are done, of how many.
    """
    found = [fault for look in LOOKS for fault in look(connection)]
    if any(fault.code == "DAMAGE" for fault in found):
        return found  # what is read from damaged pages says nothing
    without = {fault.part_id for fault in found if fault.code == "FACTS"}
    return [*found, *derived_faults(connection, without, tell)]


_COUNTS = text("""
UPDATE part SET
  on_hand = (SELECT coalesce(sum(quantity), 0) FROM movement WHERE part_id = part.id),
  reserved = (SELECT coalesce(sum(aside), 0) FROM movement WHERE part_id = part.id)
WHERE id = :part
""")


def repair(connection: Connection, faults: Sequence[Fault]) -> list[Fault]:
    """Make right what follows from the rest: counts from the ledger, keys and words from the parts. Return what was repaired.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    faults : sequence of Fault
        As `verify` found them.
    """
    done = [fault for fault in faults if fault.derived and fault.part_id is not None]
    for fault in done:
        if fault.code == "COUNT":
            connection.execute(_COUNTS, {"part": fault.part_id})
    renew(connection, sorted({fault.part_id for fault in done if fault.part_id is not None}))
    if any(fault.code == "WORDS" for fault in done):
        rebuild(connection)  # of words that are wrong in one place nobody knows where else they are
    return done
