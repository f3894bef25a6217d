"""Parts joined: what they offer together is never better than what can happen, and the walls of one are the walls of many."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
import pytest

from partsbin.checks import Verdict
from partsbin.circuit.networks import balance_resistor, parallel_capacitance, series_shares
from partsbin.families import Family, load
from partsbin.families._declare import Item, Measured, Option, columns_of
from partsbin.families._joining import PARALLEL, SERIES, Join
from partsbin.families.capacitor import joining as capacitors
from partsbin.families.resistor import joining as resistors
from partsbin.matching.make_ups.judge import Together, judge_together
from partsbin.needs import Need, Request
from partsbin.rules import load_rules
from partsbin.sets import read_facts
from tests.expected import by_hand, published
from tests.families.random_parts import MAKERS, facts_of_set, item

CAPACITOR, RESISTOR = load("capacitor"), load("resistor")


def need_of(family: Family, text: str, position: str, *facts: str) -> Need:
    """Return a need."""
    return family.need(Request(family.name, text, position, {}, read_facts(facts)))


SMOOTHING = need_of(CAPACITOR, "32uF 350V", "smoothing", "secondary=250-0-250")
LOAD = need_of(RESISTOR, "100k 1W", "anode-load", "rail=250")
JOINS = {
    (join.how, name): join
    for name, need in (("c", SMOOTHING), ("r", LOAD))
    for join in (CAPACITOR if name == "c" else RESISTOR).joins(need)
}


def option(family: Family, facts: dict[str, Any], condition: str = "new", **readings: Measured) -> Option:
    """Return the first way of using a part."""
    return family.options(Item(family.facts.model_validate(facts), condition, readings))[0]


def whole(family: Family, need: Need, join: Join, options: list[Option]) -> dict[str, float]:
    """Return what parts offer together."""
    members = [columns_of([one], family.quantities, family.words) for one in options]
    return {name: values.item(0) for name, values in join.together(need, members).items()}


def judged(family: Family, need: Need, join: Join, options: list[Option]) -> Together:
    """Judge one make-up."""
    members = [columns_of([one], family.quantities, family.words) for one in options]
    return judge_together(family, need, family.search(need), join, members)


def _wet(value: float, rated: float, tolerance: float = 0.2) -> Option:
    return option(
        CAPACITOR, {"capacitance": value, "voltage_dc": rated, "tolerance": tolerance, "dielectric": "electrolytic"}
    )


def test_capacitances_in_parallel_add() -> None:
    """As published for two pairs."""
    for value, expected in (
        (0.02e-6, published(0.04e-6, "tubel", of=parallel_capacitance, where="0.02 and 0.02")),
        (10e-6, published(20e-6, "tubel", of=parallel_capacitance, where="10 and 10")),
    ):
        made = whole(CAPACITOR, SMOOTHING, JOINS[PARALLEL, "c"], [_wet(value, 450.0), _wet(value, 350.0)])
        assert (made["capacitance"], made["voltage_dc"]) == (expected, 350.0)


def test_two_unequal_in_series_bear_what_the_smaller_one_bears() -> None:
    """22 and 18 µF on 600 V: 270 and 330 V."""
    made = whole(CAPACITOR, SMOOTHING, JOINS[SERIES, "c"], [_wet(22e-6, 350.0, 0.0), _wet(18e-6, 350.0, 0.0)])
    assert made["capacitance"] == by_hand(9.9e-6, "22 · 18 / 40", of=capacitors.joins)
    assert made["voltage_dc"] == by_hand(636.4, "350 V on the 18 µF: 350 · 600 / 330", of=capacitors.joins)
    assert series_shares(22e-6, 18e-6, 600.0)[1] == by_hand(330.0, "600 · 22 / 40", of=series_shares)


def test_two_alike_in_series_bear_less_than_twice_their_volts() -> None:
    """At ±20 % 350 V each fail on 600 V: 360 V on the smaller one."""
    made = whole(CAPACITOR, SMOOTHING, JOINS[SERIES, "c"], [_wet(22e-6, 350.0)] * 2)
    assert made["voltage_dc"] == by_hand(583.3, "350 / 0.6", of=capacitors.joins)
    assert made["voltage_dc"] < 600.0


def test_the_resistors_across_follow_from_the_leakage() -> None:
    """1.5 mA apart: smaller than usual, of the next preferred value."""
    assert balance_resistor(450.0, 800.0, 0.2e-3) == published(
        500e3, "va1d", of=balance_resistor, where="its formula with these figures"
    )
    need = need_of(CAPACITOR, "32uF 350V", "smoothing", "secondary=432-0-432 off-load", "mains=230")
    leaks = [Measured(amperes, 0.0, {"volts": 450.0}) for amperes in (1.6e-3, 0.1e-3)]
    parts = [
        option(
            CAPACITOR,
            {"capacitance": 68e-6, "voltage_dc": 450.0, "tolerance": 0.05, "dielectric": "electrolytic"},
            "salvaged",
            leakage=leak,
        )
        for leak in leaks
    ]
    made = whole(CAPACITOR, need, JOINS[SERIES, "c"], parts)
    bus = need.number("off_load_peak")
    exact = (2 * 450.0 - bus * 1.05) / (1.5e-3 * (1 - 0.05**2))
    assert made["balance"] <= exact
    assert made["balance"] >= exact / 1.25, "no smaller than the next preferred value"


@pytest.mark.parametrize("seed", range(4))
def test_no_mix_of_capacitors_bears_less_than_is_offered(seed: int) -> None:
    """Values drawn within their tolerances, thousands of times: every part keeps within its rating at switch-on.

    With the resistors laid across it does so for good, whatever the leakages are within their bounds, and the resistors are
    anywhere within theirs.
    """
    source, draws = random.Random(seed), np.random.default_rng(seed)
    parts = [
        _wet(
            source.choice((22e-6, 47e-6, 68e-6, 100e-6)),
            source.choice((350.0, 400.0, 450.0)),
            source.choice((0.05, 0.2)),
        )
        for _ in range(2)
    ]
    made = whole(CAPACITOR, SMOOTHING, JOINS[SERIES, "c"], parts)
    low, high, rated, leak = (
        np.array([float(one.offers[name] or 0) for one in parts])
        for name in ("capacitance_low", "capacitance_high", "voltage_dc", "insulation")
    )
    value = draws.uniform(low, high, (20_000, 2))
    capacitance = 1 / (1 / value).sum(axis=1)
    assert (
        (capacitance >= made["capacitance_low"] * (1 - 1e-12)) & (capacitance <= made["capacitance_high"] * (1 + 1e-12))
    ).all()
    share = made["voltage_dc"] * value[:, ::-1] / value.sum(axis=1, keepdims=True)
    assert (share <= rated * (1 + 1e-9)).all()
    bus = SMOOTHING.number("off_load_peak")
    across = made["balance"] * draws.uniform(1 - capacitors.SPREAD, 1 + capacitors.SPREAD, (20_000, 2))
    leaking = draws.uniform(0.0, 1.0, (20_000, 2)) * rated / leak
    first = (bus / across[:, 1] + leaking[:, 1] - leaking[:, 0]) / (1 / across).sum(axis=1)
    assert (np.maximum(first, bus - first) <= rated.min() * (1 + 1e-9)).all()


@pytest.mark.parametrize("how", [SERIES, PARALLEL])
@pytest.mark.parametrize("seed", range(4))
def test_no_mix_of_resistors_bears_less_than_is_offered(how: str, seed: int) -> None:
    """Ohms drawn within tolerances: loaded as offered, no part has more than its watts or its volts."""
    source, draws = random.Random(seed), np.random.default_rng(seed)
    facts = [
        {
            "resistance": source.choice((33e3, 47e3, 100e3)), "tolerance": source.choice((0.01, 0.05, 0.2)),
            "power": source.choice((0.5, 1.0, 2.0)), "voltage_limit": source.choice((250.0, 350.0)), "technology": "metal-film",
        }
        for _ in range(2)
    ]  # fmt: skip
    parts = [option(RESISTOR, one) for one in facts]
    made = whole(RESISTOR, LOAD, JOINS[how, "r"], parts)
    low, high, power, limit = (
        np.array([float(one.offers[name] or 0) for one in parts])
        for name in ("resistance_low", "resistance_high", "power", "voltage")
    )
    ohms = draws.uniform(low, high, (20_000, 2))
    share = ohms / ohms.sum(axis=1, keepdims=True) if how == SERIES else ohms[:, ::-1] / ohms.sum(axis=1, keepdims=True)
    assert (made["power"] * share <= power * (1 + 1e-9)).all()
    assert (made["voltage"] * (share if how == SERIES else 1.0) <= limit * (1 + 1e-9)).all()
    total = ohms.sum(axis=1) if how == SERIES else 1 / (1 / ohms).sum(axis=1)
    assert ((total >= made["resistance_low"] * (1 - 1e-12)) & (total <= made["resistance_high"] * (1 + 1e-12))).all()


def test_ripple_current_is_shared_by_capacitance() -> None:
    """A large one with a small rating sets the limit."""
    parts = [
        option(
            CAPACITOR,
            {
                "capacitance": c,
                "tolerance": 0.0,
                "voltage_dc": 450.0,
                "dielectric": "electrolytic",
                "ripple_current": i,
            },
        )
        for c, i in ((30e-6, 0.3), (10e-6, 0.4))
    ]
    made = whole(CAPACITOR, SMOOTHING, JOINS[PARALLEL, "c"], parts)
    assert made["ripple_current"] == by_hand(0.4, "0.3 A in 30 of 40 µF", of=capacitors.joins)


MAINS = [name for name in load_rules("capacitor").positions if load_rules("capacitor").of(name, "classes", ())]


def test_nothing_joined_stands_across_the_mains_or_on_a_socket() -> None:
    """A thousand random pairs, whatever their marks and approvals, joined either way: unfit, and never looked for."""
    source = random.Random(13)
    seen = 0
    while seen < 1000:
        need = need_of(CAPACITOR, "10nF", source.choice(MAINS), "chassis=live")
        assert CAPACITOR.joins(need) == ()
        parts = [source.choice(CAPACITOR.options(item(MAKERS["capacitor"](source)))) for _ in range(2)]
        for how in (SERIES, PARALLEL):
            assert judged(CAPACITOR, need, JOINS[how, "c"], parts).verdict[0] == Verdict.UNFIT
        seen += 1


def test_what_no_single_part_may_no_joined_one_may() -> None:
    """Random pairs with one that is paper, polarised under AC, or used or ordinary on the mains: the other does not save it."""
    source = random.Random(29)
    seen = 0
    while seen < 1000:
        name = source.choice(("capacitor", "resistor"))
        family = load(name)
        position = source.choice(
            ("coupling", "smoothing", "crossover", "agc")
            if name == "capacitor"
            else ("x-discharge", "isolation-bridging")
        )
        need = family.need(
            Request(
                name, "0.1uF" if name == "capacitor" else "1M", position, {}, read_facts(facts_of_set(source, name))
            )
        )
        joins = family.joins(need)
        parts = [source.choice(family.options(item(MAKERS[name](source)))) for _ in range(2)]
        if not joins or not any(_forbidden(name, position, one) for one in parts):
            continue
        assert judged(family, need, source.choice(joins), parts).verdict[0] == Verdict.UNFIT
        seen += 1


def _forbidden(family: str, position: str, one: Option) -> bool:
    offers = one.offers
    if family == "resistor":
        used = offers["condition"] == "salvaged"
        return used or (position == "isolation-bridging" and offers["bridging"] != 1.0)
    old_paper = offers["dielectric"] in ("paper", "paper-waxed", "paper-moulded") and offers["condition"] != "new"
    return old_paper or (position == "crossover" and offers["polarised"] == 1.0)


def test_two_small_tubulars_of_unknown_make_stay_presumed_paper() -> None:
    """Together they are above 2 µF, where a single one is presumed electrolytic; each is looked at by itself."""
    old = option(CAPACITOR, {"capacitance": 1.5e-6, "voltage_dc": 600.0, "mounting": "axial"}, "salvaged")
    assert old.offers["dielectric"] == ""
    assert judged(CAPACITOR, SMOOTHING, JOINS[PARALLEL, "c"], [old, old]).verdict[0] == Verdict.UNFIT


def test_a_fusible_resistor_is_not_made_of_two() -> None:
    """Each would open later."""
    assert RESISTOR.joins(need_of(RESISTOR, "100R 1W fusible", "anode-load", "rail=250")) == ()


def test_across_the_mains_resistors_are_joined_in_series_only() -> None:
    """One that opens must not leave the other alone to discharge slowly, and over the isolation only what is made for it."""
    for position in ("x-discharge", "isolation-bridging"):
        (join,) = RESISTOR.joins(need_of(RESISTOR, "1M", position, "chassis=live"))
        assert join.how == SERIES


@pytest.mark.parametrize("number", [2, 3])
def test_a_string_is_never_better_than_care(number: int) -> None:
    """It takes resistors across each part."""
    need = need_of(CAPACITOR, "32uF 350V", "smoothing", "rail=150")
    result = judged(CAPACITOR, need, JOINS[SERIES, "c"], [_wet(32e-6 * number, 450.0)] * number)
    assert result.verdict[0] == Verdict.CARE


def test_what_is_not_known_of_one_is_not_known_of_the_whole() -> None:
    """Except that a known rating too low refuses, whatever the other's is."""
    good, unmarked, low = _wet(16e-6, 450.0), _wet(16e-6, 450.0), _wet(16e-6, 63.0)
    unmarked = Option("", {**unmarked.offers, "voltage_dc": None})
    need = need_of(CAPACITOR, "32uF 350V", "smoothing", "rail=150")
    assert judged(CAPACITOR, need, JOINS[PARALLEL, "c"], [good, unmarked]).verdict[0] == Verdict.MEASURE
    assert judged(CAPACITOR, need, JOINS[PARALLEL, "c"], [low, unmarked]).verdict[0] == Verdict.UNFIT


