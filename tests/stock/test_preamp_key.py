"""Real parts lists, taken in, against keys that were read by eye before any parser existed.

The lists lie beside the repository; the keys hold facts only. First of all the valve preamplifier's, line by line; the others
for what must not happen to them.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

from partsbin.families import names
from partsbin.stock.intake import Account, RowAccount, take_in
from partsbin.stock.lists import read_cells

REPOSITORY = Path(__file__).parents[2]
LISTS = REPOSITORY.parent / "shared" / "data"
KEYS = REPOSITORY / "tests" / "data" / "keys"
PREAMP = "valve_preamp_parts_list"
ALL = [PREAMP, "hybrid_valve_amp_parts_list", "ordered_parts_german", "valve_stock_list"]
NUMBERS = {"capacitance": "capacitance_F", "voltage_dc": "voltage_dc_V", "voltage_ac": "voltage_ac_V"}
LEAST_RIGHT = 0.95

pytestmark = pytest.mark.skipif(
    not all((LISTS / f"{name}.csv").exists() for name in ALL),
    reason="the real parts lists are not beside the repository, as ../shared/data",
)


@cache
def _account(name: str) -> Account:
    return take_in(read_cells(LISTS / f"{name}.csv"))


@cache
def _key(name: str) -> dict[int, dict[str, str]]:
    text = (KEYS / f"{name}_key.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {int(row["line"]): row for row in csv.DictReader(lines) if row["doubt"] != "blank line"}


def _wrong(row: RowAccount, key: dict[str, str]) -> list[str]:
    """Fields of a capacitor line that differ from the key, in words."""
    found = []
    for name, column in NUMBERS.items():
        wanted = float(key[column]) if key[column] else None
        got = row.fields.get(name)
        if (got is None) != (wanted is None) or (got is not None and got != pytest.approx(wanted, rel=1e-9)):
            found.append(f"{name} {got} instead of {wanted}")
    if key["dielectric"] and row.fields.get("dielectric") != key["dielectric"]:
        found.append(f"dielectric {row.fields.get('dielectric')} instead of {key['dielectric']}")
    if row.family != "capacitor":
        found.append(f"family {row.family!r}")
    return found


@pytest.mark.parametrize("name", ALL)
def test_every_line_is_accounted_for_once(name: str) -> None:
    """The lines of the account are those of the key, which has every line of the list."""
    assert [row.line for row in _account(name).rows] == list(_key(name))


@pytest.mark.parametrize("name", ALL)
def test_the_fates_add_up_to_the_list(name: str) -> None:
    """No row is refused: none of them says anything that cannot be."""
    totals = _account(name).totals()
    assert sum(totals.values()) == len(_key(name))
    assert totals["refused"] == 0


@pytest.mark.parametrize("name", [PREAMP, "hybrid_valve_amp_parts_list"])
def test_capacitor_lines_are_understood(name: str) -> None:
    """At least 95 % of them right in every field; the wrong ones are printed."""
    rows = {row.line: row for row in _account(name).rows}
    keys = {line: key for line, key in _key(name).items() if key["family"] == "capacitor"}
    wrong = {line: said for line, key in keys.items() if (said := _wrong(rows[line], key))}
    for line, said in wrong.items():
        print(f"{name}.csv:{line}: {rows[line].text!r}: {'; '.join(said)}")
    assert keys
    assert len(keys) - len(wrong) >= LEAST_RIGHT * len(keys)


@pytest.mark.parametrize("name", ALL)
def test_no_other_line_becomes_a_part(name: str) -> None:
    """Wire pads, transistors and the prices of valves are named or left, never shelved as a capacitor."""
    others = {line for line, key in _key(name).items() if key["family"] not in names()}
    assert [row.line for row in _account(name).rows if row.line in others and row.draft is not None] == []


@pytest.mark.parametrize("family", ["resistor", "potentiometer", "switch"])
def test_lines_of_families_not_kept_yet_are_named(family: str) -> None:
    """By their designator or by the words beside it, as the key names them."""
    rows = {row.line: row for row in _account(PREAMP).rows}
    lines = [line for line, key in _key(PREAMP).items() if key["family"] == family]
    assert lines
    assert {line: rows[line].family for line in lines} == dict.fromkeys(lines, family)
