"""Rectifiers: what must never pass, over a thousand random parts a wall; everyday ones that must; and what the change costs."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.checks import Columns, Verdict
from partsbin.circuit.replacing import resistor_ahead, resistor_behind
from partsbin.families import load
from partsbin.families._declare import Item, Laid, columns_of
from partsbin.families.rectifier.change import fit, made, restored_with
from partsbin.families.rectifier.facts import RectifierFacts, rated
from partsbin.matching.explain import findings
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.notation.rectifier import read_rectifier_part
from partsbin.rules.serving import servers
from partsbin.sets import read_facts
from tests.expected import by_hand, simulated

N = 1000
RECTIFIER = load("rectifier")
SUPPLY = ("secondary=250-0-250", "current=60mA", "winding_resistance=150")
LINEUP = "lineup=ECH81 EBF89 EABC80 EL84 EZ80"
CHAIN = ("chassis=live", "lineup=UCH81 UF89 UABC80 UL84 UY85")


def need(text: str, position: str, *facts: str) -> Need:
    """Return a need."""
    return RECTIFIER.need(Request("rectifier", text, position, {}, read_facts(facts)))


def good(rng: np.random.Generator) -> dict[str, Any]:
    """Return a thousand silicon rectifiers that are good in every respect: a test spoils one."""
    inverse = rng.uniform(1000, 3000, N)
    return {
        "inverse": inverse, "inverse_low": inverse, "inverse_high": inverse, "current": rng.uniform(1, 6, N),
        "surge": rng.uniform(30, 200, N), "technology": np.full(N, "silicon", object),
        "connection": np.full(N, "single", object), "condition": rng.choice(["new", "unused-old"], N).astype(object),
        "series": np.full(N, 1.0), "leakage": np.full(N, np.nan),
    }  # fmt: skip


def verdicts(asked: Need, columns: Columns) -> set[Verdict]:
    """Return the verdicts that occur."""
    return {Verdict(int(v)) for v in judge(RECTIFIER, asked, RECTIFIER.search(asked), columns).verdict}


def reasons(asked: Need, facts: dict[str, Any], condition: str = "new", option: int = 0) -> dict[str, Any]:
    """Return what each check says of one part."""
    made_of = RECTIFIER.options(Item(RECTIFIER.facts.model_validate(facts), condition))[option]
    return {finding.check: finding for finding in findings(RECTIFIER, asked, made_of)}


SPOILS: list[tuple[str, str, str, tuple[str, ...], dict[str, Any]]] = [
    ("inverse volts for a pair", "EZ80", "replaces-valve", SUPPLY, {"inverse": 800.0}),
    ("inverse volts, connection not known", "", "replaces-silicon", ("rail=250", "current=60mA"), {"inverse": 700.0}),
    ("inverse volts on the mains", "", "replaces-valve", CHAIN, {"inverse": 700.0}),
    ("inverse volts in a bridge", "", "replaces-selenium", ("secondary=250 bridge", "current=60mA"), {"inverse": 400.0}),
    ("current", "EZ80", "replaces-valve", SUPPLY, {"current": 0.05}),
    ("surge on a stiff supply", "", "replaces-silicon", ("secondary=230", "current=0.1", "winding_resistance=5"), {"surge": 30.0}),
    ("copper oxide at HT", "EZ80", "replaces-valve", SUPPLY, {"technology": "copper-oxide"}),
    ("used selenium", "B250C100", "replaces-selenium", SUPPLY, {"technology": "selenium", "condition": "salvaged"}),
    ("used selenium, nobody knows how long", "B250C100", "replaces-selenium", SUPPLY, {"technology": "selenium", "condition": ""}),
    ("selenium for silicon", "1N4007", "replaces-silicon", SUPPLY, {"technology": "selenium"}),
    ("a reservoir too weak", "EZ80", "replaces-valve", (*SUPPLY, "original=32uF 350V"), {}),
    ("leaking", "EZ80", "replaces-valve", SUPPLY, {"leakage": 5e-4}),
]  # fmt: skip


@pytest.mark.parametrize(("why", "text", "position", "facts", "spoil"), SPOILS, ids=[s[0] for s in SPOILS])
def test_an_unsafe_rectifier_is_unfit_whatever_else_it_has(
    why: str, text: str, position: str, facts: tuple[str, ...], spoil: dict[str, Any]
) -> None:
    """A thousand otherwise good ones, each spoilt in one respect."""
    columns = good(np.random.default_rng(len(why)))
    for name, value in spoil.items():
        columns[name] = np.full(N, value, dtype=columns[name].dtype)
    assert verdicts(need(text, position, *facts), columns) == {Verdict.UNFIT}


@pytest.mark.parametrize(
    ("text", "position", "facts"),
    [
        ("EZ80", "replaces-valve", SUPPLY),
        ("", "replaces-valve", CHAIN),
        ("B250C100", "replaces-selenium", ("secondary=250 bridge",)),
    ],
)
def test_in_place_of_a_valve_or_of_plates_nothing_is_better_than_care(
    text: str, position: str, facts: tuple[str, ...]
) -> None:
    """The rail rises, whatever the part: the resistor is part of the answer."""
    assert verdicts(need(text, position, *facts), good(np.random.default_rng(1))) == {Verdict.CARE}


@given(
    volts=st.integers(60, 500),
    high=st.floats(1.0, 1.25),
    connection=st.sampled_from(["{0}-0-{0}", "{0}", "{0} bridge", "{0}-0-{0} off-load"]),
)
def test_inverse_volts_are_never_understated(volts: int, high: float, connection: str) -> None:
    """At least what stands across an arm at the highest mains with the reservoir full."""
    asked = need("", "replaces-silicon", f"secondary={connection.format(volts)}", f"mains_high={high:.4f}")
    peaks = 1 if "bridge" in connection else 2
    assert asked.number("inverse") >= peaks * math.sqrt(2) * volts * round(high, 4) * (1 - 1e-9)


def test_the_rail_is_restored_on_either_side() -> None:
    """250-0-250 V, 60 mA, 125 Ω a side, the valve gave 284.7 V: about 175 Ω a side, or 495 Ω behind the reservoir."""
    asked = need(
        "EZ80",
        "replaces-valve",
        "secondary=250-0-250",
        "current=60mA",
        "winding_resistance=125",
        "reservoir=32u",
        "rail=284.7",
    )
    sim = "ngspice: 284.7 V with the valve, 314.4 V with silicon"
    assert asked.number("ac_resistor") == simulated(175.0, sim, of=resistor_ahead, rel=0.03)
    assert asked.number("dc_resistor") == simulated(495.0, sim, of=resistor_behind, rel=0.03)
    assert asked.number("ac_watts") == simulated(0.95, sim, of=resistor_ahead, rel=0.03)
    assert asked.number("dc_watts") == simulated(1.8, sim, of=resistor_behind, rel=0.03)


def test_the_change_is_spelled_out() -> None:
    """Rail, both resistors with their watts, heater, peak at once."""
    said = reasons(
        need("EZ80", "replaces-valve", *SUPPLY),
        {"rectifier_type": "1N4007", "technology": "silicon", "connection": "single"},
    )
    assert "180 Ω in each anode lead (0.998 W: fit 2 W), or 560 Ω behind the reservoir" in said["REC06"].reason
    assert said["REC07"].reason.startswith("600 mA less on the heater winding: read it loaded, 6.74 V at most")
    assert said["REC08"].reason.startswith("408 V on every HT capacitor at once")
    assert all(said[code].change for code in ("REC06", "REC07", "REC08"))


def test_the_rail_to_expect_is_that_of_the_dead_one() -> None:
    """Within 5 %, where it is known or could be worked out."""
    assert RECTIFIER.after(need("EZ80", "replaces-valve", *SUPPLY, "rail=280")) == (
        "rail 266 V to 294 V under load, resistor fitted",
    )
    assert RECTIFIER.after(need("EZ80", "replaces-valve")) == ()


def test_a_heater_gone_from_a_chain_is_made_up() -> None:
    """38 V at 100 mA: 380 Ω and 3.8 W."""
    asked = need("", "replaces-valve", *CHAIN)
    assert asked.word("heater") == "heater of UY85 gone from the chain: 380 Ω in its place, 3.8 W: fit 10 W"


def test_a_valve_is_understood_as_text_by_the_line_up_and_as_a_fact() -> None:
    """The same need serves a valve's socket."""
    asked = [
        need("EZ80", "replaces-valve"),
        need("", "replaces-valve", LINEUP),
        need("", "replaces-valve", "rectifier=EZ80"),
    ]
    assert [found.word("dead") for found in asked] == ["EZ80"] * 3
    assert ("rectifier", "replaces-valve") in servers("valve", "rectifier")


