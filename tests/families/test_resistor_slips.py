"""Resistors where the facts contradict each other, a fault is presumed, or a limit was not marked: neither credulous nor deaf.

Each figure is worked by hand beside its line; what is said of usual parts is common practice, no source.
"""

from __future__ import annotations

import pytest

from partsbin.circuit.resistors import power_of_current, power_of_voltage
from partsbin.families import load
from partsbin.matching.hand import try_text
from partsbin.needs import Need, Request
from partsbin.sets import read_facts
from tests.expected import by_hand
from tests.families.test_resistor_everyday import verdict

FAMILY = load("resistor")
PAIR = "'lineup=ECC83 2xEL84 EZ81'"

UNSAFE = (
    # position, dead part, facts of the set, part in the hand, verdict, words of a reason
    ("isolation-bridging", "", "chassis=floating", "2M2 1/4W carbon film", "unfit", "not marked as made to bridge"),
    ("isolation-bridging", "", "chassis=earthed", "2M2 1/2W carbon film", "unfit", "not marked as made to bridge"),
    ("isolation-bridging", "2M2", PAIR, "2M2 1/2W metal film", "unfit", "not marked as made to bridge"),
    # two on one resistor: 2 × 53.5 mA × 1.1 = 118 mA, squared × 68 Ω = 0.94 W; ± 5 % of the part
    ("cathode-bias", "68R", PAIR, "68R 1W metal film", "care", "0.989 W in it of 1 W"),
    ("cathode-bias", "68R", PAIR, "68R 1/2W metal film", "unfit", "0.989 W in it of 0.5 W"),
    ("cathode-bias", "68R", "valve=EL84", "68R 1/2W metal film", "unfit", "0.989 W in it of 0.5 W"),
    ("cathode-bias", "130R", PAIR, "130R 1W metal film", "measure", "can reach 1.89 W"),
    ("cathode-bias", "130R", f"valve=EL84 {PAIR}", "130R 1W metal film", "measure", "can reach 1.89 W"),
    ("heater-dropper", "1k2 20W", "chassis=live current=10mA", "1k2 5W wirewound", "unfit", "the dead part had 20 W"),
    ("cathode-bias", "150R 1W", "valve=EL84 current=4.8mA", "150R 1/4W", "unfit", "in it of 0.25 W"),
    ("cathode-bias", "150R 1W", "current=4.8mA", "150R 1/4W", "unfit", "the dead part had 1 W"),
    ("cathode-bias", "150R 1W", "rail=0.7", "150R 1/4W", "unfit", "the dead part had 1 W"),
    ("ht-dropper", "1k5 5W", "current=3uA rail=200", "1k5 1W wirewound", "unfit", "the dead part had 5 W"),
    ("screen-feed", "22k 2W", "rail=25", "22k 1/4W metal film", "unfit", "the dead part had 2 W"),
    ("screen-feed", "22k 2W", "rail=250 anode=245", "22k 1/4W metal film", "unfit", "the dead part had 2 W"),
    ("bleeder", "47k 5W", "rail=25", "47k 1/2W metal film", "unfit", "the dead part had 5 W"),
    ("surge-limiter", "100R 10W", "current=6mA", "100R 1W wirewound", "unfit", "the dead part had 10 W"),
    ("ht-dropper", "1k5", "current=3uA rail=200", "1k5 1W wirewound", "measure", "load at the position not known"),
    # carbon film in 140 °C: (155 - 140) / 85 = 0.176 of 1 W
    ("anode-load", "100k 1W", "rail=250 ambient=140", "100k 1W", "unfit", "too small in 140 °C"),
    ("anode-load", "100k 1W", "rail=250 ambient=90", "100k 1W", "care", "less in 90 °C"),
    # 480 V squared over 44.7 kΩ = 5.16 W; wire in 70 °C: 5 W × 205/235 = 4.36 W
    ("bleeder", "47k", "rail=300", "47k 5W wirewound", "measure", "5.16 W in it at 480 V, a dead output valve, 4.36 W borne"),
    ("bleeder", "100k 2W", "rail=350", "100k 2W metal film", "measure", "3.3 W in it at 560 V"),
    ("bleeder", "100k", "'secondary=310-0-310 off-load' rail=300", "100k 2W metal film", "unfit", "2.45 W in it at 482 V"),
    ("bleeder", "47k", "'secondary=310-0-310 off-load'", "47k 5W wirewound", "unfit", "5.21 W in it"),
    ("bleeder", "100k 2W", "rail=350", "100k 1W metal film", "unfit", "1.56 W in it of 1 W"),
    ("anode-load", "470k 1/2W", "rail=450", "470k 1/4W", "unfit", "across a body that bears 250 V"),
    ("isolation-bridging", "2M2", "chassis=live other_paths=10n", "2M2 1/2W metal glaze bridging 3500V", "unfit", "no resistor helps"),
    ("heater-dropper", "", "chassis=live current=0.1A", "1k2 wirewound", "measure", "rated watts not known"),
    ("x-discharge", "1M", "", "1M 1/4W metal glaze", "measure", "none is marked: look up make and type"),
    ("x-discharge", "1M", "", "1M 1/2W", "measure", "none is marked: look up make and type"),
    ("x-discharge", "1M", "", "1M 1/4W carbon film", "unfit", "253 V across a body that bears 250 V"),
    ("x-discharge", "1M", "", "1M 1/4W", "unfit", "253 V across a body that bears 250 V"),
    # mains high over a limit that was taken: 253 V at 230 V of mains pass with care, 253 V at mains already high do not
    ("anode-load", "220k", "rail=253 mains_now=253 current=0.1mA", "220k 1/4W carbon film", "unfit", "bears 250 V, taken"),
    ("anode-load", "220k", "rail=230 current=0.1mA", "220k 1/4W 250V carbon film", "unfit", "253 V across a body that bears 250 V"),
    ("decoupling", "10k", "rail=255 current=0.1mA", "10k 1/4W carbon film", "unfit", "255 V across a body that bears 250 V"),
    ("anode-load", "1M", "rail=310 current=0.1mA", "1M 1/2W", "measure", "341 V across a body that bears 300 V"),
    ("anode-load", "1M", "rail=300 current=0.1mA", "1M 1/4W", "unfit", "330 V across a body that bears 250 V"),
    # a make that nobody knows bears the least of all: wire in 70 °C, 4.36 W of 5; (280 mA × 1.1)² × 47 Ω × 1.05 = 4.68 W
    ("back-bias", "47R", "current=0.28A", "47R 5W", "unfit", "4.68 W in it of the 4.36 W"),
)  # fmt: skip

