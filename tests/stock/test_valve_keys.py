"""The valve lines of real lists, taken in, against keys that were read by eye before any parser existed."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

from partsbin.stock.intake import NOT_OURS, Account, take_in
from partsbin.stock.lists import read_cells

REPOSITORY = Path(__file__).parents[2]
LISTS = REPOSITORY.parent / "shared" / "data"
KEYS = REPOSITORY / "tests" / "data" / "keys"
ALL = ["valve_preamp_parts_list", "hybrid_valve_amp_parts_list", "ordered_parts_german", "valve_stock_list"]
FAMILIES = ("capacitor", "resistor", "potentiometer", "valve")
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
    lines = [line for line in (KEYS / f"{name}_key.csv").read_text("utf-8").splitlines() if not line.startswith("#")]
    return {int(row["line"]): row for row in csv.DictReader(lines) if row["doubt"] != "blank line"}


@pytest.mark.parametrize("family", FAMILIES)
def test_lines_reach_the_family_that_their_key_names(family: str) -> None:
    """At least 95 % of those of all four lists; the others are printed."""
    lines = [(name, line) for name in ALL for line, key in _key(name).items() if key["family"] == family]
    found = {(name, row.line): row for name in ALL for row in _account(name).rows}
    wrong = [place for place in lines if found[place].family != family]
    for place in wrong:
        print(place, found[place].text, found[place].family)
    assert lines
    assert len(lines) - len(wrong) >= LEAST_RIGHT * len(lines)


def test_every_line_of_the_valve_list_becomes_a_part() -> None:
    """Types of no table are kept as they are called, with a doubt; counts are those of the list."""
    rows = _account("valve_stock_list").rows
    assert [row.line for row in rows if row.draft is None] == []
    assert all(row.title for row in rows)


@pytest.mark.parametrize("name", ALL)
def test_what_is_left_out_is_counted_by_family(name: str) -> None:
    """The counts add up to the lines left out."""
    account = _account(name)
    assert sum(account.left_out.values()) == account.totals()[NOT_OURS]
