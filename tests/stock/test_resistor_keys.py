"""The resistor lines of the real parts lists, taken in, against keys that were read by eye before any parser existed."""

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
ALL = ["valve_preamp_parts_list", "hybrid_valve_amp_parts_list", "ordered_parts_german", "valve_stock_list"]
NUMBERS = {
    "resistance": "resistance_ohm", "power": "power_W", "voltage_limit": "voltage_dc_V", "tolerance": "tolerance",
}  # fmt: skip
LEAST_RIGHT = 0.95

pytestmark = pytest.mark.skipif(
    not all((LISTS / f"{name}.csv").exists() for name in ALL),
    reason="the real parts lists are not beside the repository, as ../shared/data",
)


@cache
def _rows(name: str) -> dict[int, RowAccount]:
    return {row.line: row for row in take_in(read_cells(LISTS / f"{name}.csv")).rows}


@cache
def _key(name: str) -> dict[int, dict[str, str]]:
    lines = [line for line in (KEYS / f"{name}_key.csv").read_text("utf-8").splitlines() if not line.startswith("#")]
    return {int(row["line"]): row for row in csv.DictReader(lines) if row["doubt"] != "blank line"}


def _wrong(row: RowAccount, key: dict[str, str]) -> list[str]:
    """Fields of a resistor line that differ from the key, in words."""
    found = [] if row.family == "resistor" else [f"family {row.family!r}"]
    for name, column in NUMBERS.items():
        wanted = float(key[column]) if key[column] else None
        got = row.fields.get(name)
        if (got is None) != (wanted is None) or (got is not None and got != pytest.approx(wanted, rel=1e-9)):
            found.append(f"{name} {got} instead of {wanted}")
    return found


def test_resistor_lines_of_all_lists_are_understood() -> None:
    """At least 95 % of them right in every field; the wrong ones are printed."""
    keys = [(name, line, key) for name in ALL for line, key in _key(name).items() if key["family"] == "resistor"]
    wrong = [(name, line, said) for name, line, key in keys if (said := _wrong(_rows(name)[line], key))]
    for name, line, said in wrong:
        print(f"{name}.csv:{line}: {_rows(name)[line].text!r}: {'; '.join(said)}")
    assert len(keys) > 40
    assert len(keys) - len(wrong) >= LEAST_RIGHT * len(keys)


@pytest.mark.parametrize("name", ALL)
def test_no_line_of_another_family_becomes_a_resistor(name: str) -> None:
    """Capacitors, controls, valves and their prices are not shelved as resistors."""
    others = {line for line, key in _key(name).items() if key["family"] != "resistor"}
    assert [
        line for line in others if _rows(name)[line].draft is not None and _rows(name)[line].family == "resistor"
    ] == []


def test_a_second_wattage_is_never_taken_for_the_rating() -> None:
    """The line with 0.5 W and 700 W has half a watt, is not sure, and says why."""
    row = _rows("valve_preamp_parts_list")[14]
    assert row.fields["power"] == 0.5
    assert row.status == "unsure"
    assert any("the lower is taken" in note for note in row.notes)
