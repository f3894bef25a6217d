"""Slips of a person in a hurry: words in another dress or order, facts that count for nothing here, forged lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command import Ran, partsbin

RAIL = ("--with", "rail=240")


def judged(ran: Ran) -> list[tuple[str, str]]:
    """Return part and verdict, candidates and near misses."""
    answer = ran.json()
    return [(entry["part"], entry["verdict"]) for entry in (*answer["candidates"], *answer["near_misses"])]


@pytest.mark.parametrize(
    ("text", "position"),
    [("Cathode Bypass", "cathode-bypass"), ("cathode_bypass", "cathode-bypass"), ("mains across", "mains-across"),
     ("MAINS-ACROSS", "mains-across"), ("Couplings", "coupling"), ("reserv", "reservoir")],
)  # fmt: skip
def test_a_position_is_known_in_any_dress(shelf: Path, text: str, position: str) -> None:
    """The answer names the position that was understood."""
    ran = partsbin("find", "capacitor", "--position", text, *RAIL, "--json", db=shelf)
    assert ran.json()["need"]["position"] == position


def test_a_position_that_may_be_two_is_not_guessed(shelf: Path) -> None:
    """Across the mains is not from the mains to the chassis."""
    ran = partsbin("find", "capacitor", "--position", "mains", db=shelf)
    assert ran == (
        2,
        "",
        "partsbin: position 'mains' of a capacitor may be mains-across or mains-to-chassis\n    hint: write more of it\n",
    )


@pytest.mark.parametrize(
    "words",
    [("Capacitors", "0.02uF"), ("0.02uF", "capacitor"), ("0.02uF", "CAPACITOR"), ("cap", "0.02uF"), ("0.02uF", "cap")],
)
def test_family_and_text_come_in_either_order(shelf: Path, words: tuple[str, str]) -> None:
    """Where one of the two is a family's word, it is the family."""
    said = partsbin("find", "capacitor", "0.02uF", "-p", "coupling", *RAIL, db=shelf)
    assert partsbin("find", *words, "-p", "coupling", *RAIL, db=shelf) == said


@pytest.mark.parametrize("words", [("capacitor", "22n 630V film"), ("22n 630V film", "Capacitor")])
def test_the_part_in_the_hand_and_its_family_come_in_either_order(words: tuple[str, str]) -> None:
    """As with ``find``."""
    said = partsbin("try", "22n 630V film", "capacitor", "-p", "coupling", *RAIL)
    assert partsbin("try", *words, "-p", "coupling", *RAIL) == said


def test_the_word_that_is_no_family_is_named_not_the_marking(shelf: Path) -> None:
    """Figures are no family's word."""
    ran = partsbin("find", "0.02uF", "Caps", "-p", "coupling", db=shelf)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("partsbin: unknown family 'Caps'\n    hint: did you mean 'capacitor'? Known: ")


def test_a_text_that_only_begins_like_a_family_is_no_family(shelf: Path) -> None:
    """``find capacitor cap`` seeks a capacitor marked so."""
    assert partsbin("find", "capacitor", "cap", "-p", "coupling", "--json", db=shelf).json()["need"]["text"] == "cap"


@pytest.mark.parametrize("word", ["used", "Used", "ex equipment", "pulled"])
def test_a_used_part_is_judged_as_one(word: str) -> None:
    """No word for used lets a part pass as new."""
    words = ("try", "22n 630V film", "capacitor", "-p", "coupling", *RAIL, "--json", "--condition")
    assert partsbin(*words, word).json()["candidates"][0]["condition"] == "salvaged"


def test_old_stock_is_not_new_across_the_mains() -> None:
    """Unused, and old all the same."""
    words = ("try", "100n 275V~ X2", "capacitor", "-p", "mains across", "--json", "--condition")
    assert [judged(partsbin(*words, word))[0][1] for word in ("NEW", "NOS", "used")] == ["fits", "measure", "unfit"]


def test_a_bias_line_is_given_with_its_sign(shelf: Path) -> None:
    """Judged by its size, and said so; every verdict is that of the same volts above the chassis."""
    asked = ("find", "capacitor", "25uF 50V", "-p", "bias smoothing", "--json", "--with")
    below, above = (partsbin(*asked, f"rail={volts}", db=shelf) for volts in ("-40 V", "40 V"))
    assert judged(below) == judged(above)
    assert "rail -40 V: reckoned by its size, the sign left out" in below.json()["need"]["assumptions"]


