"""What follows from the facts of a set: the highest volts a part can meet, with where each figure comes from."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from partsbin.circuit.rectification import Connection
from partsbin.circuit.supply import off_load_from_running, off_load_peak
from partsbin.reference.valves import lineup
from partsbin.sets.charging import VALVE_RESISTANCE as VALVE_RESISTANCE
from partsbin.sets.charging import Supply
from partsbin.sets.drawing import Drawn, drawn_by
from partsbin.sets.facts import SetFacts

NOMINAL_MAINS = 230.0
MAINS_HIGH = 1.10
FREQUENCY = 50.0
REGULATION = 0.05  # a winding rated loaded rises about this much off load
LEAST_WINDING = 3.9  # V; heaters of fewer volts are those of battery valves


@dataclass(frozen=True)
class Peak:
    """A stress with its origin.

    Parameters
    ----------
    volts : float
        Worst end, NaN where it cannot be told [V].
    origin : str
        Where it comes from, in words.
    assumed : tuple of str
        What was taken for granted on the way.
    measured : bool
        True if it rests on the winding or the mains itself, not on a rule of thumb.
    low, high : float
        Ends of the figure where a reading has an uncertainty [V].
    """

    volts: float
    origin: str
    assumed: tuple[str, ...] = ()
    measured: bool = False
    low: float = field(default=math.nan)
    high: float = field(default=math.nan)


UNKNOWN = Peak(math.nan, "not known")


def mains(facts: SetFacts) -> tuple[float, tuple[str, ...]]:
    """Return the nominal mains [V] and what was assumed."""
    nominal, assumed = (facts.number("mains"), ()) if facts.knows("mains") else (NOMINAL_MAINS, ("mains 230 V",))
    read = facts.number("mains_now", 0.0)
    if read > 1.2 * nominal:
        return read, (f"mains read at {read:.0f} V cannot be a nominal {nominal:.0f} V: {read:.0f} V taken",)
    return nominal, assumed


def mains_high(facts: SetFacts) -> float:
    """Return the highest mains to reckon with [V]: nominal × factor, or today's reading where that is higher."""
    nominal, _ = mains(facts)
    today = facts.number("mains_now", 0.0) + facts.uncertainty.get("mains_now", 0.0)
    return max(nominal * facts.number("mains_high", MAINS_HIGH), today)


def frequency(facts: SetFacts) -> float:
    """Return the mains frequency [Hz]."""
    return facts.number("frequency", FREQUENCY)


def _factor_today(facts: SetFacts) -> float:
    """Highest mains over the mains at which volts were read: today's reading at its lower end, else nominal."""
    if facts.knows("mains_now"):
        return mains_high(facts) / (facts.number("mains_now") - facts.uncertainty.get("mains_now", 0.0))
    return mains_high(facts) / mains(facts)[0]


def _factor_of_winding(facts: SetFacts) -> float:
    """Highest mains over the mains that gives a winding its volts: today's reading, else the tap, else nominal."""
    if facts.knows("tap") and not facts.knows("mains_now"):
        return mains_high(facts) / facts.number("tap")
    return _factor_today(facts)


def rise(facts: SetFacts) -> float:
    """Return the highest mains over the mains that gives the winding its volts [-]."""
    return _factor_of_winding(facts)


def _worst_rail(facts: SetFacts) -> float:
    """The running rail as given, at the upper end of its reading."""
    return facts.number("rail") + facts.uncertainty.get("rail", 0.0)


def _stepped_up(facts: SetFacts) -> bool:
    """Whether the HT of a live chassis is not the mains rectified: by an auto-transformer, or running above the mains peak."""
    today = facts.number("mains_now", mains(facts)[0])
    return facts.text("chassis") == "auto" or _worst_rail(facts) > off_load_peak(today, mains_factor=MAINS_HIGH)


