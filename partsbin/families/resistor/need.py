"""What a failed resistor had to do, from its marking, its position and the set."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from partsbin.families._declare import Search
from partsbin.families._marking import marking
from partsbin.families._stress import Draft
from partsbin.families.resistor.stress import stresses
from partsbin.families.resistor.value import value_of
from partsbin.needs import Need, Request
from partsbin.notation.resistor import read_resistor
from partsbin.rules import Rules, load_rules
from partsbin.words import say, span, volts

WORSE_END = 1.05  # a usual ±5 % part at the end of its tolerance that loads it more


def need(request: Request) -> Need:
    """Build the need from the dead part's marking, the position and the facts of the set."""
    rules = load_rules("resistor")
    position, facts, draft = request.position, request.facts, Draft()
    dead = _original(request, draft)
    value_of(draft, dead, position, facts, rules)
    stresses(draft, dead, position, facts, rules)
    _fusible(draft, dead)
    if dead.get("power"):
        draft.put("dead_watts", float(dead["power"]), "W", "marked on the dead part")
    ambient = float(rules.of(position, "ambient"))
    given = facts.number("ambient", ambient)
    draft.put("ambient", given, "°C", "given" if facts.knows("ambient") else "usual air at this position")
    if facts.knows("space"):
        draft.put("space", facts.number("space"), "m", "given")
    built = Need("resistor", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions))
    return replace(built, headline=_headline(built))


def _original(request: Request, draft: Draft) -> dict[str, Any]:
    """The dead part's marking; of a tapped one the whole is meant."""
    found = marking(request, draft, read_resistor, _said)
    sections = [row.get("resistance") for row in found.get("taps", ())]
    if sections and all(sections) and "resistance" not in found:
        found["resistance"] = sum(float(one) for one in sections if one)
        draft.assume("the whole of the dead tapped resistor is meant; give the value of a section to mean that")
    return found


def _said(fields: dict[str, Any]) -> str:
    value = fields.get("resistance")
    ohms = "no value" if value is None else say(float(value), "ohm")
    return f"{ohms}, fusible" if fields.get("fusible") else ohms


def _fusible(draft: Draft, dead: Mapping[str, Any]) -> None:
    """A resistor that was made to open on overload is replaced by one that does, at no more watts."""
    if not dead.get("fusible"):
        return
    draft.put("fusible", True, "", "the dead part is fusible")
    if dead.get("power"):
        draft.put("fuse_watts", float(dead["power"]), "W", "marked on the dead part")


def _headline(need: Need) -> tuple[str, ...]:
    lines = [f"{need.rules.of(need.position, 'title')}: {need.rules.of(need.position, 'does')}", *_load_lines(need)]
    if need.has("fusible"):
        lines.append("FUSIBLE: only a fusible one, of no more watts, takes its place")
    if need.has("touch_limit"):
        least = f", {say(need.number('least_ohms'), 'ohm')} or more" if need.has("least_ohms") else ""
        lines.append(f"between the mains and what is touchable: made to bridge insulation, new{least}")
    if need.has("paths_alone"):
        lines.append(f"{need.fields['paths_alone'].origin}: no resistor helps")
    marking = f" (dead part: {need.request.text})" if need.request.text else ""
    windows = f"{span(*need.window('fits'), 'ohm')} fits, {span(*need.window('care'), 'ohm')} with care"
    return (*lines, windows + marking)


def _load_lines(need: Need) -> list[str]:
    """What it carries and what stands across it, each with its origin."""
    lines = []
    watts, origin = power_at(need, need.number("ideal"))
    if not math.isnan(watts):
        lines.append(f"carries {say(watts, 'W')} in {need.number('ambient'):.0f} °C ({origin})")
    elif need.has("original_watts"):
        lines.append(f"load in the set not known; at least the dead part's {say(need.number('original_watts'), 'W')}")
    if need.has("element_volts"):
        given = need.fields["element_volts"]
        lines.append(f"its body must bear {volts(need.number('element_volts'))} ({given.origin})")
    if need.has("off_load_guess"):
        guess = need.fields["off_load_guess"]
        lines.append(f"and {volts(need.number('off_load_guess'))} for good if an output valve dies ({guess.origin})")
    if need.has("stress_unknown"):
        lines.append("neither the dead part's watts nor the load are known: no part can be passed without them")
    return lines


def power_at(need: Need, ohms: float, bound: str = "") -> tuple[float, str]:
    """Return the power in a resistor of so many ohms [W] and where it comes from; NaN where nobody knows."""
    current, across, watts = (need.number(bound + name) for name in ("current", "across", "watts"))
    for name, power in (("current", current**2 * ohms), ("across", across**2 / ohms), ("watts", watts)):
        if need.has(bound + name):
            return power, need.fields[bound + name].origin
    return math.nan, ""


def search(need: Need) -> Search:
    """Say what is asked of the search keys: the wider window and the least watts."""
    low, high = need.window("care")
    if need.has("value_assumed"):
        low, high = low * 1e-9, high * 1e9  # an assumed value refuses nothing: every part may still be the one
    least = min(power_at(need, low)[0], power_at(need, high)[0])
    comfortable = power_at(need, need.number("ideal"))[0]
    if (
        math.isnan(least)
        and need.has("original_watts")
        and not need.has("bound_across")
        and not need.has("bound_current")
    ):
        least = comfortable = need.number("original_watts") * (1 - 1e-9)
    if not least > 1e-12:
        return Search(low, high, need.number("ideal"))
    return Search(
        low, high, need.number("ideal"), least, max(comfortable, least) / (1 - need.rules.general("comfortable"))
    )


def least_watts(need: Need, rules: Rules, technology: str) -> float:
    """Return the rated watts that make a new part of that technology comfortable [W], NaN where nothing is known."""
    load = power_at(need, need.number("ideal"))[0]
    mark = need.number("original_watts")
    if math.isnan(load):
        return mark
    full, zero = (float(rules.get(name, technology)) for name in ("full_to", "zero_at"))
    left = min(1.0, max(0.05, (zero - need.number("ambient")) / (zero - full)))
    least = load * WORSE_END / left / float(rules.get("derating", technology))
    return least if math.isnan(mark) else max(least, mark)
