"""Resistor needs: values that follow from valve, chain and rectifier; loads; sections of a tapped one; what is asked."""

from __future__ import annotations

import math
from typing import Any

import pytest

from partsbin.circuit.droppers import cathode_resistor, dropper_resistance
from partsbin.circuit.resistors import power_of_current, section_power
from partsbin.families import load
from partsbin.families._declare import Item, Measured
from partsbin.needs import Need, Request
from partsbin.sets import read_facts
from tests.expected import Expected, by_hand, published

FAMILY = load("resistor")
CHAIN = ("chassis=live", "lineup=UCH81 UF89 UABC80 UL84 UY85")


def need(position: str, *facts: str, **fields: Any) -> Need:
    """Return a need from facts and the dead part's fields."""
    return FAMILY.need(Request("resistor", "", position, fields, read_facts(facts)))


def options(
    condition: str = "new", readings: dict[str, Measured] | None = None, **facts: Any
) -> dict[str, dict[str, Any]]:
    """Return what a resistor offers, by label."""
    item = Item(FAMILY.facts.model_validate(facts), condition, readings or {})
    return {option.label: dict(option.offers) for option in FAMILY.options(item)}


WORKED = [
    ("cathode-bias", ("valve=EL84",), published(135.0, "kothf-sheets", of=cathode_resistor, where="EL84", rel=0.02)),
    ("cathode-bias", ("valve=ECC83",), by_hand(1667.0, "2 V over 1.2 mA", of=cathode_resistor)),
    ("cathode-bias", ("lineup=EF86 ECC83 2xEL84 EZ81", "topology=push-pull"),
     by_hand(67.5, "135 Ω for one, both on one resistor", of=cathode_resistor)),
    ("heater-dropper", CHAIN, by_hand(874.0, "230 V less 19 + 12.6 + 28 + 45 + 38 V, over 0.1 A", of=dropper_resistance)),
    ("screen-feed", ("valve=EF86", "rail=250"), by_hand(183.3e3, "250 V less 140 V, over 0.6 mA", of=cathode_resistor)),
]  # fmt: skip


@pytest.mark.parametrize(("position", "facts", "expected"), WORKED)
def test_the_value_follows_from_the_set(position: str, facts: tuple[str, ...], expected: Expected) -> None:
    """Without the marking: from the valve's working point or the heater chain; a small pentode's screen may be otherwise."""
    built = need(position, *facts)
    assert built.number("ideal") == expected
    assert built.has("value_assumed") == (position == "screen-feed")


def test_the_marking_goes_before_the_valve_and_the_difference_is_said() -> None:
    """A maker may have biased the valve otherwise."""
    built = need("cathode-bias", "valve=EL84", resistance=200.0)
    assert built.number("ideal") == 200.0
    assert any("135 Ω" in line for line in built.assumptions)


LOADS = [
    ("cathode-bias", ("valve=EL84",), 135.0, by_hand(0.4675, "(53.5 mA × 1.1)² × 135", of=power_of_current)),
    ("back-bias", ("current=60mA",), 50.0, by_hand(0.2178, "(60 mA × 1.1)² × 50", of=power_of_current)),
    ("field-substitute", ("current=65mA",), 1140.0, by_hand(5.828, "(65 mA × 1.1)² × 1140", of=power_of_current)),
    (
        "field-substitute",
        ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",),
        1140.0,
        by_hand(
            9.583,
            "((4 + 1) × 3.25 + 1.4 × 9 + 1 + 53.5 mA, × 1.1)² × 1140: listed, and unlisted screens",
            of=power_of_current,
        ),
    ),
    ("lamp-shunt", CHAIN, 60.0, by_hand(0.726, "(0.1 A × 1.1)² × 60, the lamp open", of=power_of_current)),
]


@pytest.mark.parametrize(("position", "facts", "ohms", "expected"), LOADS)
def test_the_load_follows_from_the_current(
    position: str, facts: tuple[str, ...], ohms: float, expected: Expected
) -> None:
    """At the highest mains."""
    built = need(position, *facts, resistance=ohms)
    assert power_of_current(ohms, built.number("current")) == expected


