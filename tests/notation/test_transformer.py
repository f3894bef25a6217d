"""Transformers' descriptions: ratios, loads, copper, lines, windings, and what is no transformer."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.reading import Reading
from partsbin.notation.transformer import read_transformer
from tests.expected import by_hand, published


def only(text: str) -> Reading:
    """The one reading of a text."""
    (reading,) = read_transformer(text)
    return reading


def pairs(text: str) -> list[dict[str, Any]]:
    """The pairs of the one reading."""
    found = only(text).fields["pairs"]
    assert isinstance(found, list)
    return found


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("OPT 45:1 Rp 380", {
            "kind": "output", "primary_resistance": 380.0,
            "pairs": [{"primary": "primary", "secondary": "secondary", "ratio": 45.0}],
        }),
        ("OPT 45 to 1 DCR 380/0.4 ohm", {
            "kind": "output", "primary_resistance": 380.0, "secondary_resistance": 0.4,
            "pairs": [{"primary": "primary", "secondary": "secondary", "ratio": 45.0}],
        }),
        ("OPT SE EL84 48mA air gap 10H", {
            "kind": "output", "topology": "single-ended", "gapped": True, "dc_current": 0.048, "primary_inductance": 10.0,
            "served": ["EL84"],
        }),
        ("2 kV insulation OPT no gap PP", {
            "kind": "output", "topology": "push-pull", "gapped": False, "insulation_voltage": 2000.0,
        }),
        ("output transformer insulation tested 2kV core 4 cm² 50 Hz used", {
            "kind": "output", "condition": "salvaged", "insulation_voltage": 2000.0, "core_area": 0.0004, "frequency": 50.0,
        }),
        ("2x interstage transformer 1:3", {
            "kind": "interstage", "count": 2, "pairs": [{"primary": "primary", "secondary": "secondary", "ratio": 1 / 3}],
        }),
        ("mains transformer 250-0-250 80mA 6.3V 3A 5V 2A", {
            "kind": "mains",
            "windings": [
                {"name": "250-0-250 V", "voltage": 250.0, "current": 0.08},
                {"name": "6.3 V", "voltage": 6.3, "current": 3.0},
                {"name": "5 V", "voltage": 5.0, "current": 2.0},
            ],
        }),
        ("Netztrafo 250V-0-250V/80mA 6,3V/3A", {
            "kind": "mains",
            "windings": [
                {"name": "250-0-250 V", "voltage": 250.0, "current": 0.08},
                {"name": "6.3 V", "voltage": 6.3, "current": 3.0},
            ],
        }),
        ("mains transformer primary 0-110-230V 2x6.3V 1A", {
            "kind": "mains",
            "windings": [
                {"name": "primary", "voltage": 230.0, "taps": "110/230 V"},
                {"name": "6.3 V", "voltage": 6.3, "current": 1.0},
                {"name": "6.3 V", "voltage": 6.3, "current": 1.0},
            ],
        }),
    ],
)  # fmt: skip
def test_a_description_has_one_sure_reading(text: str, fields: dict[str, object]) -> None:
    """The fields, no others, and nothing left over."""
    reading = only(text)
    assert reading.fields == fields
    assert reading.sure
    assert reading.rest == ""


@pytest.mark.parametrize(
    ("text", "primary", "secondary", "ratio"),
    [
        ("output transformer EL84 5k2:3Ω", 5200.0, 3.0, by_hand(41.63, "sqrt(5200/3)", of=read_transformer)),
        ("OPT 5k2 to 3 ohm", 5200.0, 3.0, by_hand(41.63, "sqrt(5200/3)", of=read_transformer)),
        ("OPT 5,2k : 3 Ohm", 5200.0, 3.0, by_hand(41.63, "sqrt(5200/3)", of=read_transformer)),
        ("OPT 5k2/3Ω", 5200.0, 3.0, by_hand(41.63, "sqrt(5200/3)", of=read_transformer)),
        ("OPT pri 5k2 sec 3 ohm", 5200.0, 3.0, by_hand(41.63, "sqrt(5200/3)", of=read_transformer)),
        (
            "OPT 7200 ohm : 8 ohm",
            7200.0,
            8.0,
            published(30, "bitdriven-output", of=read_transformer, where="7200 to 8 ohm"),
        ),
        (
            "600 ohm to 4 ohm",
            600.0,
            4.0,
            published(12.25, "us-general-pool", of=read_transformer, where="G5C07", rel=5e-3),
        ),
        ("PP 8k CT: 15Ω 12W", 8000.0, 15.0, by_hand(23.09, "sqrt(8000/15)", of=read_transformer)),
        ("8k a-a : 15 ohm", 8000.0, 15.0, by_hand(23.09, "sqrt(8000/15)", of=read_transformer)),
    ],
)
def test_two_loads_give_the_ratio(text: str, primary: float, secondary: float, ratio: float) -> None:
    """The square root of their quotient, whatever stands between them."""
    (pair,) = pairs(text)
    assert (pair["primary_impedance"], pair["secondary_impedance"]) == (primary, secondary)
    assert pair["ratio"] == ratio
    assert only(text).sure


def test_a_ratio_measured_in_volts_is_their_quotient() -> None:
    """230 V in, 5.1 V out."""
    (pair,) = pairs("OPT 230V:5.1V")
    assert pair["ratio"] == by_hand(45.1, "230 / 5.1", of=read_transformer)


def test_taps_of_the_secondary_are_pairs_of_their_own() -> None:
    """5k:3/8/15 has three."""
    found = pairs("5k:3/8/15")
    assert [pair["secondary"] for pair in found] == ["3 Ω", "8 Ω", "15 Ω"]
    assert [pair["ratio"] for pair in found] == pytest.approx([40.82, 25.0, 18.26], rel=1e-3)


@pytest.mark.parametrize("text", ["OPT 30:1, 45:1, 60:1", "OPT 30:1,45:1,60:1"])
def test_several_ratios_are_taps(text: str) -> None:
    """Named by the ratio that is written."""
    assert [(pair["secondary"], pair["ratio"]) for pair in pairs(text)] == [
        ("30:1", 30.0),
        ("45:1", 45.0),
        ("60:1", 60.0),
    ]


def test_a_line_tap_has_the_impedance_of_its_watts() -> None:
    """100 V and 5 W are 2 kΩ."""
    reading = only("100V line 5W")
    assert (reading.fields["kind"], reading.fields["line_voltage"], reading.fields["power"]) == ("line", 100.0, 5.0)
    (pair,) = pairs("100V line 5W")
    assert pair["primary_impedance"] == by_hand(2000, "100² / 5", of=read_transformer)


def test_each_line_tap_makes_a_pair_with_the_loudspeaker() -> None:
    """10, 5 and 2.5 W on 100 V, to 15 Ω."""
    found = pairs("100V line 10/5/2.5W to 15 ohm")
    assert [(pair["primary"], pair["primary_impedance"]) for pair in found] == [
        ("10 W", by_hand(1000, "100² / 10", of=read_transformer)),
        ("5 W", by_hand(2000, "100² / 5", of=read_transformer)),
        ("2.5 W", by_hand(4000, "100² / 2.5", of=read_transformer)),
    ]
    assert {pair["secondary_impedance"] for pair in found} == {15.0}


@pytest.mark.parametrize(
    ("text", "loads"),
    [
        ("OPT 3k5:4,8,16", [4, 8, 16]),
        ("output transformer 6k6 to 4, 8, 15 ohms", [4, 8, 15]),
        ("output tx 8k p-p, secs 4+8+16", [4, 8, 16]),
        ("OPT 5k to 3 ohm and 15 ohm", [3, 15]),
        ("OPT 5k:3,75", [3.75]),
        ("OPT 5k:3,75 ohm", [3.75]),
    ],
)
def test_a_list_of_loudspeakers_is_as_many_taps(text: str, loads: list[float]) -> None:
    """Parted in any way; a decimal comma is none of them (common practice, no source)."""
    assert [pair["secondary_impedance"] for pair in pairs(text)] == loads


@pytest.mark.parametrize("text", ["line transformer 100V 5W to 15 ohm", "100V line transformer 5W to 15 ohm"])
def test_a_line_transformer_has_its_volts_without_the_word_beside_them(text: str) -> None:
    """100 V is a loudspeaker line's."""
    (pair,) = pairs(text)
    assert (pair["primary_impedance"], pair["secondary_impedance"], only(text).sure) == (2000.0, 15.0, True)


