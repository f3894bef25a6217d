"""Resistors' descriptions: the traps of the trade, one case each, and what must be left open."""

from __future__ import annotations

import json
import math
import time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.families.resistor.facts import TECHNOLOGIES, ResistorFacts, title
from partsbin.notation.preferred import series
from partsbin.notation.reading import Reading
from partsbin.notation.resistor import read_resistor
from tests.expected import Expected, published

Fields = dict[str, object]


def only(text: str) -> Reading:
    """The one reading of a text."""
    (reading,) = read_resistor(text)
    return reading


def sections(*ohms: float, current: float | None = None) -> list[dict[str, float]]:
    """Sections of a tapped one as the field has them."""
    return [{"resistance": one} if current is None else {"resistance": one, "current": current} for one in ohms]


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("4k7", {"resistance": 4700.0}),
        ("100R", {"resistance": 100.0}),
        ("2M2", {"resistance": 2.2e6}),
        ("R47", {"resistance": 0.47}),
        ("470K", {"resistance": 470e3}),
        ("4E7", {"resistance": 4.7}),
        ("100E", {"resistance": 100.0}),
        ("470 3 WATT", {"resistance": 470.0, "power": 3.0}),
        ("470Ω", {"resistance": 470.0}),
        ("470\u2126 1W", {"resistance": 470.0, "power": 1.0}),
        ("4,7 kOhm", {"resistance": 4700.0}),
        ("5mΩ", {"resistance": 0.005}),
        ("10mR", {"resistance": 0.01}),
        ("1Meg 1/4 W", {"resistance": 1e6, "power": 0.25}),
        ("½ meg", {"resistance": 5e5}),
        ("5 megohms", {"resistance": 5e6}),
        ("10k ±10%", {"resistance": 10e3, "tolerance": 0.1}),
        ("10k 10 %", {"resistance": 10e3, "tolerance": 0.1}),
        ("10k -10+20%", {"resistance": 10e3, "tolerance_low": -0.1, "tolerance_high": 0.2}),
        ("4K7J", {"resistance": 4700.0, "tolerance": 0.05}),
        ("4k7 J", {"resistance": 4700.0, "tolerance": 0.05}),
        ("5W10RJ", {"resistance": 10.0, "tolerance": 0.05, "power": 5.0}),
        ("10W 4R7J", {"resistance": 4.7, "tolerance": 0.05, "power": 10.0}),
        ("100k½W", {"resistance": 100e3, "power": 0.5}),
        ("100k 1/2", {"resistance": 100e3, "power": 0.5}),
        ("33k 1/3W", {"resistance": 33e3, "power": 1 / 3}),
        ("100k/1W", {"resistance": 100e3, "power": 1.0}),
        ("1k 1W5", {"resistance": 1e3, "power": 1.5}),
        ("100k 0.5W, 500V", {"resistance": 100e3, "power": 0.5, "voltage_limit": 500.0}),
        ("22k 250V 1/4W 155C", {
            "resistance": 22e3, "power": 0.25, "voltage_limit": 250.0, "temperature_max": 155.0,
        }),
        ("1M 350V overload 700V", {"resistance": 1e6, "voltage_limit": 350.0}),
        ("270k 1W carbon comp", {"resistance": 270e3, "power": 1.0, "technology": "carbon-composition"}),
        ("10k w/w 10W tapped", {"resistance": 10e3, "power": 10.0, "technology": "wirewound"}),
        ("0,22 Ohm 5% 3W Drahtwiderstand", {
            "resistance": 0.22, "tolerance": 0.05, "power": 3.0, "technology": "wirewound",
        }),
        ("47k Metallschicht 0,6W", {"resistance": 47e3, "power": 0.6, "technology": "metal-film"}),
        ("1k Metalloxid 2W", {"resistance": 1e3, "power": 2.0, "technology": "metal-oxide"}),
        ("100k Kohleschicht", {"resistance": 100e3, "technology": "carbon-film"}),
        ("100k Kohle 1/2W", {"resistance": 100e3, "power": 0.5}),
        ("33R thick film", {"resistance": 33.0, "technology": "metal-glaze"}),
        ("1k 5W cement", {"resistance": 1e3, "power": 5.0, "technology": "wirewound"}),
        ("10k 10W Zement", {"resistance": 10e3, "power": 10.0}),
        ("1R Sicherungswiderstand 0,5W", {"resistance": 1.0, "power": 0.5, "fusible": True}),
        ("10R non-inductive 1W", {"resistance": 10.0, "power": 1.0, "non_inductive": True}),
        ("470R resistor 2W NOS", {"resistance": 470.0, "power": 2.0, "condition": "unused-old"}),
        ("2x 100k 1W", {"resistance": 100e3, "power": 1.0, "count": 2}),
        ("100k x2", {"resistance": 100e3, "count": 2}),
        ("R101 10k", {"resistance": 10e3}),
        ("300+200+50 ohm 0.3 A", {"resistance": 550.0, "taps": sections(300.0, 200.0, 50.0, current=0.3)}),
        ("1k5+1k5 10W", {"resistance": 3e3, "power": 10.0, "taps": sections(1500.0, 1500.0)}),
        ("3 kΩ (1 kΩ+2 kΩ)", {"resistance": 3e3, "taps": sections(1e3, 2e3)}),
        ("brown black orange gold", {"resistance": 10e3, "tolerance": 0.05}),
        ("yel vio red silver", {"resistance": 4700.0, "tolerance": 0.1}),
        ("braun-schwarz-orange-gold 1/2W", {"resistance": 10e3, "tolerance": 0.05, "power": 0.5}),
        ("bands: red, yellow, orange", {"resistance": 24e3, "tolerance": 0.2}),
        ("10k brown black orange gold", {"resistance": 10e3, "tolerance": 0.05}),
        ("body red tip violet dot yellow", {"resistance": 270e3, "tolerance": 0.2}),
        ("red body, violet tip, yellow dot", {"resistance": 270e3, "tolerance": 0.2}),
        ("body green, tip brown, spot orange, end gold", {"resistance": 51e3, "tolerance": 0.05}),
        ("yellow violet red 10%", {"resistance": 4700.0, "tolerance": 0.1}),
        ("Körper rot, Spitze violett, Punkt gelb", {"resistance": 270e3, "tolerance": 0.2}),
        ("5 mΩ 5W", {"resistance": 5e-3, "power": 5.0}),
        ("0.100 ohm 5W", {"resistance": 0.1, "power": 5.0}),
        ("100k.5W", {"resistance": 100e3, "power": 0.5}),
        ("1K 1KJ", {"resistance": 1000.0, "tolerance": 0.05}),
        ("4k7/2W", {"resistance": 4700.0, "power": 2.0}),
        ("9k1/2W", {"resistance": 9100.0, "power": 2.0}),
        ("1.5e3", {"resistance": 1500.0}),
        ("100k0.5W", {"resistance": 100e3, "power": 0.5}),
        ("10R 1W fuseable", {"resistance": 10.0, "power": 1.0, "fusible": True}),
        ("10R 1W fusable", {"resistance": 10.0, "power": 1.0, "fusible": True}),
        ("10R 1W not fusible", {"resistance": 10.0, "power": 1.0, "fusible": False}),
        ("10R 1W fusible: no", {"resistance": 10.0, "power": 1.0, "fusible": False}),
        ("10R 1W not tested fusible", {"resistance": 10.0, "power": 1.0, "fusible": True}),
        ("10R 1W, not tested, fusible", {"resistance": 10.0, "power": 1.0, "fusible": True}),
        ("2M2 0.5W bridging approved", {"resistance": 2.2e6, "power": 0.5, "bridging": True}),
        ("2M2 0.5W not bridging", {"resistance": 2.2e6, "power": 0.5, "bridging": False}),
    ],
)  # fmt: skip
def test_a_description_has_one_sure_reading(text: str, fields: Fields) -> None:
    """The fields, no others, and nothing left over."""
    reading = only(text)
    assert reading.fields == fields
    assert reading.sure
    assert reading.rest == ""


