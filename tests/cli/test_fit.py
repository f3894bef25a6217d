"""``job fit return find``: a repair from its opening to its closing, at the keyboard and through a pipe."""

from __future__ import annotations

import os
import pty
import sys
from pathlib import Path

import pytest

from tests.command import partsbin

NEED = ("job", "need", "1", "capacitor", "0.02uF 350V", "--position", "coupling", "--designator", "C31")
OWING = ("22n 630V polyester", "--condition", "salvaged", "--count", "3")


@pytest.fixture
def bench(shelf: Path) -> Path:
    """The small shelf with a set on the bench; P-0007 owes its leakage."""
    for words in (
        ("shelve", *OWING),
        ("job", "open", "intercom", "--with", "rail=240"),
        NEED,
        ("job", "open", "radio"),
    ):
        ran = partsbin(*words, db=shelf)
        assert ran.code == 0, ran.err
    return shelf


def _typed(db: Path, words: tuple[str, ...], answers: tuple[str, ...]) -> tuple[int, str]:
    """Run a command at a terminal and type the answers; return its exit code and what stood on the screen."""
    child, terminal = pty.fork()
    if child == 0:
        os.environ.update(PARTSBIN_DB=str(db), PARTSBIN_RULES="", COLUMNS="110", NO_COLOR="1")
        os.execv(sys.executable, [sys.executable, "-m", "partsbin.cli.main", *words])
    os.write(terminal, "".join(f"{answer}\n" for answer in answers).encode())
    seen = b""
    while True:
        try:
            more = os.read(terminal, 4096)
        except OSError:  # the other end went away
            break
        if not more:
            break
        seen += more
    os.close(terminal)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), seen.decode()


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("fit", "P-1", "--job", "9"), 2, "no job J-0009"),
        (("fit", "P-1", "--job", "P-1"), 2, "'P-1' is not a job number"),
        (("fit", "P-99", "--job", "1", "--for", "C31"), 2, "no part P-0099"),
        (("fit", "P-1", "--job", "1", "--for", "C9"), 2, "J-0001 has no need 'C9'"),
        (("fit", "P-1", "--job", "1", "--for", "C31", "-p", "coupling"), 2, "--for names a need that says this itself"),
        (("fit", "P-1", "--job", "1", "--for", "C31", "--pieces", "13"), 1, "P-0001: 13 wanted, 12 on hand"),
        (("fit", "P-3", "--job", "1", "--for", "C31"), 1, "P-0003 is unfit here: "),
        (("fit", "P-7", "--job", "1", "--for", "C31"), 1, "P-0007 still owes: leakage at working volts"),
        (("fit", "P-7", "--job", "1", "--for", "C31", "--reading", "leakage=1nA"), 2, "without the volts"),
        (("fit", "P-1", "--job", "2", "-p", "coupling"), 1, "--with rail=… says it of the set"),
        (("return", "P-1", "--job", "1"), 1, "P-0001: 1 to come back, 0 fitted in J-0001"),
        (("job", "reserve", "1", "P-1", "--pieces", "13"), 1, "P-0001: 13 wanted, 12 on hand"),
        (("job", "release", "2", "P-1"), 1, "P-0001: 1 to be let go, 0 set aside for this job"),
        (("job", "need", "1", "capacitor", "47n", "-p", "coupling", "-d", "c31"), 1, "J-0001 has a need c31 already"),
        (("job", "facts", "1", "rial=240"), 2, "unknown fact 'rial'"),
        (("job", "note", "1", " "), 2, "nothing was said"),
        (("job", "note", "1", "hum", "--test", "--kept"), 2, "a line is one of --reading, --test and --kept"),
        (("job", "open", "--again", "1"), 1, "J-0001 is open already"),
        (("job", "open", "radio", "--again", "1"), 2, "--again opens a job as it was"),
        (("job", "drop", "1", "C9"), 2, "J-0001 has no need 'C9'"),
        (("find", "capacitor", "22n", "-p", "coupling", "--job", "9"), 2, "no job J-0009"),
    ],
)
def test_what_cannot_be_is_refused_and_said(bench: Path, words: tuple[str, ...], code: int, said: str) -> None:
    """1 where the answer is no, 2 where the words are off; nothing is booked."""
    before = partsbin("job", "show", "1", db=bench).out
    ran = partsbin(*words, db=bench)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert partsbin("job", "show", "1", db=bench).out == before


def test_a_part_is_fitted_and_the_need_served(bench: Path) -> None:
    """The job is named by its number however it was typed."""
    ran = partsbin("fit", "P-1", "--job", "1", "--for", "C31", db=bench)
    assert ran.code == 0
    assert ran.out.startswith("P-0001  22 nF 630 V film-polypropylene: fitted in J-0001, fits: off load 384 V of 630 V")
    shown = partsbin("job", "show", "1", "--json", db=bench).json()
    assert (shown["open_needs"], [entry["part"] for entry in shown["fitted"]]) == ([], ["P-0001"])


