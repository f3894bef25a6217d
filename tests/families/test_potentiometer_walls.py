"""Walls of potentiometers over random parts and sets: switches on the mains, and presets that lose the bias."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Option, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.sets import read_facts
from tests.families.random_parts import MAKERS, facts_of_set, item

POT = load("potentiometer")
PASSES = {Verdict.FITS, Verdict.CARE}
LIVE = ("live", "live-behind-capacitor", "auto")
SWITCHED = ("1M log DP sw", "1M log SP sw 2A 250V~", "500k log mains switch", "250k lin tone control with switch")
TRIALS = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
seeds = st.integers(0, 2**32)


def need_for(text: str, position: str = "volume", *facts: str) -> Need:
    """Return a need."""
    return POT.need(Request("potentiometer", text, position, {}, read_facts(facts)))


def good_track(offers: dict[str, Any], need: Need) -> None:
    """Make everything but the switch good, so that nothing else can refuse the part."""
    ohms = need.number("ideal")
    law = need.word("tapers").split(", ")[0]
    offers.update(
        resistance=ohms, resistance_low=ohms, resistance_high=ohms, measured=1.0, taper=law, power=5.0, voltage=1000.0
    )
    offers.update(gangs=1.0, condition="new", contact=None, insulation=None, insulation_volts=None)


def spoilt(
    source: random.Random, n: int, spoil: Callable[[dict[str, Any], random.Random], None], need: Need
) -> list[Option]:
    """Return random parts, half of them good in every respect, of which one thing is made unsafe."""
    made: list[Option] = []
    while len(made) < n:
        for option in POT.options(item(MAKERS["potentiometer"](source))):
            offers = dict(option.offers)
            if len(made) % 2 == 0:
                good_track(offers, need)
            spoil(offers, source)
            made.append(Option(option.label, offers))
    return made


def verdicts(need: Need, options: list[Option]) -> set[Verdict]:
    """Return the verdicts that occur."""
    judged = judge(POT, need, POT.search(need), columns_of(options, POT.quantities, POT.words))
    return {Verdict(int(value)) for value in judged.verdict}


def any_set(source: random.Random, *fixed: str) -> list[str]:
    """Return random facts of a set beside those that are certain."""
    keys = {fact.partition("=")[0] for fact in fixed}
    return [*(fact for fact in facts_of_set(source, "potentiometer") if fact.partition("=")[0] not in keys), *fixed]


def good_switch(offers: dict[str, Any], source: random.Random) -> None:
    """Give a part two poles and a rating for the mains."""
    offers.update(switch_poles=2.0, switched=1.0, switch_ac=250.0, switch_dc=None, switch_current=4.0)


def one_pole(offers: dict[str, Any], source: random.Random) -> None:
    """One pole, well rated."""
    good_switch(offers, source)
    offers.update(switch_poles=1.0)


def no_mark(offers: dict[str, Any], source: random.Random) -> None:
    """No AC rating, whatever else is marked."""
    good_switch(offers, source)
    offers.update(switch_ac=None, switch_poles=source.choice((1.0, 2.0, None)))


def low_volts(offers: dict[str, Any], source: random.Random) -> None:
    """A consumer switch: a few volts, DC or AC."""
    good_switch(offers, source)
    direct = source.random() < 0.5
    offers.update(
        switch_ac=None if direct else source.uniform(6, 110),
        switch_dc=source.uniform(6, 50),
        switch_poles=source.choice((1.0, 2.0)),
    )


def no_amperes(offers: dict[str, Any], source: random.Random) -> None:
    """No current marked, or too little."""
    good_switch(offers, source)
    offers.update(switch_current=source.choice((None, 0.01, 0.05, 0.3, 0.49)))


@TRIALS
@given(seeds, st.sampled_from(LIVE), st.sampled_from(SWITCHED))
def test_two_rated_poles_on_a_good_track_pass_on_a_live_chassis(seed: int, chassis: str, text: str) -> None:
    """What the walls below refuse is refused for its switch alone."""
    source = random.Random(seed)
    need = need_for(text, source.choice(("volume", "tone")), f"chassis={chassis}", "mains=230")
    parts = spoilt(source, 6, good_switch, need)[::2]
    assert verdicts(need, parts) <= PASSES


@TRIALS
@given(
    seeds, st.sampled_from((one_pole, no_mark, low_volts, no_amperes)), st.sampled_from(LIVE), st.sampled_from(SWITCHED)
)
def test_a_single_pole_or_unrated_switch_is_unfit_on_a_live_chassis(
    seed: int, spoil: Callable[[dict[str, Any], random.Random], None], chassis: str, text: str
) -> None:
    """Whatever the rest of the part and of the set."""
    source = random.Random(seed)
    need = need_for(text, source.choice(("volume", "tone")), *any_set(source, f"chassis={chassis}", "mains=230"))
    assert verdicts(need, spoilt(source, 6, spoil, need)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from((one_pole, low_volts)), st.sampled_from(("", "1M log", "500k pot")))
def test_such_a_switch_is_unfit_on_a_live_chassis_even_where_nobody_spoke_of_one(
    seed: int, spoil: Callable[[dict[str, Any], random.Random], None], text: str
) -> None:
    """The dead part may have carried the mains: only 'no switch' says that it did not."""
    source = random.Random(seed)
    need = need_for(text, "volume", *any_set(source, "chassis=live", "mains=230"))
    assert verdicts(need, spoilt(source, 6, spoil, need)) == {Verdict.UNFIT}


@TRIALS
@given(
    seeds,
    st.sampled_from((no_mark, low_volts, no_amperes)),
    st.sampled_from(("earthed", "floating")),
    st.sampled_from(SWITCHED),
)
def test_an_unrated_or_low_volt_switch_is_unfit_on_any_mains(
    seed: int, spoil: Callable[[dict[str, Any], random.Random], None], chassis: str, text: str
) -> None:
    """A transformer does not make a 16 V switch one for the mains."""
    source = random.Random(seed)
    need = need_for(text, "volume", *any_set(source, f"chassis={chassis}", "mains=230"))
    assert verdicts(need, spoilt(source, 6, spoil, need)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(SWITCHED))
def test_a_switch_of_which_nothing_is_known_never_passes(seed: int, text: str) -> None:
    """It is looked at first."""
    source = random.Random(seed)
    need = need_for(text, "volume", *any_set(source, "chassis=live", "mains=230"))

    def blank(offers: dict[str, Any], source: random.Random) -> None:
        offers.update(switch_poles=None, switched=None, switch_ac=None, switch_dc=None, switch_current=None)

    assert not PASSES & verdicts(need, spoilt(source, 6, blank, need))


@TRIALS
@given(seeds)
def test_a_used_switch_that_was_not_read_never_passes_on_the_mains(seed: int) -> None:
    """Contacts and insulation first."""
    source = random.Random(seed)
    need = need_for("1M log DP sw", "volume", *any_set(source, "mains=230"))

    def used(offers: dict[str, Any], source: random.Random) -> None:
        good_switch(offers, source)
        offers.update(
            condition=source.choice(("salvaged", "unused-old", "")),
            insulation=None,
            contact=None,
            insulation_volts=None,
        )

    assert not PASSES & verdicts(need, spoilt(source, 6, used, need))


@TRIALS
@given(seeds, st.sampled_from(("22k lin preset divider", "22k preset", "")))
def test_a_preset_that_may_lose_the_bias_never_passes(seed: int, text: str) -> None:
    """Wired as a divider it is refused; where nobody knows, the wiring is looked at."""
    source = random.Random(seed)
    need = need_for(text, "bias-preset", *any_set(source, "rail=40"))
    assert not PASSES & verdicts(need, spoilt(source, 6, lambda offers, source: None, need))
