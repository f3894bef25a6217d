"""``partsbin search``: parts by words, slips forgiven."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from partsbin.schemas.shelf import SearchAnswer
from tests.command import partsbin

SCHEMA = Draft202012Validator(SearchAnswer.model_json_schema())


def _faults(document: Any) -> list[str]:
    return [fault.message for fault in SCHEMA.iter_errors(document)]


def test_a_part_is_shown_with_where_it_lies(shelf: Path) -> None:
    """In a line where every word stands in it as asked."""
    ran = partsbin("search", "polypropylene 22n", db=shelf)
    assert ran == (0, "P-0001  22 nF 630 V film-polypropylene, new, 12 in drawer C2\n", "")


def test_a_word_that_only_comes_near_is_named(shelf: Path) -> None:
    """A slip, a unit that was not given, a text that the line does not show."""
    ran = partsbin("search", "tubluar", "20n", db=shelf)
    assert ran == (
        0,
        "P-0004  20 nF, salvaged, 1 in box T1\n        tubluar read as tubular; marking '20n tubular'\n",
        "",
    )
    assert "        630 taken for 630 V; poly begins polypropylene\n" in partsbin("search", "630 poly", db=shelf).out


def test_a_unit_that_was_not_typed_is_printed_as_in_titles(shelf: Path) -> None:
    """µ and Ω, not the plain letters of the index."""
    assert "        .1 taken for 0.1 µF\n" in partsbin("search", ".1", db=shelf).out


def test_numbers_are_compared_as_numbers(shelf: Path) -> None:
    """0.1 µF is 100n, and 2n is not 22n."""
    assert partsbin("search", ".1mfd", db=shelf).out.startswith("P-0005")
    assert partsbin("search", "2n", db=shelf).code == 1


@pytest.mark.parametrize("number", ["P-0003", "p-3", "D-007", "d-7"])
def test_the_number_of_a_part_or_a_donor_is_found_directly(shelf: Path, number: str) -> None:
    """Zeros and case do not matter."""
    ran = partsbin("search", number, db=shelf)
    assert ran.code == 0
    assert ran.out.splitlines()[0].startswith("P-0003  ")


def test_a_family_and_a_limit_narrow_the_answer(shelf: Path) -> None:
    """What is left out is counted."""
    assert partsbin("search", "drawer", "--family", "transformer", db=shelf).code == 1
    ran = partsbin("search", "capacitor", "--limit", "2", db=shelf)
    assert ran.out.splitlines()[-1] == "2 of 6 shown: more with --limit, fewer with another word"


def test_nothing_found_ends_with_one_and_a_near_word(shelf: Path) -> None:
    """Nothing on stdout; what may have been meant on stderr."""
    ran = partsbin("search", "polyaztir 22n", db=shelf)
    assert ran == (
        1,
        "",
        "partsbin: no part has 'polyaztir 22n'\n    hint: 'polyaztir' stands nowhere: did you mean 'polyester'?\n",
    )


def test_words_that_never_meet_are_counted(shelf: Path) -> None:
    """Each is there, so that none of them is a slip."""
    ran = partsbin("search", "drawer waxed", "--family", "capacitor", db=shelf)
    assert ran == (
        1,
        "",
        "partsbin: no part of the family capacitor has 'drawer waxed'\n"
        "    hint: each word is there, never all in one part: 'drawer' 2, 'waxed' 1; leave one out\n",
    )


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (("?!",), "partsbin: '?!' holds no word to search for\n"),
        (("film", "--family", "capacitr"), "partsbin: unknown family 'capacitr'\n"),
    ],
)
def test_what_cannot_be_searched_is_refused(shelf: Path, words: tuple[str, ...], fault: str) -> None:
    """Quoted, with a hint."""
    ran = partsbin("search", *words, db=shelf)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(fault)


@pytest.mark.parametrize(("question", "code"), [("drwaer 22n", 0), ("P-0001", 0), ("wibble", 1), ("drawer waxed", 1)])
def test_json_keeps_to_its_schema(shelf: Path, question: str, code: int) -> None:
    """Found or not."""
    ran = partsbin("search", question, "--json", db=shelf)
    assert ran.code == code
    assert _faults(ran.json()) == []


def test_json_says_what_matched(shelf: Path) -> None:
    """Word by word, with the text that it stands in."""
    found = partsbin("search", "drwaer .022uF", "--json", db=shelf).json()
    assert (found["words"], found["found"]) == (["drwaer", ".022uF"], 1)
    assert found["parts"][0]["matches"] == [
        {"asked": "drwaer", "matched": "drawer", "how": "mistyped", "field": "place", "text": "drawer C2"},
        {
            "asked": ".022uF",
            "matched": "22 nF",
            "how": "exact",
            "field": "title",
            "text": "22 nF 630 V film-polypropylene",
        },
    ]


def test_a_catalogue_without_its_words_is_searched_too(shelf: Path) -> None:
    """As an early version left it: it gets them at the first search."""
    with closing(sqlite3.connect(shelf)) as old, old:
        for table in ("search_posting", "search_text", "search_word"):
            old.execute(f"DROP TABLE {table}")
    assert partsbin("search", "waxed", db=shelf).out.startswith("P-0003")


def test_a_text_of_a_part_forges_no_line(shelf: Path) -> None:
    """Control characters of a note stay out of the terminal's lines."""
    assert partsbin("shelve", "47n 400V film", "--note", "rewound\nP-9999  a lie", db=shelf).code == 0
    out = partsbin("search", "rewound", db=shelf).out
    assert [line for line in out.splitlines() if line.startswith("P-9999")] == []


def test_without_a_catalogue_nothing_is_made() -> None:
    """Searching is reading."""
    ran = partsbin("search", "film")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("partsbin: no catalogue at ")
