"""Silicon diodes by their type: every row honest about its source, names in any dress."""

from __future__ import annotations

import pytest

from partsbin.reference.diodes import _rows, diode
from partsbin.sources import source


@pytest.mark.parametrize("name", ["1N4007", "1n4007", "1N 4007", "1N-4007"])
def test_a_diode_is_found_in_any_dress(name: str) -> None:
    """Case, spaces and hyphens do not count."""
    found = diode(name)
    assert found is not None
    assert found.type == "1N4007"


def test_an_unknown_diode_is_not_guessed() -> None:
    """No figure is better than a wrong one."""
    assert diode("1N9999") is None


def test_every_row_names_its_memory() -> None:
    """Nothing here was read in a sheet, and the source says so."""
    assert {(row.standing, source(row.source).standing) for row in _rows().values()} == {("memory", "memory")}


def test_a_higher_number_of_a_row_bears_more() -> None:
    """1N4001 to 1N4007, as the trade counts on."""
    volts = [row.inverse_volts for name in range(4001, 4008) if (row := diode(f"1N{name}")) is not None]
    assert volts == sorted(volts)
    assert len(set(volts)) == 7