def test_current_of_the_line_up_is_the_sum_of_its_anodes_and_screens() -> None:
    """From the tables, where nobody gave it."""
    assert 0.06 < need("", "replaces-valve", LINEUP).number("drawn") < 0.08


def test_a_rectifier_must_give_what_the_valves_draw_at_most() -> None:
    """The tables list no screen of AL4: the rail is reckoned with its anode, the rectifier with a quarter more."""
    asked = need("", "replaces-valve", "lineup=AL4 AZ1", "secondary=300-0-300")
    assert asked.number("drawn") == by_hand(0.036, "the anode of AL4", of=load)
    assert asked.number("current") == by_hand(0.045, "36 mA · 1.25", of=load)


def test_two_in_series_bear_less_than_twice_the_volts() -> None:
    """And take twice the pieces, with a resistor across each."""
    asked = need("5Y3GT", "replaces-valve", "secondary=350-0-350", "current=100mA")
    said = reasons(asked, {"rectifier_type": "1N4007", "technology": "silicon", "connection": "single"}, option=1)
    assert said["REC01"].offered == by_hand(1600.0, "2 × 0.8 × 1000", of=rated)
    assert said["REC05"].reason.startswith("4 of them for centre-tap: two in series an arm")


def test_a_rating_in_volts_ac_covers_mains_and_regulation() -> None:
    """250 V AC through a bridge: 250 × √2 × 1.1 × 1.05 an arm."""
    facts = RectifierFacts(technology="selenium", connection="bridge", voltage_ac=250.0)
    assert rated(facts).inverse == by_hand(408.4, "250 × 1.4142 × 1.155", of=rated)


