"""The rectifier of a set against its limits: inverse volts, crests, surge, reservoir, current, resistance a side."""

from __future__ import annotations

import math

from partsbin.circuit.charging import switch_on_surge
from partsbin.reference.conduction import conduction
from partsbin.reference.substitutes import rectifier_limits
from partsbin.reference.valves import Valve, valve
from partsbin.sets import follow
from partsbin.sets.charging import Charged, Supply
from partsbin.sets.facts import SetFacts
from partsbin.sets.lines import Line, weakest
from partsbin.words import say, volts


def rectifier_lines(facts: SetFacts, supply: Supply, high: Charged | None) -> list[Line]:
    """Return what follows for the rectifier; `high` is what flows at the highest mains, None where it is not known."""
    lines = _inverse(facts, supply)
    name = supply.rectifier or "silicon"
    if high is not None:
        lines += [_crest(name, high), _surge(facts, supply, name)]
    row = valve(supply.rectifier) if supply.has_valve else None
    return lines if row is None else [*lines, *_sheet(facts, supply, row)]


def _sheet(facts: SetFacts, supply: Supply, row: Valve) -> list[Line]:
    """What the sheet of a rectifier valve allows."""
    lines = []
    most, amperes = row.rectifier_reservoir_farads_max, row.rectifier_amperes_max
    if most:
        standing = row.standing_of("rectifier_reservoir_farads_max")
        lines.append(_above(f"{row.type}: largest reservoir", most, "F", facts.number("reservoir"), standing))
    if amperes:
        standing = row.standing_of("rectifier_amperes_max")
        lines.append(_above(f"{row.type}: most current", amperes, "A", supply.current, standing))
    known = rectifier_limits(row.type)
    least = known.series_ohm(supply.volts) if known is not None else row.rectifier_series_ohm_min
    if least is not None and not math.isnan(supply.volts):
        given = facts.knows("winding_resistance")
        over = given and supply.resistance < least
        how = f"at {volts(supply.volts)} a side" + (f"; {say(supply.resistance, 'ohm')} there" if given else "")
        how += f": {say(least - supply.resistance, 'ohm')} more a side" if over else ""
        sure = known.series_standing if known is not None else row.standing_of("rectifier_series_ohm_min")
        lines.append(
            Line(
                "rectifier", f"{row.type}: least resistance", least, "ohm", how, sure=weakest(sure), warning=over,
                instead="resistance of the winding, a side",
            )
        )  # fmt: skip
    return lines


_WEARS = ", each pulse is harder and wears the valve out: a smaller one"


def _above(name: str, most: float, unit: str, there: float, standing: str | None) -> Line:
    """Line that sets what is there against the most that is listed."""
    over = there > most * (1 + 1e-9)
    how = "" if math.isnan(there) else f"{say(there, unit)} there"
    if over:
        how += f": {there / most:.2g} times what is listed" + (_WEARS if unit == "F" else "")
    instead = "its sheet" if standing == "memory" else ""
    return Line("rectifier", name, most, unit, how, sure=weakest(standing), instead=instead, warning=over)


def _inverse(facts: SetFacts, supply: Supply) -> list[Line]:
    peak = follow.off_load(facts)
    if math.isnan(peak.volts):
        return []
    times = 1 if supply.connection == "bridge" else 2
    row = valve(supply.rectifier) if supply.has_valve else None
    limit = row.rectifier_peak_inverse_volts_max if row else None
    stress = times * peak.volts
    over = limit is not None and stress > limit
    bears = f"; {row.type} bears {volts(limit)}" if row is not None and limit is not None else ""
    how = f"{times} × the off-load peak across each, {supply.connection}{bears}"
    return [Line("rectifier", "inverse volts", stress, "V", how, warning=over)]


def _crest(name: str, high: Charged) -> Line:
    row = conduction(name)
    limit = row.peak_amperes if row else None
    if row is None or limit is None:
        what = "silicon bears many times that" if name == "silicon" else "limit not known here"
        return Line("rectifier", "crest at each pulse", high.crest, "A", f"mains high; {what}", sure="worked")
    origin = "from memory" if row.peak_standing == "memory" else "read"
    over = high.crest > limit
    cure = ": OVER IT, more resistance or a smaller reservoir" if over else ""
    return Line(
        "rectifier", "crest at each pulse", high.crest, "A", f"mains high; {row.type} bears {say(limit, 'A')} ({origin}){cure}",
        sure=weakest(row.peak_standing, row.drop_standing), instead="volts across 1 Ω in the centre tap, on a scope", warning=over,
    )  # fmt: skip


_COLD = "; a cold valve lets none through, a warm one switched on again does"


def _surge(facts: SetFacts, supply: Supply, name: str) -> Line:
    side = supply.volts * follow.rise(facts)
    zero, crest = (float(x) for x in switch_on_surge(side, supply.resistance, supply.reservoir, supply.frequency))
    how = "by the moment, mains high" + ("" if name in ("silicon", "selenium") else _COLD)
    return Line("rectifier", "surge at switch-on", crest, "A", how, zero, crest)