@pytest.mark.parametrize(
    ("text", "ohms"),
    [
        (text, published(ohms, "rkm", of=read_resistor, where=text, rel=1e-12))
        for text, ohms in {"R47": 0.47, "4R7": 4.7, "470R": 470, "4K7": 4700, "47K3": 47300, "4M7": 4.7e6}.items()
    ],
)
def test_the_letter_code_is_read_as_published(text: str, ohms: Expected) -> None:
    """As the named page reads it."""
    assert only(text).fields["resistance"] == ohms


@pytest.mark.parametrize(
    ("text", "values", "why"),
    [
        ("472", [4700.0, 472.0], "or the code of 4.7 kΩ"),
        ("4701", [4700.0, 4701.0], "or the code of 4.7 kΩ"),
        ("1001F", [1000.0, 1001.0], "or the code of 1 kΩ"),
        ("1m", [1e6, 1e-3], "many write it for mega"),
        ("2m2 25W", [2.2e6, 2.2e-3], "many write it for mega"),
        ("50 M ohms", [50e6, 50e3], "American diagrams before 1945"),
        ("1 mohm", [1e-3, 1e6], "many write it for mega"),
        ("1 mOhm 1/4W", [1e-3, 1e6], "many write it for mega"),
        ("1E3 ohm", [1e3, 1.3], "E for the ohm, or a power of ten"),
        ("1e3", [1e3, 1.3], "E for the ohm, or a power of ten"),
        ("1.000 ohm", [1e3, 1.0], "the stop sets thousands apart, or is a decimal point"),
        ("10.000 Ohm", [10e3, 10.0], "the stop sets thousands apart, or is a decimal point"),
        ("1.500", [1500.0, 1.5], "the stop sets thousands apart, or is a decimal point"),
        ("10E3", [10e3, 10.3], "E for the ohm, or a power of ten"),
        ("47e3", [47e3, 47.3], "E for the ohm, or a power of ten"),
        ("yellow black brown", [400.0, 100e3], "read in more than one way"),
        ("10R 1W FR", [10.0, 10.0], "may say fusible"),
        ("10R 1W fuse", [10.0, 10.0], "may say fusible"),
        ("500M", [500e6, 500e3], "on American diagrams before 1945 a thousand"),
        ("4k7 10k", [4700.0, 10e3], "several values"),
        ("br gr rd gd", [1800.0, 1500.0], "'gr' is used for more than one colour"),
        ("brown black red brown", [1e3, 12.0], "read in more than one way"),
        ("10k brown black red gold", [10e3, 1e3], "say something else"),
        ("0.5W, 700W", [700.0, None], "many lists print W where Ω stood"),
        ("100W resistor", [None, 100.0], "many lists print W where Ω stood"),
    ],
)
def test_what_may_mean_two_things_has_two_readings(text: str, values: list[float | None], why: str) -> None:
    """The likelier first, none of them sure, with the reason."""
    readings = read_resistor(text)
    assert [reading.fields.get("resistance") for reading in readings] == values
    assert not any(reading.sure for reading in readings)
    assert any(why in note for note in readings[0].notes + readings[1].notes)


