"""Sieving lines of price lists: what a full reading makes of a line is always among what the sieve lets it be."""

from __future__ import annotations

import ast
import csv
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.describe import family_by_words
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.lists import Cells
from partsbin.stock.mapping import Column, Mapping
from partsbin.stock.parts import Draft
from partsbin.stock.sections import NONE, Section
from partsbin.stock.sieve import ANY, SEVERAL, VALUED, WIDEST, Sieve, Sieved, bit
from partsbin.stock.understand import Reader

HERE = Path(__file__).parent.parent
OURS = HERE.parents[1] / "shared" / "data"
DESCRIBED = Mapping((Column("Description", "description", "by its name"),))
VALUES = {"capacitor": "capacitance", "resistor": "resistance", "potentiometer": "resistance"}


def held_back(text: str, reader: Reader, sieve: Sieve) -> bool:
    """Whether a line would be kept from a need that it serves by its full reading."""
    read = reader.understand([text])
    if read.facts is None:
        return False
    line = sieve.look([text], NONE)
    value = getattr(read.facts, VALUES[read.family], None) if read.family in VALUES else None
    if read.family in VALUES and value is None:
        return False  # a part of no known value is no offer: it would have to be measured first
    if not line.bits & bit(read.family) or (value is not None and not line.low <= value <= line.high):
        return True
    keys = KeyMaker().of_draft(1, Draft(read.family, read.facts, condition="new", origin="offered"), {})
    bears = max((row["limit_high"] for row in keys if row["limit_high"] is not None), default=0.0)
    return read.family in VALUES and bears > line.most