USUAL = (
    # position, dead part, facts of the set, part in the hand, verdict
    ("anode-load", "100k 1/2W", "rail=250", "100k 1/2W", "fits"),
    ("anode-load", "470k 1/2W", "rail=250", "470k 1/2W", "fits"),
    ("screen-feed", "1M 1/2W", "rail=250", "1M 1/2W", "fits"),
    ("screen-feed", "1M", "valve=EF86 rail=250", "1M 1/2W metal film", "fits"),  # the listed 0.6 mA would drop 660 of 275 V
    ("screen-feed", "", "valve=EF86 rail=250", "390k 1/2W metal film", "measure"),  # as a pre-amplifier it has 390 kΩ and more
    ("screen-feed", "1M", "valve=EF86", "1M 1/4W metal film", "measure"),
    ("anode-load", "100k 1W", "rail=300", "100k 1W", "fits"),
    ("anode-load", "1M 1W", "rail=250", "1M 1/2W metal film", "fits"),
    ("anode-load", "470k 1W", "rail=250 anode=100", "470k 1/2W metal film", "fits"),
    ("anode-load", "100k 1W", "rail=250 anode=120", "100k 1/2W metal film", "fits"),
    ("anode-load", "220k 1/4W", "rail=230", "220k 1/4W carbon film", "care"),
    ("grid-leak", "470k", "", "470k", "fits"),
    ("diode-load", "220k", "", "220k", "fits"),
    ("agc-feed", "1M", "", "1M", "fits"),
    ("back-bias", "47R 2W", "", "47R 2W", "fits"),
    ("screen-feed", "22k 2W", "rail=250", "22k 2W", "fits"),
    ("decoupling", "3k3 2W", "rail=250", "3k3 2W", "fits"),
    ("cathode-bias", "68R 2W", "", "68R 2W", "fits"),
    ("anode-load", "100k 2W", "rail=250", "100k 2W", "care"),
    ("decoupling", "10k 2W", "rail=250", "10k 2W", "fits"),
    ("anode-load", "100k", "rail=250", "100k 1W metal film", "care"),
    ("x-discharge", "1M", "", "1M 1/2W carbon film", "care"),
    ("x-discharge", "1M", "", "1M 1W metal glaze", "fits"),
    ("bleeder", "220k 2W", "rail=350", "220k 2W metal film", "care"),
    ("bleeder", "100k 2W", "rail=255", "100k 3W metal oxide", "care"),
    ("bleeder", "470k 1W", "rail=250", "470k 1W", "care"),
    ("isolation-bridging", "2M2", "chassis=live", "2M2 1/2W metal glaze bridging approved 3500V", "fits"),
    ("isolation-bridging", "2M2", "chassis=live", "2M2 1/2W metal glaze bridging approved", "measure"),
    ("cathode-bias", "", "valve=EL84", "150R 1W metal film", "fits"),
    ("cathode-bias", "68R", PAIR, "68R 2W metal film", "fits"),
    ("cathode-bias", "130R", f"{PAIR} topology=single-ended", "130R 1W metal film", "fits"),
    ("cathode-bias", "150R 1W", "", "150R 5W wirewound", "fits"),
    ("cathode-bias", "1k5", "valve=ECC83", "1k5", "fits"),
    ("cathode-bias", "2.2k 1/2W", "current=1mA", "2.2k 1/4W metal film", "fits"),
)  # fmt: skip


