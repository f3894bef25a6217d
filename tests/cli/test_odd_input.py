"""Whatever is typed, a command answers yes, no or what is wrong: never a traceback, never an answer that is not JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partsbin.sets import FACTS
from tests.cli.conftest import copied
from tests.command import Ran, partsbin

ODD = {
    "nothing": "",
    "blanks": " " * 10_000,
    "ten thousand digits": "9" * 10_000,
    "ten thousand letters": "x" * 10_000,
    "many values": "22n " * 2_500,
    "many sections": "8+" * 3_000 + "8 uF",
    "many signs": "±" * 5_000,
    "brackets": "(" * 5_000,
    "control characters": "22n\x01\x07\x1b[31m 400V",
    "lines": "22n\n400V\r\n\t",
    "emoji": "🔧 22n 🔥",
    "right to left": "\u202e22n 400V",
    "other digits": "٢٢n 400V",
    "raised digits": "22² n",
    "not a number": "nan",
    "infinite": "inf uF",
    "minus": "-22n -400V",
    "overflow": "1e999 uF",
    "nought": "0 uF 0 V",
    "divided by nought": "1/0 W",
    "quotes": "22n '\"; DROP TABLE part;--",
    "percent": "100% %s %(x)s {0}",
    "options": "--help",
}
COMMANDS: dict[str, Callable[[str], tuple[str, ...]]] = {
    "read": lambda odd: ("read", "--", odd),
    "read as transformer": lambda odd: ("read", "--family", "transformer", "--", odd),
    "read of family": lambda odd: ("read", "--family", odd, "--", "22n"),
    "try": lambda odd: ("try", "--position", "coupling", "--with", "rail=240", "--", odd, "capacitor"),
    "try transformer": lambda odd: ("try", "--position", "output", "--", odd, "transformer"),
    "try reading": lambda odd: ("try", "22n", "capacitor", "-p", "coupling", "--reading", f"leakage={odd}"),
    "find": lambda odd: ("find", "--position", "coupling", "--", "capacitor", odd),
    "find transformer": lambda odd: ("find", "--position", "output", "--", "transformer", odd),
    "find position": lambda odd: ("find", "capacitor", f"--position={odd}"),
    "find family": lambda odd: ("find", "--position", "coupling", "--", odd),
    "find fact": lambda odd: ("find", "capacitor", "--position", "coupling", f"--with={odd}"),
    "shelve": lambda odd: ("shelve", "--", odd),
    "shelve words": lambda odd: (
        *("shelve", "22n 400V film", f"--place={odd}", f"--donor={odd}"),
        *(f"--donor-lineup={odd}", f"--title={odd}", f"--note={odd}"),
    ),
    "shelve condition": lambda odd: ("shelve", "22n 400V film", f"--condition={odd}"),
    "shelve reading": lambda odd: ("shelve", "22n 400V film", f"--reading=capacitance={odd}"),
    "show": lambda odd: ("show", "--", odd),
    "import": lambda odd: ("import", "--dry-run", "--", odd),
}


@pytest.fixture(scope="module")
def bench(templates: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One shelf for all of these tests: what an oddity leaves there must not harm the next."""
    return copied(templates / "shelf.sqlite", tmp_path_factory.mktemp("odd") / "shelf.sqlite")


def sound(ran: Ran) -> None:
    """Hold the promise: 0 and 1 come with an answer, 2 with a fault on stderr and nothing else."""
    assert ran.code in (0, 1, 2)
    if ran.code == 2:
        assert ran.out == ""
    if ran.code == 0:
        assert ran.out.strip()
    else:
        assert ran.out or ran.err


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
@pytest.mark.parametrize("command", COMMANDS)
def test_odd_text_is_answered(bench: Path, command: str, odd: str) -> None:
    """Any other exception than the end of the program would fail the test."""
    sound(partsbin(*COMMANDS[command](odd), db=bench))


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
def test_odd_facts_are_answered(bench: Path, odd: str) -> None:
    """Each fact of the set is given every oddity."""
    for fact in FACTS:
        sound(partsbin("find", "capacitor", "--position", "reservoir", f"--with={fact}={odd}", db=bench))
        sound(partsbin("find", "transformer", "--position", "output", f"--with={fact}={odd}", db=bench))


def test_control_characters_do_not_reach_the_terminal(empty: Path) -> None:
    """A title that came in with an escape sequence is shown without it; what is stored is untouched."""
    assert (
        partsbin("shelve", "22n 400V film", "--title", "red \x1b[31m tin\n", db=empty).out == "P-0001  red [31m tin\n"
    )
    assert "\x1b" not in partsbin("show", "P-1", db=empty).out
    assert partsbin("show", "P-1", "--json", db=empty).json()["title"] == "red \x1b[31m tin\n"


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
@pytest.mark.parametrize("column", ["family", "description", "count", "year", "readings", "capacitance", "pairs"])
def test_odd_cells_are_accounted_for(tmp_path: Path, column: str, odd: str) -> None:
    """A list with an oddity in a cell gives an account of its one row."""
    cells = {"family": "transformer" if column == "pairs" else "capacitor", "description": "22n 400V film"} | {
        column: odd
    }
    file = tmp_path / "odd.csv"
    quoted = ['"' + cell.replace('"', '""') + '"' for cell in cells.values()]
    file.write_text(f"{','.join(cells)}\n{','.join(quoted)}\n", encoding="utf-8", newline="")
    ran = partsbin("import", str(file), "--json", db=tmp_path / "shelf.sqlite")
    assert ran.code in (0, 1)
    assert len(json.loads(ran.out)["rows"]) == 1


@given(st.text(max_size=40))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_is_answered(text: str) -> None:
    """Read, tried and judged."""
    sound(partsbin("read", "--json", "--", text))
    sound(partsbin("try", "-p", "coupling", "--with", "rail=240", "--json", "--", text, "capacitor"))
    sound(partsbin("try", "-p", "output", "--json", "--", text, "transformer"))


@pytest.mark.parametrize(
    "words",
    [
        ("count", "drawer C2", f"P-1={10**30}"),
        ("scrap", "P-1", "--pieces", str(10**30)),
        ("move", "P-1", "box", "--pieces", str(10**30)),
        ("measure", "P-1", "capacitance=22nF", "--pieces", str(10**30)),
        ("fit", "P-1", "--job", "1", "--pieces", str(10**30)),
        ("show", f"P-{10**30}"),
        ("job", "show", f"J-{10**30}"),
    ],
)
def test_no_number_is_too_large_to_be_refused(shelf: Path, words: tuple[str, ...]) -> None:
    """In words, and nothing is written."""
    ran = partsbin(*words, db=shelf)
    assert ran.code == 2
    assert ran.err