@pytest.mark.parametrize(
    ("text", "fields", "why"),
    [
        ("1/2M", {"resistance": 500e3}, "read as a fraction"),
        ("100k1/2W", {"resistance": 100e3, "power": 0.5}, "read as 100k and 1/2 W"),
        ("4k71/4W", {"resistance": 4700.0, "power": 0.25}, "read as 4k7 and 1/4 W"),
        ("1k1/2W carbon film", {"resistance": 1e3, "power": 0.5, "technology": "carbon-film"}, "read as 1k and 1/2 W"),
        ("100k1.5W", {"resistance": 100.1e3, "power": 0.5}, "read as 100k1 and 0.5 W"),
        ("47k 0.5W, 700W", {"resistance": 47e3, "power": 0.5}, "0.5 W and 700 W: the lower is taken"),
        ("5W10RJ 3W", {"resistance": 10.0, "tolerance": 0.05, "power": 3.0}, "3 W and 5 W: the lower is taken"),
        (
            "brown black orange gold 10%",
            {"resistance": 10e3, "tolerance": 0.1},
            "differs from that of the letter or the band",
        ),
        ("4K7J 10%", {"resistance": 4700.0, "tolerance": 0.1}, "differs from that of the letter or the band"),
        ("47k 500V 350V", {"resistance": 47e3, "voltage_limit": 350.0}, "350 V and 500 V: the lowest is taken"),
        ("47k 5% 10%", {"resistance": 47e3, "tolerance": 0.1}, "several tolerances: the widest is taken"),
        ("4.7kW", {"resistance": 4700.0}, "4700 W is no wattage: read as ohms, many lists print W where Ω stood"),
        ("1MW 0.5W", {"resistance": 1e6, "power": 0.5}, "1000000 W is no wattage"),
        ("10k wirewound carbon film", {"resistance": 10e3}, "only one can be"),
        ("R5", {"resistance": 0.5}, "may be the name of a part in a diagram"),
        ("10-10-5 ohm", {"resistance": 25.0, "taps": sections(10.0, 10.0, 5.0)}, "read as the sections"),
        ("40 kΩ (10 kΩ+10 kΩ)", {"resistance": 40e3, "taps": sections(10e3, 10e3)}, "the sections add up to"),
        ("100k 1 1/2 W", {"resistance": 100e3, "power": 0.5}, "not understood: '1'"),
        ("gold red gold", {}, "gold as first digit of 'gold red gold': expected brown to white"),
        ("body green dot orange", {"resistance": 55e3, "tolerance": 0.2}, "no tip named: taken as green"),
        ("red violet puce orange gold", {"resistance": 27e3, "tolerance": 0.05}, "'puce' among the colours"),
        ("1 Ohm - 1M Ohm 0,5W", {"power": 0.5}, "an assortment, not one part"),
        ("0", {}, "a link, no resistor"),
        ("0R", {}, "a link, no resistor"),
        ("01C", {"resistance": 10e3, "tolerance": 0.01}, "code of 1 % chips (from memory)"),
        ("16 450V", {"resistance": 16.0, "voltage_limit": 450.0}, "may be a capacitor's"),
    ],
)
def test_what_is_doubtful_is_not_sure_and_says_why(text: str, fields: Fields, why: str) -> None:
    """One reading, the lower rating, the wider tolerance."""
    reading = only(text)
    assert reading.fields == fields
    assert not reading.sure
    assert any(why in note for note in reading.notes)


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("10R flameproof 1W", "flameproof alone does not say that it opens like a fuse"),
        ("100k carbon", "carbon: film or composition is not said"),
        ("10k 10W cement", "a cemented body of high value may hold a film (from memory)"),
        ("10k 10W tapped", "tapped: what lies between the taps is not said"),
        ("950 ohm 0.3A 60W", "0.3 A is not kept: only the watts count, and sections have currents"),
        ("red violet yellow gold", "four bands of IEC 60062"),
    ],
)
def test_a_word_that_says_less_than_a_field_leaves_it_out(text: str, note: str) -> None:
    """With a note; the rest of the reading stays sure."""
    reading = only(text)
    assert note in reading.notes
    assert reading.sure
    assert not {"fusible", "technology", "taps"} & reading.fields.keys()


