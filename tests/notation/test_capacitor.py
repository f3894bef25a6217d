"""Capacitors' descriptions: the traps of the trade, one case each, and what must be left open."""

from __future__ import annotations

import pytest

from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.reading import Reading
from tests.expected import by_hand, published

Fields = dict[str, object]


def only(text: str) -> Reading:
    """The one reading of a text."""
    (reading,) = read_capacitor(text)
    return reading


def sections(*rows: tuple[float, float]) -> list[dict[str, float]]:
    """Rows of capacitance and DC volts as the field has them."""
    return [{"capacitance": farads, "voltage_dc": volts} for farads, volts in rows]


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        (".1mf", {"capacitance": 1e-7}),
        ("100mmf", {"capacitance": 1e-10}),
        ("0,1 µF", {"capacitance": 1e-7}),
        ("0.1 \u03bcF", {"capacitance": 1e-7}),
        ("1 000 pF", {"capacitance": 1e-9}),
        ("1,000 pF", {"capacitance": 1e-9}),
        ("½ mfd 400V", {"capacitance": 5e-7, "voltage_dc": 400.0}),
        ("20 µF 500 VDC", {"capacitance": 2e-5, "voltage_dc": 500.0}),
        ("8 mfd 500 V.D.C.", {"capacitance": 8e-6, "voltage_dc": 500.0}),
        ("8mfd 450v wkg 525v surge", {"capacitance": 8e-6, "voltage_dc": 450.0}),
        ("8uF 450/500V", {"capacitance": 8e-6, "voltage_dc": 450.0}),
        ("8uF-450V", {"capacitance": 8e-6, "voltage_dc": 450.0}),
        ("47uF450V", {"capacitance": 47e-6, "voltage_dc": 450.0}),
        ("0.1 400V", {"capacitance": 1e-7, "voltage_dc": 400.0}),
        ("0.1/400", {"capacitance": 1e-7, "voltage_dc": 400.0}),
        (".05 400V", {"capacitance": 5e-8, "voltage_dc": 400.0}),
        ("22n 400V film", {"capacitance": 22e-9, "voltage_dc": 400.0, "dielectric": "film"}),
        ("0.02uF 350V waxed paper", {"capacitance": 2e-8, "voltage_dc": 350.0, "dielectric": "paper-waxed"}),
        ("47uF 450V 105C", {"capacitance": 47e-6, "voltage_dc": 450.0, "temperature_max": 105.0}),
        ("0.1uF 275VAC X2", {"capacitance": 1e-7, "voltage_ac": 275.0, "safety_class": "X2"}),
        ("275VAC X2", {"voltage_ac": 275.0, "safety_class": "X2"}),
        ("4n7 Y2 250V~", {"capacitance": 4.7e-9, "voltage_ac": 250.0, "safety_class": "Y2"}),
        ("2n2 X1/Y2 250V", {"capacitance": 2.2e-9, "voltage_ac": 250.0, "safety_class": "X1/Y2"}),
        ("2n2 X1Y2", {"capacitance": 2.2e-9, "safety_class": "X1/Y2"}),
        (
            "4.7nF Y2 250 VAC X1 400 VAC",
            {"capacitance": 4.7e-9, "voltage_ac": 250.0, "safety_class": "X1/Y2"},
        ),
        ("2J473K", {"capacitance": 47e-9, "tolerance": 0.1, "voltage_dc": 630.0}),
        ("3A102M", {"capacitance": 1e-9, "tolerance": 0.2, "voltage_dc": 1000.0}),
        ("473K630", {"capacitance": 47e-9, "tolerance": 0.1, "voltage_dc": 630.0}),
        ("105K330V", {"capacitance": 1e-6, "tolerance": 0.1, "voltage_dc": 330.0}),
        (".1K63", {"capacitance": 1e-7, "tolerance": 0.1, "voltage_dc": 63.0}),
        ("22n J 630V", {"capacitance": 22e-9, "tolerance": 0.05, "voltage_dc": 630.0}),
        ("10pF ±0.5pF", {"capacitance": 1e-11, "tolerance": 0.05}),
        (
            "33 uF/450V -10+50%",
            {"capacitance": 33e-6, "tolerance_low": -0.1, "tolerance_high": 0.5, "voltage_dc": 450.0},
        ),
        ("disc 104", {"capacitance": 1e-7, "dielectric": "ceramic"}),
        ("MKT 0,47/250-", {"capacitance": 0.47e-6, "voltage_dc": 250.0, "dielectric": "film-polyester"}),
        (
            "8uF 50V NP axial",
            {"capacitance": 8e-6, "voltage_dc": 50.0, "dielectric": "electrolytic", "polarised": False, "mounting": "axial"},
        ),
        (
            "100uF 450V 18x35mm 0.5A ripple",
            {"capacitance": 1e-4, "voltage_dc": 450.0, "ripple_current": 0.5, "diameter": 0.018, "length": 0.035},
        ),
        ("2x 8uF 450V", {"capacitance": 8e-6, "count": 2, "voltage_dc": 450.0}),
        ("10uF 63V 5 off", {"capacitance": 1e-5, "count": 5, "voltage_dc": 63.0}),
        ("8+8 µF/450 V", {"sections": sections((8e-6, 450.0), (8e-6, 450.0))}),
        ("32+32uF 350V", {"sections": sections((32e-6, 350.0), (32e-6, 350.0))}),
        ("8uF 450V + 25uF 25V", {"sections": sections((8e-6, 450.0), (25e-6, 25.0))}),
        ("50+50+25µF 350/350/25V", {"sections": sections((50e-6, 350.0), (50e-6, 350.0), (25e-6, 25.0))}),
        ("0.1uF + 0.1uF 350V", {"sections": sections((1e-7, 350.0), (1e-7, 350.0))}),
        ("100n ±5 % 250V MKT RM10", {
            "capacitance": 1e-7, "tolerance": 0.05, "voltage_dc": 250.0, "dielectric": "film-polyester", "pitch": 0.01,
        }),
    ],
)  # fmt: skip
def test_a_description_has_one_sure_reading(text: str, fields: Fields) -> None:
    """The fields, no others, and nothing left over."""
    reading = only(text)
    assert reading.fields == fields
    assert reading.sure
    assert reading.rest == ""