@pytest.mark.parametrize(
    ("watts", "size"), [(0.2, "0.5 W"), (0.95, "2 W"), (1.8, "5 W"), (3.8, "10 W"), (40.0, "80 W")]
)
def test_a_resistor_is_fitted_with_twice_its_watts(watts: float, size: str) -> None:
    """In a size that is made, and beyond the largest simply twice."""
    assert fit(watts) == size


def test_a_resistor_is_one_that_is_made() -> None:
    """The nearest of the E12 series."""
    assert [made(ohms) for ohms in (123.0, 382.0, 913.0)] == ["120 Ω", "390 Ω", "1 kΩ"]


@pytest.mark.parametrize("position", ["replaces-valve", "replaces-selenium", "replaces-silicon", "bias"])
def test_without_the_winding_the_inverse_volts_are_asked_for(position: str) -> None:
    """Never taken for granted."""
    asked = need("", position)
    assert not asked.has("inverse")
    assert "secondary" in [question.fact for question in asked.questions]
    assert verdicts(asked, good(np.random.default_rng(2))) == {Verdict.MEASURE}


EVERYDAY: list[tuple[str, str, str, tuple[str, ...]]] = [
    ("1N4007", "1N4007", "replaces-silicon", ("secondary=230", "current=100mA", "winding_resistance=47")),
    ("1N4007", "BY127", "replaces-silicon", ("secondary=250-0-250", "current=60mA")),
    ("BY127", "BY127", "replaces-silicon", ("secondary=300-0-300", "current=60mA")),
    ("1N5408", "1N5408", "replaces-silicon", ("secondary=200 bridge", "current=0.5", "chassis=floating")),
    ("1N4004", "", "bias", ("rail=40",)),
    ("1N4007", "", "bias", ("rail=60",)),
    ("UF4007", "1N4007", "replaces-silicon", ("secondary=250-0-250", LINEUP)),
]


@pytest.mark.parametrize(("text", "dead", "position", "facts"), EVERYDAY)
def test_an_everyday_diode_fits(text: str, dead: str, position: str, facts: tuple[str, ...]) -> None:
    """New, like for like: nothing to measure, nothing to change (common practice, no source)."""
    (reading,) = read_rectifier_part(text)
    said = reasons(need(dead, position, *facts), dict(reading.fields))
    assert [finding.reason for finding in said.values() if finding.verdict != "pass"] == []


CHANGED: list[tuple[str, str, str, tuple[str, ...]]] = [
    ("1N4007", "EZ80", "replaces-valve", ("secondary=250-0-250",)),
    ("1N4007", "EZ80", "replaces-valve", ("secondary=250-0-250", LINEUP)),
    ("BY127", "GZ34", "replaces-valve", ("secondary=300-0-300", "current=120mA")),
    ("EM513", "5Y3GT", "replaces-valve", ("secondary=350-0-350", "current=90mA")),
    ("1N4007", "", "replaces-valve", CHAIN),
    ("1N4007", "6X5GT", "replaces-valve", ("secondary=275-0-275", "rail=260", "current=60mA")),
    ("1N4007", "B250C100", "replaces-selenium", ("secondary=250 bridge",)),
    ("1N4007", "E250C85", "replaces-selenium", ("chassis=live", "current=60mA")),
    ("bridge 1000V 2A", "B250C75", "replaces-selenium", ("secondary=250 bridge", "current=60mA")),
]


@pytest.mark.parametrize(("text", "dead", "position", "facts"), CHANGED)
def test_an_everyday_change_is_care_and_nothing_worse(
    text: str, dead: str, position: str, facts: tuple[str, ...]
) -> None:
    """Silicon in place of a valve or of plates, as is done every week (common practice, no source)."""
    (reading,) = read_rectifier_part(text)
    made_of = RECTIFIER.options(Item(RECTIFIER.facts.model_validate(reading.fields), "new"))
    columns = columns_of(made_of, RECTIFIER.quantities, RECTIFIER.words)
    asked = need(dead, position, *facts)
    assert min(judge(RECTIFIER, asked, RECTIFIER.search(asked), columns).verdict) == Verdict.CARE


@pytest.mark.parametrize(("ohms", "named"), [(220.0, True), (190.0, True), (330.0, False), (math.nan, False)])
def test_only_a_resistor_that_restores_the_rail_is_named_from_the_shelf(ohms: float, named: bool) -> None:
    """One of half as many ohms again serves as a surge limiter, and leaves the rail too low."""
    asked = need("selenium 250V 75mA", "replaces-selenium", "secondary=230", "rail=240", "current=60mA", "chassis=live")
    assert asked.number("ac_resistor") == pytest.approx(220, rel=0.05)
    shelf = Laid("P-0001", "resistor", "a resistor", "fits", "", 1, {"resistance": ohms})
    (beside,) = restored_with(asked, lambda request: shelf)
    assert (beside.found is shelf) == named
