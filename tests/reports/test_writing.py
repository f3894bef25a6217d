"""Reports written out: pages that need nothing beside them, plots that are told in words, cells that run nothing."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import pytest

from partsbin.errors import UsageError
from partsbin.reports.plots import bars, margins
from partsbin.reports.writing import plot_of, report_page, write

HOSTILE = "<script>alert(1)</script>"


def _frame(rows: list[dict[str, Any]]) -> Any:
    import pandas as pd

    return pd.DataFrame(rows)


def _rows(name: str) -> list[dict[str, Any]]:
    common = {"part": "P-0001", "family": "capacitor", "title": HOSTILE, "place": "box", "pieces": 3}
    return {
        "stock": [
            {
                "family": "capacitor",
                "place": HOSTILE,
                "parts": 1,
                "pieces": 3,
                "set_aside": 0,
                "value": 4500,
                "unpriced": 0,
            }
        ],
        "slow": [{**common, "days": 400, "fitted": 0}],
        "usage": [{"month": "2026-01", "family": "capacitor", "pieces": 3, "value": 0}],
        "thin": [{"job": "J-0001", **common, "designator": HOSTILE, "margin": 0.016}],
        "donors": [{"donor": HOSTILE, "left": 3, "used": 1}],
    }[name]


@pytest.mark.parametrize("name", ["stock", "slow", "usage", "thin", "donors"])
def test_a_plot_is_told_in_words_and_stands_beside_its_table(name: str) -> None:
    """A title, a description and a label of what it shows; its figures are in the table too."""
    plot = ElementTree.fromstring(plot_of(name, _rows(name)))
    assert plot.attrib["role"] == "img"
    assert plot.attrib["aria-label"]
    assert all(plot.find(tag) is not None and plot.findtext(tag) for tag in ("title", "desc"))
    assert "<table>" in report_page(name, _frame(_rows(name)), "2026-03-01")


@pytest.mark.parametrize("name", ["stock", "slow", "usage", "thin", "donors"])
def test_a_page_needs_nothing_and_runs_nothing(name: str) -> None:
    """No address, no script, no text of somebody's as markup."""
    page = report_page(name, _frame(_rows(name)), "2026-03-01")
    assert not re.search(r"https?://|<script|src=|@import|url\((?!#)", page)


def test_marks_tell_thin_margins_by_their_shape() -> None:
    """A square under 5 %, a circle from there up."""
    plot = margins("margins", ["a", "b"], [0.016, 0.3])
    assert (plot.count("<circle"), len(re.findall(r'<rect[^>]*width="10"', plot))) == (1, 1)


def test_bars_are_as_long_as_what_they_show() -> None:
    """The longest fills the room, the others in proportion."""
    widths = [
        float(found)
        for found in re.findall(r'<rect x="220" y="\d+" width="([\d.]+)"', bars("t", ["a", "b"], [10, 4], unit=""))
    ]
    assert widths[1] / widths[0] == pytest.approx(0.4)


def test_a_cell_that_a_spreadsheet_would_run_is_guarded(tmp_path: Path) -> None:
    """In a file of commas."""
    write(_frame([{"title": "=cmd()", "pieces": -1}]), str(tmp_path / "r.csv"))
    assert (tmp_path / "r.csv").read_text() == "title,pieces\n'=cmd(),-1\n"


def test_a_report_is_never_written_over(tmp_path: Path) -> None:
    """Nor is a name without an end that tells how."""
    (tmp_path / "r.csv").write_text("kept")
    with pytest.raises(UsageError, match="is there already"):
        write(_frame([{"a": 1}]), str(tmp_path / "r.csv"))
    with pytest.raises(UsageError, match="ends in"):
        write(_frame([{"a": 1}]), str(tmp_path / "r.doc"))
