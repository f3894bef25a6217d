"""What a failed capacitor had to do, from its marking, its position and the set."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.families._declare import (
    Search,
)
from partsbin.families._mains_checks import mains_stress
from partsbin.families._marking import marking
from partsbin.families._stress import Draft, ht_stress, inverse_stress, low_stress
from partsbin.families.capacitor.facts import ISOLATING
from partsbin.needs import Need, Request
from partsbin.notation.capacitor import read_capacitor
from partsbin.reference.valves import Valve, valve
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import listed, say, span, volts

MAINS_FED = ("heater-bypass", "rectifier-shunt")
"""Positions that stand on the mains where the chassis is live: DC volts do not count there."""


def need(request: Request) -> Need:
    """Build the need from the dead part's marking, the position and the facts of the set."""
    rules = load_rules("capacitor")
    position, facts = request.position, request.facts
    draft = Draft()
    original = _original(request, draft)
    label = original.get("voltage_dc", math.nan)
    _value(draft, original.get("capacitance"), position, facts, rules)
    stress = rules.of(position, "stress")
    reservoir = draft.number("ideal") if position == "reservoir" else math.nan
    swell = follow.ripple(facts, reservoir) if position == "reservoir" else 0.0
    if stress in ("mains", "isolation") or (position in MAINS_FED and follow.is_live(facts)[0]):
        _mains(draft, position, facts, label, rules)
    elif stress == "piv":
        inverse_stress(draft, facts, label)
    elif stress in ("low", "ac"):
        low_stress(draft, facts, label, position)
    else:
        ht_stress(
            draft,
            facts,
            label,
            swing=float(rules.of(position, "swing", 1.0)),
            ripple=0.0 if math.isnan(swell) else swell,
            reservoir=reservoir,
        )
    if rules.of(position, "leakage") == "grid":
        _grid(draft, facts, label)
    if rules.of(position, "leakage") == "line":
        _line(draft, facts)
    if position == "reservoir":
        _reservoir(draft, facts, rules)
    if facts.knows("ambient"):
        draft.put("ambient", facts.number("ambient"), "°C", "given")
    if facts.knows("space"):
        draft.put("space", facts.number("space"), "m", "given")
    built = Need("capacitor", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions))
    return Need(
        "capacitor",
        position,
        draft.fields,
        request,
        rules,
        built.assumptions,
        built.questions,
        _headline(built, original),
    )


def _original(request: Request, draft: Draft) -> dict[str, Any]:
    """The dead part's marking; of a can the first section is meant."""
    found = marking(request, draft, read_capacitor, _said)
    if found.get("sections") and "capacitance" not in found:
        first = found["sections"][0]
        found.update({key: first[key] for key in ("capacitance", "voltage_dc") if key in first})
        draft.assume("the first section of the dead can is meant; give the value to mean another")
    return found


def _said(fields: dict[str, Any]) -> str:
    values = [fields.get("capacitance"), *(section.get("capacitance") for section in fields.get("sections", ()))]
    return "+".join(say(float(value), "F") for value in values if value is not None) or "no value"


def _value(draft: Draft, marked: float | None, position: str, facts: SetFacts, rules: Rules) -> None:
    usual = float(rules.of(position, "usual"))
    ideal, origin = (marked, "marked on the dead part") if marked else (usual, "usual in this position")
    if not marked:
        draft.put("value_assumed", True, "", "the dead part's value is not known")
        draft.assume(f"the dead part's value is not known: {say(usual, 'F')} taken, usual in this position")
        draft.ask(
            "original",
            "What is written on the dead part, or on its neighbour of the same kind?",
            say(usual / 4, "F"),
            say(usual * 4, "F"),
        )
    fits, care = rules.of(position, "fits"), rules.of(position, "care")
    draft.put("ideal", ideal, "F", origin)
    draft.put(
        "fits",
        (ideal * fits[0], ideal * fits[1]),
        "F",
        f"{fits[0]:g} to {fits[1]:g} times ({rules.source_of(position, 'fits')})",
    )
    draft.put("care", (ideal * care[0], ideal * care[1]), "F", f"{care[0]:g} to {care[1]:g} times")