def off_load(facts: SetFacts) -> Peak:
    """Return the highest HT peak: cold start, mains at its upper limit, regulation, tap.

    From the winding where it is known; on a live chassis the mains peak itself; else 1.6 × the running rail (2 × behind a
    choke input), and said so. An auto-transformer may step the mains up, a doubler gives more than its peak: neither is
    bounded by the mains.
    """
    _, assumed = mains(facts)
    live, why = is_live(facts)
    floor = _mains_peak(facts, (*assumed, *why)) if live else UNKNOWN
    if facts.knows("secondary"):
        return _highest(_off_load_of_winding(facts, assumed), floor, _rail_peak(facts))
    if live and not _stepped_up(facts):
        return floor
    return _highest(_of_rail(facts), floor) if facts.knows("rail") else UNKNOWN


def _highest(*peaks: Peak) -> Peak:
    """Facts that disagree are judged by the worst of them."""
    return max(peaks, key=lambda peak: -1.0 if math.isnan(peak.volts) else peak.volts)


def _of_rail(facts: SetFacts) -> Peak:
    choke = facts.text("filter") == "choke-input"
    rail = _worst_rail(facts)
    times = 2 if choke else 1.6
    volts = float(off_load_from_running(rail, choke_input=choke))
    note = f"off-load peak taken as {times:g} × the rail: read the HT winding off load to know it"
    return Peak(volts, f"{times:g} × the running {rail:.0f} V", (note,))


def _mains_peak(facts: SetFacts, assumed: tuple[str, ...]) -> Peak:
    high = mains_high(facts)
    return Peak(float(off_load_peak(high)), f"mains peak at {high:.0f} V, live chassis", assumed, measured=True)


def _rail_peak(facts: SetFacts) -> Peak:
    """A running rail is never above the off-load peak: where the facts say so, they contradict each other."""
    if not facts.knows("rail"):
        return UNKNOWN
    rail = _worst_rail(facts) * _factor_today(facts)
    return Peak(rail, "the running rail itself", ("rail and winding contradict each other: read both again",))


def is_live(facts: SetFacts) -> tuple[bool | None, tuple[str, ...]]:
    """Return whether the chassis may stand at mains potential, and why: as given, else from the heaters of the line-up.

    Heaters of many volts and one small current are a chain on the mains; where the facts say both, the chain is believed.
    """
    named = lineup(facts.text("lineup") or facts.text("valve"))
    found = [item.valve for item in named.valves]
    chain = any((valve.heater_volts or 0.0) > 12.7 for valve in found)
    if chain and facts.live is not True:
        doubt = f", though chassis={facts.text('chassis')} was said" if facts.knows("chassis") else ""
        return True, (f"heaters in a chain on the mains: chassis taken as live{doubt}",)
    if facts.knows("chassis"):
        return facts.live, ()
    if not named.unknown and _side_by_side([(v.heater_volts or 0.0, v.heater_amperes or 0.0) for v in found]):
        return False, ("heaters of one voltage side by side: a transformer isolates the chassis (chassis=live if not)",)
    return None, ()


def _side_by_side(heaters: list[tuple[float, float]]) -> bool:
    """Heaters of one voltage and different currents hang on a winding; those of one current may as well be a chain, and
    those of a battery tell nothing."""
    if not all(LEAST_WINDING <= volts <= 6.4 and amperes > 0 for volts, amperes in heaters):
        return False
    amperes = [current for _, current in heaters]
    return len(amperes) > 1 and max(amperes) > 1.2 * min(amperes)


def winding(facts: SetFacts) -> tuple[float, bool, tuple[str, ...]]:
    """Return the volts that charge the reservoir [V RMS], whether both half-waves do, and what was assumed.

    A bridge stands across the whole of a winding: where its centre tap serves all the same, the other facts say too much,
    and the worse of the two is reckoned with.
    """
    side, bridge = facts.number("secondary_volts"), facts.flag("rectifier_bridge")
    if bridge and facts.flag("secondary_tapped"):
        note = f"a bridge takes the whole winding, {2 * side:g} V: say rectifier=silicon if the centre tap is in use"
        return 2 * side, True, (note,)
    return side, facts.flag("secondary_full_wave") or bridge, ()