def test_a_valve_load_makes_the_line_the_secondary() -> None:
    """8 kΩ between anodes to 15 W of 100 V line."""
    (pair,) = pairs("output transformer push-pull 8k a-a, 100V line 15W, CT")
    assert pair["primary_impedance"] == 8000.0
    assert pair["secondary_impedance"] == by_hand(666.67, "100² / 15", of=read_transformer)
    assert pair["ratio"] == by_hand(3.464, "sqrt(8000 / 666.67)", of=read_transformer)


@pytest.mark.parametrize("text", ["PP OPT raa 8k", "PP OPT 8k a-a"])
def test_a_load_beside_the_word_for_it_is_sure(text: str) -> None:
    """Before the number or after it."""
    assert (pairs(text)[0]["primary_impedance"], only(text).sure) == (8000.0, True)


def test_ohms_beside_a_winding_are_copper_or_load_by_their_size() -> None:
    """380 Ω is the copper of a primary, 5 kΩ its load; which was taken is said."""
    reading = only("OPT pri 380 ohm sec 0.35 ohm")
    assert (reading.fields["primary_resistance"], reading.fields["secondary_resistance"]) == (380.0, 0.35)
    assert reading.notes == (
        "380 Ω primary taken as copper, not as a load",
        "0.35 Ω secondary taken as copper, not as a load",
    )