def _mains(draft: Draft, position: str, facts: SetFacts, label: float, rules: Rules) -> None:
    """A socket of a chassis that a transformer isolates is no mains position; one of a chassis that nobody knows is."""
    live, why = follow.is_live(facts)
    draft.assume(*why)
    if position in ISOLATING and live is False:
        if math.isnan(label):
            draft.put("stress_bound", 100.0, "V", "a socket of an isolated chassis")
        else:
            draft.put("original_volts", label, "V", "marked on the dead part")
        draft.put("isolated", True, "", "a transformer isolates the chassis")
        return
    if position in ISOLATING and live is None:
        draft.assume("chassis taken as live: say chassis=floating or chassis=earthed if a transformer isolates it")
        draft.ask("chassis", "Is the chassis isolated from the mains by a transformer?", "live", "floating")
    if position == "mains-to-chassis" and not facts.knows("chassis"):
        draft.assume("chassis taken as touchable and not earthed")
        draft.ask("chassis", "Is the chassis reliably earthed?", "earthed", "floating")
    mains_stress(draft, facts, position, rules)
    if not draft.has("touch_limit"):
        return
    most = max(draft.number("largest"), 1e-12)
    ideal = min(draft.number("ideal"), most / 1.25)  # a usual ±20 % part of this value stays under the limit
    bounded = min(draft.number("ideal"), most)
    fits, care = rules.of(position, "fits"), rules.of(position, "care")
    draft.put(
        "ideal",
        ideal,
        "F",
        "no more than the touch current allows" if bounded == most else draft.fields["ideal"].origin,
    )
    for name, low in (("fits", fits[0]), ("care", care[0])):
        draft.put(name, (bounded * low, most), "F", "up to the touch current's limit")


def _grid(draft: Draft, facts: SetFacts, label: float) -> None:
    choices = (("anode", "given"), ("rail", "no more than the rail"))
    source = next(((facts.number(name), how) for name, how in choices if facts.knows(name)), (math.nan, ""))
    if math.isnan(source[0]):
        source = (draft.number("off_load_peak"), "no more than the HT off load")
    if math.isnan(source[0]):
        source = (label, "no more than the dead part's volts")
    if not math.isnan(source[0]):
        draft.put("anode", source[0], "V", source[1])
    if facts.knows("anode"):
        _anode_stress(draft, facts)
    if not facts.knows("grid_leak"):
        draft.assume("grid leak 1 MΩ")
    draft.put("grid_leak", facts.number("grid_leak", 1e6), "ohm", "given" if facts.knows("grid_leak") else "assumed")


def _anode_stress(draft: Draft, facts: SetFacts) -> None:
    """The anode's own volts stand on the part, whatever rail was named; the HT above it is not known from them."""
    high = facts.number("anode") * follow.mains_high(facts) / facts.number("mains_now", follow.mains(facts)[0])
    if not high <= draft.number("running_peak"):
        draft.put(
            "running_peak",
            high,
            "V",
            f"anode {volts(facts.number('anode'))}, mains at {volts(follow.mains_high(facts))}",
        )
    if high > draft.number("off_load_peak"):
        draft.put("off_load_peak", high, "V", "the anode's own volts")
        draft.assume("anode above the HT: read both again")


def _line(draft: Draft, facts: SetFacts) -> None:
    if not facts.knows("grid_leak"):
        draft.assume("AGC line 2 MΩ")
    draft.put("grid_leak", facts.number("grid_leak", 2e6), "ohm", "given" if facts.knows("grid_leak") else "assumed")