def test_a_rating_that_is_not_given_is_absent_and_not_nought() -> None:
    """Paper .5mf says nothing of volts."""
    assert only("Paper .5mf").fields == {"capacitance": 5e-7, "dielectric": "paper"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("105K330V", published(1e-6, "primidi", of=read_capacitor, where="105K330V", rel=1e-12)),
        ("2A474J", published(0.47e-6, "ori", of=read_capacitor, where="2A474J", rel=1e-12)),
        ("2A102K", published(1e-9, "jest", of=read_capacitor, where="2A102K", rel=1e-12)),
        (".1K63", published(1e-7, "pedal", of=read_capacitor, where=".1K63", rel=1e-12)),
        ("disc 474", published(0.47e-6, "pedal", of=read_capacitor, where="474", rel=1e-12)),
        (".1 mfd", published(1e-7, "captip", of=read_capacitor, where="mfd is microfarad", rel=1e-12)),
        ("250 mmfd", published(250e-12, "captip", of=read_capacitor, where="mmfd is picofarad", rel=1e-12)),
    ],
)
def test_published_markings_have_their_published_value(text: str, expected: float) -> None:
    """As the named pages read them."""
    assert only(text).fields["capacitance"] == expected


def test_two_in_series_share_the_volts() -> None:
    """Half the value, twice the rating, how many, and the condition for it in a note."""
    reading = only("2x 100uF 450V in series")
    assert reading.fields == {"capacitance": 5e-5, "voltage_dc": 900.0, "series": 2}
    assert reading.fields["capacitance"] == by_hand(50e-6, "100 µF / 2", of=read_capacitor)
    assert reading.notes == ("2 in series: value divided by 2, rating times 2 if the voltage is shared evenly",)


def test_two_in_parallel_add() -> None:
    """Twice the value at the same rating."""
    assert only("2x 10uF 450V in parallel").fields == {"capacitance": 2e-5, "voltage_dc": 450.0}


def test_sections_without_a_unit_are_not_sure() -> None:
    """16-16-8: three sections, µF because electrolytic cans are in µF, said so."""
    reading = only("16-16-8")
    assert reading.fields == {"sections": [{"capacitance": 16e-6}, {"capacitance": 16e-6}, {"capacitance": 8e-6}]}
    assert not reading.sure
    assert reading.notes == ("values without a unit read as µF, as on electrolytic cans",)


@pytest.mark.parametrize("text", ["16-16-8 can", "16-16-8 electrolytic", "16-16-8 µF"])
def test_a_word_or_a_unit_makes_the_sections_sure(text: str) -> None:
    """Any one of the three is enough."""
    assert only(text).sure


