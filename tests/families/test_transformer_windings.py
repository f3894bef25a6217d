"""The ways of using iron on the mains, and the need that a line-up makes: windings told apart, read, joined, carried."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.families import load
from partsbin.families._declare import Item, Measured, Option
from partsbin.families.transformer.drawn import drawn
from partsbin.matching.explain import findings
from partsbin.needs import Need, Request
from partsbin.notation.transformer import read_transformer
from partsbin.reference.valves import lineup
from partsbin.sets import read_facts
from tests.expected import by_hand, published

TRANSFORMER = load("transformer")
EL84 = "lineup=ECH81 EBF89 EABC80 EL84 EZ80"
RADIO = "lineup=EF89 ECH81 EBF80 EL84 EZ80"


def options(text: str, condition: str = "new", donor: str = "", **readings: float) -> list[Option]:
    """Return the ways of using a transformer in words; ``ratio_3`` stands for the reading ``ratio@3``."""
    (reading,) = read_transformer(text)
    facts = TRANSFORMER.facts.model_validate(reading.fields)
    taken = {name.replace("_", "@"): Measured(value, 0.0, {"volts": 500.0}) for name, value in readings.items()}
    return list(TRANSFORMER.options(Item(facts, condition, taken, donor)))


def need(position: str, *facts: str, text: str = "") -> Need:
    """Return a need."""
    return TRANSFORMER.need(Request("transformer", text, position, {}, read_facts(facts)))


def offers(option: Option, *names: str) -> list[Any]:
    """Return some of what an option offers."""
    return [option.offers[name] for name in names]


def reasons(text: str, wanted: Need) -> dict[str, str]:
    """Return what each check says of the first way of using new iron."""
    return {found.check: found.reason for found in findings(TRANSFORMER, wanted, options(text)[0])}


def test_every_tap_is_a_way_of_use() -> None:
    """Highest first, each with its own ratio to one side of the HT."""
    made = options("mains transformer 200-220-240V 250-0-250 80mA 6.3V 3A")
    assert [(option.label, option.offers["ratio"]) for option in made] == [
        ("tap 240 V", 0.96), ("tap 220 V", 0.88), ("tap 200 V", 0.8),
    ]  # fmt: skip


def test_heaters_and_rectifier_are_told_apart() -> None:
    """5 V beside the HT is the rectifier's, and made to stand there."""
    (only,) = options("mains transformer 230V 250-0-250 80mA 6.3V 3A 5V 2A")
    assert offers(only, "heater_volts", "heater_current", "rect_volts", "rect_current", "rect_own") == [6.3, 3, 5, 2, 1]


def test_the_smaller_of_two_four_volt_windings_is_the_rectifiers() -> None:
    """4 V 4 A and 4 V 1.1 A."""
    (only,) = options("mains transformer 220V 300-0-300 70mA 4V 4A 4V 1.1A")
    assert offers(only, "heater_current", "rect_current", "rect_own") == [4.0, 1.1, 1.0]


def test_two_windings_alike_make_a_centre_tap() -> None:
    """2 × 280 V, one option, tapped."""
    (only,) = options("Netztrafo 220V 2x280V 100mA 6,3V 3A")
    assert offers(only, "centre_tapped", "dc_current") == [1.0, 0.1]


def test_two_heater_windings_serve_alone_in_parallel_and_in_series() -> None:
    """2 × 6.3 V 1.5 A: 6.3 V 3 A, or 12.6 V 1.5 A."""
    made = options("mains transformer 230V 250-0-250 80mA 2x 6.3V 1.5A")
    found = {(option.offers["heater_volts"], option.offers["heater_current"]) for option in made}
    assert found == {(6.3, 1.5), (6.3, 3.0), (12.6, 1.5)}


def test_a_tapped_winding_of_few_volts_may_be_bridged_whole() -> None:
    """125-0-125 gives what 250 V gives in a bridge."""
    made = options("mains transformer 230V 125-0-125 100mA 6.3V 3A")
    assert [offers(option, "ratio", "centre_tapped") for option in made] == [[1.84, 1.0], [0.92, 0.0]]


def test_an_unmarked_primary_is_taken_for_the_mains_and_said_so() -> None:
    """230 V, listed."""
    (only,) = options("mains transformer 250-0-250 80mA 6.3V 3A")
    assert only.offers["tap_known"] == 0.0
    assert any("primary taken as 230 V" in line for line in only.assumed)


