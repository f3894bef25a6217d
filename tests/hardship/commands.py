"""The commands that are killed: what lies in the folder before, what is typed, and what must be true whenever it stops."""

from __future__ import annotations

import csv
import hashlib
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from tests.command import partsbin

OLD = Path(__file__).parents[1] / "store" / "data" / "schema_2.sql"
DB = "shelf.sqlite"
ROWS, LINES, NEEDS, OFFERS = 600, 150, 12, 80
"""Rows of the list, lines of the donor, needs of the job, rows of the price lists [-]."""

State = dict[str, str]
"""Each table by a digest of its rows, times left out: two runs of one command differ in them alone."""


@dataclass(frozen=True)
class Command:
    """One command to be killed.

    Parameters
    ----------
    words : tuple of str
        What is typed; names of files are those of the folder.
    makes : str
        A file that it makes: not there, or a whole catalogue.
    prepare : callable
        What the folder needs beyond the shelf.
    """

    words: tuple[str, ...]
    makes: str = ""
    prepare: Callable[[Path], None] = lambda folder: None


def state(file: Path) -> State:
    """Return what a catalogue says, without times and without what is derived for searching by words."""
    with closing(sqlite3.connect(file)) as connection:
        names = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND sql NOT LIKE '%fts5%'"
        ).fetchall()
        return {name: _digest(connection, name) for (name,) in sorted(names) if not _is_words(name)}


def _is_words(table: str) -> bool:
    return table.startswith("word") or table.endswith(("_data", "_idx", "_content", "_docsize", "_config"))


def _digest(connection: sqlite3.Connection, table: str) -> str:
    columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")') if row[2] != "DATETIME"]
    listed = ", ".join(f'"{column}"' for column in columns)
    rows = sorted(repr(row) for row in connection.execute(f'SELECT {listed} FROM "{table}"'))
    return f"{len(rows)} {hashlib.sha256(''.join(rows).encode()).hexdigest()[:12]}"


# ---- what lies in the folder


def lay_out(folder: Path) -> None:
    """Make the shelf, the lists and the copies of which each kill gets its own."""
    db = folder / DB
    _list(folder / "first.csv", 60, "drawer A")
    _list(folder / "list.csv", ROWS, "drawer B")
    lines = [f"{1 + number % 3}x {10 + number}n {400 + 10 * (number % 9)}V polyester" for number in range(LINES)]
    (folder / "lines.txt").write_text("place box B3\n" + "\n".join(lines) + "\n", "utf-8")
    _does(db, "import", str(folder / "first.csv"))
    _does(db, "backup", str(folder / "copy.sqlite"))
    _does(db, "job", "open", "intercom", "--reference", "box 4", "--with", "rail=250")
    for number in range(NEEDS):
        text = f"{10 + 3 * number}n 400V"
        _does(db, "job", "need", "J-1", "capacitor", text, "-p", "coupling", "-d", f"C{number}")
    _prices(folder / "prices.csv", OFFERS, 1)
    _prices(folder / "dearer.csv", OFFERS, 2)
    _does(db, "import", str(folder / "prices.csv"), "--as", "offers", "--supplier", "Bridge Valves")
    for number in range(3):
        text = f"{2 * OFFERS - 10 * number}n 400V"
        _does(db, "rule", "add", "5", "capacitor", text, "-p", "coupling", "--with", "rail=200")
    with closing(sqlite3.connect(folder / "old.sqlite")) as old:
        old.executescript(OLD.read_text("utf-8"))
    (folder / "old.sqlite").chmod(0o600)  # as every program made them
    with closing(sqlite3.connect(db)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _list(file: Path, rows: int, place: str) -> None:
    with file.open("w", encoding="utf-8", newline="") as lines:
        writer = csv.writer(lines, lineterminator="\n")
        writer.writerow(["family", "description", "count", "condition", "place"])
        for number in range(rows):
            text = f"{10 + number}n {400 + 10 * (number % 9)}V polypropylene"
            writer.writerow(["capacitor", text, 1 + number % 4, "new", place])


def _prices(file: Path, rows: int, price: int) -> None:
    with file.open("w", encoding="utf-8", newline="") as lines:
        writer = csv.writer(lines, lineterminator="\n")
        writer.writerow(["Order code", "Description", "Price"])
        for number in range(rows):
            writer.writerow(
                [f"K-{number}", f"{rows + number}n {400 + 10 * (number % 9)}V polypropylene", f"{price}.{number:02}"]
            )


def _does(db: Path, *words: str) -> None:
    ran = partsbin(*words, db=db)
    if ran.code != 0:
        raise RuntimeError(f"{words}: {ran.out}{ran.err}")


def _ordered(folder: Path) -> None:
    _does(folder / DB, "reorder", "--send")


def _old_for_shelf(folder: Path) -> None:
    shutil.copy(folder / "old.sqlite", folder / DB)


def _spoil(folder: Path) -> None:
    with (folder / DB).open("rb+") as pages:
        pages.seek(8192)
        pages.write(b"\xff" * 65_536)


COMMANDS = {
    "import": Command(("import", "list.csv")),
    "strip": Command(("strip", "7", "lines.txt")),
    "plan": Command(("plan", "J-1", "--reserve")),
    "fit": Command(("fit", "P-2", "-j", "J-1", "--for", "C0")),
    "offers": Command(("import", "dearer.csv", "--as", "offers", "--supplier", "Bridge Valves")),
    "order": Command(("reorder", "--send")),
    "bought": Command(("bought", "--order", "1"), prepare=_ordered),
    "copy": Command(("copy", "--to", "made.sqlite"), makes="made.sqlite"),
    "migrate": Command(("find", "capacitor", "22n", "-p", "coupling", "--with", "rail=200"), prepare=_old_for_shelf),
    "backup": Command(("backup", "made.sqlite"), makes="made.sqlite"),
    "restore": Command(("restore", "copy.sqlite", "--yes")),
    "restore over damage": Command(("restore", "copy.sqlite", "--yes"), prepare=_spoil),
}
