"""``partsbin label``: what is asked for lies in a PDF, and the account says where."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdfium2 import PdfDocument

from tests.cli.conftest import copied
from tests.cli.test_odd_input import ODD, sound
from tests.command import Ran, partsbin
from tests.labels.pictures import decoded, opened, rendered, size
from tests.test_schemas import kept


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A file that is not there."""
    return tmp_path / "labels.pdf"


def label(db: Path, out: Path, *words: str) -> Ran:
    """Run the command."""
    return partsbin("label", *words, "--out", str(out), db=db)


def read(out: Path) -> list[str]:
    """Return what a scanner reads on all pages."""
    return sorted(text for page in rendered(out.read_bytes()) for text in decoded(page))


def test_parts_and_a_place_on_one_sheet(shelf: Path, out: Path) -> None:
    """Said in a line, with the one thing that spoils the millimetres."""
    ran = label(shelf, out, "P-0001", "P-2", "--place", "drawer C2")
    assert ran == (
        0,
        f'3 labels on 1 page (24 a sheet, 70 × 37 mm) in {out}\n    print it at its own size (100 %), not "fit to page"\n',
        "",
    )
    assert read(out) == ["P-0001", "P-0002", "PLACE:drawer C2"]


def test_codes_that_a_telephone_opens_hold_the_address_of_the_page(shelf: Path, out: Path) -> None:
    """Read back with a decoder that has drawn none of it."""
    assert label(shelf, out, "P-0001", "--place", "drawer C2", "--page", "http://192.0.2.7:8071").code == 0
    assert read(out) == [
        "http://192.0.2.7:8071/scan?code=P-0001",
        "http://192.0.2.7:8071/scan?code=PLACE%3Adrawer%20C2",
    ]


def test_json_says_where_each_label_lies(shelf: Path, out: Path) -> None:
    """Pages, rows and columns count from 1."""
    said = kept("labels", label(shelf, out, "P-0001", "--skip", "5", "--json"))
    (entry,) = said.pop("labels")
    assert said == {
        "file": str(out),
        "layout": "24 a sheet, 70 × 37 mm",
        "width": 70,
        "height": 37,
        "page_width": 210,
        "page_height": 297,
        "pages": 1,
        "notes": [],
    }
    assert entry == {
        "code": "P-0001",
        "title": "22 nF 630 V film-polypropylene",
        "lines": ["P-0001", "drawer C2"],
        "page": 1,
        "row": 2,
        "column": 3,
        "left": 140,
        "top": 37.5,
        "module": 0.8,
        "level": "H",
        "notes": [],
    }


def test_a_roll_has_one_label_a_page_of_whole_dots(shelf: Path, out: Path) -> None:
    """Six dots of 203 to the inch make a module."""
    said = label(shelf, out, "P-0001", "P-0002", "--roll", "57x32", "--json").json()
    with opened(out.read_bytes()) as pages:
        assert [size(page) for page in pages] == [pytest.approx((57, 32), abs=0.1)] * 2
    assert {entry["module"] for entry in said["labels"]} == {0.7507}


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--in", "drawer C2"), ["P-0001"]),
        (("--donor", "D-007"), ["P-0003"]),
        (("--shelved", "today"), ["P-0001", "P-0002", "P-0003", "P-0004", "P-0005", "P-0006"]),
        (("--places",), ["PLACE:box T1", "PLACE:drawer C2", "PLACE:drawer X"]),
        (("P-0002", "P-0002"), ["P-0002", "P-0002"]),
        (("P-0002", "--copies", "3"), ["P-0002"] * 3),
        (
            ("P-0001", "--in", "drawer C2", "--shelved", "today", "--donor", "D-007"),
            [f"P-000{at}" for at in range(1, 7)],
        ),
    ],
)
def test_what_is_labelled(words: tuple[str, ...], found: list[str], shelf: Path, out: Path) -> None:
    """A part found in several ways has one label, unless its number is given twice."""
    assert label(shelf, out, *words).code == 0
    assert read(out) == found


def test_where_nothing_was_shelved_there_is_no_file(shelf: Path, out: Path) -> None:
    """Exit code 1: the answer is no."""
    ran = label(shelf, out, "--shelved", "2020-01-01")
    assert ran == (1, "nothing to label: no part on hand answers to that\n", "")
    said = kept("labels", label(shelf, out, "--shelved", "2020-01-01", "--json"))
    assert (said["file"], said["pages"], said["labels"]) == (None, 0, [])
    assert not out.exists()


def test_notes_are_said_once_each(shelf: Path, out: Path) -> None:
    """On stderr; the file is there."""
    ran = label(shelf, out, "--place", "drawer C3", "--copies", "2")
    assert (ran.code, ran.err) == (0, "    no part lies in 'drawer C3': is 'drawer C2' meant?\n")
    assert read(out) == ["PLACE:drawer C3"] * 2


@pytest.mark.parametrize(
    ("size_", "name"),
    [
        ("63.5x38.1", "21 a sheet, 63.5 × 38.1 mm"),
        ("63,5 × 38,1 mm", "21 a sheet, 63.5 × 38.1 mm"),
        ("52.5X29.7", "40 a sheet, 52.5 × 29.7 mm"),
    ],
)
def test_a_sheet_is_named_by_the_size_of_its_labels(size_: str, name: str, shelf: Path, out: Path) -> None:
    """With a point or a comma."""
    assert label(shelf, out, "P-0001", "--sheet", size_, "--json").json()["layout"] == name