@pytest.mark.parametrize("text", ["OPT 420R primary 0.4R secondary", "OPT 0.4 ohm sec, 420 ohm pri, 45:1"])
def test_the_name_of_a_winding_may_stand_behind_its_ohms(text: str) -> None:
    """Where the first one does, it is no name for the figure that follows."""
    reading = only(text)
    assert (reading.fields["primary_resistance"], reading.fields["secondary_resistance"]) == (420.0, 0.4)
    assert reading.sure


def test_a_loudspeaker_beside_a_ratio_belongs_to_that_pair() -> None:
    """And makes no pair of its own."""
    (pair,) = pairs("OPT 3.2 ohm secondary 36:1")
    assert (pair["ratio"], pair["secondary_impedance"]) == (36.0, 3.2)


def test_volts_and_amperes_alone_are_a_transformers_only_where_it_is_named() -> None:
    """They may be a lamp's; the kind is taken, and that is said."""
    assert only("6.3V 1A").bare
    assert only("bell transformer 8V 1A").notes == (
        "volts and amperes, no kind named: taken to be a mains transformer",
    )


def test_ohms_beside_no_winding_are_not_sure() -> None:
    """The text does not say which they are."""
    reading = only("OPT 6V6 5k 8 ohm")
    assert reading.fields["served"] == ["6V6"]
    assert not reading.sure
    assert "5 kΩ taken as primary load: the text does not say" in reading.notes


def test_a_load_between_anodes_says_push_pull() -> None:
    """And the reading says why."""
    reading = only("OPT 8k a-a : 15 ohm")
    assert reading.fields["topology"] == "push-pull"
    assert "a load between anodes: push-pull" in reading.notes


def test_valves_are_named_with_their_number() -> None:
    """Two of a type are not two transformers, and not one valve."""
    reading = only("OPT PP 2xEL84, ECC83")
    assert reading.fields["served"] == ["2xEL84", "ECC83"]
    assert "count" not in reading.fields


@pytest.mark.parametrize(
    "text",
    [
        "OPT 5k:8 2xEL84",
        "OPT EL84 EL84",
        "OPT 5k:8 EL84 x2",
        "output transformer EL84 x 2",
        "OPT pair of EL84",
        "OPT two EL84s",
        "OPT EL84 pair",
        "OPT EL84 PP",
    ],
)
def test_a_pair_of_valves_is_two_however_it_is_written(text: str) -> None:
    """What stands in the iron depends on it: a pair read as one would pass push-pull iron for a single valve."""
    reading = only(text)
    assert reading.fields["served"] == ["2xEL84"]
    assert reading.fields["topology"] == "push-pull"
    assert reading.rest == ""