def words_of(folder: Path) -> Iterator[str]:
    """Texts that stand in the tests: whatever anybody thought of writing for a part, and much that is none."""
    for file in sorted(folder.rglob("test_*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                for line in node.value.split("\n"):
                    yield from {line, *line.split(","), *line.split(";")}


@pytest.fixture(scope="module")
def reader() -> Reader:
    """What reads a line in full."""
    return Reader(Cells("list.csv", ("Description",), (), ()), DESCRIBED)


@pytest.mark.parametrize("folder", ["notation", "families", "jobs", "cli"])
def test_nothing_is_held_back_of_what_the_tests_write(folder: str, reader: Reader) -> None:
    """Some thousands of texts, each read in full and sieved."""
    sieve = Sieve(DESCRIBED)
    texts = {text.strip() for text in words_of(HERE / folder) if 1 < len(text.strip()) < 80}
    assert len(texts) > 500
    assert [text for text in sorted(texts) if held_back(text, reader, sieve)] == []


@pytest.mark.skipif(not OURS.exists(), reason="the parts lists of shared/data are not beside this checkout")
def test_nothing_is_held_back_of_real_lists(reader: Reader) -> None:
    """Parts lists that nobody here wrote; their sources stand in their first lines."""
    sieve = Sieve(DESCRIBED)
    rows = [
        row
        for file in sorted(OURS.glob("*.csv"))
        for row in csv.reader(file.read_text("utf-8", "replace").splitlines())
    ]
    texts = {text.strip() for row in rows for text in (*row, " ".join(row)) if 1 < len(text.strip()) < 160}
    assert texts
    assert [text for text in sorted(texts) if held_back(text, reader, sieve)] == []


FIGURES = st.one_of(
    st.integers(1, 9999).map(str),
    st.decimals("0.001", "999", places=2).map(lambda d: f"{d.normalize():f}"),
    st.sampled_from(
        ["0,1", "0,047", ".1", ",1", "4.700", "1,000", "2 200", "8+8", "2x50", "1/2", "4k7", "473", "R47", "n22"]
    ),
)
UNITS = st.sampled_from(
    ["pF", "nF", "uF", "µF", "mfd", "MFD", "mmf", "F", "p", "n", "u", "k", "K", "M", "m", "meg", "ohm", "Ω", "kΩ", "mΩ", "R", "H",
     "mH", ""]
)  # fmt: skip
BESIDE = st.sampled_from(
    ["", "400V", "630 V", "1/2W", "0.5W", "5%", "±10 %", "metal film", "polypropylene", "electrolytic", "lin pot", "axial", "K", "J",
     "2A474J", "-20+80%", "250VAC", "new", "brown black", "wirewound", "EL84", "16mm", "pair", "10 pcs", "100 ohm", "22nF"]
)  # fmt: skip
SPACE = st.sampled_from(["", " ", "  ", "-", "/", ", "])


@given(st.builds("{}{}{}{}{} {}".format, FIGURES, SPACE, UNITS, SPACE, BESIDE, BESIDE))
def test_nothing_is_held_back_of_what_can_be_put_together(text: str) -> None:
    """Figures, units and what stands beside them, as lists have them and as none has."""
    assert not held_back(text, Reader(Cells("list.csv", ("Description",), (), ()), DESCRIBED), Sieve(DESCRIBED)), text


@given(st.lists(st.builds("{}{}{} {}".format, FIGURES, SPACE, UNITS, BESIDE), max_size=6))
def test_many_lines_at_once_are_sieved_as_one_by_one(texts: list[str]) -> None:
    """The same of each."""
    rows = [(text,) for text in texts]
    one = Sieve(DESCRIBED)
    assert Sieve(DESCRIBED).look_all(rows, [NONE] * len(rows)) == [one.look(row, NONE) for row in rows]


@given(st.text(st.sampled_from("0123456789.,gangptrimvol -/"), max_size=20))
def test_the_words_that_name_a_family_ask_for_figures_not_for_which(text: str) -> None:
    """What the sieve rests on: lines that differ in their figures alone are of one family by their words."""
    import re

    assert family_by_words(re.sub(r"\d", "1", text)) == family_by_words(re.sub(r"\d", "9", text))


@pytest.mark.parametrize(
    ("text", "families", "low", "high"),
    [
        ("47nF 400V polypropylene", {"capacitor"}, 47e-9, 47e-9),
        ("4k7 0.5W metal film", {"resistor"}, 4700, 4700),
        ("470 kΩ lin pot", {"potentiometer"}, 470e3, 470e3),
        ("resistor 1,000 ohm", {"resistor"}, 1, 1000),
    ],
)
def test_plain_lines_are_told_by_family_and_value(text: str, families: set[str], low: float, high: float) -> None:
    """By hand; two per cent are left for rounding."""
    line = Sieve(DESCRIBED).look([text], NONE)
    assert line.bits == sum(bit(family) for family in families)
    assert (line.low, line.high) == (pytest.approx(low / 1.02), pytest.approx(high * 1.02))


@pytest.mark.parametrize(
    "text", ["473K 1kV", "8+8uF 450V", "brown black red", "0.1 400V", "½ meg", "R12: 4k7", ".05M 400V", "1MF 1/2W"]
)
def test_what_nobody_can_tell_is_let_through(text: str) -> None:
    """A code and its tolerance, sections, colours, a bare figure, a fraction, a designator, old ways of writing values."""
    line = Sieve(DESCRIBED).look([text], NONE)
    assert line.bits & ANY == ANY
    assert (line.low, line.high) == (0.0, WIDEST)


@pytest.mark.parametrize(
    ("text", "most"),
    [
        ("47nF 400V polypropylene", 400),
        ("47nF 1kV/250V polypropylene", 1000),
        ("4k7 1/2W metal film", 0.5),
        ("4k7 600mW metal film", 0.6),
        ("47nF 275VAC polypropylene", 1100),
        ("47nF 400V Y2 polypropylene", 1600),
        ("47nF 400 V AC polypropylene", 1600),
        ("47nF polypropylene", WIDEST),
    ],
)
def test_what_a_line_bears_is_told_by_the_greatest_rating_it_names(text: str, most: float) -> None:
    """By hand; volts AC are taken fourfold, and where none is named nothing is told."""
    assert Sieve(DESCRIBED).look([text], NONE).most == pytest.approx(most, rel=0.03)


def test_of_a_text_without_end_nothing_is_told() -> None:
    """Only its beginning is read, and no words of it need long."""
    assert Sieve(DESCRIBED).look(["22nF resistor " + "lamp " * 3000], NONE).bits & ANY == ANY


def test_types_have_no_value() -> None:
    """A list of semiconductors is not read for a capacitor."""
    assert not Sieve(DESCRIBED).look(["NE555 timer"], NONE).bits & VALUED


@pytest.mark.parametrize("text", ["matched pair EL34", "2200Ω_1/8 W_2%_x10", "R_10 off_2,2kΩ"])
def test_a_price_of_several_is_marked(text: str) -> None:
    """A piece of it may be cheaper than the line says."""
    assert Sieve(DESCRIBED).look([text], NONE).bits & SEVERAL


@pytest.mark.parametrize(
    "text",
    [
        "RES QZ-22 0.25W 5%",
        "R/QZ-22/4,7 Ω/0.25W",
        "resistor - QZ-22 - 330Ω - 2 W",
        "RES-330 Ω-axial",
        "KONDENSATOR 220ΜF 350V MICA",
    ],
)
def test_what_looks_like_a_type_may_be_a_value(text: str, reader: Reader) -> None:
    """Figures behind the letters of a series; the sign of a millionth in capitals."""
    assert reader.understand([text]).facts is not None
    assert not held_back(text, reader, Sieve(DESCRIBED))


def test_what_stands_above_a_line_may_name_its_family() -> None:
    """A bare figure under RESISTORS."""
    line = Sieve(DESCRIBED).look(["NE555"], Section("resistor", ("RESISTORS",), ""))
    assert line.bits & bit("resistor")


def test_a_column_with_a_unit_lends_it_to_bare_figures() -> None:
    """Resistance [kohm] over 4.7."""
    mapping = Mapping((Column("Type", "family", "by its name"), Column("Value", "value", "by its name", 100.0, "kohm")))
    assert Sieve(mapping).look(["Resistors", "4.7"], NONE) == Sieved(
        bit("resistor"), pytest.approx(4700 / 1.02), pytest.approx(4700 * 1.02), WIDEST
    )
