"""What a failed potentiometer had to do, from its marking, its position and the set."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from partsbin.families._contacts import set_current
from partsbin.families._declare import Search
from partsbin.families._marking import marking
from partsbin.families._stress import Draft
from partsbin.families.potentiometer.facts import bush_words, spindle_words
from partsbin.families.potentiometer.load import track_load
from partsbin.needs import Need, Request
from partsbin.notation.potentiometer import read_potentiometer
from partsbin.reference.valves import lineup
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import listed, percent, say, span, volts

MECHANICS = ("shaft_diameter", "shaft_length", "bush_diameter", "bush_length")
WANTED, UNSAID, NONE = "wanted", "unsaid", "none"
"""Whether the control carries the mains switch: it does, the dead part does not say, it does not."""


def need(request: Request) -> Need:
    """Build the need from the dead part's marking, the position and the facts of the set."""
    rules = load_rules("potentiometer")
    position, facts, draft = request.position, request.facts, Draft()
    dead = marking(request, draft, read_potentiometer, _said)
    _value(draft, dead, position, rules)
    _law(draft, dead, position, rules)
    power = dead.get("power")
    track_load(draft, facts, position, None if power is None else float(power), rules)
    _switch(draft, dead, position, facts, rules)
    _form(draft, dead, position)
    built = Need(
        "potentiometer", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions)
    )
    return replace(built, headline=_headline(built))


def _said(fields: dict[str, Any]) -> str:
    value = fields.get("resistance")
    law, gangs = fields.get("taper"), fields.get("gangs")
    words = ("no value" if value is None else say(float(value), "ohm"), law, f"{gangs} gangs" if gangs else "")
    return " ".join(str(word) for word in words if word)


def _value(draft: Draft, dead: Mapping[str, Any], position: str, rules: Rules) -> None:
    marked = dead.get("resistance")
    if marked:
        ideal, origin = float(marked), "marked on the dead part"
    else:
        ideal, origin = float(rules.of(position, "usual")), "usual in this position"
        draft.put("value_assumed", True, "", "the dead part's value is not known")
        draft.assume(f"the dead part's value is not known: {say(ideal, 'ohm')} taken, usual in this position")
        draft.ask("original", "What is written on the dead part?", say(ideal / 4, "ohm"), say(ideal * 4, "ohm"))
    draft.put("ideal", ideal, "ohm", origin)
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        how = f"{low:.3g} to {high:.3g} times ({rules.source_of(position, name)})"
        draft.put(name, (ideal * low, ideal * high), "ohm", how)


def _law(draft: Draft, dead: Mapping[str, Any], position: str, rules: Rules) -> None:
    """The dead part's law, else those usual here; the others that are usual here are taken with care."""
    usual, others = rules.of(position, "tapers"), rules.of(position, "tapers_care")
    marked = dead.get("taper")
    good = (str(marked),) if marked else usual
    draft.put("tapers", ", ".join(good), "", "marked on the dead part" if marked else "usual in this position")
    draft.put(
        "tapers_care", ", ".join(law for law in dict.fromkeys((*usual, *others)) if law not in good), "", "with care"
    )


def _switch(draft: Draft, dead: Mapping[str, Any], position: str, facts: SetFacts, rules: Rules) -> None:
    """Whether it carries the mains switch, with how many poles, at which volts and amperes."""
    poles = dead.get("switch_poles")
    marks = ("switch_action", "switch_voltage_ac", "switch_voltage_dc", "switch_current")
    there = bool(poles) or (poles is None and any(dead.get(mark) for mark in marks))
    panel = bool(rules.of(position, "panel"))
    mode = WANTED if there else NONE if poles == 0 or not panel else UNSAID
    draft.put(
        "switch", mode, "", "the dead part's marking" if poles is not None or there else "the dead part does not say"
    )
    live, why = follow.is_live(facts)
    if panel:
        draft.assume(*why)
    if panel and live is not False:
        draft.put("live", True, "", "given" if live else "chassis not known: taken as live")
    if panel and live is None:
        draft.assume("chassis taken as live: say chassis=floating or earthed if a mains transformer isolates it")
        draft.ask("chassis", "Is the chassis joined to the mains, or isolated by a transformer?", "live", "floating")
    if mode == UNSAID and draft.has("live"):
        draft.assume("whether the dead part carried the mains switch is not said: write 'no switch' if it did not")
    if mode == NONE:
        return
    nominal, assumed = follow.mains(facts)
    draft.put("mains", nominal, "V", "nominal mains")
    if mode == WANTED:
        draft.assume(*assumed)
        _poles(draft, None if poles is None else int(poles))
        _set_current(draft, position, facts, rules)


def _poles(draft: Draft, marked: int | None) -> None:
    if draft.has("live"):
        draft.put("poles", 2.0, "-", "live chassis: both leads must part")
    else:
        draft.put(
            "poles",
            float(marked or 1),
            "-",
            "as the dead part" if marked else "isolated chassis: the live lead must part",
        )


def _set_current(draft: Draft, position: str, facts: SetFacts, rules: Rules) -> None:
    """Amperes of the set through the switch, and of its cold start where rectifier and resistance are known."""
    usual = float(rules.general("current"))
    given = set_current(draft, facts, usual) if rules.of(position, "stress") == "signal" else math.nan
    live = follow.is_live(facts)[0]
    chain = [item.valve.heater_amperes for item in lineup(facts.text("lineup")).valves if item.valve.heater_amperes]
    if given >= usual:
        draft.put("switch_current", max(given, *chain) if live and chain else given, "A", "given")
    else:
        draft.put("switch_current", usual, "A", "usual for a set of valves")
        draft.assume(
            f"set draws up to {say(usual, 'A')} from the mains: give it with current=, from {say(usual, 'A')} up"
        )
    ohms = facts.number("winding_resistance")
    if live and follow.rectifier(facts) in ("silicon", "selenium") and ohms > 0:
        surge = math.sqrt(2) * follow.mains_high(facts) / ohms
        draft.put(
            "surge", surge, "A", f"empty reservoir on {volts(follow.mains_high(facts))} through {say(ohms, 'ohm')}"
        )