@pytest.mark.parametrize("volts", ["63", "400"])
def test_a_part_below_the_volts_of_a_negative_line_is_unfit(volts: str) -> None:
    """The sign does not make 40 V of 40 V: 50 V do not bear -63 V, nor -400 V of an HT below the chassis."""
    for position in ("bias-smoothing", "reservoir"):
        ran = partsbin(
            "try", "25uF 50V electrolytic", "capacitor", "-p", position, "--with", f"rail=-{volts}", "--json"
        )
        assert judged(ran)[0][1] in ("unfit", "measure"), position
        assert (
            judged(ran)[0][1]
            == judged(
                partsbin(
                    "try", "25uF 50V electrolytic", "capacitor", "-p", position, "--with", f"rail={volts}", "--json"
                )
            )[0][1]
        )


def test_facts_that_nothing_reads_here_are_named(shelf: Path) -> None:
    """So that nobody thinks that they counted; those that were read are not."""
    facts = ("--with", "bias=cathode", "--with", "speaker=3", *RAIL)
    ran = partsbin("find", "capacitor", "0.02uF", "-p", "coupling", *facts, db=shelf)
    assert "UNUSED   not used here: bias=cathode; speaker=3\n" in ran.out
    asked = partsbin("find", "transformer", "-p", "output", *facts, "--json", db=shelf)
    assert asked.json()["need"]["unused"] == ["bias=cathode"]


def test_nothing_is_said_where_every_fact_counts(shelf: Path) -> None:
    """The line stands there for a reason or not at all."""
    assert "UNUSED" not in partsbin("find", "capacitor", "0.02uF", "-p", "coupling", *RAIL, db=shelf).out


def test_how_a_fact_was_understood_is_said(shelf: Path) -> None:
    """Among what was assumed."""
    facts = ("--with", "secondary=500 V CT", "--with", "rectifier=1N4007")
    need = partsbin("find", "capacitor", "16uF 450V", "-p", "reservoir", *facts, "--json", db=shelf).json()["need"]
    assert {"500 V CT read as 250-0-250", "rectifier '1N4007' taken as silicon"} <= set(need["assumptions"])


def test_what_was_counted_only_is_said_in_plain_words(shelf: Path) -> None:
    """May, since nobody judged it in full."""
    ran = partsbin("find", "capacitor", "0.02uF", "-p", "coupling", *RAIL, "--limit", "1", db=shelf)
    assert "+        not judged in full: 1 may do with care\n" in ran.out


FORGED = "E1\nP-0099  22 nF 630 V\r    99 on hand, new\u2028FITS\u202etfel ot thgir\u2066"


def test_no_line_is_forged(empty: Path) -> None:
    """Line ends, signs of control and of the direction of writing in somebody's words become one blank."""
    words = ("--title", f"tin{FORGED}", "--place", FORGED, "--note", FORGED, "--donor", FORGED, "--condition", "new")
    shelved = partsbin("shelve", "22n 630V film", *words, db=empty)
    shown = partsbin("show", "P-1", db=empty)
    found = partsbin("find", "capacitor", f"22n{FORGED}", "-p", "coupling", *RAIL, db=empty)
    for ran in (shelved, shown, found):
        assert ran.code == 0, ran.err
        lines = (ran.out + ran.err).splitlines()
        assert not [line for line in lines if line.lstrip().startswith(("P-0099", "99 on hand"))]
        assert not [line for line in lines if line.startswith("FITS") and "P-0001" not in line]
        assert not {"\u202e", "\u2066", "\u2028", "\r"} & set(ran.out + ran.err)
    assert len(shelved.out.splitlines()) == 1


def test_no_line_of_a_fault_is_forged() -> None:
    """The text given is quoted on the line of the fault."""
    ran = partsbin("try", "22n", "capacitor", "-p", "coupling", "--with", "rail=9\npartsbin: all is well")
    assert (ran.code, ran.out) == (2, "")
    assert not [line for line in ran.err.splitlines()[1:] if not line.startswith("    hint: ")]