def test_the_dead_parts_watts_stand_where_the_load_is_not_known() -> None:
    """And the answer says so, and asks for the current."""
    built = need("decoupling", resistance=10e3, power=1.0)
    assert built.number("original_watts") == 1.0
    assert "current" in [question.fact for question in built.questions]
    assert any("1 W" in line for line in built.assumptions)


def test_a_known_load_needs_no_dead_watts() -> None:
    """Stress, not label: a 1 W part that carried 0.1 W asks no more than that."""
    built = need("decoupling", "current=3mA", "rail=200", resistance=10e3, power=1.0)
    assert not built.has("original_watts")


def test_nothing_known_of_the_load_is_said() -> None:
    """No watts, no rail, no current: no part can be passed."""
    assert need("decoupling", resistance=10e3).has("stress_unknown")


def test_a_current_without_the_volts_of_the_set_leaves_the_body_unknown() -> None:
    """The watts follow, the volts on the body do not."""
    assert need("decoupling", "current=3mA", resistance=10e3).has("stress_unknown")


def test_an_anode_load_bears_the_whole_rail_and_for_seconds_the_cold_start() -> None:
    """By hand: 250 V × 1.1 = 275 V running, 1.6 × 250 / 1.6 = 250 V by the overload: the larger counts."""
    assert need("anode-load", "rail=250", resistance=1e5).number("element_volts") == pytest.approx(275.0)


def test_a_bleeder_bears_the_off_load_peak_in_full() -> None:
    """By hand: 286 V × 1.1 × 1.414 = 445 V, as read off load; nobody's guess of it is a wall."""
    read = need("bleeder", "secondary=286-0-286 off-load", resistance=1e5)
    assert read.number("element_volts") == pytest.approx(444.9, abs=0.1)
    assert not read.has("off_load_guess")


def test_off_load_volts_that_nobody_read_stand_beside_the_running_ones() -> None:
    """By hand: 250 V × 1.1 = 275 V running, 1.6 × 250 = 400 V if an output valve dies."""
    guessed = need("bleeder", "rail=250", resistance=1e5)
    assert guessed.number("element_volts") == pytest.approx(275.0)
    assert guessed.number("off_load_guess") == pytest.approx(400.0)


def test_across_the_mains_their_effective_volts_count() -> None:
    """By hand: 230 V × 1.1 = 253 V: limits are given as DC or RMS."""
    assert need("x-discharge", "mains=230").number("element_volts") == pytest.approx(253.0)


def test_the_touch_current_sets_the_least_over_the_isolation() -> None:
    """By hand: 357.8 V over 0.7 mA = 511 kΩ, and no window reaches below it."""
    built = need("isolation-bridging", "chassis=live", resistance=560e3)
    assert built.number("least_ohms") == pytest.approx(511.1e3, rel=1e-3)
    assert built.window("care")[0] >= built.number("least_ohms")


@pytest.mark.parametrize("chassis", ["floating", "earthed", "live", "auto"])
def test_the_isolation_is_bridged_whatever_the_chassis(chassis: str) -> None:
    """A transformer's isolation is one too: the mains stand across it, a hand is at its other end."""
    built = need("isolation-bridging", f"chassis={chassis}")
    assert built.has("touch_limit")
    assert built.number("element_volts") == pytest.approx(253.0)


def test_other_paths_above_the_limit_leave_no_resistor() -> None:
    """By hand: 358 V × 2π × 50 Hz × 12 nF = 1.35 mA of 0.7 mA."""
    built = need("isolation-bridging", "chassis=live", "other_paths=10n", resistance=2.2e6)
    assert built.number("other_current") == pytest.approx(1.349e-3, rel=1e-3)
    assert not built.has("least_ohms")
    assert any("no resistor helps" in line for line in built.assumptions)


def test_the_grid_leak_of_an_output_valve_is_bounded() -> None:
    """Its grid current through more than that lifts the bias."""
    assert need("grid-leak", "valve=EL84", resistance=680e3).window("care")[1] == 1e6
    assert need("grid-leak", "valve=EL84", "bias=fixed", resistance=220e3).window("care")[1] == 3e5
    assert need("grid-leak", "valve=ECC83", resistance=680e3).window("care")[1] == pytest.approx(1.36e6)


