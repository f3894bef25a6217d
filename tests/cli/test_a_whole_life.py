"""From an empty folder to the customer's sheet, as a new user types it: strip, find, measure, fit, undo, fit again, label, report."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command import Ran, partsbin


class Bench:
    """An empty folder and what was typed in it."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.db = folder, folder / "bench.sqlite"

    def does(self, *words: str, code: int = 0) -> Ran:
        """Type a command that must end as said."""
        ran = partsbin(*words, db=self.db)
        assert ran.code == code, f"{words}: {ran.out}{ran.err}"
        return ran


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Nothing yet but a donor's lines on paper."""
    (tmp_path / "lines.txt").write_text("place box B3\n3x 22n 630V\nOPT 45:1 Rp 380\nEL84\n", "utf-8")
    made = Bench(tmp_path)
    made.does("strip", "7", str(tmp_path / "lines.txt"), "--minutes", "8")
    made.does("job", "open", "intercom", "--reference", "box 4", "--with", "rail=250")
    made.does("job", "need", "J-1", "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C31")
    return made


def test_what_is_not_known_is_asked_for_before_it_is_fitted(bench: Bench) -> None:
    """Found as to be measured; refused until what it is made of and its leakage are known."""
    assert "MEASURE  P-0001" in bench.does("find", "capacitor", "0.02uF 350V", "-p", "coupling", "-j", "J-1").out
    refused = bench.does("fit", "P-1", "-j", "J-1", "--for", "C31", code=1)
    assert "still owes: what it is made of; leakage at working volts" in refused.err


def test_a_repair_is_told_from_donor_to_customer(bench: Bench) -> None:
    """Read, fitted, taken back, fitted again; the sheet names part, donor and reading."""
    bench.does("mark", "P-1", "polyester")
    fitted = bench.does("fit", "P-1", "-j", "J-1", "--for", "C31", "--reading", "leakage=<0.05uA@400V")
    assert fitted.out.startswith("P-0004")
    assert "split off P-0001" in fitted.err
    assert "fitted P-0004" in bench.does("undo").out
    assert "wanted 1: C31" in bench.does("job", "show", "J-1").out
    bench.does("fit", "P-4", "-j", "J-1", "--for", "C31")
    sheet = bench.does("job", "sheet", "J-1").out
    assert "C31 coupling: 22 nF 630 V film-polyester (P-0004), salvaged, from D-007" in sheet
    assert "tested: leakage" in sheet
    assert "wanted" not in bench.does("job", "show", "J-1").out
    bench.does("job", "close", "J-1")
    assert "was here as J-0001" in bench.does("job", "open", "--reference", "box 4").out


def test_the_drawer_is_labelled_and_the_donor_reported(bench: Bench) -> None:
    """A label file, and what the chassis gave."""
    out = bench.folder / "labels.pdf"
    bench.does("label", "--in", "box B3", "--place", "box B3", "--out", str(out))
    assert out.read_bytes().startswith(b"%PDF")
    assert bench.does("show", "D-7").out.splitlines()[1:3] == [
        "    3 parts: 5 pieces left, 0 of them tested; 0 used, 0 bad",
        "    worth 0.00 left, 0.00 used; 8 minutes of stripping, 0.00 an hour",
    ]
    assert bench.does("verify").out == "nothing is wrong\n"