def _off_load_of_winding(facts: SetFacts, assumed: tuple[str, ...]) -> Peak:
    read_off_load = facts.flag("secondary_off_load")
    regulation = 0.0 if read_off_load else REGULATION
    factor = _factor_of_winding(facts)
    side, _, whole = winding(facts)
    volts = float(off_load_peak(side, mains_factor=factor, regulation=regulation))
    notes = [*assumed, *whole]
    if not read_off_load:
        notes.append("winding volts taken as loaded: 5 % more off load")
    if not facts.knows("mains_now") and not facts.knows("tap"):
        notes.append("primary tap taken as set for the mains")
    where, when = "across a bridge" if whole else "a side", "off load" if read_off_load else "loaded"
    how = f"{side:g} V {where} {when}, mains at {mains_high(facts):.0f} V"
    spread = facts.uncertainty.get("secondary", 0.0)
    low, high = (volts * (1 - spread), volts * (1 + spread)) if spread else (volts, volts)
    return Peak(high, how, tuple(notes), measured=True, low=low, high=high)


def rectifier(facts: SetFacts) -> str:
    """Return the rectifier's type, ``silicon`` or ``selenium``: as given, else from the line-up, "" where not known."""
    if facts.knows("rectifier"):
        return facts.text("rectifier")
    fitted = lineup(facts.text("lineup")).rectifier if facts.knows("lineup") else None
    return fitted.valve.type if fitted else ""


def connection(facts: SetFacts) -> Connection:
    """Return how the rectifiers are joined to the winding."""
    _, full_wave, whole = winding(facts)
    if whole or (full_wave and not facts.flag("secondary_tapped")):
        return "bridge"
    return "centre-tap" if full_wave else "half-wave"


def supply(facts: SetFacts, reservoir: float = math.nan) -> Supply:
    """Return the supply as the pulses see it: with the reservoir named here, else that of the facts, else an endless one."""
    side, _, _ = winding(facts)
    found = Supply(
        side,
        facts.number("winding_resistance"),
        facts.number("current"),
        frequency(facts),
        connection(facts),
        rectifier(facts),
    )
    return found.holding(facts.number("reservoir")).holding(reservoir)


def knows_charging(facts: SetFacts) -> bool:
    """Return whether winding, its resistance and the current are known, so that rail and ripple can be worked out."""
    known = all(facts.knows(name) for name in ("secondary", "winding_resistance", "current"))
    return known and facts.text("filter") != "choke-input"


def running_rail(facts: SetFacts, *, reservoir: float = math.nan) -> Peak:
    """Return the DC rail in use at the mains of the facts: as given, else worked out from the winding."""
    if facts.knows("rail"):
        return Peak(_worst_rail(facts), "given", measured=True)
    if not knows_charging(facts):
        return UNKNOWN
    found = supply(facts, reservoir)
    loss = found.of_the_rectifier()
    return Peak(found.charged().rail, "from winding, resistance and current", (loss,) if loss else ())


def running(facts: SetFacts, *, ripple: float = 0.0, reservoir: float = math.nan) -> Peak:
    """Return the running peak at the highest mains: DC and half the ripple `ripple` [V peak to peak]."""
    rail = running_rail(facts, reservoir=reservoir)
    if math.isnan(rail.volts):
        return UNKNOWN
    factor = _factor_today(facts) if facts.knows("rail") else _factor_of_winding(facts)
    volts = rail.volts * factor + ripple / 2
    origin = f"rail {rail.volts:.0f} V ({rail.origin}), mains at {mains_high(facts):.0f} V"
    return Peak(volts, origin + (f", {ripple:.0f} V ripple" if ripple else ""), rail.assumed, measured=rail.measured)


def ripple(facts: SetFacts, capacitance: float) -> float:
    """Return the ripple on a reservoir of `capacitance` [F], peak to peak, NaN where winding or current is unknown [V]."""
    return supply(facts, capacitance).charged().ripple if knows_charging(facts) else math.nan


def ripple_current(facts: SetFacts, capacitance: float = math.nan) -> float:
    """Return the RMS ripple current in the reservoir, NaN where winding or current is unknown [A]."""
    return supply(facts, capacitance).charged().reservoir if knows_charging(facts) else math.nan


def drawn(facts: SetFacts) -> Drawn:
    """Return what anodes and screens of the line-up draw at their listed working points."""
    return drawn_by(facts.text("lineup"))