def _reservoir(draft: Draft, facts: SetFacts, rules: Rules) -> None:
    """Bound the reservoir by the rectifier: a valve's sheet, or, for silicon and selenium, the surge alone."""
    ideal = draft.number("ideal")
    low, care_low = ideal * rules.of("reservoir", "fits")[0], ideal * rules.of("reservoir", "care")[0]
    named = follow.rectifier(facts)
    sheet = valve(named) if named and named not in ("silicon", "selenium") else None
    most = sheet.rectifier_reservoir_farads_max if sheet else None
    if sheet is not None and most:
        draft.put(
            "fits",
            (low, max(most, ideal)),
            "F",
            f"upper: {sheet.type} ({sheet.standing_of('rectifier_reservoir_farads_max')})",
        )
        draft.put(
            "care", (care_low, max(most, 1.25 * ideal)), "F", "upper: the rectifier, or 1.25 × the known original"
        )
        if ideal > most:
            draft.assume(
                f"{sheet.type} is listed for {say(most, 'F')} at most: the dead part's {say(ideal, 'F')} is trusted"
            )
        _series_resistance(draft, facts, sheet)
        draft.put("rectifier_limit", most, "F", f"{sheet.type}")
    elif named in ("silicon", "selenium"):
        draft.put("fits", (low, 2 * ideal), "F", f"{named}: only the surge bounds it")
        draft.put("care", (care_low, 4 * ideal), "F", f"{named}: only the surge bounds it")
    else:
        draft.ask("rectifier", "Which rectifier is fitted?", "silicon", "EZ80")
    for name in ("current", "winding_resistance"):
        if facts.knows(name):
            draft.put(name, facts.number(name), "A" if name == "current" else "ohm", "given")
    swell = follow.ripple(facts, ideal)
    if not math.isnan(swell):
        draft.put("ripple_original", swell, "V", f"with {say(ideal, 'F')}")


def _series_resistance(draft: Draft, facts: SetFacts, sheet: Valve) -> None:
    least = sheet.rectifier_series_ohm_min
    if least and facts.number("winding_resistance") < least:
        given = say(facts.number("winding_resistance"), "ohm")
        draft.assume(
            f"{sheet.type} is listed for {say(least, 'ohm')} a side at least, {given} given: add the difference"
        )


def _headline(need: Need, original: Mapping[str, Any]) -> tuple[str, ...]:
    rules, position = need.rules, need.position
    first = f"{rules.of(position, 'title')}: {rules.of(position, 'does')}"
    lines = [first]
    if not math.isnan(need.number("off_load_peak")):
        lines.append(f"off load {volts(need.number('off_load_peak'))} ({need.fields['off_load_peak'].origin})")
    if not math.isnan(need.number("running_peak")):
        lines.append(f"running {volts(need.number('running_peak'))} ({need.fields['running_peak'].origin})")
    if need.has("original_volts"):
        lines.append(f"volts of the set not known; at least the dead part's {volts(need.number('original_volts'))}")
    if need.has("stress_unknown"):
        lines.append("volts at the position not known: no part can be passed without them")
    if need.has("touch_limit"):
        lines.append(
            f"class {listed(rules.of(position, 'classes'))}, {volts(need.number('mains'))} AC or more; "
            f"touch current up to {say(need.number('touch_limit'), 'A')} {need.fields['touch_limit'].origin}: "
            f"no more than {say(need.number('largest'), 'F')} at {volts(need.number('mains_high'))}"
        )
    elif need.has("mains"):
        lines.append(f"class {listed(rules.of(position, 'classes'))}, {volts(need.number('mains'))} AC or more")
    marking = f" (dead part: {need.request.text})" if need.request.text else ""
    lines.append(f"{span(*need.window('fits'), 'F')} fits, {span(*need.window('care'), 'F')} with care{marking}")
    return tuple(lines)


def search(need: Need) -> Search:
    """Say what is asked of the search keys: the wider window and the least volts."""
    low, high = need.window("care")
    stress = need.number("off_load_peak")
    if need.has("off_load_span"):
        stress = need.window("off_load_span")[0]
    if need.has("value_assumed"):
        low, high = low * 1e-9, high * 1e9  # an assumed value refuses nothing: every part may still be the one
    least = np.nanmax([stress, need.number("running_peak"), need.number("original_volts"), 0.0])
    return Search(
        low,
        high,
        need.number("ideal"),
        float(least) if least > 0 else math.nan,
        float(least) / (1 - need.rules.general("comfortable")),
    )
