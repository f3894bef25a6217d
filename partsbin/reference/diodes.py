"""Silicon rectifier diodes by their type: what the marking promises. All rows are from memory and say so."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal, cast

from partsbin.reference.equivalents import Known, type_key

_TABLE = Path(__file__).with_name("diodes.csv")


@dataclass(frozen=True)
class Diode:
    """One type.

    Parameters
    ----------
    type : str
        Designation.
    technology : {"silicon"}
        What it is made of.
    inverse_volts : float
        Repetitive peak inverse voltage [V].
    amperes, surge_amperes : float
        Mean forward current; one half-wave at switch-on [A].
    drop_volts : float
        Forward drop at the rated current [V].
    standing : {"read", "memory"}
        How far the row is known.
    source : str
        Key in ``partsbin.sources``.
    """

    type: str
    technology: Literal["silicon"]
    inverse_volts: float
    amperes: float
    surge_amperes: float
    drop_volts: float
    standing: Known
    source: str


def diode(type: str) -> Diode | None:
    """Return the row of a diode, None if it is not known here.

    Examples
    --------
    >>> diode("1n4007").inverse_volts
    1000.0
    """
    return _rows().get(type_key(type))


@cache
def _rows() -> dict[str, Diode]:
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return {
            type_key(row["type"]): Diode(
                row["type"], "silicon", float(row["inverse_volts"]), float(row["amperes"]), float(row["surge_amperes"]),
                float(row["drop_volts"]), cast(Known, row["standing"]), row["source"],
            )
            for row in csv.DictReader(file)
        }  # fmt: skip