def test_470k_has_two_readings_with_the_reason() -> None:
    """47 pF by the code, 470 pF directly; neither sure."""
    by_code, direct = read_capacitor("470K")
    assert (by_code.fields, direct.fields) == (
        {"capacitance": 47e-12, "tolerance": 0.1},
        {"capacitance": 470e-12, "tolerance": 0.1},
    )
    assert (by_code.sure, direct.sure) == (False, False)
    assert "to most makers a code (47 pF), to some the value itself (470 pF)" in by_code.notes[0]


def test_two_ranges_or_four_sections_stay_open() -> None:
    """40-60, 20-40: two sections within limits, or four sections."""
    ranged, flat = read_capacitor("40-60, 20-40")
    assert ranged.fields["sections"] == [
        {"capacitance": 60e-6, "capacitance_low": 40e-6},
        {"capacitance": 40e-6, "capacitance_low": 20e-6},
    ]
    assert flat.fields["sections"] == [{"capacitance": c} for c in (40e-6, 60e-6, 20e-6, 40e-6)]
    assert (ranged.sure, flat.sure) == (False, False)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("250", [250e-12]),
        (".05", [50e-9]),
        ("500 cm", [556.325e-12]),
        ("1000/400", [1e-9, 1e-3]),
        ("8/450", [8e-6, 8e-12]),
        ("47 400V", [47e-6, 47e-12]),
        ("10.000 pF", [10e-12, 10e-9]),
        ("470", [470e-12, 47e-12]),
        ("22n 400", [22e-9]),
        ("0.047uF 0.1uF 400V", [47e-9, 100e-9]),
    ],
)
def test_what_could_be_otherwise_is_not_sure_and_says_why(text: str, values: list[float]) -> None:
    """Each reading carries a note; the likelier comes first."""
    readings = read_capacitor(text)
    assert [reading.fields["capacitance"] for reading in readings] == pytest.approx(values)
    assert not any(reading.sure for reading in readings)
    assert all(reading.notes for reading in readings)


def test_the_old_centimetre_is_worth_a_good_picofarad() -> None:
    """500 cm is 556 pF."""
    expected = by_hand(556e-12, "500 × 1.1127 pF", of=read_capacitor)
    assert only("500 cm").fields["capacitance"] == expected


@pytest.mark.parametrize(
    ("text", "farads"), [("50 elko", 50e-6), ("100/25 Elko", 100e-6), ("47 silver mica", 47e-12), ("paper .05", 50e-9)]
)
def test_the_dielectric_settles_a_bare_number(text: str, farads: float) -> None:
    """Electrolytics are in microfarads, mica in picofarads."""
    reading = only(text)
    assert reading.fields["capacitance"] == pytest.approx(farads)
    assert reading.sure


@pytest.mark.parametrize(
    ("words", "dielectric"),
    [
        ("electrolytic", "electrolytic"),
        ("Elko", "electrolytic"),
        ("photoflash", "electrolytic"),
        ("tantalum", "tantalum"),
        ("tantalum electrolytic", "tantalum"),
        ("film", "film"),
        ("Folie", "film"),
        ("polyester", "film-polyester"),
        ("Mylar", "film-polyester"),
        ("PET", "film-polyester"),
        ("MKT", "film-polyester"),
        ("tropyfol", "film-polyester"),
        ("polyester film", "film-polyester"),
        ("polypropylene", "film-polypropylene"),
        ("PP", "film-polypropylene"),
        ("MKP", "film-polypropylene"),
        ("FKP", "film-polypropylene"),
        ("Double Metallized Polypropylene Film", "film-polypropylene"),
        ("Styroflex", "polystyrene"),
        ("silver mica", "mica"),
        ("silvered mica", "mica"),
        ("moulded mica", "mica"),
        ("Glimmer", "mica"),
        ("Keramik", "ceramic"),
        ("ceramic disc", "ceramic"),
        ("NP0", "ceramic-1"),
        ("ceramic C0G", "ceramic-1"),
        ("U2J", "ceramic-1"),
        ("X7R", "ceramic-2"),
        ("Y5V", "ceramic-2"),
        ("waxed paper", "paper-waxed"),
        ("waxed", "paper-waxed"),
        ("moulded paper", "paper-moulded"),
        ("metallised paper", "paper-metallised"),
        ("MP", "paper-metallised"),
        ("oil-filled", "paper-oil"),
        ("paper in oil", "paper-oil"),
        ("Papier", "paper"),
        ("air", "air"),
        ("glass", "glass"),
    ],
)
def test_words_name_the_dielectric(words: str, dielectric: str) -> None:
    """English and German, whole and abbreviated."""
    reading = only(f"10n {words} 100V")
    assert reading.fields["dielectric"] == dielectric
    assert reading.sure


