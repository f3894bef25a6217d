"""Make-ups on the command line: shown where no single part fits without care, named part by part, fitted as one."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.command import partsbin

ASKED = ("find", "capacitor", "32uF 350V", "-p", "smoothing", "-w", "secondary=286-0-286")


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """Four electrolytics that do it in pairs."""
    db = tmp_path / "c.sqlite"
    assert partsbin("shelve", "68uF 350V electrolytic", "--count", "4", "--condition", "new", db=db).code == 0
    return db


def test_a_pair_is_named_with_its_change(shelf: Path) -> None:
    """Parts, how they are joined, what they make, the resistors."""
    out = " ".join(partsbin(*ASKED, db=shelf).out.split())
    assert "CARE 2 × P-0001 in series 34 µF 700 V" in out
    assert "change: 220 kΩ 1 W across each, upper can insulated; worst share 280 V of 350 V" in out


def test_the_answer_names_each_part_of_it(shelf: Path) -> None:
    """How many pieces it takes, and of how many."""
    entry = partsbin(*ASKED, "--json", db=shelf).json()["candidates"][0]
    (part,) = entry["make_up"]
    assert (entry["part"], entry["option"], entry["count"]) == ("", "in series", 2)
    assert (part["part"], part["pieces"], part["count"]) == ("P-0001", 2, 4)


def test_where_one_part_fits_no_two_are_spent(shelf: Path) -> None:
    """Thrift: they are not even looked for."""
    partsbin("shelve", "47uF 630V electrolytic", "--condition", "new", db=shelf)
    entries: list[dict[str, Any]] = partsbin(*ASKED, "--json", db=shelf).json()["candidates"]
    assert [(entry["part"], entry["make_up"]) for entry in entries] == [("P-0002", [])]


def test_what_is_to_be_measured_is_said_of_each_part(tmp_path: Path) -> None:
    """Two salvaged ones: what to read on which."""
    db = tmp_path / "c.sqlite"
    for words in ("68nF 630V polypropylene", "33nF 630V polyester"):
        partsbin("shelve", words, "--condition", "salvaged", db=db)
    ran = partsbin("find", "capacitor", "0.2uF 400V", "-p", "coupling", "-w", "rail=200", "--json", db=db)
    (entry,) = ran.json()["candidates"]
    assert entry["verdict"] == "measure"
    assert sorted(card["title"] for card in entry["tests"]) == [
        "P-0001: leakage at working volts",
        "P-0002: leakage at working volts",
    ]
    assert all(card["passes"].startswith("all together: ") for card in entry["tests"])


def test_two_parts_are_fitted_as_one(shelf: Path) -> None:
    """And the need is served."""
    partsbin("job", "open", "amplifier", "--with", "secondary=286-0-286", db=shelf)
    partsbin("job", "need", "1", "capacitor", "32uF 350V", "-p", "smoothing", "-d", "C1", db=shelf)
    ran = partsbin("fit", "P-1", "--series", "P-1", "-j", "1", "--for", "C1", "--json", db=shelf)
    assert (ran.code, ran.json()["make_up"], ran.json()["there"]) == (0, ["P-0001", "P-0001"], 1)
    assert "wanted" not in partsbin("job", "show", "1", db=shelf).out


def test_parts_are_joined_one_way(shelf: Path) -> None:
    """In series and across at once is two make-ups."""
    partsbin("job", "open", "amplifier", db=shelf)
    ran = partsbin("fit", "P-1", "--series", "P-1", "--parallel", "P-1", "-j", "1", db=shelf)
    assert (ran.code, "--series and --parallel at once" in ran.err) == (2, True)
