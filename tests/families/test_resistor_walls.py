"""Walls of resistors hold over random parts and sets: nothing turns one off, and an unknown never passes one."""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from partsbin.checks import Verdict
from partsbin.errors import RulesError
from partsbin.families import load
from partsbin.families._declare import Item, Option, columns_of
from partsbin.families.resistor.facts import FILMS
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.rules import load_rules
from partsbin.sets import follow, read_facts
from tests.families.random_parts import facts_of_set, item
from tests.families.random_resistors import RESISTOR_TEXTS, resistor

TRIALS = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
FAMILY = load("resistor")
SERIES = ("back-bias", "ht-dropper", "field-substitute", "decoupling", "cathode-bias")
BODIES = ("anode-load", "screen-feed", "bleeder", "decoupling", "ht-dropper", "field-substitute")
USABLE = {Verdict.FITS, Verdict.CARE}
seeds = st.integers(0, 2**32)


def verdicts(need: Need, offers: list[dict[str, Any]]) -> list[Verdict]:
    """Judge options given by what they offer."""
    columns = columns_of([Option("", one) for one in offers], FAMILY.quantities, FAMILY.words)
    return [Verdict(int(value)) for value in judge(FAMILY, need, FAMILY.search(need), columns).verdict]


def parts(source: random.Random, **spoilt: Any) -> list[dict[str, Any]]:
    """Return what random resistors offer, spoilt so that a wall must refuse them; a callable is given the offers."""
    made = [dict(option.offers) for _ in range(5) for option in FAMILY.options(item(resistor(source)))][:5]
    for offers in made:
        offers.update({name: value(offers) if callable(value) else value for name, value in spoilt.items()})
    return made


def need_at(source: random.Random, position: str, *facts: str, text: str | None = None) -> Need:
    """Return a random need at a position, with facts that are certain."""
    certain = {fact.partition("=")[0] for fact in facts}
    given_ = [f for f in facts_of_set(source, "resistor") if f.partition("=")[0] not in certain]
    marked = source.choice(RESISTOR_TEXTS) if text is None else text
    return FAMILY.need(Request("resistor", marked, position, {}, read_facts([*given_, *facts])))


def wanted(need: Need, **more: Any) -> dict[str, Any]:
    """Return offers that suit a need in every way that random parts may not: value, new, large, high."""
    ideal = need.number("ideal")
    return {
        "resistance": ideal, "resistance_low": ideal, "resistance_high": ideal, "measured": 1.0, "power": 1e4,
        "voltage": 1e5, "limit_taken": 0.0, "technology": "wirewound", "condition": "new", "temperature_max": 300.0, "length": None,
        "fusible": 1.0, "non_inductive": 1.0, "pulse_rated": 1.0, "bridging": 1.0, **more,
    }  # fmt: skip


@TRIALS
@given(seeds, st.sampled_from(SERIES), st.floats(0.01, 0.999))
def test_more_watts_than_the_part_bears_is_unfit(seed: int, position: str, share: float) -> None:
    """The current is known, so the watts are; a rating below them is refused whatever the dead part was."""
    source = random.Random(seed)
    need = need_at(source, position, "current=0.1A", "rail=90")
    load_ = need.number("current") ** 2
    spoilt = parts(source, power=lambda o: share * load_ * (o["resistance"] or need.number("ideal")) * 0.7)
    for offers in spoilt:
        offers["resistance_low"] = offers["resistance_high"] = offers["resistance"]
    assert set(verdicts(need, spoilt)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.integers(56, 149), st.integers(0, 30))
def test_a_body_in_hotter_air_than_it_bears_is_unfit(seed: int, ambient: int, cooler: int) -> None:
    """Derating ends at nothing: composition is of no use from 130 °C up, and no part above its own temperature."""
    source = random.Random(seed)
    need = need_at(source, source.choice(SERIES), "current=0.1A", f"ambient={ambient}")
    over = wanted(need, temperature_max=ambient - 1 - cooler)
    composition = wanted(need, technology="carbon-composition", condition="new")
    said = verdicts(need, [over, composition])
    assert said[0] is Verdict.UNFIT
    assert ambient < 130 or said[1] is Verdict.UNFIT


@TRIALS
@given(seeds, st.sampled_from(BODIES), st.floats(0.01, 0.999))
def test_a_body_below_the_volts_across_it_is_unfit(seed: int, position: str, share: float) -> None:
    """The limiting element voltage holds, whatever the watts are."""
    source = random.Random(seed)
    need = need_at(source, position, "rail=250", "chassis=floating")
    spoilt = parts(source, voltage=share * need.number("element_volts"), limit_taken=0.0, power=1e4)
    assert set(verdicts(need, spoilt)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.floats(0.01, 0.999))