def test_leakages_so_far_apart_that_resistors_would_burn_refuse_a_string() -> None:
    """10 mA and nothing."""
    leaks = [Measured(amperes, 0.0, {"volts": 350.0}) for amperes in (10e-3, 1e-6)]
    facts = {"capacitance": 68e-6, "voltage_dc": 350.0, "dielectric": "electrolytic"}
    parts = [option(CAPACITOR, facts, "salvaged", leakage=leak) for leak in leaks]
    assert whole(CAPACITOR, SMOOTHING, JOINS[SERIES, "c"], parts)["balance_watts"] > capacitors.MOST_WATTS
    assert judged(CAPACITOR, SMOOTHING, JOINS[SERIES, "c"], parts).verdict[0] == Verdict.UNFIT


def test_resistors_are_named_with_watts_and_volts() -> None:
    """Twice the watts, and a body that bears the section's volts; above 500 V two in series."""
    assert capacitors.resistors({"balance": 220e3, "balance_watts": 266.0**2 / 220e3}) == "220 kΩ 1 W"
    assert capacitors.resistors({"balance": 220e3, "balance_watts": 600.0**2 / 220e3}) == "2 × 110 kΩ 2 W in series"
    assert capacitors.resistors({"balance": 220e3, "balance_watts": 450.0**2 / 220e3}) == "220 kΩ 2 W made for 450 V"


def test_resistors_share_as_worked_by_hand() -> None:
    """Two half-watts of ±5 % bear 0.95 W at worst."""
    part = option(RESISTOR, {"resistance": 47e3, "tolerance": 0.05, "power": 0.5, "technology": "metal-film"})
    made = whole(RESISTOR, LOAD, JOINS[SERIES, "r"], [part, part])
    assert made["power"] == by_hand(0.9524, "0.5 · (1.05 + 0.95) / 1.05", of=resistors.joins)
    assert not math.isnan(made["voltage"])
