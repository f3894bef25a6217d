"""A disk that fills up: a clear fault, exit code 2, nothing lost and no half file.

A disk cannot be filled here without filling everybody's; the kernel's bound on the size of each file that a process writes
(`RLIMIT_FSIZE`) stops the same writes at the same places.
"""

from __future__ import annotations

import resource
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from tests.command import partsbin
from tests.hardship.commands import DB, lay_out, state

ROOM = (0, 200, 5_000, 33_000, 70_000, 150_000, 300_000)
"""Bytes that a file may have before the disk is full: in the first page, in the log, near the end."""

COMMANDS = {
    "import": ("import", "list.csv"),
    "strip": ("strip", "7", "lines.txt"),
    "plan": ("plan", "J-1", "--reserve"),
    "fit": ("fit", "P-2", "-j", "J-1", "--for", "C0"),
    "backup": ("backup", "made.sqlite"),
    "restore": ("restore", "copy.sqlite", "--yes"),
    "copy": ("copy", "--to", "made.sqlite"),
    "offers": ("import", "dearer.csv", "--as", "offers", "--supplier", "Bridge Valves"),
    "order": ("reorder", "--send"),
    "order as files": ("reorder", "--folder", "made.folder"),
    "rule": ("rule", "add", "5", "capacitor", "22n 400V", "-p", "coupling", "--with", "rail=200"),
    "export as csv": ("export", "made.csv"),
    "export as workbook": ("export", "made.xlsx"),
    "export as json": ("export", "made.json"),
    "labels": ("label", "--in", "drawer A", "--out", "made.pdf"),
    "report as csv": ("report", "stock", "--csv", "made.csv"),
    "report as workbook": ("report", "stock", "--xlsx", "made.xlsx"),
    "report as page": ("report", "donors", "--html", "made.html"),
    "sheet as page": ("job", "sheet", "J-1", "--html", "made.html"),
    "sheet as paper": ("job", "sheet", "J-1", "--pdf", "made.pdf"),
}

ENDS = (".csv", ".txt", ".sqlite", ".xlsx", ".json", ".pdf", ".html")
"""What tells a file from another word."""


@contextmanager
def room(most: int) -> Iterator[None]:
    """Let no file grow beyond so many bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What lies in the folder before a command."""
    folder = tmp_path_factory.mktemp("template")
    lay_out(folder)
    return folder


@pytest.mark.parametrize("others", ["alone", "while another reads"])
@pytest.mark.parametrize("name", COMMANDS)
def test_a_full_disk_loses_nothing(name: str, others: str, template: Path, tmp_path: Path) -> None:
    """Done, or said in words with nothing changed and no half file; with room again the command works."""
    for most in ROOM:
        here = tmp_path / str(most)
        shutil.copytree(template, here)
        words = [str(here / word) if word.endswith((".csv", ".txt", ".sqlite", ".xlsx", ".json", ".pdf", ".html", ".folder")) else word
                 for word in COMMANDS[name]]  # fmt: skip
        before = state(here / DB)
        with closing(sqlite3.connect(here / DB)) as other:
            if others != "alone":
                other.execute("SELECT count(*) FROM part").fetchone()  # what is beside the file is there by then
            with room(most):
                ran = partsbin(*words, db=here / DB)
        assert ran.code in (0, 2), ran
        if ran.code == 2:
            assert ran.err.startswith("partsbin: cannot") or "cannot be worked with" in ran.err
            assert state(here / DB) == before
            assert [made for made in (*here.glob("made*.*"), *here.glob("made.folder/*")) if made.is_file()] == []
            again = partsbin(*words, db=here / DB)
            assert again.code == 0, again.err
        assert partsbin("verify", db=here / DB).code == 0