def test_a_ratio_read_tells_more_than_the_mark() -> None:
    """On the whole primary, scaled for a lower tap."""
    made = options("mains transformer 220/240V 250-0-250 80mA 6.3V 3A", ratio=1.0)
    assert [option.offers["ratio"] for option in made] == pytest.approx([1.0, 220 / 240])
    assert {option.offers["measured"] for option in made} == {1.0}


def test_a_ratio_read_on_a_low_winding_tells_its_volts() -> None:
    """Row 3, 230:6.3 read as 36.5."""
    (only,) = options("mains transformer 230V 250-0-250 80mA 5V 3A", ratio_3=36.5)
    assert only.offers["heater_volts"] == by_hand(6.301, "230 / 36.5", of=TRANSFORMER.options)


def test_iron_that_carried_a_set_bears_its_currents() -> None:
    """Not marked, from a chassis with those valves: inferred, and listed."""
    (only,) = options("mains transformer 230V 250-0-250 6.3V", "salvaged", "ECH81 EBF89 EABC80 EL84 EZ80")
    assert only.offers["carried"] == 1.0
    assert only.offers["dc_current"] == pytest.approx(0.0668, rel=0.01)
    assert any("inferred" in line for line in only.assumed)


def test_volt_amperes_follow_from_the_core() -> None:
    """15 cm²: 144 VA, an assumption."""
    (only,) = options("mains transformer 230V 250-0-250 80mA 6.3V 3A core area 15 cm2")
    assert only.offers["power"] == published(144.0, "audiokit-core", of=TRANSFORMER.options, where="5 × 3 cm")
    assert any("core area" in line for line in only.assumed)


def test_heaters_of_a_line_up_add_up() -> None:
    """EF89, ECH81, EBF80, EL84: 0.2 + 0.3 + 0.3 + 0.76 A; with the EZ80's 0.6 A and two lamps 2.76 A."""
    wanted = need("mains", RADIO)
    total = sum(wanted.number(name) for name in ("heater_current", "rect_current", "heater_extra"))
    how = "0.2 + 0.3 + 0.3 + 0.76 + 0.6 + 2 × 0.3"
    assert wanted.number("heater_current") == by_hand(1.56, "0.2 + 0.3 + 0.3 + 0.76", of=drawn)
    assert total == by_hand(2.76, how, of=drawn)


def test_a_rectifier_that_is_its_own_cathode_wants_a_winding() -> None:
    """5Y3: 5 V 2 A of its own; EZ80 may share; silicon wants nothing."""
    assert not need("mains", "lineup=6K8 6V6 5Y3GT").has("rect_shares")
    assert need("mains", "lineup=6K8 6V6 5Y3GT").number("rect_current") == 2.0
    assert need("mains", RADIO).has("rect_shares")
    assert not need("mains", RADIO, "rectifier=silicon").has("rect_heater")


def test_a_winding_read_off_load_is_reckoned_loaded() -> None:
    """262.5 V off load: 250 V under load, at 5 % of regulation."""
    found = need("mains", RADIO, "secondary=262.5-0-262.5 off-load").number("ht")
    assert found == by_hand(250.0, "262.5 / 1.05", of=TRANSFORMER.need)


def test_the_off_load_peak_is_that_of_the_table() -> None:
    """250-0-250, mains 10 % up, 5 % of regulation."""
    found = need("mains", RADIO, "secondary=250-0-250").number("off_load_peak")
    assert found == by_hand(408.4, "1.41421 × 250 × 1.1 × 1.05", of=TRANSFORMER.need)


def test_a_marking_alone_makes_the_need() -> None:
    """Windings of the dead one, mark against mark."""
    wanted = need("mains", text="mains transformer 250-0-250 80mA 6.3V 3A 5V 2A")
    names = ("ht", "ht_mark", "heater", "heater_current", "rect_heater", "rect_current")
    assert [wanted.number(name) for name in names] == [250.0, 0.08, 6.3, 3.0, 5.0, 2.0]


def test_the_line_up_counts_for_more_than_the_mark() -> None:
    """What is drawn is known: the mark is no longer asked for."""
    wanted = need("mains", RADIO, text="mains transformer 250-0-250 120mA 6.3V 5A")
    assert not wanted.has("ht_mark")
    assert wanted.number("heater_current") < 2


def test_a_chain_on_the_mains_has_no_heater_winding() -> None:
    """UCH81 and the like: said, and no sum of amperes is taken from them."""
    wanted = need("mains", "lineup=UCH81 UF89 UABC80 UL84 UY85")
    assert not wanted.has("heater_current")
    assert any("chain" in line for line in wanted.assumptions)


