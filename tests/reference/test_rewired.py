"""Output valves in a socket of their own: figures agree, changes are said, the refused and the plugged-in stay out."""

from __future__ import annotations

import pytest

from partsbin.reference.rewired import rewired
from partsbin.reference.substitutes import substitute
from partsbin.reference.valves import Valve, valve, valves

OUTPUT = [row for row in valves() if row.is_output]


def named(type: str) -> list[str]:
    """Return the types that serve, the nearest first."""
    dead = valve(type)
    assert dead is not None
    return [found.valve.type for found in rewired(dead)]


@pytest.mark.parametrize(
    ("dead", "offered", "serves"),
    [
        ("EL41", "EL84", True), ("EL11", "EL84", True), ("EL3N", "EL33", True), ("42", "6F6G", True), ("UL41", "UL84", True),
        ("6V6GT", "EL41", False), ("EL84", "EL86", False), ("EL84", "UL84", False), ("AL4", "EL3N", False),
        ("EL84", "EL34", False), ("ECL82", "EL84", False), ("2A3", "EL84", False), ("EL84", "6BQ5", False),
    ],
)  # fmt: skip
def test_only_valves_whose_figures_agree_serve(dead: str, offered: str, serves: bool) -> None:
    """Heater, watts, volts and load; what the dead bulb held besides; never one that a list refuses."""
    assert (offered in named(dead)) is serves


@pytest.mark.parametrize("dead", OUTPUT, ids=[row.type for row in OUTPUT])
def test_none_is_a_way_of_plugging_in(dead: Valve) -> None:
    """What goes into the socket as it is belongs to another answer; each says how it is wired and biased."""
    for found in rewired(dead):
        assert substitute(dead.type, found.valve.type).relation not in ("same", "drop-in", "never")
        assert any("wired by electrode" in change for change in found.changes)
        assert any(change.startswith("cathode resistor") for change in found.changes)
        assert found.distance >= 0


def test_changes_hold_socket_heater_bias_load_and_current() -> None:
    """EL84 for EL41."""
    dead = valve("EL41")
    assert dead is not None
    changes = next(found.changes for found in rewired(dead) if found.valve.type == "EL84")
    assert changes == (
        "B9A socket for B8A, wired by electrode from both sheets",
        "the heater winding must spare 50 mA",
        "cathode resistor 135 Ω",
        "load 5200 Ω, 7000 was: ratio × 0.86, or less power",
        "48 mA, 36 was: see that rail and transformer bear it",
        "figures partly from memory: compare both sheets first",
    )


def test_no_other_kind_of_valve_is_rewired() -> None:
    """Rectifiers, triodes and pentodes have their own ways."""
    assert [named(type) for type in ("EZ80", "ECC83", "EF86")] == [[], [], []]
