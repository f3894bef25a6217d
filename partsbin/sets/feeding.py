"""The HT supply of a set: what its valves draw, the rail off load and loaded, ripple, currents."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partsbin.circuit.supply import choke_input_rail
from partsbin.reference.substitutes import rectifier_limits
from partsbin.sets import follow
from partsbin.sets.charging import Charged, Supply
from partsbin.sets.facts import SetFacts
from partsbin.sets.lines import Line, weakest
from partsbin.sets.rectifying import rectifier_lines
from partsbin.words import say, volts

USUAL_WINDING = 200.0  # ohm a side of the HT winding of a receiver, what the primary adds included; common practice
USUAL_LIVE = 50.0  # ohm of surge resistor and mains ahead of the rectifier of a live chassis; common practice
USUAL_RESERVOIR = 32e-6  # F; common practice, no source
LEAST, MOST = 0.9, 1.1  # spread of a rail that was reckoned: valves, mains and winding, common practice


@dataclass(frozen=True)
class Feed:
    """The supply as it was reckoned with, and what was taken for granted on the way."""

    supply: Supply
    assumed: tuple[str, ...]
    origin: str
    sure: str


def feed(facts: SetFacts) -> Feed:
    """Return the supply of the set: gaps are filled with what is usual, each of them listed."""
    live, why = follow.is_live(facts)
    assumed: list[str] = []
    found = follow.supply(facts)
    side, connection = found.volts, found.connection
    if math.isnan(side) and live:
        side, connection = follow.mains(facts)[0], "half-wave"
        assumed += why
    ohms, reservoir = found.resistance, found.reservoir
    if math.isnan(ohms):
        ohms, why_so = _usual_path(facts, found.rectifier, side, live=live is True)
        assumed.append(f"{why_so} (winding_resistance=)")
    if math.isinf(reservoir):
        reservoir = USUAL_RESERVOIR
        assumed.append(f"reservoir {say(reservoir, 'F')} (reservoir=)")
    current, origin, sure, guessed = _current(facts)
    supply = Supply(side, ohms, current, found.frequency, connection, found.rectifier, reservoir)
    if facts.knows("secondary") and not facts.flag("secondary_off_load"):
        assumed.append(f"{volts(side)} taken for the rail as read off load: loaded it gives up to 5 % more")
    if not found.rectifier:
        assumed.append("rectifier taken as silicon: no rectifier valve is named (rectifier=)")
    return Feed(supply, (*assumed, *guessed), origin, sure)


def _usual_path(facts: SetFacts, rectifier: str, side: float, *, live: bool) -> tuple[float, str]:
    """Resistance in the path of a pulse where nobody gave it: a winding's, or what the rectifier of a live chassis asks for."""
    if not live or facts.flag("secondary_tapped"):
        return USUAL_WINDING, f"{USUAL_WINDING:g} Ω{_a_side(facts)} in the path of a pulse"
    known = rectifier_limits(rectifier) if rectifier else None
    least = known.series_ohm(side) if known is not None else None
    if least:
        return least, f"{say(least, 'ohm')} ahead of the rectifier, the least that {rectifier} asks for"
    return USUAL_LIVE, f"{USUAL_LIVE:g} Ω ahead of the rectifier"


def _a_side(facts: SetFacts) -> str:
    return " a side" if facts.flag("secondary_tapped") else ""


def _current(facts: SetFacts) -> tuple[float, str, str, tuple[str, ...]]:
    if facts.knows("current"):
        return facts.number("current"), "given", "given", ()
    drawn = follow.drawn(facts)
    return drawn.amperes, " + ".join(drawn.parts), weakest(*drawn.standings), drawn.assumed


def supply_lines(facts: SetFacts) -> list[Line]:
    """Return what follows for the supply and its rectifier."""
    found = feed(facts)
    lines = [*_drawn(found), *_off_load(facts)]
    if facts.text("filter") == "choke-input":
        return lines + _behind_a_choke(facts, found)
    if not found.supply.known:
        return [*lines, _given_or_not(facts), *rectifier_lines(facts, found.supply, None)]
    charged, high = found.supply.charged(), found.supply.at(follow.rise(facts)).charged()
    if math.isnan(charged.rail + high.rail):
        odd = f"{volts(found.supply.volts)} through {say(found.supply.resistance, 'ohm')} does not give the current"
        return [*lines, Line("supply", "rail", odd, assumed=found.assumed, warning=True)]
    lines += _loaded(facts, found, charged, high)
    return lines + rectifier_lines(facts, found.supply, high)


