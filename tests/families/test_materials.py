"""Materials that harm: one line where a family may contain one, by family, condition and words; none on what cannot."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.families import load
from partsbin.families._declare import Item
from partsbin.families._materials import MATERIALS
from partsbin.matching.hand import try_text
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.sources import source
from partsbin.stock.describe import TRADE_FAMILIES

CONTAINS: list[tuple[str, dict[str, Any], str, str]] = [
    # family, facts, marking, what its line speaks of
    ("capacitor", {"dielectric": "paper-oil"}, "", "PCB"),
    ("resistor", {"technology": "wirewound", "power": 25.0}, "", "asbestos"),
    ("potentiometer", {}, "", "cadmium"),
    ("transformer", {}, "", "lead"),
    ("transformer", {"kind": "mains"}, "oil-filled mains transformer", "PCB"),
    ("choke", {}, "", "lead"),
    ("choke", {}, "choke, oil filled", "PCB"),
    ("coil", {"kind": "tuning-gang"}, "", "cadmium"),
    ("coil", {"kind": "trimmer"}, "", "cadmium"),
    ("valve", {"valve_type": "EL84"}, "ceramic, beryllia seal", "beryllia"),
    ("rectifier", {"technology": "selenium"}, "", "selenium"),
    ("rectifier", {"technology": "silicon", "dc_current": 20.0}, "", "beryllia"),
    ("lamp", {}, "dial lamp with luminous paint", "radium"),
    ("fuse", {}, "", "asbestos"),
    ("loudspeaker", {}, "", "lead"),
    ("switch", {}, "", "cadmium"),
    ("switch", {}, "toggle with luminous tip", "radium"),
    ("hardware", {"kind": "dial"}, "", "radium"),
    ("hardware", {"kind": "heat shield"}, "", "asbestos"),
    ("hardware", {"kind": "screw"}, "", "cadmium"),
    ("hardware", {"kind": "cabinet"}, "", "lead"),
]


def lines(family: str, facts: dict[str, Any], condition: str, marking: str = "") -> tuple[str, ...]:
    """Return the hazards of one part."""
    declared = load(family)
    return declared.hazards(Item(declared.facts.model_validate(facts), condition, marking=marking))


@pytest.mark.parametrize(("family", "facts", "marking", "material"), CONTAINS)
@pytest.mark.parametrize("condition", ["salvaged", "unused-old", ""])
def test_an_old_part_that_may_contain_it_says_so_in_one_line(
    family: str, facts: dict[str, Any], marking: str, material: str, condition: str
) -> None:
    """What to do about it, once."""
    assert [line for line in lines(family, facts, condition, marking) if material in line] != []
    assert len(lines(family, facts, condition, marking)) <= 2


def test_every_family_has_one() -> None:
    """And every material of the list some family."""
    assert {family for family, *_ in CONTAINS} == set(TRADE_FAMILIES)
    assert {material for *_, material in CONTAINS} == set(MATERIALS)


@pytest.mark.parametrize("family", [name for name in TRADE_FAMILIES if name not in ("capacitor", "rectifier")])
def test_a_new_part_has_none(family: str) -> None:
    """It is made without them."""
    assert lines(family, {}, "new") == ()


@pytest.mark.parametrize("family", TRADE_FAMILIES)
@pytest.mark.parametrize(
    ("words", "material"),
    [
        ("asbestos sleeve", "asbestos"),
        ("radium paint", "radium"),
        ("cadmium plated", "cadmium"),
        ("BeO body", "beryllia"),
    ],
)
def test_what_its_own_words_name_is_said_of_any_part(family: str, words: str, material: str) -> None:
    """New or old."""
    assert any(material in line for line in lines(family, {}, "new", words))


@pytest.mark.parametrize(
    "words", ["no asbestos", "asbestos-free", "non-luminous", "free of cadmium", "PCB mount", "ohne Asbest"]
)
def test_a_denial_names_none(words: str) -> None:
    """Nor does a printed board."""
    assert lines("hardware", {"kind": "knob"}, "new", words) == ()


def test_each_material_has_its_source() -> None:
    """Read, or said to be from memory."""
    assert {name: source(m.source).standing for name, m in MATERIALS.items() if m.source != "memory"} == {
        name: "read" for name in MATERIALS if name != "radium"
    }


POSITIONS = [
    ("capacitor", "mains-across", "PCB"),
    ("resistor", "heater-dropper", "asbestos"),
    ("rectifier", "replaces-selenium", "selenium"),
    ("lamp", "parallel", "radium"),
    ("coil", "tuning-gang", "cadmium"),
    ("hardware", "fixing", "lead"),
]


@pytest.mark.parametrize(("family", "position", "material"), POSITIONS)
def test_a_position_warns_of_the_dead_part(family: str, position: str, material: str) -> None:
    """What was fitted there may contain it, whatever is offered."""
    assert any(material in line for line in load(family).rules().of(position, "cautions"))


def test_the_answer_carries_the_line_once() -> None:
    """Among its cautions, for the part in the hand."""
    request = Request("switch", "DPST toggle", "mains", {}, read_facts(["chassis=live"]))
    answer = try_text(request, "DPST toggle 3 A 250 V~ with luminous tip", "new", [])
    assert [line for line in answer["cautions"] if "radium" in line] == [MATERIALS["radium"].line]
