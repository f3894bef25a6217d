"""What a rectifier valve loses while it passes a pulse, and the crest that it bears again and again.

``conduction("5Y3")`` finds the row of 5Y3GT. A type without a row is unknown, not without loss.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import cast

from partsbin.reference.equivalents import type_key
from partsbin.reference.valves import valve
from partsbin.sources import Standing

_TABLE = Path(__file__).with_name("conduction.csv")


@dataclass(frozen=True)
class Conduction:
    """One rectifier valve while it conducts.

    Parameters
    ----------
    type : str
        Designation.
    drop_volts, drop_amperes : float
        Drop of one anode, and the current at which it is lost [V], [A].
    drop_standing : {"read", "memory", "worked"}
        How far that is known. ``worked`` is fitted, in no sheet: EZ40 to its published outputs, EZ80 as EZ40, whose ratings it
        shares, EZ81 to the one worked supply of the design (312 V at 80 mA), which therefore proves nothing of it.
    drop_source : str
        Key in ``partsbin.sources``.
    peak_amperes : float or None
        Crest that one anode bears at every pulse; None is unknown, not unlimited [A].
    peak_standing, peak_source : str
        The same for the crest, "" where there is none.
    """

    type: str
    drop_volts: float
    drop_amperes: float
    drop_standing: Standing
    drop_source: str
    peak_amperes: float | None
    peak_standing: str
    peak_source: str


def conduction(type: str) -> Conduction | None:
    """Return how a rectifier valve conducts, under any name of it, or None if it is not known.

    Examples
    --------
    >>> conduction("6X4").peak_amperes, conduction("EL84")
    (0.245, None)
    """
    found = _rows().get(type_key(type))
    row = valve(type) if found is None and type else None
    return _rows().get(type_key(row.type)) if row else found


@cache
def _rows() -> dict[str, Conduction]:
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return {type_key(row["type"]): _row(row) for row in csv.DictReader(file)}


def _row(row: dict[str, str]) -> Conduction:
    return Conduction(
        row["type"],
        float(row["drop_volts"]),
        float(row["drop_amperes"]),
        cast(Standing, row["drop_standing"]),
        row["drop_source"],
        float(row["peak_amperes"]) if row["peak_amperes"] else None,
        row["peak_standing"],
        row["peak_source"],
    )