@pytest.mark.parametrize(
    "text",
    [
        "", "wet string", "1MA", "3M pot", "250k log", "470K disc", "100n", "100n 400V", "EL84 47k", "5k a-a CT",
        "8 ohm loudspeaker", "choke 10H 200 ohm", "10k NTC", "5k:3", "45:1", "moulded mica dots white red green brown silver red",
        "dots red violet yellow", "4k7 ceramic", "E88C", "400V", "half a watt",
    ],
)  # fmt: skip
def test_what_is_no_fixed_resistor_has_no_reading(text: str) -> None:
    """Controls, thermistors, capacitors, coils, valves: another family's, or nobody's."""
    assert read_resistor(text) == []


POWERS = ("0.125", "0.25", "0.5", "1", "2", "3", "5", "10", "25")
TOLERANCES = ("0.2", "0.1", "0.05", "0.02", "0.01", "0.005", "0.001")


@given(
    st.sampled_from((*series("E24"), *series("E96"))),
    st.integers(-2, 7),
    st.sampled_from((None, *POWERS)),
    st.sampled_from((None, *TOLERANCES)),
    st.sampled_from((None, "150", "250", "350", "500", "750", "2500")),
    st.sampled_from(TECHNOLOGIES),
    st.sampled_from((None, True)),
    st.sampled_from((None, True)),
)
def test_a_title_is_read_back_to_the_same_facts(
    step: Decimal, power_of_ten: int, power: str | None, tolerance: str | None, volts: str | None,
    technology: str, fusible: bool | None, non_inductive: bool | None,
) -> None:  # fmt: skip
    """Exactly: the numbers are decimals from the text to the fields."""
    marked = {
        "resistance": float(step.scaleb(power_of_ten)),
        "tolerance": tolerance and float(tolerance),
        "power": power and float(power),
        "voltage_limit": volts and float(volts),
        "technology": technology or None,
        "fusible": fusible,
        "non_inductive": non_inductive,
    }
    facts = ResistorFacts.model_validate(marked)
    reading = only(title(facts))
    assert (reading.sure, reading.rest) == (True, "")
    assert ResistorFacts.model_validate(reading.fields) == facts