def _given_or_not(facts: SetFacts) -> Line:
    if facts.knows("rail"):
        return Line("supply", "rail", facts.number("rail"), "V", "as given", sure="given")
    better = "volts of the winding off load (secondary=250-0-250 off-load), or the rail itself (rail=250)"
    return Line(
        "supply", "rail", "not reckoned: the HT winding or the current is not known", sure="given", instead=better
    )


def _drawn(found: Feed) -> list[Line]:
    if math.isnan(found.supply.current):
        return []
    return [
        Line("supply", "HT current", found.supply.current, "A", found.origin, sure=weakest(found.sure),
             assumed=tuple(note for note in found.assumed if "of HT taken" in note),
             instead="" if found.sure == "given" else "volts across a resistor in the HT lead, or the cathodes")
    ]  # fmt: skip


def _off_load(facts: SetFacts) -> list[Line]:
    peak = follow.off_load(facts)
    if math.isnan(peak.volts):
        return []
    how = f"{peak.origin}: what every HT capacitor must bear"
    sure = weakest("worked" if peak.measured else "practice")
    better = _better_peak(facts)
    return [
        Line("supply", "off load, mains high", peak.volts, "V", how, peak.low, peak.high, peak.assumed, sure, better)
    ]


def _better_peak(facts: SetFacts) -> str:
    if not facts.knows("secondary") and follow.is_live(facts)[0]:
        return "" if facts.knows("mains_now") else "the mains, read at the bench (mains_now=)"
    known = facts.flag("secondary_off_load") and facts.knows("mains_now")
    return "" if known else "winding off load, mains read with it"


def _loaded(facts: SetFacts, found: Feed, charged: Charged, high: Charged) -> list[Line]:
    supply = found.supply
    loss = supply.of_the_rectifier()
    assumed = tuple(n for n in found.assumed if "of HT taken" not in n)
    memory = weakest("memory" if "memory" in loss else "practice" if assumed else "worked", found.sure)
    how = f"{volts(supply.volts)}{_a_side(facts)} through {say(supply.resistance, 'ohm')}, {say(supply.current, 'A')}"
    lines = []
    if facts.knows("rail"):
        own = facts.number("rail")
        odd = not LEAST * charged.rail <= own <= MOST * charged.rail
        said = "as given" + (f"; the winding reckons {volts(charged.rail)}: one of the two is off" if odd else "")
        lines.append(Line("supply", "rail", own, "V", said, sure="given", warning=odd))
    else:
        lines.append(
            Line("supply", "rail", charged.rail, "V", f"{how}; {loss}" if loss else how, LEAST * charged.rail,
                 MOST * charged.rail, assumed, memory, "volts across the reservoir, set warm")
        )  # fmt: skip
    lines += [
        Line("supply", "rail, mains high", high.rail, "V", f"mains at {volts(follow.mains_high(facts))}, same current", sure=memory),
        Line("supply", "ripple", charged.ripple, "V", f"peak to peak on {say(supply.reservoir, 'F')}", sure=memory,
             instead="AC volts across the reservoir: about " + say(0.29 * charged.ripple, "V") + " RMS"),
        Line("supply", "reservoir current", charged.reservoir, "A", "RMS ripple current", sure=memory),
        Line("supply", "winding current", charged.winding, "A", "RMS, a side: what the winding is rated by", sure=memory),
    ]  # fmt: skip
    return lines


def _behind_a_choke(facts: SetFacts, found: Feed) -> list[Line]:
    supply = found.supply
    rail = float(choke_input_rail(supply.volts, supply.current, supply.resistance))
    if not rail > 0:
        return []
    return [
        Line("supply", "rail", rail, "V", "0.9 of the winding less copper: choke input, above the critical inductance",
             LEAST * rail, MOST * rail, found.assumed, weakest("practice", found.sure), "volts behind the choke, set warm")
    ]  # fmt: skip
