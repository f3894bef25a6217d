"""Every word of damage in every family, as `try`, `shelve` and lists read it: refused alone, harmless when it is denied."""

from __future__ import annotations

import pytest

from partsbin.families import load
from partsbin.notation.vocabulary import CONDITION
from partsbin.stock.describe import read_as

GOOD = {
    "capacitor": "22n 630V film",
    "resistor": "100k 1W metal film",
    "potentiometer": "1M log DP switch 2A 250V",
    "transformer": "5k:3 SE output transformer",
    "coil": "IF transformer 465 kHz",
    "choke": "choke 10H 80mA",
    "valve": "EL84",
    "rectifier": "selenium rectifier 250V 75mA",
    "lamp": "lamp 6.3V 0.3A MES",
    "fuse": "fuse T500mAL250V",
    "loudspeaker": "loudspeaker 3 ohm 8 in",
    "switch": "DPST toggle switch 2A 250V",
    "hardware": "valve holder B9A",
}
BROKEN = sorted(word for word, meaning in CONDITION.items() if meaning == ("damage", "broken"))
WORN = sorted(word for word, meaning in CONDITION.items() if meaning[0] == "wear")


@pytest.mark.parametrize("family", sorted(GOOD))
def test_every_word_of_damage_is_found_before_and_behind(family: str) -> None:
    """None of them is taken for something else by the family, and none is silent."""
    for word in BROKEN:
        for text in (f"{GOOD[family]} {word}", f"{word}, {GOOD[family]}", f"{GOOD[family]} ({word.upper()})"):
            found = read_as(load(family), text)
            assert found, text
            assert all(reading.damage for reading in found), text


@pytest.mark.parametrize("family", sorted(GOOD))
def test_every_denial_leaves_the_part_whole(family: str) -> None:
    """What is denied is neither damage nor wear."""
    plain = [reading.fields for reading in read_as(load(family), GOOD[family])]
    for word in (*BROKEN, *WORN):
        text = f"{GOOD[family]}, not {word}"
        found = read_as(load(family), text)
        assert [reading.fields for reading in found] == plain, text
        assert not any(reading.damage or reading.wear for reading in found), text


@pytest.mark.parametrize("family", sorted(GOOD))
def test_every_word_of_wear_makes_the_part_salvaged(family: str) -> None:
    """So that it is read before it goes in."""
    for word in WORN:
        for reading in read_as(load(family), f"{GOOD[family]} {word}"):
            if family == "resistor" and CONDITION[word][1] == "noise":
                assert reading.damage, word  # no reading shows it
                continue
            assert (reading.fields["condition"], bool(reading.wear), reading.damage) == ("salvaged", True, ""), word