@given(st.lists(st.sampled_from(series("E12")), min_size=2, max_size=5), st.integers(0, 4))
def test_a_tapped_one_keeps_its_sections(steps: list[Decimal], power_of_ten: int) -> None:
    """The title has the whole and the sections; where the whole has too many digits to print, that is said."""
    ohms = [step.scaleb(power_of_ten) for step in steps]
    facts = ResistorFacts.model_validate({"taps": sections(*map(float, ohms)), "resistance": float(sum(ohms))})
    assert only(title(facts)).fields["taps"] == sections(*map(float, ohms))


SCRAPS = """
0 1 47 472 4701 0,1 4k7 100R 2M2 R47 470K 1Meg 4E7 1m 500M 1/2W ½W 1/4 W 3 WATT 700W kW MW 500V 2kV V A mA mW ohm Ω kΩ mR ±10% 5%
-10+20% % + - / : , ( ) x2 2x J K M B 4K7J 5W10RJ 472J 01C 1001F brown black red orange gold silver white grey gr bl body tip dot
end no bands carbon comp film wirewound w/w cement Kohle Draht fusible flameproof tapped NOS disc pot R1 R12 max overload - 1e+99 °C
"""
texts = st.one_of(
    st.text(max_size=80),
    st.lists(st.sampled_from(SCRAPS.split()), max_size=14).map(" ".join),
    st.lists(st.sampled_from(SCRAPS.split()), max_size=14).map("".join),
)


@given(texts)
def test_no_text_makes_the_reader_raise(text: str) -> None:
    """What comes out can be written as JSON; several are never sure; whoever is unsure says why; every number is above nought."""
    readings = read_resistor(text)
    json.dumps([reading.as_json() for reading in readings], allow_nan=False)
    assert len(readings) < 2 or not any(reading.sure for reading in readings)
    assert all(reading.notes for reading in readings if not reading.sure)
    for reading in readings:
        for name in ("resistance", "power", "voltage_limit", "temperature_max"):
            value = reading.fields.get(name, 1.0)
            assert isinstance(value, float)
            assert 0 < value < math.inf


@given(st.lists(st.sampled_from(POWERS), min_size=1, max_size=4), st.permutations(["4k7", "metal film", "NOS"]))
def test_no_rating_is_above_the_lowest_that_is_written(powers: list[str], words: list[str]) -> None:
    """In whatever order they stand."""
    reading = only(" ".join((*words[:2], *(f"{watts}W" for watts in powers), words[2])))
    assert reading.fields["power"] == min(map(float, powers))
    assert reading.sure == (len(set(powers)) == 1)


@pytest.mark.parametrize(
    "scrap", ["8+", "1/", "4k7 ", "R1 ", "brown ", "gr ", "body ", "5W", "±", "1.", "w/w", "0,1/", "x2", "9" * 50]
)
def test_the_longest_texts_are_read_in_no_time(scrap: str) -> None:
    """Far under a second, ambiguous colours included."""
    begin = time.perf_counter()
    read_resistor((scrap * 600)[:600])
    assert time.perf_counter() - begin < 1.0


@pytest.mark.parametrize(
    "text",
    [
        "10R 1W not fusible", "10R 1W, not a fusible one", "10R 1W not marked as fusible", "10R 1W not fuseable",
        "10R 1W fusible: no", "10R 1W nicht schmelzbar", "10R 1W isn't a fusible resistor",
    ],
)  # fmt: skip
def test_a_part_said_not_to_be_fusible_is_not_read_as_fusible(text: str) -> None:
    """The word beside the no would let an ordinary part take a fusible one's place."""
    assert [reading.fields.get("fusible") for reading in read_resistor(text)] == [False]