def test_a_bleeder_body_below_the_off_load_peak_is_unfit(seed: int, share: float) -> None:
    """A dead output valve leaves the off-load volts on it for good."""
    source = random.Random(seed)
    need = need_at(source, "bleeder", "secondary=286-0-286 off-load", "mains_now=231")
    peak = follow.off_load(need.facts).volts
    assert set(verdicts(need, parts(source, voltage=share * peak, limit_taken=0.0))) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(load_rules("resistor").positions), st.sampled_from((None, 0.0)))
def test_an_ordinary_resistor_for_a_fusible_one_is_unfit(seed: int, position: str, fusible: float | None) -> None:
    """Marked as ordinary, or not marked: the mark is what no reading can replace."""
    source = random.Random(seed)
    need = need_at(source, position, text="")
    fused = FAMILY.need(Request("resistor", "", position, {"fusible": True, "resistance": 1e3}, need.facts))
    assert set(verdicts(fused, [*parts(source, fusible=fusible), wanted(fused, fusible=fusible)])) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(load_rules("resistor").positions), st.floats(1.01, 20.0))
def test_a_larger_fusible_resistor_is_unfit(seed: int, position: str, times: float) -> None:
    """It opens later than the one that the set was made with."""
    source = random.Random(seed)
    facts = need_at(source, position, text="").facts
    fields = {"fusible": True, "resistance": 1e3, "power": 1.0}
    fused = FAMILY.need(Request("resistor", "", position, fields, facts))
    assert set(verdicts(fused, [*parts(source, fusible=1.0, power=times), wanted(fused, power=times)])) == {
        Verdict.UNFIT
    }


@TRIALS
@given(seeds, st.sampled_from((None, 0.0)))
def test_what_is_not_made_for_it_never_bridges_the_isolation(seed: int, bridging: float | None) -> None:
    """Whatever the chassis, and on one of which nobody knows."""
    source = random.Random(seed)
    for facts in (("chassis=live",), ("chassis=auto",), ("chassis=floating",), ("chassis=earthed",), ()):
        need = FAMILY.need(Request("resistor", "2.2M", "isolation-bridging", {}, read_facts(facts)))
        assert set(verdicts(need, [*parts(source, bridging=bridging), wanted(need, bridging=bridging)])) == {
            Verdict.UNFIT
        }


@TRIALS
@given(seeds, st.sampled_from(("x-discharge", "isolation-bridging")))
def test_a_used_part_is_unfit_on_the_mains(seed: int, position: str) -> None:
    """Across the mains and over the isolation only new parts; one that may be used never passes."""
    source = random.Random(seed)
    need = need_at(source, position, "chassis=live")
    used = [*parts(source, condition="salvaged"), wanted(need, condition="salvaged", technology="metal-glaze")]
    assert set(verdicts(need, used)) == {Verdict.UNFIT}
    assert not USABLE & set(verdicts(need, [wanted(need, condition="", technology="metal-glaze")]))


@TRIALS
@given(seeds, st.floats(1.0, 50.0))
def test_touch_current_above_the_limit_is_unfit_and_a_doubtful_one_never_passes(seed: int, over: float) -> None:
    """The best end over the limit is unfit; only the worst end over it is to be measured."""
    need = need_at(random.Random(seed), "isolation-bridging", "chassis=live")
    least = need.number("least_ohms")
    low = {
        "resistance": least / over * 0.9,
        "resistance_low": least / over * 0.8,
        "resistance_high": least / over * 0.99,
    }
    doubtful = {"resistance": least * 1.01, "resistance_low": least * 0.95, "resistance_high": least * 1.06}
    fixed: dict[str, Any] = {"technology": "metal-glaze", "measured": 0.0}
    said = verdicts(need, [wanted(need, **fixed, **low), wanted(need, **fixed, **doubtful)])
    assert said[0] is Verdict.UNFIT
    assert said[1] in (Verdict.MEASURE, Verdict.UNFIT)


@TRIALS
@given(seeds, st.sampled_from(sorted(FILMS)), st.sampled_from((0.0, None)))
def test_a_film_without_a_pulse_rating_never_limits_the_surge(seed: int, film: str, rated: float | None) -> None:
    """Marked as not rated it is unfit, not marked it is looked up."""
    source = random.Random(seed)
    need = need_at(source, "surge-limiter")
    said = set(
        verdicts(
            need, [*parts(source, technology=film, pulse_rated=rated), wanted(need, technology=film, pulse_rated=rated)]
        )
    )
    assert not USABLE & said
    assert rated is None or said == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(("carbon-composition", *sorted(FILMS))))
def test_only_wire_drops_the_heaters_volts(seed: int, technology: str) -> None:
    """Composition and film burn there."""
    source = random.Random(seed)
    need = need_at(source, "heater-dropper")
    assert set(verdicts(need, [*parts(source, technology=technology), wanted(need, technology=technology)])) == {
        Verdict.UNFIT
    }


