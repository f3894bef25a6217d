"""Potentiometers: what a need is made of, what is a change, what the track and the switch are judged by."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.families import load
from partsbin.families._declare import Item, Measured
from partsbin.matching.explain import findings
from partsbin.needs import Given, Need, Request
from partsbin.rules import load_rules
from partsbin.sets import read_facts
from tests.expected import Expected, by_hand, published

POT = load("potentiometer")


def need_for(text: str, position: str = "volume", *facts: str) -> Need:
    """Return a need."""
    return POT.need(Request("potentiometer", text, position, {}, read_facts(facts)))


def told(need: Need, marked: dict[str, Any], condition: str = "new", **readings: Measured) -> dict[str, Any]:
    """Return what each check says of one part."""
    part = Item(POT.facts.model_validate(marked), condition, readings)
    (option,) = POT.options(part)
    return {finding.check: finding for finding in findings(POT, need, option)}


LOG = {"resistance": 1e6, "taper": "log"}


def test_a_control_without_a_switch_is_the_way_out() -> None:
    """A change: a separate two-pole switch beside it, with the rating it wants."""
    said = told(need_for("1M log DP sw", "volume", "chassis=live"), {**LOG, "switch_poles": 0})["POT11"]
    assert said.verdict == "thin"
    assert said.change
    assert said.reason == "no switch: a separate one beside it (two poles, 230 V AC or more, 1 A), new hole"


def test_a_single_pole_names_the_way_out() -> None:
    """With why it is refused."""
    said = told(need_for("1M log DP sw", "volume", "chassis=live"), {**LOG, "switch_poles": 1})["POT11"]
    assert (said.verdict, said.wall) == ("fail", True)
    assert "way out: a control without a switch, and a separate two-pole one" in said.reason
    assert "way out" in POT.buy(need_for("1M log DP sw", "volume", "chassis=live"))


POLES = [
    ("chassis=earthed", "1M log SP sw", 1, "pass"),
    ("chassis=earthed", "1M log SP sw", 2, "pass"),
    ("chassis=earthed", "1M log DP sw", 1, "thin"),
    ("chassis=live", "1M log no switch", 1, "thin"),
    ("chassis=live", "1M log SP sw", 1, "fail"),
    ("", "1M log SP sw", 1, "fail"),
    ("lineup=UCH81 UL84 UY85", "1M log SP sw", 1, "fail"),
    ("lineup=ECH81 EBF89 EABC80 EL84 EZ80", "1M log SP sw", 1, "pass"),
]


@pytest.mark.parametrize(("facts", "dead", "poles", "verdict"), POLES)
def test_the_chassis_decides_how_many_poles_must_part(facts: str, dead: str, poles: int, verdict: str) -> None:
    """Live or not known: two, whatever the dead part had. Behind a transformer one, in the live lead (common practice)."""
    need = need_for(dead, "volume", *filter(None, [facts]))
    assert told(need, {**LOG, "switch_poles": poles})["POT11"].verdict == verdict


def test_a_few_milliamperes_are_not_the_sets_mains_current() -> None:
    """The HT's current given for the position does not make a small switch large enough."""
    need = need_for("1M log SP sw", "volume", "chassis=earthed", "current=60mA")
    assert need.number("switch_current") == load_rules("potentiometer").general("current")


def test_a_gain_controls_current_is_the_wipers_and_not_the_switchs() -> None:
    """10 mA through the track."""
    need = need_for("10k lin DP sw", "rf-gain", "chassis=earthed", "current=10mA")
    assert (need.number("flow"), need.number("switch_current")) == (0.01, 0.5)


def test_a_cold_start_through_few_ohms_asks_for_a_limiter() -> None:
    """325 V and ten per cent through 8 ohms against twenty times one ampere."""
    need = need_for(
        "1M log DP sw", "volume", "chassis=live", "rectifier=silicon", "winding_resistance=8", "current=0.3"
    )
    said = told(need, {**LOG, "switch_poles": 2, "switch_voltage_ac": 250.0, "switch_current": 1.0})["POT13"]
    assert need.number("surge") == SURGE
    assert said.verdict == "thin"
    assert "fit a surge limiter" in said.reason


SURGE = by_hand(44.7, "sqrt(2) · 253 / 8", of=POT.need)

