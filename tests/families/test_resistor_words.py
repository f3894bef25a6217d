"""Words round a resistor's verdict: title, cards, what to buy, what to read afterwards, materials."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.families import load
from partsbin.families._declare import Card, Item
from partsbin.needs import Need, Request
from partsbin.sets import read_facts

FAMILY = load("resistor")


def need(position: str, *facts: str, **fields: Any) -> Need:
    """Return a need from facts and the dead part's fields."""
    return FAMILY.need(Request("resistor", "", position, fields, read_facts(facts)))


def card(reading: str, built: Need, technology: str = "metal-film") -> Card:
    """Return the card of a reading; there must be one."""
    found = FAMILY.cards(reading, built, {"technology": technology})
    assert found is not None, reading
    return found


@pytest.mark.parametrize(
    ("facts", "title"),
    [
        ({"resistance": 470e3, "tolerance": 0.05, "power": 0.5, "technology": "metal-film"}, "470 kΩ ±5 % 0.5 W metal-film"),
        ({"resistance": 4700.0, "power": 1.0, "fusible": True}, "4.7 kΩ 1 W fusible"),
        ({"resistance": 1e6, "voltage_limit": 3500.0, "technology": "metal-glaze"}, "1 MΩ 3500 V metal-glaze"),
        ({"taps": [{"resistance": 400.0}, {"resistance": 600.0}], "power": 30.0}, "400 Ω+600 Ω 30 W"),
        ({"resistance": 1000.0, "taps": [{"resistance": 400.0}, {}]}, "1 kΩ (400 Ω+unknown)"),
        ({"resistance": 47.0, "technology": "wirewound", "non_inductive": True}, "47 Ω wirewound non-inductive"),
        ({}, "resistor"),
    ],
)  # fmt: skip
def test_a_title_says_value_rating_and_make(facts: dict[str, Any], title: str) -> None:
    """In trade notation, what is not known left out."""
    assert FAMILY.title(FAMILY.facts.model_validate(facts)) == title


def test_the_ohms_card_gives_both_bands_rounded_inward() -> None:
    """By hand: 470 kΩ × 0.8 = 376, × 1.2 = 564; 333 Ω × 0.8 = 266.4 rounds up, × 1.2 = 399.6 down."""
    assert card("resistance", need("anode-load", resistance=470e3)).passes == "376–564 kΩ fits, 235–940 kΩ care"
    assert card("resistance", need("anode-load", resistance=333.0)).passes == "267–399 Ω fits, 167–666 Ω care"


def test_old_composition_is_warmed_while_it_is_read() -> None:
    """A value that wanders with hand heat is on its way out."""
    built = need("anode-load", resistance=1e5)
    assert "hand heat" in card("resistance", built, "carbon-composition").correction
    assert "hand heat" not in card("resistance", built, "metal-film").correction


def test_the_card_of_the_limiting_voltage_names_the_stress() -> None:
    """By hand: 250 V × 1.1."""
    assert card("voltage_limit", need("anode-load", "rail=250", resistance=1e5)).passes == "275 V or more"


def test_the_card_of_the_watts_names_a_rating_that_is_sold() -> None:
    """By hand: (0.1 A × 1.1)² × 47 Ω × 1.05 / 0.6 = 0.995 W of film in air that costs it nothing: 1 W."""
    assert card("power", need("back-bias", "current=0.1A", resistance=47.0)).passes == "1 W or more"


def test_an_unknown_reading_has_no_card() -> None:
    """Nothing is made up."""
    assert FAMILY.cards("ripple", need("anode-load"), {"technology": ""}) is None


@pytest.mark.parametrize(
    ("built", "words"),
    [
        (need("anode-load", "rail=250", resistance=470e3, power=0.5), "376–564 kΩ, 0.5 W, metal-film, body for 275 V"),
        (need("ht-dropper", "rail=240", resistance=1e3, power=1.0, fusible=True), "fusible, 1 W"),
        (need("isolation-bridging", "chassis=live", resistance=2.2e6), "approved to bridge insulation"),
        (need("decoupling", resistance=1e4), "watts once the load is known"),
    ],
)
def test_what_to_buy_names_what_decides(built: Need, words: str) -> None:
    """Value, watts, technology, body; and the mark where one is asked."""
    assert words in FAMILY.buy(built)


def test_after_the_repair_the_valves_bias_is_read() -> None:
    """The listed bias of the valve, with how far it is known."""
    assert FAMILY.after(need("cathode-bias", "valve=EL84"))[0].startswith(
        "about 7.3 V ±15 % at the EL84's cathode (read"
    )


def test_after_the_repair_the_current_tells_the_volts() -> None:
    """By hand: 60 mA × 1.1 × 50 Ω = 3.3 V."""
    assert FAMILY.after(need("back-bias", "current=60mA", resistance=50.0)) == (
        "across 50 Ω no more than 3.3 V, mains high",
    )


def test_a_hot_position_says_so() -> None:
    """From two watts up."""
    assert "W of heat" in FAMILY.cautions(need("heater-dropper", "current=0.1A", resistance=1e3))[0]
    assert FAMILY.cautions(need("grid-leak", resistance=1e6)) == ()


def test_an_old_power_resistor_may_bring_asbestos() -> None:
    """Pads, cords and sleeves; a new one does not."""
    facts = FAMILY.facts.model_validate({"resistance": 1e3, "power": 25.0, "technology": "wirewound"})
    assert "asbestos" in FAMILY.hazards(Item(facts, "salvaged"))[0]
    assert FAMILY.hazards(Item(facts, "new")) == ()
