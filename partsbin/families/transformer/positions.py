"""The need of a transformer by its position, and what it asks of the search keys."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.families._declare import Search
from partsbin.families._marking import marking
from partsbin.families._stress import Draft
from partsbin.families.transformer import other_needs
from partsbin.families.transformer.mains_need import mains_need
from partsbin.families.transformer.need import headline, line_need, output_need, wanted_ratio
from partsbin.families.transformer.winding_checks import listed_rms
from partsbin.needs import Need, Request
from partsbin.notation.transformer import read_transformer
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow

LOADED = ("output", "line")
"""Positions that are judged by the load on the secondary."""

FIGURE = {"output": ("load", "ohm"), "line": ("load", "ohm"), "mains": ("ht", "V"), "heater": ("heater", "V")}
"""The figure round which a position has its windows; of the others it is the ratio."""

WIDE = 1e9  # an assumed figure refuses nothing


def need(request: Request) -> Need:
    """Build the need from the line-up, the loudspeaker and the dead part's marking."""
    rules = load_rules("transformer")
    draft, facts = Draft(), request.facts
    dead = marking(request, draft, read_transformer, _said)
    _write(draft, facts, dead, rules, request.position)
    _barrier(draft, facts, request.position)
    built = Need(
        "transformer", request.position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions)
    )
    return Need(
        "transformer",
        request.position,
        draft.fields,
        request,
        rules,
        built.assumptions,
        built.questions,
        headline(built) if request.position in LOADED else other_needs.headline(draft, request.position, rules),
    )


def _write(draft: Draft, facts: SetFacts, dead: Mapping[str, Any], rules: Rules, position: str) -> None:
    """Write down what the position asks, and the windows round its figure."""
    if position == "line":
        line_need(draft, facts, dead, rules)
    elif position == "output":
        output_need(draft, facts, dead, rules)
    elif position == "mains":
        mains_need(draft, facts, dead, rules)
    elif position == "heater":
        other_needs.heater_need(draft, facts, dead, rules)
    elif position == "isolating":
        other_needs.isolating_need(draft, facts, dead, rules)
    else:
        other_needs.coupling_need(draft, facts, dead, rules, position)
    name, unit = FIGURE.get(position, ("ratio", "-"))
    other_needs.windows(draft, name, unit, rules, position)
    if draft.has("ht_reckoned"):  # a rail tells the winding to a tenth or so
        low, high = (draft.number("ht") * by for by in rules.of(position, "care"))
        draft.put("care", (low * 0.85, high * 1.15), unit, "widened: the winding is reckoned from the rail")


def _said(fields: dict[str, Any]) -> str:
    pairs = fields.get("pairs", ())
    return ", ".join(f"{pair['ratio']:.3g}:1" for pair in pairs if pair.get("ratio")) or "no ratio"


def _barrier(draft: Draft, facts: SetFacts, position: str) -> None:
    """The iron is the isolation unless a mains transformer is known to be: a wall is not assumed away."""
    live, why = follow.is_live(facts)
    if position != "output":
        return
    draft.assume(*why)
    if live is None:
        draft.ask("chassis", "Does a mains transformer isolate the chassis?", "floating")
        draft.assume("chassis taken as live: say chassis=floating if a mains transformer isolates it")
    if live is not False:
        draft.put("barrier", True, "", "the iron keeps the mains from the loudspeaker leads")


def search(need: Need) -> Search:
    """Say what is asked of the search keys: ratios outside which everything is unfit, and the least current."""
    if need.position in LOADED:
        return _search_by_load(need)
    least = need.number("standing")
    if need.position == "mains":
        ends = np.array([0.0, 1.0, math.nan])
        least = float(np.min(listed_rms(need, ends)))
    low, high = need.window("care")
    if need.position in ("mains", "heater"):
        mains, rise = need.number("mains"), 1 + need.rules.general("winding_regulation")
        low, high, ideal = mains / high, rise * mains / low, mains / need.number(FIGURE[need.position][0])
    else:
        ideal = need.number("ratio")
    wide = WIDE if need.has("ht_assumed") or need.has("ratio_assumed") else 1.0
    return Search(low / wide, high * wide, ideal, least, least * 1.2)


def _search_by_load(need: Need) -> Search:
    """Ratios whose load can lie in the wider window at the least efficiency."""
    low, high = need.window("care")
    speaker = need.number("speaker")
    least = need.number("standing") if need.word("topology") == "single-ended" else math.nan
    wide = WIDE if need.has("load_assumed") else 1.0
    return Search(
        math.sqrt(low * need.rules.general("efficiency_least") / speaker) / wide,
        math.sqrt(high / speaker) * wide,
        wanted_ratio(need),
        least,
        least * 1.1,
    )
