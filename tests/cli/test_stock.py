"""``measure mark move count scrap undo``: what they print, what they refuse, and how they end."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.stock.readings import read_measurement
from tests.command import partsbin
from tests.expected import by_hand


def _on_hand(db: Path, number: str) -> int:
    return int(partsbin("show", number, "--json", db=db).json()["on_hand"])


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("measure", "P-0099", "capacitance=1nF"), 2, "no part P-0099"),
        (("measure", "forty", "capacitance=1nF"), 2, "'forty' is not a part number"),
        (("measure", "P-1", "gain=3"), 2, "'gain=3' is not NAME=VALUE with a quantity of a capacitor"),
        (("measure", "P-1", "leakage=5uA"), 2, "leakage says nothing without the volts it was read at"),
        (("measure", "P-1", "capacitance=22nF", "--pieces", "13"), 1, "P-0001: 13 measured, 12 on hand"),
        (("measure", "P-1", "capacitance=22nF", "--pieces", "0"), 2, "'--pieces'"),
        (("measure", "P-1", "capacitance=22nF", "--pieces", "2", "--every"), 2, "--every and --pieces say two things"),
        (("measure", "P-1", "capacitance=22nF", "--on", "2999-01-01"), 2, "2999-01-01 is still to come"),
        (("measure", "P-1", "capacitance=22nF", "--on", "1.3.26"), 2, "'1.3.26' is no date"),
        (("mark", "P-1", "blah"), 2, "'blah' was not understood as a capacitor"),
        (("mark", "P-1", "22n"), 1, "P-0001: '22n' says nothing that is not known"),
        (("mark", "P-1", "400V"), 1, "P-0001: '400V' contradicts the voltage dc that is known"),
        (("move", "P-1", "drawer C2"), 1, "P-0001 lies in 'drawer C2' already"),
        (("move", "P-1", "  "), 2, "no place was said"),
        (("move", "P-1", "box", "--pieces", "13"), 1, "P-0001: 13 to be moved, 12 on hand"),
        (("count", "nowhere"), 2, "no place 'nowhere'"),
        (("count", "drawer C2", "P-2=3"), 2, "P-0002 does not lie in 'drawer C2'"),
        (("count", "drawer C2", "P-1=-3"), 2, "'P-1=-3' is not PART=PIECES"),
        (("count", "drawer C2", "P-1=3", "1=4"), 2, "P-0001 is counted twice"),
        (("scrap", "P-1", "--pieces", "13"), 1, "P-0001: 13 wanted, 12 on hand"),
        (("undo", "--act", "99"), 1, "there is no act 99 to take back"),
    ],
)
def test_what_cannot_be_is_refused_and_said(shelf: Path, words: tuple[str, ...], code: int, said: str) -> None:
    """1 where the answer is no, 2 where the words are off; nothing is booked, nothing is printed."""
    before = partsbin("show", "P-1", db=shelf).out
    ran = partsbin(*words, db=shelf)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert partsbin("show", "P-1", db=shelf).out == before


def test_a_piece_that_was_measured_gets_a_number_of_its_own(shelf: Path) -> None:
    """Its reading is read back."""
    ran = partsbin("measure", "P-1", "capacitance=21.6nF±1%", db=shelf)
    assert ran.code == 0
    assert ran.out.startswith("P-0007  22 nF 630 V film-polypropylene, split off P-0001\n    read 20")
    assert (_on_hand(shelf, "P-1"), _on_hand(shelf, "P-7")) == (11, 1)


def test_a_reading_may_stand_for_every_piece(shelf: Path) -> None:
    """No number is new."""
    assert partsbin("measure", "P-1", "capacitance=22nF", "--every", "--json", db=shelf).json()["parted_from"] == ""
    assert _on_hand(shelf, "P-1") == 12


def test_a_part_of_which_none_is_left_is_not_measured(shelf: Path) -> None:
    """It may be a slip in the number."""
    partsbin("scrap", "P-4", db=shelf)
    ran = partsbin("measure", "P-4", "capacitance=20nF", db=shelf)
    assert (ran.code, ran.err.splitlines()[0]) == (1, "partsbin: P-0004: none on hand to be measured")


def test_the_recorded_accuracy_of_an_instrument_is_taken(shelf: Path) -> None:
    """Where the reading says none of its own, and for that instrument alone."""
    partsbin("instruments", "meter=0.8%+3d", "LCR", db=shelf)
    width = by_hand(0.4728e-9, "0.8 % of 21.6 nF + 3 × 0.1 nF", of=read_measurement)
    widths = {}
    for name, text in {"METER": "21.6nF", "LCR": "21.6nF", "meter": "21.6nF±1%"}.items():
        words = ("measure", "P-4", f"capacitance={text}", "--instrument", name, "--json")
        (reading,) = partsbin(*words, db=shelf).json()["readings"]
        widths[reading["instrument"], text] = reading["uncertainty"]
    assert widths["meter", "21.6nF"] == width
    assert widths["LCR", "21.6nF"] == by_hand(0.432e-9, "an ordinary meter: 2 % of 21.6 nF", of=read_measurement)
    assert widths["meter", "21.6nF±1%"] == by_hand(0.216e-9, "1 % of 21.6 nF", of=read_measurement)


def test_an_accuracy_stays_with_an_instrument_until_it_is_forgotten(shelf: Path) -> None:
    """Said once."""
    partsbin("instruments", "meter=±(0.8 % + 3 digits)", db=shelf)
    assert partsbin("instruments", "meter", "LCR=1%", "--json", db=shelf).json()["accuracies"] == {
        "meter": "0.8%+3d",
        "LCR": "1%",
    }
    assert "the bench has: meter ±(0.8%+3d), LCR ±(1%)" in partsbin("instruments", db=shelf).out
    assert partsbin("instruments", "meter=", "--json", db=shelf).json()["accuracies"] == {}


@pytest.mark.parametrize("said", ["good", "100%", "0%", "3d", "2V"])
def test_what_is_no_accuracy_is_refused(shelf: Path, said: str) -> None:
    """Percent, and digits if there are any."""
    ran = partsbin("instruments", f"meter={said}", db=shelf)
    assert (ran.code, ran.err.splitlines()[0]) == (2, f"partsbin: {said!r} is no accuracy of an instrument")


def test_a_reading_of_an_earlier_day_stands_behind_a_later_one(shelf: Path) -> None:
    """The newest counts by its day, not by when it was written down."""
    partsbin("measure", "P-4", "capacitance=21nF", db=shelf)
    ran = partsbin("measure", "P-4", "capacitance=20nF", "--on", "2025-03-01", db=shelf)
    assert "    read 2025-03-01: capacitance 20 nF ±400 pF\n" in ran.out
    days = [reading["value"] for reading in partsbin("show", "P-4", "--json", db=shelf).json()["readings"]]
    assert days == [pytest.approx(20e-9), pytest.approx(21e-9)]


def test_an_old_carbon_composition_that_climbed_is_said(empty: Path) -> None:
    """Against its mark, and against what it was."""
    words = ("470k 1/2W 10% carbon composition", "--condition", "salvaged", "--reading", "resistance=478k±1%")
    assert partsbin("shelve", *words, db=empty).code == 0
    ran = partsbin("measure", "P-1", "resistance=540k±1%", db=empty)
    assert [line for line in ran.out.splitlines() if "DRIFT" in line] == [
        "    DRIFT resistance is 15 % above its mark",
        f"    DRIFT resistance is 13 % above the reading of {ran.out.split('read ')[1][:10]}",
    ]


def test_a_rating_found_under_the_dirt_is_marked(shelf: Path) -> None:
    """Alone, without the value; what was known is written over only when asked."""
    assert partsbin("mark", "P-4", "400V", db=shelf).code == 0
    assert partsbin("mark", "P-4", "630V", "--correct", db=shelf).code == 0
    assert partsbin("show", "P-4", "--json", db=shelf).json()["fields"]["voltage_dc"] == 630


def test_some_pieces_are_moved_the_rest_stay(shelf: Path) -> None:
    """Where they came from is said."""
    ran = partsbin("move", "P-1", "drawer C3", "--pieces", "5", db=shelf)
    assert ran == (0, "P-0007  22 nF 630 V film-polypropylene: 5 in drawer C3, split off P-0001\n", "")
    assert partsbin("move", "P-1", "drawer C3", "--pieces", "7", db=shelf).out.startswith("P-0001  ")


def test_a_place_lists_what_should_lie_there(shelf: Path) -> None:
    """With the command that books it."""
    ran = partsbin("count", "drawer C2", db=shelf)
    assert ran.out == "P-0001  12  22 nF 630 V film-polypropylene\n"
    assert ran.err == "    1 part; book what you count with: partsbin count 'drawer C2' P-0001=…\n"


def test_an_empty_place_says_so(shelf: Path) -> None:
    """No part is offered to be counted."""
    partsbin("move", "P-1", "drawer C3", db=shelf)
    ran = partsbin("count", "drawer C2", db=shelf)
    assert ran == (0, "", "    nothing should lie there: partsbin move brings parts there\n")


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("P-0001=11", "P-0001  11, -1  "),
        ("p1 = 12", "P-0001  12, as the ledger says  "),
        ("1:14", "P-0001  14, +2  "),
        ("P-0001=about 10", "P-0001  about 10, -2  "),
    ],
)
def test_a_count_books_the_difference_with_its_sign(shelf: Path, said: str, line: str) -> None:
    """However it is typed."""
    assert partsbin("count", "drawer C2", said, db=shelf).out.startswith(line)


def test_what_was_not_counted_is_named(shelf: Path) -> None:
    """It stays as it was."""
    partsbin("move", "P-2", "drawer C2", db=shelf)
    assert "not counted, as they were: P-0002" in partsbin("count", "drawer C2", "P-1=12", db=shelf).err


def test_fewer_than_are_set_aside_lets_the_newest_claim_go(shelf: Path) -> None:
    """For whom is said."""
    for _ in range(2):
        partsbin("job", "open", db=shelf)
    partsbin("job", "reserve", "1", "P-1", "--pieces", "6", db=shelf)
    partsbin("job", "reserve", "2", "P-1", "--pieces", "5", db=shelf)
    ran = partsbin("count", "drawer C2", "P-1=7", db=shelf)
    assert ran.err == "    4 set aside for J-0002 let go: not there\n"


UNDONE = [
    ("measure", ("measure", "P-1", "capacitance=22nF"), "measured P-0001, P-0007"),
    ("mark", ("mark", "P-4", "400V"), "marked P-0004"),
    ("move", ("move", "P-1", "box T9"), "moved P-0001"),
    ("count", ("count", "drawer C2", "P-1=3"), "counted P-0001 (counted drawer C2)"),
    ("scrap", ("scrap", "P-1", "--why", "dented"), "scrapped P-0001 (dented)"),
]


@pytest.mark.parametrize(("words", "said"), [case[1:] for case in UNDONE], ids=[case[0] for case in UNDONE])
def test_each_act_is_taken_back(shelf: Path, words: tuple[str, ...], said: str) -> None:
    """Stock, marks and place are as they were; the ledger keeps both lines."""
    kept = ("on_hand", "title", "place", "fields", "reserved")

    def _seen() -> list[dict[str, object]]:
        shown = [partsbin("show", number, "--json", db=shelf).json() for number in ("P-1", "P-4")]
        return [{name: found[name] for name in kept} for found in shown]

    before = _seen()
    assert partsbin(*words, db=shelf).code == 0
    assert partsbin("undo", db=shelf) == (0, f"taken back: {said}\n", "")
    assert _seen() == before


def test_undo_again_takes_back_the_act_before(shelf: Path) -> None:
    """Never the same one twice."""
    partsbin("scrap", "P-1", db=shelf)
    partsbin("scrap", "P-5", db=shelf)
    assert [partsbin("undo", db=shelf).out for _ in range(2)] == [
        "taken back: scrapped P-0005\n",
        "taken back: scrapped P-0001\n",
    ]


def test_a_list_that_came_in_is_taken_back_by_its_number_alone(tmp_path: Path) -> None:
    """One undo too many does not empty the shelf."""
    file, db = tmp_path / "list.csv", tmp_path / "shelf.sqlite"
    file.write_text("value,count\n" + "".join(f"{n}k 1/2W,3\n" for n in range(10, 40)), encoding="utf-8")
    assert partsbin("import", str(file), db=db).code == 0
    ran = partsbin("undo", db=db)
    assert (ran.code, ran.out) == (1, "")
    assert "the last thing done is shelved of 30 parts" in ran.err
    assert partsbin("undo", "--act", "1", db=db).code == 0
    assert _on_hand(db, "P-1") == 0


def test_nothing_is_left_to_take_back_in_an_empty_catalogue(empty: Path) -> None:
    """The answer is no."""
    ran = partsbin("undo", db=empty)
    assert (ran.code, ran.err.splitlines()[0]) == (1, "partsbin: nothing of yours is left to take back")


def test_what_happened_since_stands_in_the_way_and_is_said(shelf: Path) -> None:
    """With the act that was to be taken back."""
    partsbin("scrap", "P-1", "--pieces", "2", db=shelf)
    ran = partsbin("undo", "--act", "1", db=shelf)
    assert ran.code == 1
    assert "shelved cannot be taken back, something happened since: P-0001: 12 wanted, 10 on hand" in ran.err
