"""One word out of a list, as a person types it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import UsageError
from partsbin.notation.choices import chosen, exactly

POSITIONS = ("coupling", "cathode-bypass", "screen-bypass", "mains-across", "mains-to-chassis", "tone", "tone-stack")

MEANT = [
    ("coupling", "coupling"),
    ("Coupling", "coupling"),
    ("COUPLINGS", "coupling"),
    ("coup", "coupling"),
    ("Cathode Bypass", "cathode-bypass"),
    ("cathode_bypass", "cathode-bypass"),
    (" cathode - bypass ", "cathode-bypass"),
    ("cathode/bypass", "cathode-bypass"),
    ("cath", "cathode-bypass"),
    ("mains across", "mains-across"),
    ("mains a", "mains-across"),
    ("tone", "tone"),
]


@pytest.mark.parametrize(("text", "word"), MEANT)
def test_a_word_is_known_in_any_dress(text: str, word: str) -> None:
    """Case, blanks, dashes, a plural s and the beginning of one word alone."""
    assert chosen(text, POSITIONS, "position") == word


@pytest.mark.parametrize(
    ("text", "fault", "hint"),
    [
        ("mains", "position 'mains' of a valve may be mains-across or mains-to-chassis", "write more of it"),
        ("co", "unknown position 'co' of a valve", "did you mean 'coupling'? Known: coupling, "),
        ("", "unknown position '' of a valve", "known: coupling, "),
        ("-", "unknown position '-' of a valve", "known: coupling, "),
        ("couplnig", "unknown position 'couplnig' of a valve", "did you mean 'coupling'? Known: coupling, "),
        ("Katode Bypass", "unknown position 'Katode Bypass' of a valve", "did you mean 'cathode-bypass'? Known: "),
    ],
)
def test_what_is_not_plain_is_not_guessed(text: str, fault: str, hint: str) -> None:
    """The words that begin so, or the nearest and all of them."""
    with pytest.raises(UsageError) as caught:
        chosen(text, POSITIONS, "position", "of a valve")
    assert caught.value.message == fault
    assert caught.value.hint.startswith(hint)


def test_the_beginning_of_a_word_is_not_the_word() -> None:
    """Where it has to be plain, a plural is the most that is forgiven."""
    assert [exactly(text, ("capacitor",)) for text in ("Capacitors", "cap", "capacitor film")] == ["capacitor", "", ""]


@given(st.text(max_size=30))
def test_any_text_gives_a_word_of_the_list_or_a_fault(text: str) -> None:
    """Nothing else comes out."""
    try:
        word = chosen(text, POSITIONS, "position")
    except UsageError as fault:
        word = fault.message and POSITIONS[0]
    assert word in POSITIONS
