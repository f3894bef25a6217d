"""The potentiometer lines of real parts lists, taken in, against keys that were read by eye before any parser existed.

The lists lie beside the repository; the keys hold facts only.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

from partsbin.stock.intake import RowAccount, take_in
from partsbin.stock.lists import read_cells

REPOSITORY = Path(__file__).parents[2]
LISTS = REPOSITORY.parent / "shared" / "data"
KEYS = REPOSITORY / "tests" / "data" / "keys"
NAMES = ["valve_preamp_parts_list", "hybrid_valve_amp_parts_list", "ordered_parts_german"]
NUMBERS = {"resistance": "resistance_ohm", "power": "power_W", "tolerance": "tolerance", "gangs": "gangs"}
LEAST_RIGHT = 0.95

pytestmark = pytest.mark.skipif(
    not all((LISTS / f"{name}.csv").exists() for name in NAMES),
    reason="the real parts lists are not beside the repository, as ../shared/data",
)


@cache
def _rows(name: str) -> dict[int, RowAccount]:
    return {row.line: row for row in take_in(read_cells(LISTS / f"{name}.csv")).rows}


@cache
def _key(name: str) -> dict[int, dict[str, str]]:
    text = (KEYS / f"{name}_key.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {int(row["line"]): row for row in csv.DictReader(lines) if row["family"] == "potentiometer"}


def _wrong(row: RowAccount, key: dict[str, str]) -> list[str]:
    """Fields of a line that differ from the key, in words; a law that the key leaves open is not compared."""
    found = [] if row.family == "potentiometer" and row.draft is not None else [f"{row.status} as {row.family!r}"]
    for name, column in NUMBERS.items():
        wanted = float(key[column]) if key[column] else None
        got = row.fields.get(name)
        if (got is None) != (wanted is None) or (got is not None and got != pytest.approx(wanted, rel=1e-9)):
            found.append(f"{name} {got} instead of {wanted}")
    if key["taper"] and row.fields.get("taper") != key["taper"]:
        found.append(f"taper {row.fields.get('taper')} instead of {key['taper']}")
    return found


def test_potentiometer_lines_are_understood() -> None:
    """At least 95 % of them right in every field; the wrong ones are printed."""
    keys = [(name, line, key) for name in NAMES for line, key in _key(name).items()]
    wrong = {(name, line): said for name, line, key in keys if (said := _wrong(_rows(name)[line], key))}
    for (name, line), said in wrong.items():
        print(f"{name}.csv:{line}: {_rows(name)[line].text!r}: {'; '.join(said)}")
    assert len(keys) == 8
    assert len(keys) - len(wrong) >= LEAST_RIGHT * len(keys)


@pytest.mark.parametrize("name", NAMES)
def test_a_letter_for_the_law_makes_a_line_unsure(name: str) -> None:
    """What the key doubts is not taken as sure: 1MA is logarithmic to some and linear to others."""
    doubted = [line for line, key in _key(name).items() if key["doubt"].startswith("letter")]
    assert [line for line in doubted if _rows(name)[line].status != "unsure"] == []
