"""How rectifier valves conduct: every row of a known rectifier, each figure with its source, other names found."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from partsbin.reference import conduction as module
from partsbin.reference.conduction import conduction
from partsbin.reference.valves import valve
from partsbin.sources import source
from tests.expected import Expected, published

with Path(module.__file__).with_name("conduction.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

SHEETS = [
    ("5Y3GT", "drop_volts", published(60.0, "tubeofile", of=conduction, where="5Y3GT, at 125 mA")),
    ("5T4", "drop_volts", published(45.0, "tubeofile", of=conduction, where="5T4, at 225 mA")),
    ("6X4", "peak_amperes", published(0.245, "ge-6x4", of=conduction, where="peak plate current")),
    ("EZ81", "peak_amperes", published(0.45, "diyaudio-382833", of=conduction, where="repetitive peak")),
    ("5U4G", "peak_amperes", published(1.0, "monoandstereo-5u4g", of=conduction, where="steady peak")),
]


@pytest.mark.parametrize(("type", "figure", "expected"), SHEETS)
def test_figures_are_those_of_the_sheet(type: str, figure: str, expected: Expected) -> None:
    """The rows that were read."""
    assert getattr(conduction(type), figure) == expected


@pytest.mark.parametrize("row", ROWS, ids=[row["type"] for row in ROWS])
def test_each_row_is_a_rectifier_and_each_figure_has_a_source(row: dict[str, str]) -> None:
    """Standing and source agree."""
    found, listed = conduction(row["type"]), valve(row["type"])
    assert found is not None
    assert listed is not None
    assert listed.is_rectifier
    assert source(found.drop_source).standing == found.drop_standing
    if found.peak_amperes is not None:
        assert source(found.peak_source).standing == found.peak_standing


@pytest.mark.parametrize(("name", "type"), [("6V4", "EZ80"), ("6CA4", "EZ81"), ("5AR4", "GZ34"), ("5Y3", "5Y3GT")])
def test_another_name_finds_the_row(name: str, type: str) -> None:
    """As a set's line-up may have it."""
    found = conduction(name)
    assert found is not None
    assert found.type == type


@pytest.mark.parametrize("name", ["EL84", "", "potato", "AZ1"])
def test_a_type_without_a_row_is_unknown(name: str) -> None:
    """Not without loss."""
    assert conduction(name) is None