@TRIALS
@given(seeds, st.sampled_from((None, 0.0)))
def test_wire_on_a_grid_is_unfit(seed: int, non_inductive: float | None) -> None:
    """Its winding is a coil."""
    source = random.Random(seed)
    need = need_at(source, "grid-stopper")
    spoilt = {"technology": "wirewound", "non_inductive": non_inductive}
    assert set(verdicts(need, [*parts(source, **spoilt), wanted(need, **spoilt)])) == {Verdict.UNFIT}


@TRIALS
@example(seed=827502425, missing="power")  # a large dead body: unknown watts are looked at, whatever the load reckoned
@given(seeds, st.sampled_from(("power", "voltage", "technology")))
def test_an_unknown_never_passes_at_ht(seed: int, missing: str) -> None:
    """Watts, limiting voltage and, of an old part, technology are known or looked for; so is the load where nothing is
    said of it."""
    source = random.Random(seed)
    need = need_at(source, source.choice(BODIES), "rail=250", text="47k 1W")
    spoilt: dict[str, Any] = {missing: None} | ({"condition": "unused-old"} if missing == "technology" else {})
    assert not USABLE & set(verdicts(need, [*parts(source, **spoilt), wanted(need, **spoilt)]))
    blind = FAMILY.need(Request("resistor", "47k", source.choice(BODIES)))
    assert not USABLE & set(verdicts(blind, [*parts(source), wanted(blind)]))


@TRIALS
@given(seeds, st.sampled_from(("carbon-composition", "")), st.sampled_from(("salvaged", "unused-old", "")))
def test_old_composition_is_never_trusted_unmeasured(seed: int, technology: str, condition: str) -> None:
    """Nor is what may be composition."""
    source = random.Random(seed)
    need = need_at(source, source.choice(load_rules("resistor").positions))
    old = {"technology": technology, "condition": condition, "measured": 0.0}
    assert not USABLE & set(verdicts(need, [*parts(source, **old), wanted(need, **old)]))


@TRIALS
@given(seeds)
def test_the_part_that_suits_in_every_way_is_taken(seed: int) -> None:
    """The refusals above are the walls' doing: with nothing spoilt the same parts are usable."""
    source = random.Random(seed)
    position = source.choice((*SERIES, *BODIES, "heater-dropper", "surge-limiter", "lamp-shunt"))
    need = need_at(source, position, "rail=90", "current=20mA", text="1 k 1W")
    assert math.isfinite(need.number("ideal"))
    said = verdicts(need, [wanted(need)])
    assert said[0] in USABLE


LOOSENED = (
    ("resistor.general", "overload", "3.0"), ("resistor.general", "touch_limit_peak", "0.01"),
    ("resistor.general", "grid_leak_most", "1e7"), ("resistor.derating", "metal-film", "0.9"),
    ("resistor.zero_at", "wirewound", "400.0"), ("resistor.full_to", "metal-film", "120.0"),
    ("resistor.element_half", "metal-film", "500.0"), ("resistor.position.bleeder", "ambient", "20.0"),
    ("resistor.position.grid-leak", "volts", "10.0"), ("resistor.position.grid-leak", "watts", "0.001"),
    ("resistor.position.heater-dropper", "technologies", '["wirewound", "metal-film"]'),
    ("resistor.position.heater-dropper", "technologies_care", '["carbon-composition"]'),
    ("resistor.position.isolation-bridging", "safety", '"none"'), ("resistor.position.bleeder", "stress", '"signal"'),
    ("resistor.position.bleeder", "cautions", '["none"]'), ("resistor.tolerance", "wirewound", "[-0.01, 0.01]"),
)  # fmt: skip


@pytest.mark.parametrize(("section", "name", "value"), LOOSENED)
def test_no_override_turns_a_wall_off(section: str, name: str, value: str, tmp_path: Path) -> None:
    """Whatever holds a wall may only be tightened; the file that tries is refused, not ignored."""
    file = tmp_path / "own.toml"
    file.write_text(f"[{section}]\n{name} = {value}\n", encoding="utf-8")
    with pytest.raises(RulesError, match=name):
        load_rules("resistor", file)


@pytest.mark.parametrize("text", ["10R 1W wirewound", "10R 1W wirewound, not fusible", "10R 1W not a fusible one"])
@pytest.mark.parametrize("dead", ["10R 1W fusible", "10R 1W fuseable", "10R 1W fusible, not tested"])
def test_words_that_deny_a_fuse_never_open_the_wall(text: str, dead: str) -> None:
    """From the description to the verdict: an ordinary part for a fusible one keeps the fault fed."""
    need = FAMILY.need(Request("resistor", dead, "surge-limiter", {}, read_facts(("current=50mA",))))
    for reading in FAMILY.read(text):
        facts = FAMILY.facts.model_validate(
            {name: value for name, value in reading.fields.items() if name in FAMILY.facts.model_fields}
        )
        assert verdicts(need, [dict(one.offers) for one in FAMILY.options(Item(facts, "new"))]) == [Verdict.UNFIT]