def _form(draft: Draft, dead: Mapping[str, Any], position: str) -> None:
    """Gangs, tap, spindle and bush of the dead part, and how a bias preset is wired."""
    draft.put(
        "gangs", float(dead.get("gangs") or 1), "-", "marked on the dead part" if dead.get("gangs") else "one taken"
    )
    if dead.get("taps"):
        draft.put("taps", float(len(dead["taps"])), "-", "marked on the dead part")
        if dead["taps"][0].get("ratio"):
            draft.put("tap", float(dead["taps"][0]["ratio"]), "-", "marked on the dead part")
    for name in MECHANICS:
        if dead.get(name):
            draft.put(name, float(dead[name]), "m", "the dead part's")
    if dead.get("shaft_style"):
        draft.put("shaft_style", str(dead["shaft_style"]), "", "the dead part's")
    if position != "bias-preset":
        return
    if dead.get("wired"):
        draft.put("wired", str(dead["wired"]), "", "given with the dead part")
    else:
        draft.ask("original", "How is the preset wired?", "22k lin rheostat", "22k lin divider", "22k lin end resistor")


# ---- in words


def _headline(need: Need) -> tuple[str, ...]:
    rules, position = need.rules, need.position
    dead = f" (dead part: {need.request.text})" if need.request.text else ""
    laws = listed(need.word("tapers").split(", "))
    lines = [
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{span(*need.window('fits'), 'ohm')} {laws} fits, {span(*need.window('care'), 'ohm')} with care{dead}",
        *_load_lines(need),
    ]
    form = (
        f"{need.number('gangs'):.0f} gangs" if need.number("gangs") > 1 else "",
        f"tapped at {percent(need.number('tap'))}" if need.has("tap") else "tapped" if need.has("taps") else "",
        wanted_spindle(need),
        wanted_bush(need),
    )
    if any(form):
        lines.append(" · ".join(word for word in form if word))
    if need.has("poles"):
        lines.append(f"switch: {wanted_switch(need)} ({need.fields['poles'].origin})")
    if need.has("live"):
        lines.append(f"LIVE CHASSIS ({need.fields['live'].origin}): spindle and screws are to be insulated")
    return tuple(lines)


def _load_lines(need: Need) -> list[str]:
    """What stands on the track, with its origin."""
    if need.has("across"):
        return [f"{volts(need.number('across'))} across the track ({need.fields['across'].origin})"]
    if need.has("flow"):
        return [f"{say(need.number('flow'), 'A')} through the wiper ({need.fields['flow'].origin})"]
    if need.has("original_watts"):
        return [f"load not known; at least the dead part's {say(need.number('original_watts'), 'W')}"]
    return ["neither the dead part's watts nor the load are known: no track can be passed without them"]


def wanted_switch(need: Need) -> str:
    """Return the switch that is wanted: poles, volts, amperes with room for switch-on."""
    poles = "two poles" if need.number("poles") == 2 else "one pole"
    amperes = need.number("switch_current") / need.rules.general("thin_current")
    return f"{poles}, {volts(need.number('mains'))} AC or more, {say(amperes, 'A')}"


def wanted_spindle(need: Need) -> str:
    """Return the dead part's spindle in words, "" where it is not known."""
    known = [None if math.isnan(need.number(name)) else need.number(name) for name in MECHANICS[:2]]
    return spindle_words(known[0], known[1], need.word("shaft_style"), None)


def wanted_bush(need: Need) -> str:
    """Return the dead part's bush in words, "" where it is not known."""
    known = [None if math.isnan(need.number(name)) else need.number(name) for name in MECHANICS[2:]]
    return bush_words(known[0], known[1])


def load_at(need: Need, ohms: Any) -> Any:
    """Return the watts that a track of so many ohms meets, as if all of it were in use [W]; NaN where nothing is known.

    A current through part of a track is reckoned through the whole: a part bears only its share of the watts.
    """
    if need.has("flow"):
        return need.number("flow") ** 2 * ohms
    if need.has("across"):
        square = need.number("mean_square") if need.has("mean_square") else need.number("across") ** 2
        return square / ohms
    return need.number("original_watts") + 0 * ohms


def least_load(need: Need) -> float:
    """Return the watts that any track in the window meets, whatever its ohms [W]; 0 where none can be told."""
    if need.has("original_watts"):
        return need.number("original_watts")
    if need.has("load_unknown") or need.has("value_assumed") or need.rules.of(need.position, "stress") == "signal":
        return 0.0
    return float(min(load_at(need, end) for end in need.window("care")))


def search(need: Need) -> Search:
    """Say what is asked of the search keys: the wider window, and watts where a supply stands on the track."""
    low, high = need.window("care")
    if need.has("value_assumed"):
        low, high = low * 1e-15, high * 1e9  # an assumed value refuses nothing
    ideal, least = need.number("ideal"), least_load(need)
    if not least > 1e-12:
        return Search(low, high, ideal)
    comfortable = max(float(load_at(need, ideal)) / need.rules.general("thin_power"), least)
    return Search(low, high, ideal, least, comfortable)