@pytest.mark.parametrize(
    ("text", "served", "topology"),
    [
        ("OPT EL84", ["EL84"], None),
        ("OPT EL84 SE", ["EL84"], "single-ended"),
        ("OPT ELL80 PP", ["ELL80"], "push-pull"),
        ("OPT ECC83 2xEL84", ["ECC83", "2xEL84"], None),
        ("mains transformer for 2xEL84", ["2xEL84"], None),
    ],
)
def test_one_valve_is_not_made_a_pair(text: str, served: list[str], topology: str | None) -> None:
    """Nor two systems in one envelope; and what feeds two valves is not push-pull by that."""
    fields = only(text).fields
    assert fields["served"] == served
    assert fields.get("topology") == topology


@pytest.mark.parametrize(
    "text", ["line transformer 100V 5W to 15 ohm", "100V line 5W to 15 ohm", "line 100V 5W to 15 ohm"]
)
def test_the_volts_of_a_line_stand_on_either_side_of_the_word(text: str) -> None:
    """5 W on a line of 100 V is 2 kilohms."""
    assert only(text).fields["line_voltage"] == 100.0
    assert pairs(text)[0]["primary_impedance"] == by_hand(2000.0, "100² / 5", of=read_transformer)


def test_a_line_behind_a_valve_stage_is_the_secondary() -> None:
    """8 k anode to anode onto a line of 100 V that carries 15 W."""
    (pair,) = pairs("output transformer push-pull 8k a-a, 100V line 15W, CT")
    assert pair["primary_impedance"] == 8000.0
    assert pair["secondary_impedance"] == by_hand(666.7, "100² / 15", of=read_transformer)


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("OPT 5000:3", "'5000:3' read as ohms: as turns it would be a ratio of 1667"),
        ("OPT 36:8", "'36:8' read as turns; it could be ohms to ohms"),
        ("OPT 5.2 to 3 ohm", "'5.2 to 3 ohm': the first number read as kilohms"),
        ("250-0-250 80mA 6.3V 3A", "a winding such as 250-0-250: taken to be a mains transformer"),
        ("OPT 6K6", "'6K6' read as 6.6 kΩ; it may be the valve of that name"),
        ("OPT gapped no gap", "the words disagree on gapped"),
        ("OPT 5W 10W", "several powers, the highest taken"),
        ("OPT 45:1 17", "not understood: '17'"),
    ],
)
def test_what_could_be_otherwise_is_not_sure_and_says_why(text: str, note: str) -> None:
    """One reading, doubted, with the reason."""
    reading = only(text)
    assert not reading.sure
    assert note in reading.notes


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("output transformer", "output"),
        ("O/P transformer", "output"),
        ("Ausgangsübertrager", "output"),
        ("mains transformer", "mains"),
        ("Netztrafo", "mains"),
        ("interstage transformer", "interstage"),
        ("driver transformer", "driver"),
        ("line transformer", "line"),
        ("heater transformer", "heater"),
        ("mains isolating transformer", "isolating"),
        ("Trenntrafo", "isolating"),
        ("auto-transformer", "auto"),
    ],
)
def test_words_name_the_kind(words: str, kind: str) -> None:
    """English and German; mains beside another kind is only where it is fed from."""
    assert only(words).fields["kind"] == kind


@pytest.mark.parametrize(
    "text",
    [
        "",
        "hello",
        ": to : to",
        "EL84",
        "4k7",
        "8uF 450V",
        "choke 10H 80mA",
        "6SN7 perfect driver 2 yes 850",
        "22n 400V film",
        "250 V",
    ],
)
def test_what_is_no_transformer_has_no_reading(text: str) -> None:
    """Other families' parts and plain words are left alone."""
    assert read_transformer(text) == []