LAWS = [
    (0.10, "log"),
    (0.15, "log"),
    (0.20, "log"),
    (0.30, "old-log"),
    (0.38, "other"),
    (0.50, "linear"),
    (0.90, "antilog"),
    (0.99, "other"),
]


@pytest.mark.parametrize(("mid", "law"), LAWS)
def test_half_rotation_tells_the_law_whatever_is_marked(mid: float, law: str) -> None:
    """The bands of the rules."""
    (option,) = POT.options(Item(POT.facts.model_validate({**LOG, "taper": "linear"}), "new", {"mid": Measured(mid)}))
    assert option.offers["taper"] == law


def test_a_reading_that_lies_across_two_bands_tells_no_law() -> None:
    """It is read again."""
    (option,) = POT.options(Item(POT.facts.model_validate(LOG), "new", {"mid": Measured(0.20, 0.03)}))
    assert option.offers["taper"] == ""


def test_the_card_for_the_law_names_its_bands() -> None:
    """In per cent of the track, those that fit and those that need care."""
    card = POT.cards("mid", need_for("1M log"), {})
    assert card is not None
    assert card.passes == "8–20 % of the track fits, 20–35 % or 42–58 % care"


def test_a_track_too_high_comes_down_with_a_resistor_across() -> None:
    """2 MΩ for 1 MΩ: 2 MΩ beside it, of E12 the nearer."""
    said = told(need_for("1M log"), {**LOG, "resistance": 2e6})["POT03"]
    assert said.reason == "2 MΩ over 1.5 MΩ: 2.2 MΩ across the track brings it down, the law stays"


WATTS = [
    ({"resistance": 500e3, "taper": "log", "power": 0.12}, 250.0, "fail"),
    ({"resistance": 500e3, "taper": "linear", "power": 0.25}, 250.0, "pass"),
    ({"resistance": 500e3, "taper": "log", "power": 0.2}, 250.0, "thin"),
]


@pytest.mark.parametrize(("marked", "across", "verdict"), WATTS)
def test_a_log_track_bears_less_than_a_linear_one(marked: dict[str, Any], across: float, verdict: str) -> None:
    """250 V across 500 kΩ is 0.125 W: a log track of 0.12 W is refused (the published trap), one of 0.2 W is thin."""
    need = need_for("500k pot", "bias-preset", "rail=100")
    fields = {**need.fields, "across": Given(across, "V", "the trap")}
    assert told(Need(**{**vars(need), "fields": fields}), marked)["POT05"].verdict == verdict


def test_four_hundred_volts_are_too_much_for_a_limit_of_three_hundred_and_fifty() -> None:
    """A quarter-watt linear track of 16 mm at the swing of an anode at 400 V."""
    said = told(
        need_for("500k lin", "tone", "anode=400"),
        {"resistance": 500e3, "taper": "linear", "power": 0.25, "voltage_limit": 350.0},
    )
    assert said["POT06"].verdict == "fail"


def test_a_small_body_does_not_carry_a_cathode() -> None:
    """A 9 mm control of the right ohms."""
    said = told(need_for("10k lin", "rf-gain", "current=10mA"), {"resistance": 10e3, "taper": "linear", "power": 0.05})[
        "POT05"
    ]
    assert said.reason == "bears 50 mW, 1 W on the track: any part of it bears 2.24 mA, 10 mA flows"


SPINDLES = [
    ({"shaft_diameter": 0.006}, "a sleeve in the knob"),
    ({"shaft_diameter": 0.00635, "shaft_length": 0.06}, "cut to 45 mm"),
    ({"shaft_diameter": 0.00635, "shaft_length": 0.02}, "an extension and its coupler"),
    ({"shaft_diameter": 0.008}, "another knob, or the bore opened"),
    ({"shaft_diameter": 0.00635, "shaft_style": "spline"}, "a knob for this spindle"),
]


@pytest.mark.parametrize(("marked", "change"), SPINDLES)
def test_a_spindle_that_differs_is_a_change_and_never_unfit(marked: dict[str, Any], change: str) -> None:
    """With what to do about it."""
    said = told(need_for("1M log spindle 6.35 x 45 mm flat"), {**LOG, **marked})["POT16"]
    assert (said.verdict, said.change) == ("thin", True)
    assert change in said.reason


