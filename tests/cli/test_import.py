"""``partsbin import``: all of a list or nothing, every row accounted for."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.cli.lists import MOST_SHOWN
from partsbin.stock.accounts import MOST_REFUSED
from tests.command import partsbin

GOOD = "family,description,count,condition,place\ncapacitor,22n 630V film,12,new,drawer C2\ncapacitor,47n 400V,3,,\n"
BAD = GOOD + "capacitor,100n,-3,new,\ncapacitor,220n,1,shiny,\n"


def written(folder: Path, text: str) -> str:
    """Return the path of a list with that text."""
    file = folder / "stock.csv"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_a_good_list_is_taken_in(tmp_path: Path) -> None:
    """The account, the totals, the parts."""
    db = tmp_path / "shelf.sqlite"
    ran = partsbin("import", written(tmp_path, GOOD), db=db)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines() == [
        "stock.csv: UTF-8, comma-separated",
        "columns: 5 under our own names",
        "",
        "UNDERSTOOD  2",
        "     2  22n 630V film  →  capacitor: 22 nF 630 V film, 12 in drawer C2",
        "     3  47n 400V  →  capacitor: 47 nF 400 V, 3",
        "",
        "2 rows: 2 understood",
        "2 parts shelved",
    ]
    assert partsbin("show", "P-0002", db=db).code == 0


def test_problems_are_all_reported_and_nothing_is_written(tmp_path: Path) -> None:
    """File, line and column of each; exit code 1."""
    db = tmp_path / "shelf.sqlite"
    ran = partsbin("import", written(tmp_path, BAD), db=db)
    assert (ran.code, ran.err) == (1, "")
    assert "stock.csv:4: count: '-3' is no count\n    hint: a whole number, or about 50\n" in ran.out
    assert "stock.csv:5: condition: 'shiny' is not a condition\n" in ran.out
    assert ran.out.endswith(
        "4 rows: 2 understood, 2 refused: a problem\n"
        "nothing was written: mend the rows above, or take the good ones with --keep-good\n"
    )
    assert partsbin("show", "P-0001", db=db).code == 2


def test_the_good_rows_may_be_kept(tmp_path: Path) -> None:
    """Still exit code 1: there are problems in the data."""
    db = tmp_path / "shelf.sqlite"
    ran = partsbin("import", written(tmp_path, BAD), "--keep-good", db=db)
    assert (ran.code, ran.out.splitlines()[-1]) == (1, "2 parts shelved")
    assert partsbin("show", "P-0002", db=db).code == 0


def test_a_dry_run_writes_nothing(tmp_path: Path) -> None:
    """Not even an empty catalogue."""
    db = tmp_path / "shelf.sqlite"
    ran = partsbin("import", written(tmp_path, GOOD), "--dry-run", db=db)
    assert (ran.code, ran.out.splitlines()[-1]) == (0, "nothing was written (dry run)")
    assert not db.exists()


def test_the_same_list_again_adds_nothing(tmp_path: Path) -> None:
    """Its rows are recognised, in a dry run too."""
    db = tmp_path / "shelf.sqlite"
    file = written(tmp_path, GOOD)
    partsbin("import", file, db=db)
    for words in ((file,), (file, "--dry-run")):
        ran = partsbin("import", *words, "--json", db=db)
        assert (ran.code, ran.json()["totals"]["already here"]) == (0, 2)
    assert partsbin("show", "P-0003", db=db).code == 2


def test_columns_of_others_are_mapped_and_shown(tmp_path: Path) -> None:
    """What was not read is named too."""
    text = "Bezeichnung;Anzahl;Preis\nKondensator 22nF 630V;3;0,40\n"
    ran = partsbin("import", written(tmp_path, text), "--dry-run")
    assert ran.code == 0
    assert ran.out.splitlines()[:2] == [
        "stock.csv: UTF-8, semicolon-separated; decimal commas",
        "columns: Bezeichnung → description; Anzahl → count; kept, not read: Preis",
    ]


def test_json_accounts_for_every_row(tmp_path: Path) -> None:
    """Totals add up to the rows; nothing was written."""
    ran = partsbin("import", written(tmp_path, BAD), "--json", db=tmp_path / "shelf.sqlite")
    assert (ran.code, ran.err) == (1, "")
    account = ran.json()
    assert sum(account["totals"].values()) == len(account["rows"]) == 4
    assert account["written"] is None


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "stock.csv: empty, expected a heading line and rows"),
        (b"\x00\x01\x02\x03", "stock.csv: not a text file"),
    ],
)
def test_a_file_that_is_no_list_is_refused(tmp_path: Path, raw: bytes, said: str) -> None:
    """Exit code 2: there was nothing to work on."""
    file = tmp_path / "stock.csv"
    file.write_bytes(raw)
    ran = partsbin("import", str(file), db=tmp_path / "shelf.sqlite")
    assert (ran.code, ran.out, ran.err.splitlines()[0]) == (2, "", f"partsbin: {said}")


@pytest.mark.parametrize("name", ["nowhere.csv", "."])
def test_a_file_that_cannot_be_read_is_said(tmp_path: Path, name: str) -> None:
    """Missing, or a folder."""
    path = str(tmp_path / name)
    ran = partsbin("import", path, db=tmp_path / "shelf.sqlite")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"partsbin: cannot read {path!r}: ")


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("potatoes", "--as 'potatoes'\n    hint: --as parts, or --as needs, or --as offers"),
        ("needs", "a list of needs is one of a job\n    hint: partsbin import FILE --as needs --job J-0012"),
        (
            "offers",
            'a price list is one of a supplier\n    hint: partsbin import FILE --as offers --supplier "Bridge Valves"',
        ),
    ],
)
def test_rows_of_another_kind_are_refused(tmp_path: Path, kind: str, said: str) -> None:
    """What else has to be said of them is said."""
    ran = partsbin("import", written(tmp_path, GOOD), "--as", kind, db=tmp_path / "shelf.sqlite")
    assert ran == (2, "", f"partsbin: {said}\n")


def test_an_unknown_encoding_is_said(tmp_path: Path) -> None:
    """Named by the user, quoted back."""
    ran = partsbin("import", written(tmp_path, GOOD), "--encoding", "klingon", db=tmp_path / "shelf.sqlite")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("partsbin: unknown encoding 'klingon'")


def test_a_column_is_told_and_remembered(tmp_path: Path) -> None:
    """The next list of the same headings needs nothing said; the account says why."""
    db = tmp_path / "shelf.sqlite"
    text = "Zeug;Was\n22n 400V film;x\n"
    ran = partsbin("import", written(tmp_path, text), "--column", "Zeug=description", "--column", "Was=", db=db)
    assert (ran.code, ran.out.splitlines()[1]) == (
        0,
        "columns: Zeug → description (as told); kept, not read: Was",
    )
    later = tmp_path / "later.csv"
    later.write_text(text, encoding="utf-8")
    ran = partsbin("import", str(later), db=db)
    assert ran.out.splitlines()[1] == "columns: Zeug → description (as told of an earlier file); kept, not read: Was"


@pytest.mark.parametrize(
    ("option", "said"),
    [
        ("Zeug", "--column 'Zeug'"),
        ("Zueg=description", "no column 'Zueg' in this list"),
        ("Zeug=descripton", "'descripton' is nothing that a column can be"),
    ],
)
def test_a_column_told_wrongly_is_refused(tmp_path: Path, option: str, said: str) -> None:
    """Exit code 2, nothing on stdout."""
    db = tmp_path / "shelf.sqlite"
    ran = partsbin("import", written(tmp_path, "Zeug\n22n film\n"), "--column", option, db=db)
    assert (ran.code, ran.out, ran.err.splitlines()[0]) == (2, "", f"partsbin: {said}")


def test_a_long_list_is_shown_in_part_and_counted_in_full(tmp_path: Path) -> None:
    """Totals cover every row; JSON has them all."""
    file = written(tmp_path, "description\n" + "22n 400V film\n" * (MOST_SHOWN + 2))
    lines = partsbin("import", file, "--dry-run").out.splitlines()
    assert lines[-4:-1] == ["  and 2 more", "", f"{MOST_SHOWN + 2:,} rows: {MOST_SHOWN + 2:,} understood"]
    assert len(partsbin("import", file, "--dry-run", "--json").json()["rows"]) == MOST_SHOWN + 2


def test_of_many_refused_rows_as_many_are_shown_as_anybody_mends(tmp_path: Path) -> None:
    """One wrong column refuses them all; each is counted."""
    file = written(tmp_path, "family,count\n" + "capacitor,-3\n" * (MOST_REFUSED + 5))
    ran = partsbin("import", file, db=tmp_path / "shelf.sqlite")
    assert ran.out.count("is no count") == MOST_REFUSED
    assert "\n  and 5 more\n" in ran.out
    assert f"{MOST_REFUSED + 5:,} rows: {MOST_REFUSED + 5:,} refused: a problem\n" in ran.out


def test_rows_that_are_here_stay_as_they_were_read(tmp_path: Path) -> None:
    """What is said of a column afterwards holds for new rows, and the account says so."""
    db = tmp_path / "shelf.sqlite"
    file = written(tmp_path, "what;rank\n22n film;gut\n")
    partsbin("import", file, db=db)
    ran = partsbin("import", file, "--column", "rank=note", db=db)
    assert "rows that are here stay as they were read: what is said of the columns holds for new ones\n" in ran.out


def test_a_count_that_changed_is_said(tmp_path: Path) -> None:
    """The part is not shelved a second time."""
    db = tmp_path / "shelf.sqlite"
    partsbin("import", written(tmp_path, "what;Qty\n22n film;3\n"), db=db)
    ran = partsbin("import", written(tmp_path, "what;Qty\n22n film;2\n"), db=db)
    assert "(P-0001 is this row as it was, and is left so: Qty '3', now '2')" in " ".join(ran.out.split())
    assert ran.out.endswith("what has changed is written down with partsbin count and partsbin move\n0 parts shelved\n")
