"""Which volts rate a capacitor: of several the lower, never a test voltage, one to each section where they pair off."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.bare import RATED_VOLTS
from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.reading import Reading


def only(text: str) -> Reading:
    """The one reading of a text."""
    (reading,) = read_capacitor(text)
    return reading


@pytest.mark.parametrize(
    ("text", "volts"),
    [
        ("16+16uF 450V/350V", [450, 350]),
        ("16+16uF 450V 350V", [450, 350]),
        ("32+32uF 450V+25V can", [450, 25]),
        ("32+32+25uF 350V 350V 25V", [350, 350, 25]),
        ("32+32+25uF 350V 25V", [25, 25, 25]),
        ("16+16uF 450V 525V surge", [450, 450]),
        ("16+16uF 450V test 500V", [450, 450]),
        ("16+16uF 450/500V", [450, 450]),
        ("450V 16+16uF", [450, 450]),
        ("350/385 V 50+50 µF", [350, 350]),
    ],
)
def test_ratings_of_a_can_pair_off_or_the_lowest_holds_for_all(text: str, volts: list[float]) -> None:
    """No section is read above what may be its own rating."""
    sections = only(text).fields["sections"]
    assert isinstance(sections, list)
    assert [section["voltage_dc"] for section in sections] == volts


def test_fewer_ratings_than_sections_are_not_sure() -> None:
    """Two ratings of three sections do not say whose they are."""
    assert not only("32+32+25uF 350V 25V").sure


@pytest.mark.parametrize("text", ["22n 400V 630V", "22n 630V 400V film", "22n 630V, 400V mica"])
def test_of_two_bare_ratings_the_lower_counts_and_nothing_is_sure(text: str) -> None:
    """One of them may be a test or a working voltage: which is not said."""
    reading = only(text)
    assert reading.fields["voltage_dc"] == 400.0
    assert not reading.sure


@pytest.mark.parametrize(
    ("text", "sure"),
    [
        ("22n 1000V test, 400V", True),
        ("22n 400V, test 1000V", True),
        ("22n 400V- (test 1000V)", True),
        ("22n 400V test 1000V film", False),
        ("22n 400V tested 1000V", False),
        ("22n 400V Prüfspannung 1000V", False),
        ("22n 1000V test 400V film", False),
        ("22n test 400V 1000V", False),
    ],
)
def test_a_test_voltage_never_raises_the_rating(text: str, sure: bool) -> None:
    """Whichever number the word stands beside, the lower one is the rating; where it stands beside both, nothing is sure."""
    reading = only(text)
    assert reading.fields["voltage_dc"] == 400.0
    assert reading.sure == sure


@pytest.mark.parametrize("text", ["22n 1000V test", "22n tested at 1000V", "22n test: 1000V", "22n Prüfspannung 1000V"])
def test_a_test_voltage_alone_is_no_rating(text: str) -> None:
    """What it works at stays unknown."""
    assert "voltage_dc" not in only(text).fields


@given(st.lists(st.sampled_from(sorted(RATED_VOLTS)), min_size=1, max_size=4), st.data())
def test_the_rating_is_never_above_the_lowest_volts_written(volts: list[int], data: st.DataObject) -> None:
    """Wherever the words test and surge stand, and whatever joins the numbers."""
    joins = st.sampled_from([" ", ", ", " test ", " surge ", " / ", " - "])
    text = "22n" + "".join(f"{data.draw(joins)}{number}V" for number in volts)
    for reading in read_capacitor(text):
        rating = reading.fields.get("voltage_dc", 0.0)
        assert isinstance(rating, float)
        assert rating in volts or rating == 0.0
        assert rating == 0.0 or len(volts) == 1 or rating < max(volts) or min(volts) == max(volts)


@pytest.mark.parametrize(
    "text",
    ["8uF 500V surge", "8uF surge 500V", "8uF 500V peak", "8uF 500 VDC surge", "8uF 500 surge", "8uF 500V Spitze"],
)
def test_a_surge_voltage_alone_is_no_rating(text: str) -> None:
    """It is borne for seconds; what it works at is lower, and stays unknown (common practice, no source)."""
    assert "voltage_dc" not in only(text).fields


@pytest.mark.parametrize("text", ["16uF 450V surge 500V", "16uF 500V surge 450V", "16uF 450V peak: 500V"])
def test_one_word_between_two_figures_is_said_of_the_higher(text: str) -> None:
    """Surge volts lie above those that it works at."""
    found = only(text)
    assert found.fields["voltage_dc"] == 450
    assert not any("not the rating" in note for note in found.notes)


def test_the_same_is_said_of_each_section() -> None:
    """Two words for four figures: the lower is what each works at."""
    found = only("32uF 350V surge 400V + 32uF 350V surge 400V")
    assert found.fields["sections"] == [{"capacitance": 32e-6, "voltage_dc": 350}] * 2
    assert not any("not the rating" in note for note in found.notes)


def test_a_surge_voltage_alone_rates_no_section() -> None:
    """Each section of a can is then of unknown volts."""
    assert only("16+16uF 500V surge can").fields["sections"] == [{"capacitance": 16e-6}, {"capacitance": 16e-6}]


@pytest.mark.parametrize("text", ["8uF 350V peak wkg", "8uF 350WV peak"])
def test_peak_working_volts_are_the_rating(text: str) -> None:
    """Old cans say so of what they work at (common practice, no source)."""
    assert only(text).fields["voltage_dc"] == 350.0


@pytest.mark.parametrize(
    ("text", "volts"), [("25 µF 6/8 V Elko", 6.0), ("5000 pF 1500/4500 V", 1500.0), ("10uF 15/18V", 15.0)]
)
def test_old_labels_give_working_volts_and_surge_or_test(text: str, volts: float) -> None:
    """The lower of the two is what it works at, whatever the other is (common practice, no source)."""
    assert only(text).fields["voltage_dc"] == volts


@pytest.mark.parametrize(
    ("text", "volts"), [("450/500V 8uF", 450.0), ("12/15 V 100 µF Elko", 12.0), ("250/750V 0.1 µF", 250.0)]
)
def test_working_and_surge_volts_before_the_value_are_no_value(text: str, volts: float) -> None:
    """Lists have the column of volts first: the lower is still what it works at."""
    reading = only(text)
    assert reading.fields["voltage_dc"] == volts
    assert not reading.rest


@pytest.mark.parametrize(
    ("text", "sections"),
    [
        ("32+32/450 25/25", [(32e-6, 450), (32e-6, 450), (25e-6, 25)]),
        ("20-20/450 25/25 can", [(20e-6, 450), (20e-6, 450), (25e-6, 25)]),
        ("16/450 25/25", [(16e-6, 450), (25e-6, 25)]),
    ],
)
def test_a_further_pair_is_one_more_section_with_its_rating(text: str, sections: list[tuple[float, float]]) -> None:
    """A bias section beside those for HT has volts of its own, which are never the others' (common practice, no source)."""
    found = only(text).fields["sections"]
    assert isinstance(found, list)
    assert [(section["capacitance"], section["voltage_dc"]) for section in found] == sections


def test_a_value_with_working_volts_and_surge_is_one_section() -> None:
    """450 is no value between 8 and 500."""
    assert read_capacitor("8/450/500")[0].fields == {"capacitance": 8e-6, "voltage_dc": 450.0}