@pytest.mark.parametrize("position", ["mains", "heater", "isolating", "interstage", "driver"])
def test_nothing_known_asks_at_most_two_questions(position: str) -> None:
    """And lists what was taken instead."""
    wanted = need(position)
    assert 1 <= len(wanted.questions) <= 2
    assert wanted.assumptions


def test_a_valve_not_in_the_table_is_allowed_for() -> None:
    """Its heater is unknown: 2.6 W beside the lamps, and the answer names it."""
    wanted = need("mains", "lineup=ECH81 XYZ99 EL84 EZ80")
    assert wanted.number("heater_extra") == by_hand(1.013, "0.6 + 2.6 / 6.3", of=TRANSFORMER.need)
    assert any("XYZ99" in line for line in wanted.assumptions)


def test_diodes_draw_nothing_and_unknown_valves_the_usual() -> None:
    """EB91 has no anode current to speak of; ECH21 is not in the table with one."""
    found = drawn(lineup("EB91 ECH21"), 0.005)
    assert (found.current, found.guessed) == (0.005, ("ECH21",))


def test_screens_that_no_table_lists_flow_through_the_winding_too() -> None:
    """67 mA by the tables, 83 with the screens of ECH81 and EBF89: 80 mA are a care, 67 are read first, 60 are refused."""
    wanted = need("mains", EL84, "secondary=250-0-250")
    assert wanted.number("ht_listed") == by_hand(0.06675, "3.25 + 9 + 1 + 53.5 mA", of=TRANSFORMER.need)
    assert wanted.number("ht_current") == by_hand(0.08335, "5 × 3.25 + 1.4 × 9 + 1 + 53.5 mA", of=TRANSFORMER.need)
    said = {}
    for rating in (60, 67, 80, 85):
        (made,) = options(f"mains transformer 230V 250-0-250 {rating}mA 6.3V 3A")
        said[rating] = {f.check: f.verdict for f in findings(TRANSFORMER, wanted, made)}["TRF12"]
    assert said == {60: "fail", 67: "unknown", 80: "thin", 85: "pass"}


def test_iron_that_carried_other_valves_may_not_have_carried_the_screens() -> None:
    """Two EL84 and an EBF89, 116 mA, are enough; one and two EBF89, 71.5 mA, are less than the 83 that may flow."""
    wanted = need("mains", EL84, "secondary=250-0-250")
    said = {}
    for served in ("EBF89 EL84 EL84 EZ80", "EBF89 EBF89 EL84 EZ80"):
        (made, *_) = options("mains transformer 230V 250-0-250 6.3V", "salvaged", served, insulation=1e9)
        said[served] = {f.check: f.verdict for f in findings(TRANSFORMER, wanted, made)}["TRF12"]
    assert said == {"EBF89 EL84 EL84 EZ80": "pass", "EBF89 EBF89 EL84 EZ80": "thin"}


def test_a_bridge_for_a_valve_names_the_resistor_that_restores_the_rail() -> None:
    """EZ80 out: 125 Ω in the lead, (2 × 83.35 mA)² × 125 Ω = 3.5 W, twice that fitted."""
    said = reasons("mains transformer 230V 250V 150mA 6.3V 3A", need("mains", EL84, "secondary=250-0-250"))
    assert "125 Ω" in said["TRF13"]
    assert said["TRF13"].endswith("7 W")


def test_with_the_valve_its_heater_and_its_cathode_are_gone() -> None:
    """No 0.6 A for the EZ80, and nothing between its heater and its cathode."""
    said = reasons("mains transformer 230V 250V 150mA 6.3V 3A", need("mains", EL84, "secondary=250-0-250"))
    assert "1.81 A drawn" in said["TRF16"]
    assert "silicon instead" in said["TRF19"]


def test_every_wall_that_a_rectifier_winding_breaks_shows_the_way_out() -> None:
    """No 5 V winding: silicon diodes and a resistor."""
    said = reasons("mains transformer 230V 250-0-250 80mA 6.3V 3A", need("mains", "lineup=6K8 6V6 5Y3GT"))
    assert "way out: silicon diodes" in said["TRF17"]


def test_iron_of_the_same_set_does_again() -> None:
    """Nothing marked but volts; the same valves, the rectifier on the heaters' winding: it carried as much."""
    wanted = need("mains", EL84, "secondary=250-0-250")
    made = options("mains transformer 230V 250-0-250 6.3V", "salvaged", EL84.removeprefix("lineup="), insulation=1e9)
    found = findings(TRANSFORMER, wanted, made[0])
    assert {finding.verdict for finding in found} == {"pass"}