def need(position: str, text: str, *facts: str) -> Need:
    """Return a need from the dead part's marking and facts."""
    return FAMILY.need(Request("resistor", text, position, {}, read_facts(facts)))


@pytest.mark.parametrize(("position", "original", "facts", "part", "expected", "words"), UNSAFE)
def test_what_is_not_proved_does_not_pass(
    position: str, original: str, facts: str, part: str, expected: str, words: str
) -> None:
    """Neither a slip of the pen nor a fact that is missing makes a part usable, and the reason says which."""
    said, reasons = verdict(position, original, facts, part)
    assert (said, any(words in reason for reason in reasons)) == (expected, True), reasons


@pytest.mark.parametrize(("position", "original", "facts", "part", "expected"), USUAL)
def test_a_usual_part_is_not_refused_for_what_was_assumed(
    position: str, original: str, facts: str, part: str, expected: str
) -> None:
    """A limit that is only presumed, a new part without a word on its make, the dead part's like."""
    said, reasons = verdict(position, original, facts, part)
    assert said == expected, reasons


FUSED = ("10R 1W fuseable", "10R 1W fusable", "10R 1W FR", "10R 1W safety", "10R 1W fuse", "10R 1W fusible")
PLAIN = ("10R 1W wirewound", "10R 1W wirewound not a fusible one", "10R 1W wirewound non-fusible")


@pytest.mark.parametrize("dead", FUSED)
@pytest.mark.parametrize("part", PLAIN)
def test_a_dead_fusible_one_is_a_wall_however_it_is_spelt(dead: str, part: str) -> None:
    """What only may be fusible counts as fusible on the dead part, and does not on the new one."""
    assert verdict("ht-dropper", dead, "current=50mA rail=200", part)[0] == "unfit"


def test_two_valves_on_one_resistor_double_its_current() -> None:
    """The dead value is half of what one valve is listed with."""
    shared = need("cathode-bias", "68R", "lineup=ECC83 2xEL84 EZ81")
    watts = by_hand(0.942, "(2 × 53.5 mA × 1.1)² × 68 Ω", of=power_of_current)
    assert shared.number("current") ** 2 * 68.0 == watts


def test_a_topology_that_nobody_said_is_asked() -> None:
    """One of two valves or both of them: the worse is the bound."""
    open_ = need("cathode-bias", "130R", "lineup=ECC83 2xEL84 EZ81")
    assert open_.has("bound_current")
    assert not open_.has("current")
    assert "topology" in [question.fact for question in open_.questions]


