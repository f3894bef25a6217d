"""What a part of a list probably does: no wrong guess where it could hurt someone."""

from __future__ import annotations

import pytest

from partsbin.families import load
from partsbin.jobs.positions import Guess, position_of
from partsbin.sets import SetFacts
from partsbin.stock.draft import draft_from_text

EARTHED = SetFacts().having(chassis="earthed")


def guessed(
    family: str, text: str, words: str, *, known: SetFacts = EARTHED, above: str = "", unread: str = ""
) -> Guess:
    """What is guessed of a part, by its marks and the words beside it."""
    facts = draft_from_text(text, family=family, count=1, condition="new")[0].facts
    assert isinstance(facts, load(family).facts)
    return position_of(family, words, facts, known, above=above, unread=unread)


@pytest.mark.parametrize(
    "words",
    [
        "from live to chassis", "L to N", "power lead", "across the rectifier", "rectifier anode to chassis",
        "pick-up socket", "TA-Buchse", "Berührungsschutz", "Funkentstörung", "Brummodulation", "Y cap", "input filter",
        "heater bypass", "cathode to heater", "coupling from the gram socket", "RFI", "chassis to the core", "boost",
    ],
)  # fmt: skip
def test_a_small_capacitor_near_the_mains_or_a_socket_stays_open(words: str) -> None:
    """It looks like a coupling capacitor, and no coupling capacitor may be put there; common practice, no source."""
    assert guessed("capacitor", "22nF 630V", words).position == ""


@pytest.mark.parametrize(
    ("words", "position"), [("anode to chassis", "output-tone"), ("coupling", "coupling"), ("", "coupling")]
)
def test_a_small_capacitor_away_from_the_mains_is_placed(words: str, position: str) -> None:
    """By the words, else by its value."""
    assert guessed("capacitor", "22nF 630V", words).position == position


def test_a_class_is_not_talked_away_by_a_word() -> None:
    """A class X2 part that the list calls coupling may sit across the mains all the same."""
    assert guessed("capacitor", "47nF 250V AC X2", "coupling").position == ""
    assert guessed("capacitor", "10nF 250V AC", "coupling").position == ""


def test_mains_to_chassis_is_harder_than_across_the_mains() -> None:
    """Class Y is wanted where both are said."""
    assert guessed("capacitor", "4.7nF 500V", "across mains to chassis").position == "mains-to-chassis"


@pytest.mark.parametrize(
    ("family", "text"), [("capacitor", "10nF 1000V"), ("resistor", "1M 0.5W"), ("resistor", "4.7k 2W")]
)
def test_a_heading_of_the_mains_opens_what_stands_below_it(family: str, text: str) -> None:
    """The title of a whole list says nothing of its parts."""
    assert guessed(family, text, "", above="Mains filter caps").position == ""
    assert guessed(family, text, "", above="Mains radio, parts list").position != ""


def test_a_heading_of_the_mains_leaves_electrolytics_placed() -> None:
    """None sits on the mains."""
    assert guessed("capacitor", "32uF 350V", "", above="Mains section").position == "reservoir"


def test_words_that_are_not_understood_may_say_what_it_does() -> None:
    """So nothing is guessed by value beside them."""
    assert guessed("capacitor", "22nF 630V", "zzgzz", unread="zzgzz").position == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("800+150+60 ohm", ""), ("100 ohm 3W", ""), ("1.2k 20W", "dropper"), ("1.5k 10W", "heater chain"),
        ("2.2M", "across C1"), ("47k 2W", "voltage selector"), ("2.2M", "EHT bleed"), ("10M", "touch"),
    ],
)  # fmt: skip
def test_a_resistor_that_may_be_a_dropper_or_bridge_the_mains_stays_open(text: str, words: str) -> None:
    """A dropper or a surge limiter that is too weak burns; common practice, no source."""
    assert guessed("resistor", text, words).position == ""


def test_a_hot_or_small_resistor_of_a_live_set_may_be_its_dropper_or_limiter() -> None:
    """A chain of 0.1 A drops in about 1 kΩ of 10 W; 100 Ω without watts may limit the surge of the rectifier."""
    for text in ("1k 10W", "100 ohm"):
        assert guessed("resistor", text, "", known=SetFacts().having(chassis="live")).position == ""
        assert guessed("resistor", text, "").position != ""


def test_a_switch_or_fuse_of_two_places_stays_open() -> None:
    """The words name both; a voltage selector carries the mains, whatever selector it is called."""
    assert guessed("switch", "double-pole 250V 2A", "voltage selector").position == ""
    assert guessed("switch", "double-pole 250V 2A", "mains and standby").position == ""
    assert guessed("fuse", "1A slow", "primary of the HT transformer").position == ""
    assert guessed("fuse", "1A slow", "HT").position == "ht"


def test_a_line_output_transformer_is_no_line_transformer() -> None:
    """It makes the EHT of a television set."""
    assert guessed("transformer", "output 5k:3", "line output").position == ""