def test_a_metal_spindle_on_a_live_chassis_is_a_change() -> None:
    """Insulated knob, grub screw sunk and sealed; one that nobody described is taken as metal."""
    need = need_for("1M log no switch", "volume", "chassis=live")
    for marked in ({"insulated_shaft": False}, {}):
        said = told(need, {**LOG, **marked})["POT15"]
        assert said.verdict == "thin"
        assert "grub screw sunk and sealed" in said.reason
    assert told(need, {**LOG, "insulated_shaft": True})["POT15"].verdict == "pass"


def test_an_untapped_control_for_a_tapped_one_needs_care() -> None:
    """It works, and sounds thinner at low volume."""
    said = told(need_for("2M log tap at 20%"), {"resistance": 2e6, "taper": "log"})["POT09"]
    assert (said.verdict, said.change) == ("thin", True)


def test_a_letter_on_the_dead_part_is_said_to_have_other_meanings() -> None:
    """The likelier is taken, the other named."""
    need = need_for("A500K")
    assert need.word("tapers") == "log"
    assert any("it may also mean 500 kΩ linear" in line for line in need.assumptions)


READ: list[tuple[str, str, int | None, Expected]] = [
    ("general", "floor_watts", None, published(0.05, "sanni", of=load_rules, where="9 mm, linear 0.05 W")),
    ("general", "floor_watts_law", None, published(0.025, "sanni", of=load_rules, where="9 mm, other laws 0.025 W")),
    ("general", "floor_volts", None, published(20.0, "sanni", of=load_rules, where="9 mm, 20 V DC")),
    ("general", "body_watts", None, published(0.12, "omegeco", of=load_rules, where="16 mm, other laws 0.12 W")),
    ("general", "body_volts", None, published(350.0, "omegeco", of=load_rules, where="16 mm, 350 V DC")),
    ("general", "surge_times", None, published(20.0, "omegsw", of=load_rules, where="1 A with 20 A, 4 A with 80 A")),
    ("tolerance", "usual", 1, published(0.2, "omeg", of=load_rules, where="±20 %")),
    ("tolerance", "high", 1, published(0.3, "pneu", of=load_rules, where="±30 % above 1 MΩ")),
]


@pytest.mark.parametrize(("section", "name", "end", "expected"), READ)
def test_a_figure_of_the_rules_is_that_of_its_source(
    section: str, name: str, end: int | None, expected: Expected
) -> None:
    """As it stands in what it cites."""
    value = load_rules("potentiometer").get(section, name)
    assert (value if end is None else value[end]) == expected


HALVES = [
    (0.4, published(0.2, "omegp20", of=load_rules, where="20 mm, linear 0.4 W, other laws 0.2 W")),
    (0.25, published(0.12, "omegeco", of=load_rules, where="16 mm, linear 0.25 W, other laws 0.12 W", rel=0.05)),
    (1.0, published(0.5, "p11", of=load_rules, where="cermet, linear 1 W, other laws 0.5 W")),
    (0.5, published(0.25, "b54", of=load_rules, where="linear 0.5 W, other laws 0.25 W")),
    (0.05, published(0.025, "sanni", of=load_rules, where="9 mm, linear 0.05 W, other laws 0.025 W")),
]


@pytest.mark.parametrize(("linear", "other"), HALVES)
def test_half_the_watts_of_a_linear_track_are_what_data_sheets_give_another_law(linear: float, other: Expected) -> None:
    """The table of ratings, five makes and sizes."""
    assert linear * load_rules("potentiometer").general("nonlinear") == other


def test_conductive_plastic_bears_the_same_in_every_law() -> None:
    """The exception of the table (p11: 0.5 W both): its log track is not thin where a carbon one is."""
    need = need_for("10k log", "rf-gain", "current=6mA")
    marked = {"resistance": 10e3, "taper": "log", "power": 0.5}
    said = [told(need, {**marked, "track": track})["POT05"].verdict for track in ("carbon", "conductive-plastic")]
    assert said == ["thin", "pass"]


def test_positions_are_those_of_the_design() -> None:
    """Six, and no other."""
    assert set(load_rules("potentiometer").positions) == {
        "volume",
        "tone",
        "rf-gain",
        "hum-balance",
        "bias-preset",
        "balance",
    }
