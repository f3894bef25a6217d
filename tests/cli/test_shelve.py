"""``partsbin shelve``: a part goes on the shelf, or nothing does."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command import partsbin


def test_a_part_gets_its_number(empty: Path) -> None:
    """The first is P-0001; nothing is said on stderr where nothing was assumed."""
    ran = partsbin("shelve", "22n 630V polypropylene", "--count", "12", "--condition", "new", db=empty)
    assert ran == (0, "P-0001  22 nF 630 V film-polypropylene\n", "")


def test_a_catalogue_is_made_where_there_is_none(tmp_path: Path) -> None:
    """Folders included."""
    file = tmp_path / "new" / "shelf.sqlite"
    assert partsbin("shelve", "22n 630V film", db=file).code == 0
    assert file.exists()


def test_what_was_assumed_goes_to_stderr(empty: Path) -> None:
    """Stdout keeps to the number and the title."""
    ran = partsbin("shelve", "20n tubular", db=empty)
    assert (ran.code, ran.out) == (0, "P-0001  20 nF\n")
    assert (
        ran.err == "    tubular: paper, film or ceramic is not said\n    condition not given: judged like a used part\n"
    )


def test_json_holds_number_title_and_notes(empty: Path) -> None:
    """One document, nothing beside it."""
    ran = partsbin("shelve", "22n 630V film", "--condition", "new", "--json", db=empty)
    assert (ran.code, ran.err) == (0, "")
    said = {"part": "P-0001", "family": "capacitor", "title": "22 nF 630 V film", "notes": [], "serves": []}
    assert ran.json() == said


def test_a_count_in_the_words_is_taken(empty: Path) -> None:
    """``6 off`` is a count; the option stands before it."""
    partsbin("shelve", "6 off 22n 630V film", db=empty)
    partsbin("shelve", "6 off 22n 630V film", "--count", "4", db=empty)
    assert [partsbin("show", part, "--json", db=empty).json()["on_hand"] for part in ("P-1", "P-2")] == [6, 4]


@pytest.mark.parametrize(
    ("words", "code", "fault"),
    [
        (("",), 1, "'' was not understood"),
        (("wet string",), 1, "'wet string' was not understood"),
        (("470K",), 1, "'470K' has 3 readings"),
        (("22n", "--condition", "shiny"), 2, "'shiny' is not a condition"),
        (("22n", "--family", "gubbins"), 2, "unknown family 'gubbins'"),
        (("22n", "--reading", "capacitance=lots"), 2, "'capacitance=lots'"),
        (("22n", "--reading", "capacitance@x=22n"), 2, "'capacitance@x=22n': 'x' is no number of a section"),
    ],
)
def test_what_cannot_be_shelved_is_refused(empty: Path, words: tuple[str, ...], code: int, fault: str) -> None:
    """Problems in what was said end with 1, a wrong use of the command with 2; nothing is written."""
    ran = partsbin("shelve", *words, db=empty)
    assert (ran.code, ran.out) == (code, "")
    assert ran.err.startswith(f"partsbin: {fault}"), ran.err
    assert partsbin("show", "P-1", db=empty).code == 2


@pytest.mark.parametrize("count", ["0", "-3", "2000000", "many"])
def test_a_count_out_of_range_is_refused(empty: Path, count: str) -> None:
    """From 1 to a million."""
    ran = partsbin("shelve", "22n 630V film", "--count", count, db=empty)
    assert (ran.code, ran.out) == (2, "")
    assert "Invalid value for '--count'" in ran.err


def test_a_description_with_several_readings_says_how_to_see_them(empty: Path) -> None:
    """The hint is a command."""
    assert partsbin("shelve", "470K", db=empty) == (
        1,
        "",
        "partsbin: '470K' has 3 readings\n    hint: write it plainly; partsbin read '470K' shows them\n",
    )