def test_cautions_are_one_line_after_the_first_part_of_a_job(bench: Path) -> None:
    """In the next job they stand in full again."""
    counts = []
    for job in ("1", "1", "2"):
        ran = partsbin("fit", "P-1", "--job", job, "-p", "coupling", "-w", "rail=240", db=bench)
        counts.append([line for line in ran.out.splitlines() if "CAUTION" in line])
    assert [len(lines) for lines in counts] == [2, 1, 2]
    assert counts[1] == [
        "    CAUTION Mains and HT kill · the anode side holds HT: switch off, discharge, prove it dead"
    ]


def test_a_command_sent_twice_is_noticed(bench: Path) -> None:
    """Both pieces are booked; the way back is said."""
    for _ in range(2):
        ran = partsbin("fit", "P-1", "--job", "1", "--for", "C31", db=bench)
    assert ran.err == "    1 wanted there, 2 sit there now: partsbin undo, if that was once too often\n"
    assert partsbin("undo", db=bench).out == "taken back: fitted P-0001\n"


def test_a_part_of_which_none_is_left_is_not_asked_for_readings(bench: Path) -> None:
    """Nor is one written down."""
    partsbin("scrap", "P-7", "--pieces", "3", db=bench)
    for more in ((), ("--reading", "leakage=10nA@350V")):
        ran = partsbin("fit", "P-7", "--job", "1", "--for", "C31", *more, db=bench)
        assert (ran.code, ran.err.splitlines()[0]) == (1, "partsbin: P-0007: 1 wanted, none on hand")
    assert partsbin("show", "P-7", "--json", db=bench).json()["readings"] == []


def test_a_closed_job_takes_neither_part_nor_reading(bench: Path) -> None:
    """The job is looked at first."""
    partsbin("job", "close", "1", db=bench)
    ran = partsbin("fit", "P-7", "--job", "1", "--for", "C31", "--reading", "leakage=10nA@350V", db=bench)
    assert ran.code == 1
    assert "hint: partsbin job open --again J-0001 reopens it" in ran.err
    assert partsbin("show", "P-7", "--json", db=bench).json()["on_hand"] == 3


def test_a_reading_given_with_the_command_splits_off_the_piece_that_is_fitted(bench: Path) -> None:
    """Though all are set aside for this job."""
    partsbin("job", "reserve", "1", "P-7", "--pieces", "3", db=bench)
    ran = partsbin("fit", "P-7", "--job", "1", "--for", "C31", "--reading", "leakage=10nA@350V", db=bench)
    assert (ran.code, ran.out[:6]) == (0, "P-0008")
    assert ran.err == "    P-0008 split off P-0007: leakage=10nA@350V\n"
    assert "    set aside: 2 of P-0007\n" in partsbin("job", "show", "1", db=bench).out


def test_what_is_owed_is_asked_for_at_the_keyboard(bench: Path) -> None:
    """A slip is said and asked for again; the reading is kept."""
    code, seen = _typed(bench, ("fit", "P-7", "--job", "1", "--for", "C31"), ("5uA", "10nA@350V"))
    assert code == 0
    assert seen.count("leakage, empty to leave it:") == 2
    assert "leakage says nothing without the volts it was read at" in seen
    assert "P-0008  22 nF 630 V film-polyester: fitted in J-0001" in seen
    (reading,) = partsbin("show", "P-8", "--json", db=bench).json()["readings"]
    assert (reading["quantity"], reading["conditions"]) == ("leakage", {"volts": 350})


def test_a_fact_of_the_set_asked_for_at_the_keyboard_is_learnt_by_the_job(bench: Path) -> None:
    """The rail is no reading of the capacitor."""
    code, _ = _typed(bench, ("fit", "P-7", "--job", "2", "-p", "coupling"), ("240", "10nA@350V"))
    assert code == 0
    assert partsbin("job", "show", "2", "--json", db=bench).json()["set"] == {"rail": "240"}


def test_an_empty_answer_leaves_the_part_on_the_shelf(bench: Path) -> None:
    """The answer is no."""
    code, seen = _typed(bench, ("fit", "P-7", "--job", "1", "--for", "C31"), ("",))
    assert code == 1
    assert "P-0007 still owes: leakage at working volts" in seen
    assert partsbin("show", "P-7", "--json", db=bench).json()["on_hand"] == 3


def test_the_change_that_was_made_is_written_down(bench: Path) -> None:
    """In one's own words."""
    partsbin("fit", "P-1", "--job", "1", "--for", "C31", "--change", "leads sleeved", db=bench)
    assert "change: leads sleeved" in partsbin("job", "show", "1", db=bench).out


