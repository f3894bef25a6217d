"""The state of a part in words: broken, worn, or said to be neither; per word and per family."""

from __future__ import annotations

import pytest

from partsbin.notation.condition import LEAK_IS_READ, REPAIRABLE, state_of, stated
from partsbin.notation.reading import Reading
from partsbin.notation.vocabulary import CONDITION

BROKEN = [
    ("fuse", "T500mAL250V blown", "blown"),
    ("fuse", "T500mAL250V, wire-repaired", "wire-repaired"),
    ("fuse", "T500mA (blown)", "blown"),
    ("fuse", "T500mA.blown", "blown"),
    ("fuse", "T500mA repaired", "repaired"),
    ("resistor", "100k 1/2W burnt", "burnt"),
    ("resistor", "100k o/c", "o/c"),
    ("resistor", "100k noisy", "noisy"),
    ("resistor", "100k 1/2W open", "open"),
    ("resistor", "10k not tested, broken", "broken"),
    ("resistor", "10k burnt but not open", "burnt"),
    ("resistor", "10k without cracks, dead", "dead"),
    ("lamp", "6.3V 0.3A open circuit", "open circuit"),
    ("potentiometer", "1M log no switch broken spindle", "broken"),
    ("potentiometer", "Poti 1M log defekt", "defekt"),
    ("loudspeaker", "8 inch 3 ohm torn cone", "torn"),
    ("transformer", "5k:3 SE, primary open", "open"),
    ("transformer", "5k:3 SE leaky", "leaky"),
    ("valve", "EL84 taub", "taub"),
    ("valve", "EL84 heater open", "open"),
    ("switch", "DPST toggle 2A 250V kaputt", "kaputt"),
    ("capacitor", "32uF 450V bulging", "bulging"),
    ("coil", "IF transformer 465 kHz cracked", "cracked"),
    ("hardware", "knob cracked", "cracked"),
]


@pytest.mark.parametrize(("family", "text", "word"), BROKEN)
def test_a_part_said_to_be_broken_is_known_by_its_word(family: str, text: str, word: str) -> None:
    """The word is named, so that the answer can quote it."""
    assert state_of(text, family).damage == (word,)


WHOLE = [
    ("fuse", "T500mA not blown"),
    ("fuse", "T500mA repaired: no"),
    ("resistor", "100k not broken or cracked"),
    ("resistor", "100k no cracks, burns or leaks"),
    ("resistor", "100k without any visible damage"),
    ("resistor", "100k free of cracks"),
    ("resistor", "100k crack-free"),
    ("capacitor", "22n 630V cracks: none"),
    ("capacitor", "22n 630V no leakage"),
    ("capacitor", "22n 630V isn't leaky"),
    ("capacitor", "22n 630V dead stock"),
    ("transformer", "5k:3 SE not repaired, not open"),
    ("transformer", "5k:3 SE never been repaired"),
    ("transformer", "230 V open frame"),
    ("choke", "10 H open-frame choke"),
    ("coil", "open-wire line coil"),
    ("loudspeaker", "8 inch 3 ohm open back"),
    ("switch", "push button normally open"),
    ("switch", "push button 2 A, open"),
    ("valve", "EL84 nicht taub"),
    ("valve", "EL84 kein defekt"),
    ("valve", "EL84 out of a dead set"),
]


@pytest.mark.parametrize(("family", "text"), WHOLE)
def test_a_denial_or_a_kind_of_part_refuses_nothing(family: str, text: str) -> None:
    """Neither broken nor worn: the part is good."""
    state = state_of(text, family)
    assert (state.damage, state.wear) == ((), ())


@pytest.mark.parametrize("family", sorted(REPAIRABLE))
def test_what_can_be_repaired_is_read_not_refused(family: str) -> None:
    """A transformer wound anew, a cone that was glued: worn, to be measured."""
    state = state_of("repaired", family)
    assert (state.damage, state.wear, state.condition) == ((), ("repaired",), "salvaged")


@pytest.mark.parametrize("family", sorted(LEAK_IS_READ))
def test_a_leak_is_a_reading_where_there_is_one_to_take(family: str) -> None:
    """Leaky is salvaged, and its leakage asked for; a leaking can is broken all the same."""
    assert state_of("leaky", family).wear == ("leaky",)
    assert state_of("leaking", family).damage == ("leaking",)


@pytest.mark.parametrize(
    "text", ["1M log noisy", "1M log scratchy", "1M log worn", "1M log tired", "1M log cracked?", "1M log kratzt"]
)
def test_wear_makes_a_part_salvaged_even_if_it_is_called_new(text: str) -> None:
    """The words disagree: the worse is taken, and said."""
    reading = stated(Reading("potentiometer", {"condition": "new"}), state_of(f"new {text}", "potentiometer"))
    assert (reading.fields["condition"], reading.damage) == ("salvaged", "")
    assert reading.wear in reading.notes[-1]


def test_no_phrase_about_the_state_is_passed_over() -> None:
    """Descriptions without the beginning of any are not scanned; each phrase is found all the same."""
    for phrase, (field, _) in CONDITION.items():
        if field == "damage":
            assert state_of(f"10 nF {phrase}", "fuse").damage == (phrase,)


def test_a_torn_label_is_said_and_changes_nothing() -> None:
    """Damage to what is round a part is not the part's."""
    state = state_of("22n 630V new, label torn", "capacitor")
    assert (state.damage, state.wear, state.condition, state.around) == ((), (), "new", ("torn",))


def test_a_part_called_not_new_is_used() -> None:
    """The denial is read with the word."""
    assert state_of("1M log, not new", "potentiometer").condition == "salvaged"


@pytest.mark.parametrize(
    "text", ["T1A not blown", "T1A, no cracks", "T1A cracks: none", "T1A neither broken nor cracked"]
)
def test_a_denial_is_taken_out_with_what_it_denies(text: str) -> None:
    """To a family a ``not`` may speak of something of its own: that stays."""
    assert state_of(text, "fuse").text.strip(" ,") == "T1A"
    assert state_of("T1A not glass", "fuse").text == "T1A not glass"


@pytest.mark.parametrize(
    "text",
    [
        "EL84 lead free cracked",
        "EL84 free, broken",
        "EL84 none, broken",
        "no box EL84 broken",
        "not used and cracked",
        "not dirty and dead",
    ],
)
def test_a_denial_of_something_else_denies_nothing(text: str) -> None:
    """The word of damage stands."""
    assert state_of(text, "valve").damage
