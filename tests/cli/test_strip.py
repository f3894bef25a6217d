"""``partsbin strip``, ``donor``, ``trace``, ``recall``: what is typed beside a chassis."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
from pathlib import Path

import pytest

from tests.command import partsbin

LINES = """\
# first the iron
place box B3
OPT 45:1 Rp 380
2x 250k lin SP sw 1/4in shaft
3 of them, untested
470K
EL84 ; new
"""


@pytest.fixture
def stripped(tmp_path: Path) -> Path:
    """A catalogue with what one donor gave."""
    lines = tmp_path / "lines.txt"
    lines.write_text(LINES, "utf-8")
    assert partsbin("strip", "7", str(lines), "--minutes", "12", db=tmp_path / "c.sqlite").code == 1
    return tmp_path / "c.sqlite"


def test_a_file_is_told_line_by_line_with_a_total(tmp_path: Path) -> None:
    """What was not taken is named with its line, and the answer is no."""
    lines = tmp_path / "lines.txt"
    lines.write_text(LINES, "utf-8")
    ran = partsbin("strip", "7", str(lines), db=tmp_path / "c.sqlite")
    assert ran.code == 1
    assert ran.out.splitlines() == [
        "from here on into box B3",
        "P-0001  output transformer 45:1 → box B3",
        "P-0002  2 × 250 kΩ linear potentiometer single pole switch spindle 6.35 mm → box B3",
        "P-0002  3 × 250 kΩ linear potentiometer single pole switch spindle 6.35 mm (untested) → box B3",
        "NOT TAKEN line 6: '470K' may be a resistor or a capacitor",
        "    say which: resistor 470K",
        "P-0003  valve: EL84, new → box B3",
    ]
    assert ran.err == "    3 parts, 5 pieces shelved, 1 with doubts: look at them again with partsbin show or mark\n"


def test_json_holds_every_line(tmp_path: Path) -> None:
    """With what it was taken for."""
    lines = tmp_path / "lines.txt"
    lines.write_text(LINES, "utf-8")
    found = partsbin("strip", "7", str(lines), "--json", db=tmp_path / "c.sqlite").json()
    assert (found["parts"], found["pieces"], [line["taken"] for line in found["lines"]]) == (
        3,
        5,
        ["remark", "place", "part", "part", "more", "refused", "part"],
    )


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    """Nothing is written."""
    ran = partsbin("strip", "7", str(tmp_path / "none.txt"), db=tmp_path / "c.sqlite")
    assert ran.code == 2
    assert "cannot read" in ran.err


def test_todo_tells_what_is_still_to_be_read(stripped: Path) -> None:
    """What no search would find first."""
    ran = partsbin("donor", "todo", "7", db=stripped)
    assert ran.code == 0
    assert "read: DC resistance of the secondary" in ran.out


def test_trace_tells_donor_and_place(stripped: Path) -> None:
    """In words."""
    out = partsbin("trace", "P-1", db=stripped).out.splitlines()
    assert (out[0], out[-1]) == ("P-0001  output transformer 45:1, from D-007", "    now: 1 on hand in box B3")


def test_recall_sets_siblings_aside(stripped: Path) -> None:
    """Then none of them is offered; nobody is called back where none sits in a set."""
    ran = partsbin("recall", "7", "--family", "potentiometer", "--set-aside", db=stripped)
    assert (ran.code, ran.out) == (
        0,
        "P-0002  250 kΩ linear potentiometer single pole switch spindle 6.35 mm, 3 on hand in box B3\n",
    )
    assert partsbin("show", "P-2", "--json", db=stripped).json()["reserved"] == 3


def test_recall_of_what_is_not_there_says_no(stripped: Path) -> None:
    """Exit code 1."""
    assert partsbin("recall", "7", "--family", "choke", db=stripped).code == 1


class Keyboard:
    """The command at a terminal of its own, typed into line by line."""

    def __init__(self, *words: str, db: Path) -> None:
        self.master, slave = pty.openpty()
        environment = {**os.environ, "PARTSBIN_DB": str(db), "TERM": "dumb", "NO_COLOR": "1"}
        command = [sys.executable, "-m", "partsbin.cli.main", *words]
        self.process = subprocess.Popen(
            command, stdin=slave, stdout=slave, stderr=slave, env=environment, close_fds=True
        )
        os.close(slave)
        self.seen = ""

    def until(self, text: str, seconds: float = 60.0) -> str:
        """Read until a text appears; return what came before and with it."""
        while text not in self.seen:
            ready, _, _ = select.select([self.master], [], [], seconds)
            assert ready, f"{text!r} did not come: {self.seen!r}"
            self.seen += os.read(self.master, 65536).decode("utf-8", "replace")
        head, _, self.seen = self.seen.partition(text)
        return head + text

    def type(self, line: str) -> None:
        """Type a line and Enter."""
        os.write(self.master, f"{line}\n".encode())

    def end(self) -> int:
        """Wait for the command's end."""
        code = self.process.wait(60)
        os.close(self.master)
        return code


def test_a_clear_line_needs_no_key_beyond_enter(tmp_path: Path) -> None:
    """Each is read back at once; - takes the last one back; an empty line ends with the total."""
    keys = Keyboard("strip", "7", db=tmp_path / "c.sqlite")
    keys.until("> ")
    keys.type("OPT 45:1 Rp 380 ; place B3")
    assert "P-0001  output transformer 45:1 → B3" in keys.until("> ")
    keys.type("EL84")
    assert "P-0002  valve: EL84" in keys.until("> ")
    keys.type("-")
    assert "P-0002  taken back" in keys.until("> ")
    keys.type("")
    assert "1 part, 1 piece shelved" in keys.until("shelved")
    assert keys.end() == 0


def test_a_line_with_several_readings_is_asked_about_once(tmp_path: Path) -> None:
    """A number chooses; the part is shelved as what was chosen."""
    keys = Keyboard("strip", "7", db=tmp_path / "c.sqlite")
    keys.until("> ")
    keys.type("470K")
    asked = keys.until("leaves it out: ")
    assert "1  resistor (not sure): resistance 470 kΩ" in asked
    keys.type("1")
    assert "P-0001  resistor: 470 kΩ" in keys.until("> ")
    keys.type("")
    keys.until("shelved")
    assert keys.end() == 0
