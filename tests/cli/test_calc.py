"""``partsbin calc``: figures of the bench with formula and source."""

from __future__ import annotations

from tests.command import partsbin


def test_inputs_are_echoed_with_units_and_the_result_has_its_formula() -> None:
    """What was understood stands above what came out."""
    ran = partsbin("calc", "corner", "capacitance=10n", "resistance=470k")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines() == [
        "CORNER  corner frequency of a capacitor and a resistor",
        "  capacitance           10 nF                   capacitor",
        "  resistance            470 kΩ                  resistor",
        "                        f = 1 / (2π R C)",
        "= frequency             33.9 Hz                 3 dB down",
    ]


def test_json_holds_both_ends_and_the_source() -> None:
    """For another program."""
    told = partsbin("calc", "ratio", "230V±1%", "5.1V", "--json").json()
    (ratio,) = (figure for figure in told["results"] if figure["name"] == "ratio")
    assert ratio["lo"] < ratio["value"] < ratio["hi"]
    assert told["source"]


def test_without_a_name_all_are_listed() -> None:
    """What there is, and what each takes."""
    ran = partsbin("calc")
    assert ran.code == 0
    assert "rail        rail of a capacitor-input supply" in ran.out


def test_a_missing_figure_is_asked_for_with_its_meaning() -> None:
    """Exit 2: could not work."""
    ran = partsbin("calc", "corner", "10n")
    assert (ran.code, ran.out) == (2, "")
    assert "corner needs resistance" in ran.err


def test_combine_puts_resistors_together_too() -> None:
    """By their unit; a mixture is a fault."""
    assert partsbin("calc", "combine", "47k", "100k").out.startswith("RESISTORS")
    assert partsbin("calc", "combine", "32u", "16u").out.startswith("COMBINE")
    assert partsbin("calc", "combine", "32u", "16k").code == 2
