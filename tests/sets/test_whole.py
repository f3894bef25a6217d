"""All that follows from a set: heaters, supply, rectifier, output stage, grids, readings, each with its assumption."""

from __future__ import annotations

import math

import pytest

from partsbin.errors import UsageError
from partsbin.sets import read_facts
from partsbin.sets.lines import Line, weakest
from partsbin.sets.whole import account
from tests.expected import Expected, by_hand

RECEIVER = ("lineup=ECH81 EBF89 EABC80 EL84 EZ80", "secondary=250-0-250", "speaker=3")
CHAIN = ("lineup=UCH81 UF89 UABC80 UL84 UY85", "speaker=5")
BENCH = (
    "lineup=ECC83 2xECL86 EZ81", "secondary=286-0-286 off-load", "mains_now=231", "winding_resistance=200", "current=80mA",
)  # fmt: skip


def lines(*facts: str) -> dict[str, Line]:
    """Return the lines by subject and name."""
    return {f"{line.about}: {line.name}": line for line in account(read_facts(facts))}


def line(name: str, *facts: str) -> Line:
    """Return one line."""
    return lines(*facts)[name]


FIGURES = [
    ("heaters: 6.3 V winding", RECEIVER, by_hand(3.01, "0.3 + 0.3 + 0.45 + 0.76 + 0.6 + 0.6 of lamps", of=account)),
    ("heaters: 6.3 V winding", (*RECEIVER, "lamps=2x 6.3V 0.15A"), by_hand(2.71, "2.41 + 2 · 0.15", of=account)),
    ("heaters: 5 V winding", ("lineup=6V6GT 5Y3GT",), by_hand(2.0, "5Y3GT alone", of=account)),
    ("heaters: chain", CHAIN, by_hand(142.6, "19 + 12.6 + 28 + 45 + 38", of=account)),
    ("heaters: chain", (*CHAIN, "lamps=2x 6.3V 0.1A"), by_hand(155.2, "142.6 + 2 · 6.3", of=account)),
    ("heaters: dropper", CHAIN, by_hand(874.0, "(230 - 142.6) / 0.1", of=account)),
    ("heaters: UCH81 heater to cathode", CHAIN, by_hand(29.56, "19 · 1.1 · 1.41421", of=account)),
    ("heaters: UL84 heater to cathode", CHAIN, by_hand(162.7, "(19 + 12.6 + 28 + 45) · 1.1 · 1.41421", of=account)),
    ("heaters: UY85 heater to cathode", CHAIN, by_hand(579.6, "142.6 · 1.1 · 1.41421 + 253 · 1.41421", of=account)),
    ("heaters: EZ80 heater to cathode", RECEIVER, by_hand(408.4, "1.41421 · 250 · 1.1 · 1.05", of=account)),
    ("supply: off load, mains high", BENCH, by_hand(443.0, "1.41421 · 286 · 253 / 231", of=account)),
    ("supply: HT current", RECEIVER, by_hand(0.06675, "3.25 + 9 + 1 + 53.5 mA", of=account)),
    ("rectifier: inverse volts", BENCH, by_hand(886.0, "2 · 443.0", of=account)),
    ("output: load wanted", RECEIVER, by_hand(5200.0, "EL84 at 250 V", of=account)),
    ("output: ratio", RECEIVER, by_hand(38.38, "√(5200 · 0.85 / 3)", of=account)),
    ("grids: EL84: grid leak at most", RECEIVER, by_hand(1e6, "cathode bias", of=account)),
    ("grids: EL84: grid leak at most", (*RECEIVER, "bias=fixed"), by_hand(3e5, "fixed bias", of=account)),
    ("readings: cathode of EL84", RECEIVER, by_hand(7.3, "48 + 5.5 mA through 135 Ω: 7.2", of=account)),
]


@pytest.mark.parametrize(("name", "facts", "expected"), FIGURES)
def test_figures_are_those_worked_by_hand(name: str, facts: tuple[str, ...], expected: Expected) -> None:
    """A receiver with a transformer, one with a chain, the amplifier of the design."""
    assert line(name, *facts).value == expected


def test_the_amplifier_of_the_design_is_met() -> None:
    """80 mA, 200 Ω a side: 312 V at 230 V mains, 15 V of ripple on 32 µF, 0.11 A in the reservoir."""
    found = lines(*BENCH, "reservoir=32u")
    rail, ripple, flow = (float(found[f"supply: {name}"].value) for name in ("rail", "ripple", "reservoir current"))
    assert rail * 230 / 231 == pytest.approx(312, abs=1)
    assert (round(ripple), round(flow, 2)) == (15, 0.11)


def test_a_reservoir_above_the_most_of_the_rectifier_valve_is_said() -> None:
    """Listed for 50 µF; at it, no word."""
    over = line("rectifier: EZ81: largest reservoir", *BENCH, "reservoir=100u")
    assert over.warning
    assert "100 µF there: 2 times what is listed" in over.how
    assert not line("rectifier: EZ81: largest reservoir", *BENCH, "reservoir=50u").warning