@pytest.mark.parametrize(
    ("text", "windings"),
    [
        ("mains transformer 250-0-250 80mA 6.3V 3A 5V 2A", [("250-0-250 V", 250.0, 0.08), ("6.3 V", 6.3, 3.0), ("5 V", 5.0, 2.0)]),
        ("mains transformer 2x 6.3V 1.5A", [("6.3 V", 6.3, 1.5), ("6.3 V", 6.3, 1.5)]),
        ("0-220-240 prim 250-0-250 60mA", [("primary", 240.0, None), ("250-0-250 V", 250.0, 0.06)]),
        ("mains transformer prim 0-220-240 sec 250-0-250 60mA", [("primary", 240.0, None), ("250-0-250 V", 250.0, 0.06)]),
        ("300-0-300V/120mA 6,3V/4A", [("300-0-300 V", 300.0, 0.12), ("6.3 V", 6.3, 4.0)]),
        ("Netztrafo 2x280V 100mA 6,3V 3,5A 4V 1A",
         [("280 V", 280.0, 0.1), ("280 V", 280.0, 0.1), ("6.3 V", 6.3, 3.5), ("4 V", 4.0, 1.0)]),
        ("Netztrafo 1x250V 60mA 6,3V 2A", [("250 V", 250.0, 0.06), ("6.3 V", 6.3, 2.0)]),
        ("isolating 230:230 100VA", [("primary", 230.0, None), ("230 V", 230.0, None)]),
        ("mains transformer 240:6.3", [("primary", 240.0, None), ("6.3 V", 6.3, None)]),
        ("transformer 115V/6.3V 1.2A", [("primary", 115.0, None), ("6.3 V", 6.3, 1.2)]),
        ("mains tx 0-110-240 : 250-0-250 60mA", [("primary", 240.0, None), ("250-0-250 V", 250.0, 0.06)]),
        ("mains transformer 100VA 230V 250-0-250", [("primary", 230.0, None), ("250-0-250 V", 250.0, None)]),
    ],
)  # fmt: skip
def test_the_windings_of_iron_on_the_mains_become_rows(
    text: str, windings: list[tuple[str, float, float | None]]
) -> None:
    """Name, volts and amperes of each, in the order of the text."""
    (reading,) = read_transformer(text)
    assert [(row["name"], row["voltage"], row.get("current")) for row in reading.fields["windings"]] == windings


@pytest.mark.parametrize(
    "text", ["line output transformer", "output transformer EHT winding", "frame scan output transformer"]
)
def test_a_transformer_of_a_televisions_scanning_is_no_audio_output(text: str) -> None:
    """It has its name from the line that it scans (common practice, no source)."""
    assert all("kind" not in reading.fields and not reading.sure for reading in read_transformer(text))


@pytest.mark.parametrize("text", ["line output transformer 5W 15 ohm", "OPT 45:1", "2 kV insulation OPT"])
def test_an_audio_output_stays_one(text: str) -> None:
    """Watts, ohms or a ratio are no scanning's."""
    assert read_transformer(text)[0].fields["kind"] == "output"


@pytest.mark.parametrize(
    ("text", "primary", "secondary"),
    [("OPT PP 8k a-a 15 ohm 15W", 8000.0, 15.0), ("Gegentakt AÜ 2xEL84 8kΩ Raa 5Ω", 8000.0, 5.0)],
)
def test_the_word_between_anodes_is_said_of_one_load_only(text: str, primary: float, secondary: float) -> None:
    """The load of the loudspeaker behind it is no second primary, and is not lost."""
    (pair,) = read_transformer(text)[0].fields["pairs"]  # type: ignore[misc]
    assert (pair["primary_impedance"], pair["secondary_impedance"]) == (primary, secondary)


def test_a_second_load_of_one_side_is_told() -> None:
    """3.75 and 15 ohms are two: one is kept, the other is not understood, and nothing is sure."""
    (reading,) = read_transformer("8000 ohm anode to anode, 3.75 ohm and 15 ohm secondaries")
    assert not reading.sure
    assert "15 ohm" in reading.rest or "3.75 ohm" in reading.rest


@pytest.mark.parametrize(
    "text", ["OPT 7k:4/8 ohm", "OPT 7K:4,8Ω 5W SE", "OPT 7k to 4/8 ohm", "OPT 7k 4/8 ohm", "OPT PP 7k a-a 4-8 ohm"]
)
def test_two_loads_with_a_stroke_are_two_taps_and_no_fraction(text: str) -> None:
    """Half an ohm is no loudspeaker: 4 and 8 ohms are (common practice, no source)."""
    pairs = read_transformer(text)[0].fields["pairs"]
    assert [pair["secondary_impedance"] for pair in pairs] == [4.0, 8.0]  # type: ignore[attr-defined]