def test_a_valve_is_served_by_silicon(bench: Path) -> None:
    """Two diodes for one rectifier valve are not one too many; what they change is written down."""
    partsbin("shelve", "1N4007", "--condition", "new", "--count", "10", db=bench)
    set_ = ("lineup=ECC83 EL84 EZ81", "secondary=250-0-250", "winding_resistance=200", "current=60mA")
    partsbin("job", "facts", "2", *set_, db=bench)
    assert partsbin("job", "need", "2", "valve", "EZ81", "-p", "rectifier", "-d", "V4", db=bench).code == 0
    ran = partsbin("fit", "P-8", "--job", "2", "--for", "V4", "--pieces", "2", db=bench)
    assert (ran.code, ran.err) == (0, "")
    assert "P-0008  2 × 1N4007: fitted in J-0002, care: " in ran.out
    assert "    CHANGE " in ran.out


def test_what_the_shelf_has_more_is_counted_in(bench: Path) -> None:
    """When it is said so."""
    ran = partsbin("fit", "P-1", "--job", "1", "--for", "C31", "--pieces", "13", "--found", db=bench)
    assert "    1 counted in: the ledger did not know of it\n" in ran.out
    assert partsbin("show", "P-1", "--json", db=bench).json()["on_hand"] == 0


def test_a_used_part_comes_back_salvaged_an_unused_one_as_it_was(bench: Path) -> None:
    """The first gets a number of its own."""
    for _ in range(2):
        partsbin("fit", "P-1", "--job", "1", "--for", "C31", db=bench)
    used = partsbin("return", "P-1", "--job", "1", db=bench)
    unused = partsbin("return", "P-1", "--job", "1", "--unused", db=bench)
    assert used.out == "P-0008  22 nF 630 V film-polypropylene: 1 back from J-0001, salvaged\n"
    assert unused.out == "P-0001  22 nF 630 V film-polypropylene: 1 back from J-0001, new\n"
    assert partsbin("return", "P-1", "--job", "1", db=bench).code == 1


def test_a_closed_job_names_what_is_still_set_aside(bench: Path) -> None:
    """With the command that lets it go, which works on a closed job."""
    partsbin("job", "reserve", "1", "P-1", "--pieces", "2", db=bench)
    ran = partsbin("job", "close", "1", db=bench)
    assert ran == (
        0,
        "J-0001  closed\n",
        "    2 of P-0001 still set aside: partsbin job release J-0001 P-0001 --pieces 2\n",
    )
    ran = partsbin("job", "release", "J-0001", "P-0001", "--pieces", "2", db=bench)
    assert ran == (0, "P-0001  22 nF 630 V film-polypropylene: 2 let go, 12 free\n", "")


def test_a_set_that_comes_back_shows_what_was_fitted(empty: Path) -> None:
    """By the customer's own word for it."""
    partsbin("shelve", "22n 630V polypropylene", "--condition", "new", db=empty)
    partsbin("job", "open", "intercom", "--reference", "box 4", "--with", "rail=240", db=empty)
    partsbin("fit", "P-1", "--job", "1", "-p", "coupling", db=empty)
    partsbin("job", "close", "1", db=empty)
    ran = partsbin("job", "open", "--reference", "box 4", db=empty)
    assert "    was here as J-0001  intercom (box 4), opened " in ran.out
    assert "coupling: P-0001 22 nF 630 V film-polypropylene, fits" in ran.out


def test_jobs_are_listed(bench: Path) -> None:
    """The closed ones when asked."""
    partsbin("job", "close", "2", db=bench)
    assert [line[:6] for line in partsbin("job", "list", db=bench).out.splitlines()] == ["J-0001"]
    assert [line[:6] for line in partsbin("job", "list", "--all", db=bench).out.splitlines()] == ["J-0002", "J-0001"]


def test_the_accuracy_of_the_instrument_is_that_of_the_reading(tmp_path: Path) -> None:
    """As it was recorded once; the sheet names the instrument."""
    db = tmp_path / "c.sqlite"
    partsbin("shelve", "22n 630V polyester", "--family", "capacitor", "--condition", "salvaged", db=db)
    partsbin("instruments", "meter=10%", db=db)
    partsbin("job", "open", "intercom", "--with", "rail=250", db=db)
    words = ("fit", "P-1", "-j", "1", "-p", "coupling", "--original", "0.02uF", "--reading", "leakage=10nA@400V")
    assert partsbin(*words, "--instrument", "meter", db=db).code == 0
    (reading,) = partsbin("show", "P-1", "--json", db=db).json()["readings"]
    assert (reading["instrument"], reading["uncertainty"]) == ("meter", pytest.approx(1e-9))
