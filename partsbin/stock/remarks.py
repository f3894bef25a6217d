"""What the note beside a part says of its state: ``blown`` must not go unread because it stands in a column of its own."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from partsbin.notation.condition import listed_words, state_of
from partsbin.stock.row import Fault


class Remark(NamedTuple):
    """What a note says of the state of a part: what is wrong with the row, what is to be known, whether the part is worn."""

    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()
    worn: bool = False


@lru_cache(1024)
def remark_on(note: str, family: str) -> Remark:
    """Read a note for words of damage and wear.

    Parameters
    ----------
    note : str
        The cell of the row's note.
    family : str
        What the part is.

    Returns
    -------
    Remark
        Of a part that is called broken a fault: it can do no job, and must not be found for one.
    """
    state = state_of(note, family) if note else None
    if state is None:
        return Remark()
    if state.damage:
        said = f"{note!r}: its note says it is broken: {listed_words(state.damage)}"
        return Remark(
            (
                Fault(
                    "CSV-BROKEN",
                    "note",
                    said,
                    "leave the word out of the note if they are whole; count whole ones only",
                ),
            )
        )
    notes = []
    if state.wear:
        notes.append(f"its note says {listed_words(state.wear)}: taken as salvaged")
    if state.around:
        notes.append(f"its note says {listed_words(state.around)}, of what is round it")
    return Remark((), tuple(notes), bool(state.wear))
