"""What a line-up of valves draws from a mains transformer: heaters by their volts, the rectifier's apart, direct current."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from partsbin.reference.valves import Counted, Lineup, Valve
from partsbin.sets.drawing import unlisted_screens

PARALLEL_MOST = 12.7  # V; heaters of more stand in a chain on the mains
_NOTHING_DRAWN = frozenset({"diode", "rectifier"})


@dataclass(frozen=True)
class Drawn:
    """The load that a line-up is.

    Parameters
    ----------
    heaters : mapping of float to float
        Heater volts and the sum of amperes at them, without the rectifier [V], [A].
    current : float
        Direct current from the HT, by what the tables list [A].
    most : float
        The same with what screens that no table lists draw at most [A].
    rectifier : Valve or None
        The rectifier.
    chain : bool
        Whether the heaters are made for a chain on the mains.
    guessed : tuple of str
        Valves whose current is only the usual one.
    """

    heaters: Mapping[float, float]
    current: float
    most: float
    rectifier: Valve | None
    chain: bool
    guessed: tuple[str, ...]

    @property
    def heater(self) -> tuple[float, float]:
        """Volts and amperes of the heaters that draw most, (0, 0) where there are none."""
        return max(self.heaters.items(), key=lambda pair: pair[0] * pair[1], default=(0.0, 0.0))


def drawn(found: Lineup, usual: float) -> Drawn:
    """Add up what a line-up draws.

    Parameters
    ----------
    found : Lineup
        The valves.
    usual : float
        Current of a valve whose working point is not in the table [A].
    """
    heaters: dict[float, float] = {}
    current, unlisted, guessed, rectifier = 0.0, 0.0, [], None
    for item in found.valves:
        if item.valve.is_rectifier:
            rectifier = item.valve
            continue
        volts, amperes = item.valve.heater_volts, item.valve.heater_amperes
        if volts and amperes:
            heaters[volts] = heaters.get(volts, 0.0) + item.count * amperes
        own = _current(item)
        if own is None:
            guessed.append(item.valve.type)
            own = usual * item.count
        current += own
        unlisted += item.count * unlisted_screens(item.valve)
    chain = any(volts > PARALLEL_MOST for volts in heaters)
    return Drawn(heaters, current, current + unlisted, rectifier, chain, tuple(guessed))


def _current(item: Counted) -> float | None:
    """Anode and screen together; a diode draws nothing, of others the table may not know it."""
    if item.valve.kind.split()[-1] in _NOTHING_DRAWN and item.valve.anode_amperes is None:
        return 0.0
    if item.valve.anode_amperes is None:
        return None
    return item.count * (item.valve.anode_amperes + (item.valve.screen_amperes or 0.0))