@pytest.mark.parametrize(("code", "kept"), [("X7R", "X7R"), ("NP0", "C0G"), ("C0G", "C0G"), ("N750", "U2J")])
def test_ceramic_codes_are_kept(code: str, kept: str) -> None:
    """Under the standard's own name."""
    assert only(f"10n {code}").fields["temperature_coefficient"] == kept


def test_contradicting_dielectrics_are_not_chosen_between() -> None:
    """Mica and paper: neither, and said so."""
    reading = only("10n mica paper")
    assert "dielectric" not in reading.fields
    assert not reading.sure
    assert reading.notes == ("the words name several dielectrics: mica, paper",)


def test_moulded_alone_is_a_guess() -> None:
    """Paper assumed, not sure."""
    reading = only("10n moulded 400V")
    assert (reading.fields["dielectric"], reading.sure) == ("paper-moulded", False)


@pytest.mark.parametrize(
    ("word", "condition"),
    [
        ("new", "new"),
        ("NOS", "unused-old"),
        ("N.O.S.", "unused-old"),
        ("new old stock", "unused-old"),
        ("unused", "unused-old"),
        ("used", "salvaged"),
        ("pulled", "salvaged"),
        ("salvaged", "salvaged"),
        ("gebraucht", "salvaged"),
    ],
)
def test_words_name_the_condition(word: str, condition: str) -> None:
    """New old stock is not new, and unused is not used."""
    assert only(f"10n 400V {word}").fields["condition"] == condition


def test_words_of_the_circuit_are_left_over_and_harm_nothing() -> None:
    """50uF 12V cathode bypass: the position is not the part's."""
    reading = only("50uF 12V cathode bypass")
    assert (reading.fields, reading.rest, reading.sure) == (
        {"capacitance": 50e-6, "voltage_dc": 12.0},
        "cathode bypass",
        True,
    )


def test_a_number_left_over_makes_the_reading_unsure() -> None:
    """It may be what matters."""
    reading = only("0.1uF 25/085/56 400V")
    assert not reading.sure
    assert "not understood: '25/085/56'" in reading.notes


def test_a_test_voltage_is_no_rating() -> None:
    """The word belongs to the volts before it, else to those after."""
    assert only("50uF 500V test 400V working").fields["voltage_dc"] == 400.0
    assert only("test 1500V 10n 500V").fields["voltage_dc"] == 500.0
    assert "voltage_dc" not in only("0.005uF 1500 volts test").fields


def test_2x_on_a_can_may_be_its_sections() -> None:
    """Two sections, or two cans: both, neither sure."""
    twin, two = read_capacitor("2x50uF can 350V")
    assert twin.fields["sections"] == sections((50e-6, 350.0), (50e-6, 350.0))
    assert (two.fields["count"], twin.sure, two.sure) == (2, False, False)


@pytest.mark.parametrize("text", ["2x50uF 350V", "2x50µF/350V Elko", "2x50/350 Elko"])
def test_2x_written_together_may_be_the_sections_of_a_can(text: str) -> None:
    """German and British cans are marked so; a blank behind the x counts parts."""
    twin, two = read_capacitor(text)
    assert twin.fields["sections"] == sections((50e-6, 350.0), (50e-6, 350.0))
    assert (two.fields["count"], twin.sure, two.sure) == (2, False, False)
    assert only("2x 50uF 350V").fields["count"] == 2


def test_the_same_figure_twice_is_two_sections() -> None:
    """Nobody stores 32 parts of 32 µF; of 8x8 both are possible."""
    assert only("32x32uF 350V").fields == {"sections": sections((32e-6, 350.0), (32e-6, 350.0))}
    assert [reading.sure for reading in read_capacitor("8x8uF 450V")] == [False, False]
    assert only("100x 10uF 25V").fields["count"] == 100


@pytest.mark.parametrize("text", ["80/40/20 @ 350/350/25", "80/40/20 mfd 350/350/25"])
def test_as_many_ratings_as_values_belong_to_them(text: str) -> None:
    """The last value is not taken for the volts of the others."""
    assert only(text).fields["sections"] == sections((80e-6, 350.0), (40e-6, 350.0), (20e-6, 25.0))


