"""``partsbin read``: how a description is understood."""

from __future__ import annotations

import pytest

from partsbin.families import names
from tests.command import partsbin


def test_one_sure_reading() -> None:
    """One line, values in trade notation."""
    ran = partsbin("read", "22n 630V polypropylene")
    assert ran == (0, "capacitor: capacitance 22 nF, voltage dc 630 V, dielectric film-polypropylene\n", "")


def test_child_rows_are_said_with_their_units() -> None:
    """Each section of a can."""
    ran = partsbin("read", "8+16 µF/450 V", "--family", "capacitor")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(
        "capacitor: sections capacitance 8 µF, voltage dc 450 V; capacitance 16 µF, voltage dc 450 V"
    )


def test_several_readings_are_all_given() -> None:
    """Nobody can tell from the text alone, and the command says so."""
    ran = partsbin("read", "470K")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines()[-1] == "3 readings: the text alone does not tell which"
    assert (ran.out.count("resistor (not sure): "), ran.out.count("capacitor (not sure): ")) == (1, 2)


def test_json_is_one_document_in_si() -> None:
    """Farads, not nanofarads."""
    ran = partsbin("read", "22n 630V polypropylene", "--json")
    assert (ran.code, ran.err) == (0, "")
    fields = {"capacitance": 22e-9, "voltage_dc": 630.0, "dielectric": "film-polypropylene"}
    assert ran.json() == {"readings": [{"family": "capacitor", "fields": fields, "sure": True, "notes": []}]}


@pytest.mark.parametrize("text", ["", "   ", "wet string"])
def test_no_reading_is_a_no(text: str) -> None:
    """Exit code 1: the answer is none."""
    assert partsbin("read", text) == (1, "none: nothing in it was understood\n", "")
    ran = partsbin("read", text, "--json")
    assert (ran.code, ran.json(), ran.err) == (1, {"readings": []}, "")


def test_a_family_is_taken_at_its_word() -> None:
    """Named, only that family reads."""
    assert partsbin("read", "22n 630V", "--family", "transformer").code == 1


def test_an_unknown_family_lists_them() -> None:
    """Exit code 2."""
    ran = partsbin("read", "22n 630V", "--family", "gubbins")
    assert ran == (2, "", f"partsbin: unknown family 'gubbins'\n    hint: known: {', '.join(names())}\n")
