"""The words of the trade: in the form that the scanner looks up, each with one meaning."""

from __future__ import annotations

import pytest

from partsbin.errors import DeclarationError
from partsbin.notation.resistor_words import RESISTOR
from partsbin.notation.scan import Vocabulary, phrase_key, scan
from partsbin.notation.vocabulary import CAPACITOR, CONDITION, TRANSFORMER, _table


@pytest.mark.parametrize("words", [CAPACITOR, RESISTOR, TRANSFORMER])
def test_every_phrase_can_be_found(words: Vocabulary) -> None:
    """Each phrase, scanned, comes out as one word with its own meaning."""
    for phrase, meaning in words.items():
        pieces = scan(phrase, words)
        assert [(piece.kind, piece.meaning) for piece in pieces] == [("word", meaning)], phrase
        assert phrase == phrase_key(phrase)


@pytest.mark.parametrize("words", [CAPACITOR, RESISTOR, TRANSFORMER])
def test_a_condition_means_the_same_in_every_family(words: Vocabulary) -> None:
    """No family's own word hides one of the condition."""
    assert CONDITION.items() <= words.items()


def test_a_word_with_two_meanings_is_refused() -> None:
    """The program does not start with a vocabulary that contradicts itself."""
    with pytest.raises(DeclarationError, match="the word 'wax' has two meanings: expected one"):
        _table(material={"paper": "wax"}, treatment={"waxed": "wax"})
