"""``partsbin export``: what is on the shelf, as a list that can come in again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.command import partsbin

LIST = 'Bezeichnung;Anzahl;Preis\n"22n 400V film";3;0,40\n"47n 630V film";about 5;\n'


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """A catalogue with somebody's list in it."""
    (tmp_path / "theirs.csv").write_text(LIST, encoding="utf-8")
    assert partsbin("import", str(tmp_path / "theirs.csv"), db=tmp_path / "c.sqlite").code == 0
    return tmp_path / "c.sqlite"


@pytest.mark.parametrize("ending", ["csv", "xlsx", "json"])
def test_an_export_taken_in_elsewhere_exports_the_same(ending: str, db: Path, tmp_path: Path) -> None:
    """And taken in where it came from it adds nothing."""
    first, second = tmp_path / f"one.{ending}", tmp_path / "two.json"
    ran = partsbin("export", str(first), db=db)
    assert ran == (0, f"2 rows in {first}\n", "")
    again = partsbin("import", str(first), "--json", db=db)
    assert (again.code, again.json()["totals"]["already here"]) == (0, 2)
    assert partsbin("import", str(first), db=tmp_path / "d.sqlite").code == 0
    assert partsbin("export", str(second), db=tmp_path / "d.sqlite").code == 0
    assert partsbin("export", str(tmp_path / "three.json"), db=db).code == 0
    assert json.loads(second.read_text()) == json.loads((tmp_path / "three.json").read_text())


def test_rows_of_a_list_go_out_in_its_own_columns(db: Path, tmp_path: Path) -> None:
    """With the cells that were not read."""
    out = tmp_path / "back.csv"
    assert partsbin("export", str(out), "--as-came", "theirs.csv", db=db).code == 0
    assert out.read_text().splitlines() == [
        "Bezeichnung,Anzahl,Preis",
        '22n 400V film,3,"0,40"',
        "47n 630V film,about 5,",
    ]


def test_a_file_that_is_there_is_not_written_over(db: Path, tmp_path: Path) -> None:
    """Exit code 2, and what was there stays."""
    out = tmp_path / "out.csv"
    out.write_text("mine")
    ran = partsbin("export", str(out), db=db)
    assert (ran.code, ran.out, out.read_text()) == (2, "", "mine")
    assert ran.err.splitlines()[0] == f"partsbin: {str(out)!r} exists"


def test_json_tells_how_many(db: Path, tmp_path: Path) -> None:
    """And where."""
    out = str(tmp_path / "out.csv")
    assert partsbin("export", out, "--json", db=db).json() == {"file": out, "rows": 2}
