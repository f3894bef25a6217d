"""A long messy list as a newcomer meets it: taken in, interrupted, taken in again, found in, backed up, restored, carried elsewhere."""

from __future__ import annotations

import csv
import os
import pty
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import make_url

from tests.command import partsbin
from tests.engines import ENGINES, drop_database, new_database, shown

LONG, SHORT = 9_000, 1_500
"""Rows of a list of which the first chunk is told while the second is read, and of one that is not waited for [-]."""

FIND = ("find", "capacitor", "22n", "-p", "coupling", "--with", "rail=200", "--limit", "2")


def messy(file: Path, rows: int) -> Path:
    """Write a list: headings of somebody's own, an older encoding; some rows are no parts, some are wrong."""
    with file.open("w", encoding="cp1252", newline="") as lines:
        writer = csv.writer(lines, delimiter=";")
        writer.writerow(["Stock no.", "Item", "Qty", "Location", "Condition", "Remarks"])
        for number in range(rows):
            texts = (
                f"{10 + number % 60}nF {400 + 10 * (number % 9)} V polypropylene ±10%",
                f"{1 + number % 90}k 1/2W carbon",
                "ECC83 NOS",
                f"bag of knobs {number}",
            )
            count = "-3" if number % 700 == 17 else 1 + number % 9
            writer.writerow([f"S{number:05}", texts[number % 37 % 4], count, f"A{number % 400}", "new", ""])
    return file


def test_an_import_that_is_interrupted_wrote_nothing(tmp_path: Path) -> None:
    """The terminal says how far it is; Ctrl-C is answered by what became of it, and the shelf verifies."""
    db, file = tmp_path / "own.sqlite", messy(tmp_path / "stores.csv", LONG)
    assert partsbin("shelve", "47n 250V film", db=db).code == 0
    keyboard, screen = pty.openpty()
    words = [sys.executable, "-c", "from partsbin.cli.main import main; main()", "import", str(file)]
    running = subprocess.Popen(
        words, stdout=subprocess.DEVNULL, stderr=screen, env={**os.environ, "PARTSBIN_DB": str(db)}
    )
    os.close(screen)
    said = b""
    while b"4,096 of 9,000 rows" not in said:
        said += os.read(keyboard, 4096)
    running.send_signal(signal.SIGINT)
    assert running.wait() == 130
    said += os.read(keyboard, 4096)
    os.close(keyboard)
    assert b"a row is refused: the rest is only looked over" in said
    assert said.endswith(b"partsbin: interrupted: nothing was written\r\n")
    assert partsbin("show", "P-2", db=db).code == 2
    assert partsbin("verify", db=db).code == 0


@pytest.mark.parametrize("engine", ENGINES)
def test_a_list_goes_all_the_way(engine: str, tmp_path: Path) -> None:
    """Refused, then taken; what is found is the same from the file, from its copy, and where it was carried to."""
    db, copy = tmp_path / "own.sqlite", tmp_path / "copy.sqlite"
    file = messy(tmp_path / "stores.csv", SHORT)
    refused = partsbin("import", str(file), db=db)
    assert refused.code == 1
    assert "nothing was written: mend the rows above, or take the good ones with --keep-good" in refused.out
    taken = partsbin("import", str(file), "--keep-good", db=db)
    assert taken.code == 1
    assert "1,500 rows: " in taken.out
    found = partsbin(*FIND, db=db)
    assert (found.code, found.out.count("FITS")) == (0, 2)
    assert partsbin("backup", str(copy), db=db).code == 0
    assert partsbin("scrap", "P-1", db=db).code == 0
    assert partsbin("restore", str(copy), "--yes", db=db).code == 0
    assert partsbin(*FIND, db=db).out == found.out
    to = str(tmp_path / "moved.sqlite") if engine == "sqlite" else shown(new_database())
    assert partsbin("copy", "--to", to, db=db).code == 0
    assert partsbin(*FIND, db=Path(to) if engine == "sqlite" else to).out == found.out
    if engine != "sqlite":
        drop_database(make_url(to))
