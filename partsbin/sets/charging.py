"""The capacitor-input supply of a set, reckoned one way: winding, path, rectifier and the reservoir that it has.

Where the reservoir is not known it is taken as endless: the rail is then at its upper end, by up to 5 % at a few microfarads.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from partsbin.circuit.rectification import Connection, capacitor_input, valve_input
from partsbin.reference.conduction import conduction

VALVE_RESISTANCE = (
    125.0  # ohm that a rectifier valve without a row in the tables adds to the path of a pulse, from memory
)
ENDLESS = math.inf


class Charged(NamedTuple):
    """A reservoir in use: mean, ripple peak to peak, lowest ripple RMS, crest, RMS of winding and of reservoir."""

    rail: float
    ripple: float
    hum: float
    crest: float
    winding: float
    reservoir: float


@dataclass(frozen=True)
class Supply:
    """The supply as the pulses see it.

    Parameters
    ----------
    volts : float
        RMS that charge the reservoir, one side of the tap [V].
    resistance : float
        Winding and what is in series with it, the rectifier left out [ohm].
    current : float
        Direct current [A].
    frequency : float
        Of the mains [Hz].
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected.
    rectifier : str
        Type of a valve; ``silicon``, ``selenium`` or "" lose little.
    reservoir : float
        Capacitance, infinite where it is not known [F].
    """

    volts: float
    resistance: float
    current: float
    frequency: float = 50.0
    connection: Connection = "centre-tap"
    rectifier: str = ""
    reservoir: float = ENDLESS

    @property
    def known(self) -> bool:
        """Whether every figure is there."""
        return not any(map(math.isnan, (self.volts, self.resistance, self.current)))

    @property
    def has_valve(self) -> bool:
        """Whether a valve rectifies."""
        return self.rectifier not in ("", "silicon", "selenium")

    def at(self, factor: float) -> Supply:
        """Return the same supply with the winding's volts times a factor, drawing the same current."""
        return replace(self, volts=self.volts * factor)

    def holding(self, capacitance: float) -> Supply:
        """Return the same supply with another reservoir; a capacitance that is not known leaves it."""
        return self if math.isnan(capacitance) else replace(self, reservoir=capacitance)

    def rectified_by(self, rectifier: str) -> Supply:
        """Return the same supply with another rectifier."""
        return replace(self, rectifier=rectifier)

    def charged(self) -> Charged:
        """Return what stands on the reservoir and flows into it; all NaN where the winding cannot deliver the current."""
        path = (self.volts, self.resistance, self.current, self.reservoir, self.frequency)
        if not self.has_valve:
            return _plain(capacitor_input(*path, self.connection))
        row = conduction(self.rectifier)
        if row is None:
            ohms = self.resistance + VALVE_RESISTANCE
            return _plain(capacitor_input(self.volts, ohms, *path[2:], self.connection, diode_drop=0.0))
        return _plain(valve_input(*path, row.drop_volts, row.drop_amperes, self.connection))

    def of_the_rectifier(self) -> str:
        """Return in words what was taken for the rectifier's loss, "" where it is next to nothing."""
        if not self.has_valve:
            return ""
        row = conduction(self.rectifier)
        if row is None:
            return f"{VALVE_RESISTANCE:g} Ω in the rectifier valve (from memory)"
        doubt = {"read": "", "worked": ", fitted, not from its sheet"}.get(row.drop_standing, ", from memory")
        return f"{row.type} drops {row.drop_volts:g} V at {row.drop_amperes * 1000:g} mA{doubt}"


def _plain(found: tuple[object, ...]) -> Charged:
    made = Charged(*(float(value) for value in found))  # type: ignore[arg-type]
    return made if made.rail > 0 else Charged(*[math.nan] * len(made))