@pytest.mark.parametrize(
    ("name", "bad", "good"),
    [
        ("rectifier: EZ81: least resistance", "winding_resistance=150", "winding_resistance=200"),
        ("rectifier: EZ81: most current", "current=160mA", "current=150mA"),
        ("rectifier: crest at each pulse", "current=180mA", "current=80mA"),
        ("rectifier: inverse volts", "secondary=350-0-350", "secondary=286-0-286"),
        ("heaters: EZ81 heater to cathode", "secondary=450-0-450", "secondary=286-0-286"),
        ("grids: ECL86: grid leak at most", "grid_leak=2M2", "grid_leak=1M"),
        ("supply: rail", "rail=200", "rail=310"),
    ],
)
def test_a_limit_that_is_passed_is_marked(name: str, bad: str, good: str) -> None:
    """And one that is not, is not."""
    assert [line(name, *BENCH, fact).warning for fact in (bad, good)] == [True, False]


def test_a_rectifier_in_a_chain_may_pass_its_limit_with_nothing_drawing() -> None:
    """580 V off load against 550, less in use: said, not marked."""
    found = line("heaters: UY85 heater to cathode", *CHAIN)
    assert not found.warning
    assert "passed only off load" in found.how


def test_a_chain_named_from_the_mains_end_is_turned_round() -> None:
    """The rectifier sits at the mains end: the volts are the same from either."""
    turned = lines("lineup=UY85 UL84 UABC80 UF89 UCH81", "speaker=5")
    as_given = lines(*CHAIN)
    names = [name for name in as_given if name.endswith("heater to cathode")]
    assert [turned[name].value for name in names] == [as_given[name].value for name in names]
    assert turned[names[0]].assumed == ("rectifier named first: order as given, from the mains end",)


def test_a_heater_of_another_current_in_a_chain_is_marked() -> None:
    """300 mA among 100 mA."""
    assert line("heaters: another current", "lineup=UCH81 UF89 PL84 UY85").warning


def test_valves_that_are_not_known_are_not_counted_and_that_is_said() -> None:
    """The sum would be too small."""
    found = line("heaters: not counted", "lineup=ECH81 EL84 EZ80 XYZ99")
    assert (found.value, found.warning) == ("XYZ99", True)


@pytest.mark.parametrize("facts", [RECEIVER, CHAIN, BENCH, ("rail=250",), ("lineup=EL84",), ("secondary=250-0-250",)])
def test_what_rests_on_memory_says_what_to_read_instead(facts: tuple[str, ...]) -> None:
    """At least once a subject: a line from memory that assumes something names the reading."""
    for found in account(read_facts(facts)):
        if found.sure == "memory" and found.assumed and found.about != "readings":
            assert found.instead, found.name


@pytest.mark.parametrize(
    "facts", [RECEIVER, CHAIN, BENCH, (*BENCH, "filter=choke-input"), ("rail=250",), ("chassis=live",)]
)
def test_every_figure_is_a_number_within_its_ends(facts: tuple[str, ...]) -> None:
    """No NaN gets out."""
    for found in account(read_facts(facts)):
        if not isinstance(found.value, str):
            assert math.isfinite(found.value), found.name
            assert math.isnan(found.low) or found.low <= found.value <= found.high


@pytest.mark.parametrize(
    "facts",
    [
        ("secondary=230", "current=400mA", "rectifier=AZ12"),
        ("secondary=30 half-wave", "current=100mA", "rectifier=EZ81", "tap=250", "mains=117"),
        ("secondary=250-0-250", "current=100mA", "winding_resistance=5k", "filter=choke-input"),
    ],
)
def test_a_winding_that_cannot_give_the_current_is_said_to_be_one_and_no_figure_comes_of_it(
    facts: tuple[str, ...],
) -> None:
    """Neither rail nor power."""
    rails = [
        found.value
        for found in account(read_facts(facts))
        if found.name.startswith("rail") and found.about != "readings"
    ]
    assert all(isinstance(value, str) for value in rails)
    assert not [found for found in account(read_facts(facts)) if found.about == "readings"]


def test_readings_have_bands() -> None:
    """Lamp limiter, primary, rail, cathode: what proves the repair."""
    found = [entry for entry in account(read_facts(RECEIVER)) if entry.about == "readings"]
    assert [entry.name for entry in found] == ["through a 60 W lamp", "primary current", "rail", "cathode of EL84"]
    assert all(entry.low < float(entry.value) < entry.high for entry in found)


def test_no_bias_is_expected_at_the_cathode_of_a_valve_with_fixed_bias() -> None:
    """The cathode is at the chassis."""
    assert "readings: cathode of EL84" not in lines(*RECEIVER, "bias=fixed")


def test_facts_from_which_nothing_follows_are_refused() -> None:
    """With an example."""
    with pytest.raises(UsageError, match="nothing follows from these facts"):
        account(read_facts(["speaker=3"]))


def test_the_weakest_of_several_standings_decides() -> None:
    """Memory below practice below what was read."""
    assert (weakest("read", "memory"), weakest("practice", None, "read"), weakest()) == ("memory", "practice", "worked")
