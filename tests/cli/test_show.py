"""``partsbin show``: everything known of a part."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.command import partsbin


def dateless(text: str) -> str:
    """Return the text with dates struck out."""
    return re.sub(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", "DATE", text)


def test_a_part_is_told_in_trade_notation(shelf: Path) -> None:
    """Title, where it lies, what is marked, what became of it."""
    ran = partsbin("show", "P-0001", db=shelf)
    assert (ran.code, ran.err) == (0, "")
    assert dateless(ran.out).splitlines() == [
        "P-0001  22 nF 630 V film-polypropylene",
        "    12 on hand, new, in drawer C2",
        "    marked '22n 630V polypropylene'",
        "    capacitance: 22 nF",
        "    voltage dc: 630 V",
        "    dielectric: film-polypropylene",
        "    DATE shelved +12",
    ]


def test_sections_and_readings_keep_their_units(shelf: Path) -> None:
    """A can measured on its first section."""
    out = dateless(partsbin("show", "P-0006", db=shelf).out)
    assert "    sections: capacitance 32 µF, voltage dc 350 V; capacitance 32 µF, voltage dc 350 V\n" in out
    assert "    read DATE: capacitance@1 30 µF ±0.3 µF\n" in out


def test_json_is_one_document(shelf: Path) -> None:
    """With fields in SI and the ledger."""
    ran = partsbin("show", "P-0003", "--json", db=shelf)
    assert (ran.code, ran.err) == (0, "")
    found = ran.json()
    assert (found["donor"], found["donor_lineup"]) == ("D-007", "ECH81 EBF89 EL84")
    assert found["fields"] == {"capacitance": 20e-9, "voltage_dc": 350.0, "dielectric": "paper-waxed"}
    assert [(line["word"], line["quantity"]) for line in found["ledger"]] == [("shelved", 1)]


@pytest.mark.parametrize("number", ["P-0001", "p-1", "1", "P1", " P-01 "])
def test_a_number_may_be_written_short(shelf: Path, number: str) -> None:
    """Zeros, the letter and its case do not matter."""
    assert partsbin("show", number, "--json", db=shelf).json()["part"] == "P-0001"


@pytest.mark.parametrize("number", ["", "P-", "zz", "P-0", "-1", "P-1.5", "²", "9" * 30, "9" * 5000, "P-0001; DROP"])
def test_what_is_no_number_of_a_part_is_refused(shelf: Path, number: str) -> None:
    """Quoted, with an example as a hint."""
    ran = partsbin("show", "--", number, db=shelf)
    assert ran == (2, "", f"partsbin: {number!r} is not a part number\n    hint: such as P-0042\n")


def test_a_part_that_is_not_there_is_said(shelf: Path) -> None:
    """A number of the right form that nobody gave."""
    assert partsbin("show", "P-0099", db=shelf) == (
        2,
        "",
        "partsbin: no part P-0099\n    hint: partsbin search finds parts by words\n",
    )
