"""Contacts that switch the mains, in a switch of its own or at the back of a control: what they carry, and how used ones are proven."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.checks import Columns, Ruling, outcomes
from partsbin.families._dangers import TAGS
from partsbin.families._declare import Card
from partsbin.families._stress import Draft
from partsbin.needs import Need
from partsbin.rules import Rules
from partsbin.sets import SetFacts
from partsbin.words import say, volts

MAINS_AC = 200.0  # V, ratings under it were never meant for the mains of a 230 V country
PROOF = ("contact", "insulation", "insulation_volts")
"""Quantities that a used contact is proven by."""


def set_current(draft: Draft, facts: SetFacts, least: float) -> float:
    """Return what the set draws from the mains as the repairer gave it [A], NaN where nothing that can be believed was given.

    Parameters
    ----------
    draft : Draft
        Takes the line on what is not believed.
    facts : SetFacts
        Of the set; what it calls current may be the HT's.
    least : float
        What a set of valves is reckoned with, whatever it says [A].
    """
    given = facts.number("current")
    if given >= least:
        return given
    if not math.isnan(given):
        draft.assume(
            f"{say(given, 'A')} is not believed as what the set draws from the mains (the HT's?): "
            f"at least {say(least, 'A')} is reckoned with"
        )
    return math.nan


def say_ac(rated: float, mains: float, failed: bool) -> str:
    """Return the AC rating beside the mains in words; a rating that was never meant for the mains is called so."""
    small = ": a low-voltage switch" if failed and rated < MAINS_AC else ""
    return f"{volts(rated)} AC, {volts(mains)} mains{small}"


def proven(rules: Rules, c: Columns, there: npt.NDArray[np.bool_]) -> Ruling:
    """Judge contacts: those that are not new are read before they go in, contacts and insulation, at the volts of the test.

    Parameters
    ----------
    rules : Rules
        With `contact_most`, `insulation_least` and `insulation_test`.
    c : mapping of str to array
        Quantities of options: condition and `PROOF`.
    there : array of bool
        Options that have such contacts.
    """
    most, least = float(rules.general("contact_most")), float(rules.general("insulation_least"))
    with np.errstate(invalid="ignore"):
        bad = there & ((c["contact"] > 10 * most) | (c["insulation"] < least))
        thin = there & (c["contact"] > most)
        tested = c["insulation_volts"] >= rules.general("insulation_test")
    unread = np.isnan(c["contact"]) | np.isnan(c["insulation"]) | ~tested
    unknown = there & (c["condition"] != "new") & unread
    wanted = np.full(len(there), "contacts and insulation read", object)
    return Ruling(outcomes(len(there), fail=bad, thin=thin, unknown=unknown), c["condition"], wanted)


def say_proven(need: Need, verdict: str, row: Mapping[str, Any], whose: str = "") -> str:
    """Return what was read of contacts and insulation, or what is still to be read, in words; "" where nothing was or is."""
    general = need.rules.general
    test = volts(general("insulation_test"))
    contact, insulation, at = (row[name] for name in PROOF)
    if verdict == "unknown":
        owed = [name for name, value in (("contacts", contact), ("insulation", insulation)) if math.isnan(value)]
        left = f"{' and '.join(owed)}{whose} not read" if owed else ""
        volts_said = "without its volts" if math.isnan(at) else f"at {volts(at)}"
        weak = not math.isnan(insulation) and not at >= general("insulation_test")
        read = f"insulation{'' if owed else whose} read {volts_said}, {test} wanted" if weak else ""
        return f"not new: {', '.join(word for word in (left, read) if word)}"
    said = [
        "" if math.isnan(contact) else f"contacts {say(contact, 'ohm')}",
        "" if math.isnan(insulation) else f"insulation {say(insulation, 'ohm')}",
    ]
    read = ", ".join(word for word in said if word)
    most, least = say(general("contact_most"), "ohm"), say(general("insulation_least"), "ohm")
    return f"{read}; {most} at most and {least} or more wanted" if read else ""


def contacts_card(rules: Rules, further: str) -> Card:
    """Return how used contacts are proven; `further` names what the poles are tested against beside each other."""
    most, least = rules.general("contact_most"), say(rules.general("insulation_least"), "ohm")
    test = volts(rules.general("insulation_test"))
    return Card(
        "contacts",
        "contacts and insulation",
        f"each pole, 1 A DC, volts across it, ten times running; off: poles open; then {test} DC across open poles, pole to pole, "
        f"poles to {further}",
        f"under {most * 1000:.0f} mV each time; over {least} (common practice)",
        danger=TAGS,
        instrument="500 V tester",
    )