@pytest.mark.parametrize(
    ("text", "dielectric"),
    [
        ("10nF/1600V FKP1", "film-polypropylene"),
        ("2u2 250V MKS4", "film-polyester"),
        ("0.1uF 400V MKT1813", "film-polyester"),
        ("keramischer Kondensator 2n2 500V", "ceramic"),
    ],
)
def test_a_film_type_with_its_number_says_what_it_is_made_of(text: str, dielectric: str) -> None:
    """The letters are the dielectric, the number the maker's series."""
    assert only(text).fields["dielectric"] == dielectric


@pytest.mark.parametrize("text", ["bumblebee .047 600V", "unheard-of maker type .047 @ 600 VDC"])
def test_a_small_value_with_volts_is_a_capacitor_behind_any_name(text: str) -> None:
    """Not sure, and the reading says why."""
    reading = only(text)
    assert (reading.fields, reading.sure) == ({"capacitance": 47e-9, "voltage_dc": 600.0}, False)
    assert "nothing names a capacitor: taken for one by value and volts" in reading.notes


@pytest.mark.parametrize("text", ["thing 0.5 250V", "thing .25 250V 3A", "fuse .25 250V", "ECC83 0.3 250V"])
def test_what_may_be_amperes_is_not_taken_for_microfarads(text: str) -> None:
    """Fuses and heaters bear such numbers too."""
    assert read_capacitor(text) == []


def test_a_list_of_noughts_is_no_rating() -> None:
    """Nought volts rate nothing, wherever they stand."""
    assert "voltage_dc" not in only("8+8 uF 0/0 V").fields


def test_mf_is_said_to_be_read_as_micro() -> None:
    """The spelling could be millifarad elsewhere."""
    assert only("8mF 450V").notes == ("mf read as microfarad, as old markings mean it",)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            "hello world",
            "4k7",
            "100R",
            "2M2",
            "R47",
            "10k",
            "470K 1/2W",
            "EL84",
            "6SN7",
            "45:1",
            "105C",
            "0.5A",
            "450 V",
        ),
        *(
            "Metallschicht-Widerstand 0,5 W",
            "Drehpotentiometer, 10 kOhm, linear, 4 mm",
            "250-0-250 80mA",
            "Komparator, 2-fach",
        ),
        "ECC83 2 yes 100 NOS with disc getter",
    ],
)
def test_what_is_no_capacitor_has_no_reading(text: str) -> None:
    """Other families' parts and plain words are left alone."""
    assert read_capacitor(text) == []


def test_a_long_text_says_that_it_was_cut() -> None:
    """The note of the cut is passed on."""
    assert only("10n 400V " + "x" * 600).notes[0] == "only the first 500 of 609 characters were read"


def test_a_reading_turns_into_json_as_the_design_has_it() -> None:
    """Family, fields, sure, notes."""
    assert only(".05 400V").as_json() == {
        "family": "capacitor",
        "fields": {"capacitance": 5e-8, "voltage_dc": 400.0},
        "sure": True,
        "notes": ["'.05' has no unit: read as µF"],
        "rest": "",
    }


@pytest.mark.parametrize("text", ["3 x 0.1 bathtub 600V", "3x0.1uF block capacitor 600V"])
def test_several_in_a_bathtub_may_be_its_sections(text: str) -> None:
    """And no electrolytics: such blocks are of paper as well (common practice, no source)."""
    ways = read_capacitor(text)
    assert [way.fields.get("dielectric") for way in ways] == [None, None]
    assert [len(way.fields.get("sections", ())) for way in ways] == [3, 0]


def test_tubular_is_said_to_leave_the_dielectric_open() -> None:
    """Paper, film and ceramics have that shape."""
    (reading,) = read_capacitor("0.005/600 tubular")
    assert (reading.fields, reading.rest) == ({"capacitance": 5e-9, "voltage_dc": 600.0}, "")
    assert "tubular: paper, film or ceramic is not said" in reading.notes


def test_jars_are_the_admiraltys() -> None:
    """A unit of old naval sets; never read as µF."""
    (reading,) = read_capacitor("2 jars 1000V")
    assert reading.fields["capacitance"] == pytest.approx(
        by_hand(2 / 9e8, "2 jars, 900 of them to a microfarad", of=read_capacitor)
    )
    assert not reading.sure
