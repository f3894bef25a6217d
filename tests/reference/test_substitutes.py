"""Who replaces whom: both ways for one valve, one way for the rest, never where the tables say so; limits of rectifiers."""

from __future__ import annotations

import pytest

from partsbin.reference.equivalents import equivalents
from partsbin.reference.substitutes import RectifierLimits, is_listed, never_in_chain, rectifier_limits, substitute
from tests.expected import by_hand, published


@pytest.mark.parametrize(
    ("socket", "offered", "relation"),
    [
        ("EL84", "EL84", "same"), ("EL84", "6bq5", "same"), ("6BQ5", "EL84", "same"), ("ECC83/12AX7", "ecc83", "same"),
        ("5687", "5687", "same"), ("6V6", "6V6GT", "same"), ("EL84", "7189", "drop-in"), ("7189", "EL84", ""),
        ("6L6G", "6L6GC", "drop-in"), ("6L6GC", "6L6G", "never"), ("EZ80", "EZ81", "near"), ("EZ81", "EZ80", ""),
        ("6V4", "6CA4", "near"), ("GZ34", "GZ37", "never"), ("EL84", "EL86", "never"), ("EL84", "PL84", "never"),
        ("3V4", "3S4", "never"), ("UL84", "EL84", ""), ("5687", "6080", ""),
    ],
)  # fmt: skip
def test_a_relation_holds_in_the_direction_written(socket: str, offered: str, relation: str) -> None:
    """Names of one valve both ways, also on the way to a drop-in; a refusal beats a row that would allow it."""
    assert substitute(socket, offered).relation == relation


def test_every_row_of_the_table_is_found() -> None:
    """In its direction, unless a refusal stands against it or a nearer relation is known."""
    good = {"identical": {"same"}, "drop-in": {"same", "drop-in"}, "near": {"same", "drop-in", "near", "never"}}
    lost = [row for row in equivalents() if substitute(row.type_a, row.type_b).relation not in good[row.relation]]
    assert lost == []


def test_memory_anywhere_on_the_path_makes_it_memory() -> None:
    """A read row under a name that only memory knows is no better than memory."""
    assert substitute("EL84", "6BQ5").standing == "read"
    assert substitute("N709", "6BQ5").standing == "memory"


def test_what_is_good_in_parallel_may_be_refused_in_a_chain() -> None:
    """A special-quality valve with a heavier heater."""
    assert "0.35 A" in never_in_chain("ECC83", "5751")
    assert never_in_chain("ECC83", "7025") == ""


def test_a_name_is_listed_or_not() -> None:
    """Whatever its case."""
    assert [is_listed(name) for name in ("ez-81", "12ax7", "5687")] == [True, True, False]


def _limits(type: str) -> RectifierLimits:
    found = rectifier_limits(type)
    assert found is not None
    return found


def test_heater_to_cathode_limits_are_those_of_the_sheets() -> None:
    """Under any name of the valve."""
    assert _limits("EZ40").heater_cathode_volts == published(500.0, "tubeofile", of=rectifier_limits, where="EZ40")
    assert _limits("EZ41").heater_cathode_volts == published(350.0, "tubeofile", of=rectifier_limits, where="EZ41")
    assert _limits("U78").heater_cathode_volts == published(
        450.0, "ge-6x4", of=rectifier_limits, where="heater negative"
    )


@pytest.mark.parametrize("type", ["5Y3GT", "GZ34", "AZ1", "80"])
def test_a_heater_that_is_the_cathode_bears_nothing(type: str) -> None:
    """Heater and cathode are one."""
    assert _limits(type).heater_cathode_volts == 0.0


def test_series_resistance_follows_the_rating_points() -> None:
    """At a point, between two, below the first, beyond the last."""
    of = RectifierLimits.series_ohm
    assert _limits("EZ80").series_ohm(300.0) == published(215.0, "tubeofile", of=of, where="EZ40, same ratings")
    assert _limits("EZ80").series_ohm(325.0) == by_hand(257.5, "midway between 215 and 300", of=of)
    assert _limits("EZ80").series_ohm(200.0) == published(
        125.0, "tubeofile", of=of, where="EZ40, same ratings, at 250 V"
    )
    assert _limits("EZ80").series_ohm(400.0) is None


def test_of_other_valves_no_limits_are_known() -> None:
    """An output valve, a name that nobody lists."""
    assert (rectifier_limits("EL84"), rectifier_limits("5687")) == (None, None)