def test_a_mixed_chain_gives_no_dropper() -> None:
    """Heaters of two currents are no plain chain: the value is asked for, not made up."""
    built = need("heater-dropper", "chassis=live", "lineup=UCH81 UL84 EZ80")
    assert built.has("value_assumed")


TAPPED: dict[str, Any] = {"power": 30.0, "technology": "wirewound",
                          "taps": [{"resistance": 200.0}, {"resistance": 300.0}, {"resistance": 500.0}]}  # fmt: skip


def test_a_tapped_resistor_is_offered_whole_and_in_runs_of_sections() -> None:
    """Neighbours only: what lies between two taps."""
    offered = {label: one["resistance"] for label, one in options(**TAPPED).items()}
    assert offered == {
        "": 1000.0, "section 1": 200.0, "section 2": 300.0, "section 3": 500.0, "sections 1 to 2": 500.0, "sections 2 to 3": 800.0,
    }  # fmt: skip


SHARES = [
    ("section 1", by_hand(6.0, "30 W × 200 / 1000", of=section_power)),
    ("sections 2 to 3", by_hand(24.0, "30 W × 800 / 1000", of=section_power)),
]


@pytest.mark.parametrize(("label", "expected"), SHARES)
def test_sections_bear_their_share_of_the_watts(label: str, expected: Expected) -> None:
    """Pro rata, and listed among what was taken for granted."""
    assert options(**TAPPED)[label]["power"] == expected


def test_the_weakest_section_sets_the_current_of_a_run() -> None:
    """By hand: 0.1 A through 500 Ω is 5 W, whatever the other section bears."""
    taps = [
        {"resistance": 200.0, "current": 0.3},
        {"resistance": 300.0, "current": 0.1},
        {"resistance": 100.0, "current": 0.3},
    ]
    assert options(taps=taps)["sections 1 to 2"]["power"] == pytest.approx(5.0)


def test_readings_of_sections_add_up() -> None:
    """Values and uncertainties; a run with one section unread has none."""
    readings = {"resistance@1": Measured(210.0, 4.0), "resistance@2": Measured(310.0, 6.0)}
    offered = options(readings=readings, **TAPPED)
    assert (offered["sections 1 to 2"]["resistance_low"], offered["sections 1 to 2"]["resistance_high"]) == (
        510.0,
        530.0,
    )
    assert offered["sections 2 to 3"]["measured"] == 0.0


BODIES = [
    ({"power": 0.5, "technology": "metal-film"}, "new", 300.0),
    ({"power": 0.5, "technology": "metal-film", "length": 0.0063}, "new", 250.0),
    ({"power": 0.5}, "new", 300.0),
    ({"power": 2.0}, "new", 350.0),
    ({"power": 0.5, "bridging": True}, "new", None),
    ({"power": 0.6, "technology": "carbon-film"}, "new", 300.0),
    ({"power": 0.5, "technology": "carbon-composition"}, "salvaged", 350.0),
    ({"power": 1.0, "technology": "carbon-composition"}, "salvaged", 500.0),
    ({"power": 0.25, "technology": "metal-film", "voltage_limit": 500.0}, "new", 500.0),
    ({"power": 0.5, "technology": "metal-film"}, "salvaged", None),
    ({"technology": "metal-film"}, "new", None),
]


@pytest.mark.parametrize(("facts", "condition", "volts"), BODIES)
def test_the_limiting_voltage_is_marked_or_follows_from_style_and_watts(
    facts: dict[str, Any], condition: str, volts: float | None
) -> None:
    """Of new parts and of old composition; of other old parts nobody can tell."""
    assert options(condition, resistance=1e5, **facts)[""]["voltage"] == volts


def test_unknown_watts_are_never_assumed() -> None:
    """The size is looked at."""
    assert options(resistance=1e5, technology="metal-film")[""]["power"] is None


def test_every_position_asks_at_most_what_it_needs() -> None:
    """From nothing but the position a need asks for the marking first, and its windows hold the ideal."""
    for position in FAMILY.rules().positions:
        built = need(position)
        low, high = built.window("fits")
        assert low <= built.number("ideal") <= high, position
        assert math.isfinite(built.number("ambient"))
        assert built.questions[0].fact == "original", position