def test_a_current_that_is_not_believed_is_said() -> None:
    """A heater chain carries 50 mA and more."""
    built = need("heater-dropper", "1k2 20W", "current=10mA", "chassis=live")
    assert any("current 10 mA not believed" in line for line in built.assumptions)
    assert built.number("original_watts") == 20.0


def test_a_load_far_below_the_dead_parts_watts_does_not_silence_them() -> None:
    """By hand: (5.28 mA)² × 150 Ω = 4 mW, of 1 W."""
    built = need("cathode-bias", "150R 1W", "current=4.8mA")
    assert built.number("original_watts") == 1.0
    assert any("4.18 mW by the figures given" in line for line in built.assumptions)


def test_both_checks_of_a_bleeder_use_the_same_volts_where_they_were_read() -> None:
    """Watts and body alike by the off-load peak, which a dead output valve leaves there for good."""
    built = need("bleeder", "47k", "secondary=310-0-310 off-load")
    watts = by_hand(4.95, "(310 V × 1.1 × √2)² / 47 kΩ", of=power_of_voltage)
    assert built.number("element_volts") ** 2 / 47e3 == watts
    assert built.number("across") == built.number("element_volts")


def test_the_load_that_is_known_is_said_where_only_the_volts_are_missing() -> None:
    """By hand: (55 mA)² × 1.2 kΩ = 3.63 W; no word on a current that was given."""
    said, reasons = verdict("field-substitute", "1k2", "current=50mA", "1k2 10W wirewound")
    assert said == "measure"
    assert "3.63 W in it, part rated 10 W: the volts on its body are not known, read the HT before fitting" in reasons


def test_a_wide_tolerance_is_not_called_another_value() -> None:
    """The nominal value is the one that is wanted."""
    _, reasons = verdict("heater-dropper", "1k2 20W", "current=0.1A chassis=live", "1k2 10% 50W wirewound")
    assert "1.08–1.32 kΩ by its tolerance against 1.12–1.28 kΩ" in reasons


def test_a_salvaged_half_watt_that_was_measured_needs_no_limit_at_a_grid() -> None:
    """Any body with leads bears 150 V; 100 V are the most there."""
    said, reasons = verdict("grid-leak", "470k", "", "470k 1/2W metal film", "salvaged")
    assert said == "fits", reasons


def test_the_discharge_of_the_mains_filter_names_its_capacitor() -> None:
    """By hand: 1 s over (1 MΩ × ln(358 V / 60 V)) = 0.56 µF."""
    assert "0.56 µF at most" in FAMILY.after(need("x-discharge", "1M"))[0]


def test_what_to_buy_across_the_mains_bears_them() -> None:
    """A quarter watt of film is not made for 253 V."""
    assert ", 1 W, metal-glaze, body for 253 V" in FAMILY.buy(need("x-discharge", "1M"))


def test_a_smaller_body_is_not_called_near_the_dead_parts() -> None:
    """5 W for 20 W: no larger body, and both are named."""
    request = Request("resistor", "1k2 20W", "heater-dropper")
    answer = try_text(request, "1k2 5W wirewound", "new", [])
    (judged,) = answer["candidates"] + answer["near_misses"]
    reasons = {check["check"]: check["reason"] for check in judged["checks"]}
    assert reasons["RES18"] == "5 W for 20 W: no body so much larger that it wants another mounting"


@pytest.mark.parametrize("dead", ["10R 1W fusible", "10R 1W FR", "10R 1W safety"])
def test_a_part_whose_words_may_say_fusible_is_judged_both_ways(dead: str) -> None:
    """As fusible it serves, as an ordinary one it hits the wall: the repairer looks at the part."""
    answer = try_text(Request("resistor", dead, "ht-dropper"), "10R 1W FR wirewound", "new", [])
    judged = answer["candidates"] + answer["near_misses"]
    assert [one["verdict"] for one in judged] == ["fits", "unfit"]


def test_a_dead_part_that_only_says_fr_sets_the_wall() -> None:
    """No value, no watts: the wall stands all the same."""
    assert verdict("surge-limiter", "FR", "current=50mA", "10R 1W wirewound")[0] == "unfit"
