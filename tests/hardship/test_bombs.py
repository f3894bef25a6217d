"""Files made to fill the memory or never to end: each is refused soon, by a limit that its hint says how to raise."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from partsbin.errors import UsageError
from partsbin.stock import limits
from partsbin.stock.lists import read_cells
from tests.command import partsbin

MEMORY = 700
"""What a command may take while it looks at one of these files; a list of everyday takes a fifth [MB]."""

DEADLINE = 60
"""It answers by then, on a slow machine too [s]."""

ROW = "capacitor,22n 400V film,1\n"
SHEET = "xl/worksheets/sheet1.xml"


def _workbook(file: Path, replaced: str, content: Callable[[str], list[bytes]]) -> None:
    """Write a small workbook, one of whose files is replaced by pieces that are packed one after the other."""
    book = openpyxl.Workbook()
    book.active.append(["family", "description", "count"])
    book.active.append(["capacitor", "22n 400V film", 1])
    plain = file.with_name("plain.xlsx")
    book.save(plain)
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new:
        for entry in old.infolist():
            if entry.filename != replaced:
                new.writestr(entry.filename, old.read(entry))
        with new.open(replaced, "w", force_zip64=True) as packed:
            for piece in content(old.read(replaced).decode() if replaced in old.namelist() else ""):
                packed.write(piece)
    plain.unlink()


def _far_row(sheet: str) -> list[bytes]:
    return [sheet.replace('<row r="2"', '<row r="1000000000"').encode()]


def _far_cell(sheet: str) -> list[bytes]:
    far = '<c r="ZZY2" t="inlineStr"><is><t>x</t></is></c></row></sheetData>'
    return [sheet.replace("</row></sheetData>", far).encode()]


def _claimed(sheet: str) -> list[bytes]:
    return [sheet.replace('<dimension ref="A1:C2"', '<dimension ref="A1:XFD1048576"').encode()]


def _giant_cell(sheet: str) -> list[bytes]:
    start, end = sheet.split("capacitor") if "capacitor" in sheet else sheet.split("</sheetData>")
    return [start.encode() + b'<row r="3"><c r="A3" t="inlineStr"><is><t>', *[b"x" * 2**20] * 300,
            b"</t></is></c></row></sheetData>" + end.encode()]  # fmt: skip


def _laughs(sheet: str) -> list[bytes]:
    names = ["<!ENTITY a0 'ha'>", *(f"<!ENTITY a{n} '{f'&a{n - 1};' * 10}'>" for n in range(1, 12))]
    body = sheet.split("?>")[-1].replace(
        "</sheetData>", '<row r="3"><c r="A3" t="inlineStr"><is><t>&a11;</t></is></c></row></sheetData>'
    )
    return [f"<?xml version='1.0'?><!DOCTYPE worksheet [{''.join(names)}]>{body}".encode()]


def _noughts(sheet: str) -> list[bytes]:
    return [b"\0" * 2**24] * 160


def _texts(sheet: str) -> list[bytes]:
    return [b"<sst>", *[b"<si><t>some text of a part</t></si>" * 2**18] * 32, b"</sst>"]


BOMBS: dict[str, Callable[[Path], Path]] = {}
"""What writes each file into a folder."""


def _bomb(name: str) -> Callable[[Callable[[Path], None]], None]:
    def note(write: Callable[[Path], None]) -> None:
        def made(folder: Path) -> Path:
            write(folder / name)
            return folder / name

        BOMBS[name] = made

    return note


for _name, _replaced, _content in (
    ("far row.xlsx", SHEET, _far_row),
    ("giant cell.xlsx", SHEET, _giant_cell),
    ("laughs.xlsx", SHEET, _laughs),
    ("unpacked.xlsx", SHEET, _noughts),
    ("texts.xlsx", "xl/sharedStrings.xml", _texts),
    ("styles.xlsx", "xl/styles.xml", _noughts),
):
    _bomb(_name)(lambda file, replaced=_replaced, content=_content: _workbook(file, replaced, content))  # type: ignore[misc]


@_bomb("long line.csv")
def _long_line(file: Path) -> None:
    file.write_text("family,description,count\n" + "," * 30_000_000, "utf-8")


@_bomb("long cell.csv")
def _long_cell(file: Path) -> None:
    file.write_text("family,description,count\ncapacitor," + "22n " * 50_000 + ",1\n", "utf-8")


@_bomb("open quote.csv")
def _open_quote(file: Path) -> None:
    file.write_text('family,description,count\ncapacitor,"22n\n' + ROW * 1_000_000, "utf-8")


@_bomb("many rows.csv")
def _many_rows(file: Path) -> None:
    file.write_bytes(b"family,description,count\n" + b"a,b,1\n" * 5_000_010)


@_bomb("deep.json")
def _deep(file: Path) -> None:
    file.write_text('[{"family":' + "[" * 1_000_000 + "]" * 1_000_000 + "}]", "utf-8")


@_bomb("deep objects.json")
def _deep_objects(file: Path) -> None:
    file.write_text('{"a":' * 200_000 + "1" + "}" * 200_000, "utf-8")


@_bomb("large.json")
def _large(file: Path) -> None:
    with file.open("wb") as sparse:
        sparse.truncate(limits.WHOLE.usual * limits.MB + 1)


RUN = r"""
import json, re, resource, sys
from pathlib import Path
from tests.command import partsbin
ran = partsbin("import", "--dry-run", sys.argv[1], db=Path(sys.argv[2]))
# Of this process alone: on Linux ru_maxrss is at least that of whoever started it.
status = Path("/proc/self/status")
peak = re.search(r"VmHWM:\s+(\d+)", status.read_text())[1] if status.exists() else resource.getrusage(0).ru_maxrss
print(json.dumps([*ran, int(peak) // 1024]))
"""


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_soon_and_in_little_memory(name: str, tmp_path: Path) -> None:
    """In a process of its own, which is stopped at the deadline; nothing but a fault in words comes out."""
    bomb = BOMBS[name](tmp_path)
    place = Path(__file__).parents[2]
    words = [sys.executable, "-c", RUN, str(bomb), str(tmp_path / "none.sqlite")]
    ended = subprocess.run(words, cwd=place, capture_output=True, text=True, timeout=DEADLINE)
    assert ended.returncode == 0, ended.stderr[-2000:]
    code, out, err, memory = json.loads(ended.stdout)
    assert (code, out) == (2, ""), err
    assert err.startswith(f"partsbin: {name}"), err
    assert memory < MEMORY


@pytest.mark.parametrize("claim", [_claimed, _far_cell], ids=["claimed width", "far cell"])
def test_a_sheet_that_claims_to_be_vast_is_read_as_what_it_is(
    claim: Callable[[str], list[bytes]], tmp_path: Path
) -> None:
    """Some programs claim every column there is; one far cell is no row of thousands."""
    file = tmp_path / "vast.xlsx"
    _workbook(file, SHEET, claim)
    ran = partsbin("import", "--dry-run", str(file), db=tmp_path / "none.sqlite")
    assert ran.code == (0 if claim is _claimed else 2), ran.err
    if claim is _far_cell:
        assert "over 1,000 cells in one row" in ran.err


RAISED: dict[limits.Limit, Callable[[Path], Path]] = {
    limits.CELL: BOMBS["long cell.csv"],
    limits.COLUMNS: lambda folder: _written(folder / "wide.csv", "a,b\n" + "1," * 1_500 + "2\n"),
    limits.LINE: lambda folder: _written(folder / "line.csv", "a,b\n1," + ",".join(["2" * 9_999] * 110) + "\n"),
    limits.ROWS: lambda folder: _written(folder / "rows.csv", "family,description\n" + "a,b\n" * 50),
}


def _written(file: Path, content: str) -> Path:
    file.write_text(content, "utf-8")
    return file


@pytest.mark.parametrize("limit", RAISED, ids=lambda limit: limit.variable)
def test_a_limit_is_raised_by_the_variable_that_its_hint_names(
    limit: limits.Limit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Raised as the hint says, again and again, the list is read in the end."""
    file = RAISED[limit](tmp_path)
    monkeypatch.setenv(limit.variable, "10" if limit is limits.ROWS else "")
    refused = 0
    for _ in range(8):
        try:
            list(read_cells(file).rows)
            break
        except Exception as fault:
            refused += 1
            variable, _, raised = fault.hint.rpartition(" ")[2].partition("=")  # type: ignore[attr-defined]
            assert variable == limit.variable
            monkeypatch.setenv(variable, raised)
    assert 0 < refused < 8


def test_a_limit_that_is_no_number_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """With what was expected."""
    monkeypatch.setenv(limits.FILE.variable, "plenty")
    with pytest.raises(UsageError, match=r"^PARTSBIN_MOST_MB: 'plenty', expected a whole number, such as 1024$"):
        _ = limits.FILE.most
