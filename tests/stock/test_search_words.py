"""What texts are cut into for searching: words folded, codes, numbers by value."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.searching.words import asked_of, fold, is_code, is_letters, pieces, words_of


@pytest.mark.parametrize(
    "written",
    [
        ("0.1uF", "100n", "100 nF", ".1mfd", "0,1 µF", "0.1 mf", "100nF", "100 000 pF", "1e-07 F"),
        ("250V", "0.25kV", "250 volts", "250 V d.c.", "250V~"),
        ("4k7", "4.7k", "4700R", "4,7 kΩ", "4700 ohms", "4.7 kohm"),
        ("1/4 W", "0.25W", "250 mW", ".25 watt"),
        ("±10%", "10 %", "+/- 10 %"),
        ("6.35mm", '1/4"', "1/4 inch"),
        ("45:1", "45 : 1"),
    ],
    ids=lambda written: str(written[0]),
)
def test_a_value_is_one_word_however_it_is_written(written: tuple[str, ...]) -> None:
    """Units, multipliers, decimal commas, fractions."""
    values = [words_of(text) for text in written]
    assert len(set(values)) == 1
    assert len(values[0]) == 1


@pytest.mark.parametrize(
    ("one", "other"),
    [("22n", "220n"), ("22n", "2.2n"), ("22n", "22"), ("22 V", "22 W"), ("10k", "10n"), ("5:1", "1:5"), ("5%", "5")],
)
def test_other_values_are_other_words(one: str, other: str) -> None:
    """However alike they look."""
    assert set(words_of(one)).isdisjoint(words_of(other))


@pytest.mark.parametrize("list_", ["16-16-8", "16+8 µF", "8/16", "16 x 8 mm"])
def test_each_number_of_a_list_is_a_word_and_is_asked_for(list_: str) -> None:
    """A can of 16 and 8 is found by either."""
    assert len(words_of(list_)) == 2
    assert [next(iter(asked.readings)) for asked in asked_of(list_)] == list(words_of(list_))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Übertrager GROSS groß", ("uebertrager", "gross")),
        ("U\u0308bertrager", ("uebertrager",)),
        ("film-polypropylene (waxed), N.O.S.", ("film", "polypropylene", "waxed", "nos")),
        ("ECC83 el84 TB009-508-05BE", ("ecc83", "el84", "tb00950805be")),
        ("6V6 R7", ("=6.6 V", "6v6", "=0.7 ohm", "r7")),
        ("P-0042 from d-7", ("p-42", "from", "d-7")),
        ("drawer C2, box T1", ("drawer", "c2", "box", "t1")),
        ("2 x EL84", ("el84",)),
        ("Ω ¼ W", ("ohm", "=0.25 W")),
        ("?!, --", ()),
        ("", ()),
    ],
)
def test_a_text_is_cut_into_words(text: str, words: tuple[str, ...]) -> None:
    """Without case, accents and hyphens; valves and numbers of parts stay whole."""
    assert words_of(text) == words


def test_a_word_is_read_however_long_the_text_is() -> None:
    """The scanner alone would stop after some hundred characters."""
    assert words_of(f"{'dust ' * 1000}EL84 470n") == ("dust", "el84", "=4.7E-7 F")


def test_a_word_without_end_is_cut() -> None:
    """Nobody types it whole, and an index entry has bounds."""
    assert [len(word) for word in words_of("x" * 5000)] == [60]


@given(st.text(max_size=80))
def test_folding_twice_changes_nothing(text: str) -> None:
    """What the index holds can be asked for as it stands."""
    assert fold(fold(text)) == fold(text)


@given(st.text(max_size=80))
def test_whatever_is_cut_has_words(text: str) -> None:
    """No piece is empty, and each word has one kind."""
    for piece in pieces(text):
        assert piece.shown != ""
        for word in piece.words:
            assert [is_letters(word), is_code(word), word[0] == "=" or "-" in word].count(True) == 1


def test_small_words_and_bare_units_are_asked_for_only_alone() -> None:
    """'for' stands in every second note and says nothing."""
    assert [asked.shown for asked in asked_of("transformer for EL84 in V")] == ["transformer", "EL84"]
    assert [asked.shown for asked in asked_of("for")] == ["for"]


def test_a_word_said_twice_is_asked_for_once() -> None:
    """Also where it is the same value, written another way."""
    assert [asked.shown for asked in asked_of("film 100n Film 0.1uF")] == ["Film", "0.1uF"]


def test_a_number_without_unit_may_be_any_quantity_and_ranks_below_it() -> None:
    """630 may be meant for 630 V, for 630 pF, for 630 kΩ."""
    readings = asked_of("630")[0].readings
    assert readings["=6.3E+2"] == (100, "exact")
    assert {readings[word] for word in ("=6.3E+2 V", "=6.3E-10 F", "=6.3E+5 ohm")} == {(85, "unit not given")}


def test_the_trades_other_words_mean_a_family() -> None:
    """English and German."""
    assert [list(asked_of(word)[0].readings) for word in ("Kondensator", "trafo")] == [
        ["kondensator", "/capacitor"],
        ["trafo", "/transformer"],
    ]