@pytest.mark.parametrize("text", ["10R 1W fusible", "10R 1W fusible, not tested", "10R 1W fuseable, no box"])
def test_a_no_that_speaks_of_something_else_leaves_a_fusible_part_fusible(text: str) -> None:
    """A dead part read so keeps its wall."""
    assert [reading.fields.get("fusible") for reading in read_resistor(text)] == [True]


@pytest.mark.parametrize(
    "text",
    [
        "10R 1W safety",
        "10R 1W FR",
        "safety resistor 10R",
        "10R 1W not ceramic fusible",
        "10R fusible?",
        "10R fusible not known",
    ],
)
def test_what_only_may_say_fusible_is_read_both_ways(text: str) -> None:
    """Fusible first: the wall of a dead part is set."""
    assert [reading.fields.get("fusible") for reading in read_resistor(text)] == [True, False]


def test_words_on_a_fuse_that_disagree_give_both_readings() -> None:
    """The wall of a dead part is set, and no such part passes one."""
    assert [reading.fields.get("fusible") for reading in read_resistor("10R fusible, 1W non-fusible")] == [True, False]


@pytest.mark.parametrize("text", ["FR", "safety", "fuse", "FR 1W"])
def test_a_word_for_a_fuse_alone_is_a_resistor_only_where_one_is_named(text: str) -> None:
    """Two readings, neither of which speaks of the family."""
    readings = read_resistor(text)
    assert [(reading.bare, reading.fields.get("fusible")) for reading in readings] == [(True, True), (True, False)]


@pytest.mark.parametrize("text", ["fuse 500mA", "fuse 100", "T1A fuse"])
def test_a_fuse_is_no_resistor(text: str) -> None:
    """Without ohms it is the other thing of that name."""
    assert read_resistor(text) == []


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("10R 1W not a fusible one", "fusible"),
        ("10R 1W no safety resistor", "fusible"),
        ("2M2 0.5W not approved for bridging", "bridging"),
        ("2M2 0.5W not ceramic for bridging", "bridging"),
        ("2M2 0.5W bridging?", "bridging"),
        ("2M2 0.5W bridging not known", "bridging"),
        ("2M2 0.5W unapproved bridging", "bridging"),
        ("10R nicht induktionsfrei", "non_inductive"),
    ],
)
def test_a_no_some_words_before_a_mark_denies_it(text: str, field: str) -> None:
    """What is denied is not counted as made for it."""
    assert only(text).fields[field] is False


@pytest.mark.parametrize(("text", "tolerance"), [("47R gold", 0.05), ("6k8 silver 1W", 0.1)])
def test_one_colour_beside_a_value_is_the_band_of_its_tolerance(text: str, tolerance: float) -> None:
    """ "Resistor codes and markings": gold 5 %, silver 10 %; the reading says what it took."""
    (reading,) = read_resistor(text)
    assert reading.fields["tolerance"] == tolerance
    assert any("band of the tolerance" in note for note in reading.notes)


def test_metal_alone_leaves_open_what_it_is_made_of() -> None:
    """Film, oxide and glaze differ in what they bear."""
    (reading,) = read_resistor("6K8 metal")
    assert "technology" not in reading.fields
    assert reading.rest == ""
    assert "metal: film, oxide or glaze is not said" in reading.notes


@pytest.mark.parametrize(
    ("text", "sections"),
    [
        ("10W 5000 ohms tapped at 3000", [3000.0, 2000.0]),
        ("1k 20W tapped at 200, 400 and 700 ohms", [200.0, 200.0, 300.0, 300.0]),
        ("700R tap 100R", [100.0, 600.0]),
    ],
)
def test_taps_are_counted_from_one_end(text: str, sections: list[float]) -> None:
    """Ohms behind the word are where the tap is: no volts, and no second value (by hand: what is left between two)."""
    (reading,) = read_resistor(text)
    assert [tap["resistance"] for tap in reading.fields["taps"]] == sections  # type: ignore[attr-defined]
    assert "voltage_limit" not in reading.fields
    assert not reading.sure


def test_a_tap_beyond_the_whole_leaves_it_untapped() -> None:
    """One of the two figures is wrong, and nothing says which."""
    (reading,) = read_resistor("2k tapped at 3k")
    assert "taps" not in reading.fields
    assert not reading.sure