def test_a_sheet_of_ones_own(shelf: Path, out: Path) -> None:
    """Rows, columns, margins and gaps; the label lies where they say."""
    words = ("--sheet", "60x30", "--across", "3", "--down", "8", "--margin", "8x20", "--gap", "5.5x2.25", "--skip", "4")
    (entry,) = label(shelf, out, "P-0001", *words, "--json").json()["labels"]
    assert (entry["left"], entry["top"]) == (8 + 60 + 5.5, 20 + 30 + 2.25)


def test_a_known_sheet_may_have_another_margin(shelf: Path, out: Path) -> None:
    """Printers differ."""
    (entry,) = label(shelf, out, "P-0001", "--sheet", "63.5x38.1", "--margin", "7x14", "--json").json()["labels"]
    assert (entry["left"], entry["top"]) == (7, 14)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "nothing is named to label"),
        (("P-0001", "P-0099"), "no part P-0099"),
        (("potato",), "'potato' is not a part number"),
        (("--in", "drawer C9"), "no place 'drawer C9'"),
        (("--donor", "D-099"), "no donor 'D-099'"),
        (("--shelved", "yesterday"), "--shelved 'yesterday' is no day"),
        (("--place", " "), "' ' names no place"),
        (("P-0001", "--sheet", "70"), "--sheet '70': expected two lengths in mm"),
        (("P-0001", "--sheet", "50x20"), "no grid known for labels of 50 × 20 mm"),
        (("P-0001", "--sheet", "70x37", "--down", "9"), "3 × 9 labels of 70 × 37 mm are 210 × 333 mm"),
        (("P-0001", "--roll", "57x32", "--sheet", "70x37"), "a roll has one label a page"),
        (("P-0001", "--roll", "5x5"), "a label of 5 × 5 mm"),
        (("P-0001", "--skip", "24"), "24 labels used up of 24 on a page"),
        (("P-0001", "--dpi", "7"), "7 dots per inch"),
        (("--place", "n" * 200, "--roll", "25x25"), "the code of 'PLACE:nnnn"),
    ],
)
def test_what_cannot_be_printed_is_refused(words: tuple[str, ...], said: str, shelf: Path, out: Path) -> None:
    """Exit code 2, the fault on stderr, no file."""
    ran = label(shelf, out, *words)
    assert (ran.code, ran.out, out.exists()) == (2, "", False)
    assert ran.err.startswith(f"partsbin: {said}")


def test_a_file_that_is_there_is_not_written_over(shelf: Path, out: Path) -> None:
    """What was there stays."""
    out.write_text("mine")
    ran = label(shelf, out, "P-0001")
    assert (ran.code, ran.out, out.read_text()) == (2, "", "mine")
    assert ran.err.splitlines()[0] == f"partsbin: {str(out)!r} exists"


def test_a_folder_that_is_not_there_is_told(shelf: Path, tmp_path: Path) -> None:
    """With the file that was meant."""
    ran = label(shelf, tmp_path / "none" / "labels.pdf", "P-0001")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("partsbin: cannot write ")


@pytest.fixture(scope="module")
def bench(templates: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One shelf for the oddities: nothing is written to it."""
    return copied(templates / "shelf.sqlite", tmp_path_factory.mktemp("odd") / "shelf.sqlite")


OPTIONS = (
    "--place",
    "--in",
    "--donor",
    "--shelved",
    "--sheet",
    "--roll",
    "--margin",
    "--gap",
    "--across",
    "--skip",
    "--dpi",
)


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
@pytest.mark.parametrize("option", ["", *OPTIONS])
def test_odd_words_are_answered(option: str, odd: str, bench: Path, out: Path) -> None:
    """With labels, with a no, or with what is wrong; never with half a file."""
    ran = label(bench, out, f"{option}={odd}", "P-0001") if option else label(bench, out, "--", odd)
    sound(ran)
    assert out.exists() == (ran.code == 0)


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
def test_odd_titles_and_places_are_printed(odd: str, empty: Path, out: Path) -> None:
    """A part that came in with them has its label, and its code is read."""
    assert partsbin("shelve", "22n 400V film", f"--title={odd}", f"--place={odd[:80]}", db=empty).code == 0
    assert label(empty, out, "P-0001").code == 0
    assert read(out) == ["P-0001"]


def test_the_edges_are_drawn_when_they_are_asked_for(shelf: Path, out: Path, tmp_path: Path) -> None:
    """For a trial on plain paper; there is one thing more on the page for each label."""
    assert label(shelf, out, "P-0001").code == label(shelf, tmp_path / "trial.pdf", "P-0001", "--outline").code == 0
    plain, trial = (_things(file) for file in (out, tmp_path / "trial.pdf"))
    assert trial == plain + 1


def _things(file: Path) -> int:
    document = PdfDocument(file.read_bytes())
    try:
        return len(list(document[0].get_objects()))
    finally:
        document.close()
