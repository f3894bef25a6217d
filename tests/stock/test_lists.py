"""Somebody's file read into cells: encodings, delimiters, quotes, line numbers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock import limits
from partsbin.stock.lists import Cells, ListError, read_cells


def _read(tmp_path: Path, content: str | bytes, *, encoding: str | None = None) -> Cells:
    file = tmp_path / "list.csv"
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    cells = read_cells(file, encoding=encoding)
    return replace(cells, rows=tuple(cells.rows))


ENCODINGS = [
    ("utf-8", "UTF-8"),
    ("utf-8-sig", "UTF-8"),
    ("cp1252", "cp1252"),
    ("utf-16", "UTF-16"),
]


@pytest.mark.parametrize(("encoding", "said"), ENCODINGS)
def test_the_encoding_is_recognised(tmp_path: Path, encoding: str, said: str) -> None:
    """The micro sign and the umlaut come out right, and the account tells how the file was read."""
    cells = _read(tmp_path, "wert;stück\n8 µF;2\n".encode(encoding))
    assert cells.header == ("wert", "stück")
    assert cells.rows == ((2, ("8 µF", "2")),)
    assert cells.notes == (f"{said}, semicolon-separated",)


def test_bytes_that_fit_no_better_encoding_are_read_as_latin_1(tmp_path: Path) -> None:
    """A byte that Windows does not use still gives a cell."""
    assert _read(tmp_path, b"a,b\n\x81,2\n").notes == ("latin-1, comma-separated",)


def test_a_named_encoding_is_used(tmp_path: Path) -> None:
    """Where the guess would be wrong."""
    assert _read(tmp_path, "a,b\n8 µF,2\n".encode("mac-roman"), encoding="mac-roman").rows == ((2, ("8 µF", "2")),)


@pytest.mark.parametrize("encoding", ["klingon", "hex"])
def test_an_encoding_that_does_not_exist_is_named(tmp_path: Path, encoding: str) -> None:
    """So is one that is no encoding of texts."""
    with pytest.raises(ListError, match=f"^unknown encoding '{encoding}'$"):
        _read(tmp_path, "a,b\n1,2\n", encoding=encoding)


def test_a_named_encoding_that_does_not_fit_is_said(tmp_path: Path) -> None:
    """With a hint how to name another."""
    with pytest.raises(ListError, match=r"^list\.csv: not readable as ascii$") as caught:
        _read(tmp_path, "a,b\n8 µF,2\n", encoding="ascii")
    assert caught.value.hint == "name its encoding with --encoding"


@pytest.mark.parametrize(("mark", "word"), [(",", "comma"), (";", "semicolon"), ("\t", "tab"), ("|", "bar")])
def test_the_delimiter_is_recognised(tmp_path: Path, mark: str, word: str) -> None:
    """The one that gives the most rows of one width."""
    cells = _read(tmp_path, f"a{mark}b{mark}c\n1{mark}2{mark}3\n")
    assert (cells.header, cells.rows) == (("a", "b", "c"), ((2, ("1", "2", "3")),))
    assert cells.notes == (f"UTF-8, {word}-separated",)


def test_decimal_commas_do_not_make_it_comma_separated(tmp_path: Path) -> None:
    """German lists write 0,1 µF between semicolons."""
    cells = _read(tmp_path, "wert;volt;text\n0,1 µF;400;a\n0,22 µF;630;b\n")
    assert cells.rows[0] == (2, ("0,1 µF", "400", "a"))


SEP = [
    ("sep=;\na;b,c,d\n1;2,3,4\n", ("1", "2,3,4")),
    ("SEP=|\r\na|b,c\r\n1|2,3\r\n", ("1", "2,3")),
    ("sep=^\na^b\n1^2\n", ("1", "2")),
]


@pytest.mark.parametrize(("text", "row"), SEP)
def test_a_first_line_that_names_the_delimiter_is_believed(tmp_path: Path, text: str, row: tuple[str, ...]) -> None:
    """It is no heading, and lines are counted as an editor counts them."""
    assert _read(tmp_path, text).rows == ((3, row),)


def test_one_column_is_a_list_too(tmp_path: Path) -> None:
    """A bare list of descriptions, one a line."""
    assert _read(tmp_path, "description\n22n 400V\n47n 630V\n").rows == ((2, ("22n 400V",)), (3, ("47n 630V",)))


def test_short_rows_are_filled_up(tmp_path: Path) -> None:
    """Cells that are not there are empty."""
    assert _read(tmp_path, "a,b,c\n1\n1,2\n1,2,3\n").rows[0] == (2, ("1", "", ""))


def test_long_rows_keep_what_is_over(tmp_path: Path) -> None:
    """Whoever understands the row must see that it is too long."""
    assert _read(tmp_path, "a,b\n1,2,3,4\n1,2\n1,2\n").rows[0] == (2, ("1", "2", "3", "4"))


def test_cells_are_stripped_and_quotes_undone(tmp_path: Path) -> None:
    """A quoted delimiter stays, a doubled quote becomes one, a blank before a quote does not matter."""
    assert _read(tmp_path, 'a,b,c\n 1 , "2, 3" ,"6"" nail"\n').rows == ((2, ("1", "2, 3", '6" nail')),)


def test_an_inch_mark_in_an_unquoted_cell_is_left_alone(tmp_path: Path) -> None:
    """Even in the last cell of the file."""
    assert _read(tmp_path, 'a,b\n1,1/4" shaft').rows == ((2, ("1", '1/4" shaft')),)


def test_a_cell_over_several_lines_keeps_the_count(tmp_path: Path) -> None:
    """A row has the line that it starts on; the next one comes after all of them."""
    assert _read(tmp_path, 'a,b\n"x\ny\nz",2\n3,4\n').rows == ((2, ("x\ny\nz", "2")), (5, ("3", "4")))


def test_blank_lines_are_counted_and_left_out(tmp_path: Path) -> None:
    """Before the heading, between rows, and lines of delimiters alone."""
    assert _read(tmp_path, "\n  \na,b\n1,2\n\n , \n3,4\n").rows == ((4, ("1", "2")), (7, ("3", "4")))


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_will_do(tmp_path: Path, end: str) -> None:
    """Of any machine, with or without a last one."""
    assert _read(tmp_path, end.join(("a,b", "1,2", "3,4"))).rows == ((2, ("1", "2")), (3, ("3", "4")))


@pytest.mark.parametrize("text", ["", "  \n\n", "sep=;\n", "\ufeff"])
def test_an_empty_file_is_refused(tmp_path: Path, text: str) -> None:
    """With what was expected."""
    with pytest.raises(ListError, match=r"^list\.csv: empty, expected a heading line and rows$"):
        _read(tmp_path, text)


@pytest.mark.parametrize("content", [b"PK\x03\x04\x14\x00\x06\x00", b"a,b\n" + b"1,2\n" * 2000 + b"\x00"])
def test_a_binary_file_is_refused(tmp_path: Path, content: bytes) -> None:
    """A workbook, or text that turns into something else further down."""
    with pytest.raises(ListError, match=r"^list\.csv: not a text file$"):
        _read(tmp_path, content)


@pytest.mark.parametrize(("text", "line"), [('a,b\n1,2\n"3,4\n5,6\n', 3), ('a,b\n1,"2', 2)])
def test_a_quote_that_is_never_closed_is_refused(tmp_path: Path, text: str, line: int) -> None:
    """It would swallow the rest of the list: the line where it is opened is named."""
    with pytest.raises(ListError, match=rf"^list\.csv:{line}: a quote is opened here and never closed$"):
        _read(tmp_path, text)


def test_a_cell_beyond_all_reason_is_refused_with_its_line(tmp_path: Path) -> None:
    """Also where a list was read before, which sets the limit."""
    for _ in range(2):
        with pytest.raises(ListError, match=r"^list\.csv:3: over 20,000 characters in one cell$"):
            _read(tmp_path, f"a,b\n1,2\n{'x' * (limits.CELL.usual + 1)},2\n")


def test_a_file_beyond_all_reason_is_refused_unread(tmp_path: Path) -> None:
    """By its size on disk."""
    file = tmp_path / "huge.csv"
    with file.open("wb") as sparse:
        sparse.truncate(limits.FILE.usual * limits.MB + 1)
    with pytest.raises(ListError, match=r"^huge\.csv: over 512 MB$"):
        read_cells(file)


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    """With what the system says."""
    with pytest.raises(ListError, match=r"^cannot read '.*absent\.csv': No such file or directory$"):
        read_cells(tmp_path / "absent.csv")


def test_titles_above_the_headings_are_told(tmp_path: Path) -> None:
    """Nothing of the file is dropped without a word."""
    cells = _read(tmp_path, "Stock of the shed;;\n1 March;;\nBezeichnung;Anzahl;Ort\n22n;3;A\n")
    assert (cells.header, cells.rows) == (("Bezeichnung", "Anzahl", "Ort"), ((4, ("22n", "3", "A")),))
    assert cells.notes[1:] == ("above the headings: 'Stock of the shed'", "above the headings: '1 March'")


def test_a_list_without_headings_loses_no_row(tmp_path: Path) -> None:
    """Its first row is a part as well; the columns have no names."""
    cells = _read(tmp_path, "22n 400V film;3\n47n 630V film;1\n")
    assert (cells.header, cells.rows) == (("", ""), ((1, ("22n 400V film", "3")), (2, ("47n 630V film", "1"))))
    assert cells.notes[1:] == ("no headings",)


COMMAS = [
    ("wert;volt\n0,1 µF;400\n0,22 µF;630\n", True),
    ("wert;volt\n0.1 µF;400\n1,000 pF;630\n", False),
    ("wert;volt\n100n;400\n", False),
    ("ref;wert\nC1,C2;10u\n", False),
]


@pytest.mark.parametrize(("text", "comma"), COMMAS)
def test_decimal_commas_are_recognised(tmp_path: Path, text: str, comma: bool) -> None:
    """By the numbers that can be read one way only; commas between designators count for nothing."""
    cells = _read(tmp_path, text)
    assert cells.decimal_comma is comma
    assert ("decimal commas" in cells.notes) is comma


def test_rows_are_read_anew_each_time(tmp_path: Path) -> None:
    """A stream, not a copy in memory."""
    file = tmp_path / "list.csv"
    file.write_text("a,b\n1,2\n")
    cells = read_cells(file)
    assert list(cells.rows) == list(cells.rows) == [(2, ("1", "2"))]


def test_nameless_columns_that_nothing_fills_are_left_out(tmp_path: Path) -> None:
    """Spreadsheets write many of them."""
    assert _read(tmp_path, "a,b,,,\n1,2,,,\n").header == ("a", "b")


CELL = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters='"\x85\u2028\u2029'), max_size=12).map(
    str.strip
)


SAID = CELL.filter(lambda cell: any(map(str.isalnum, cell)))  # a row of dashes and colons alone is a drawn line


@given(st.lists(st.tuples(SAID, CELL, CELL), max_size=8), st.sampled_from([",", ";", "\t", "|"]))
def test_what_was_quoted_comes_back(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[str, str, str]], mark: str
) -> None:
    """Whatever stands in a quoted cell, delimiters included."""
    lines = [mark.join(f'"{cell}"' for cell in row) for row in (("a", "b", "c"), *rows)]
    cells = _read(tmp_path_factory.mktemp("quoted"), f"sep={mark}\n" + "\n".join(lines) + "\n")
    assert [row for _, row in cells.rows] == rows
    assert [line for line, _ in cells.rows] == list(range(3, 3 + len(rows)))


def test_plain_notes_have_no_headings(tmp_path: Path) -> None:
    """The first line is a part like the others, commas in it or not."""
    cells = _read(tmp_path, "3x 22n 630V polyprop\nR2, R3: 1M 1W\nEL84\n")
    assert cells.notes == ("UTF-8, one cell a line", "no headings")
    assert [row for _, row in cells.rows] == [("3x 22n 630V polyprop",), ("R2, R3: 1M 1W",), ("EL84",)]


def test_decimal_commas_delimit_nothing(tmp_path: Path) -> None:
    """In lines of one cell each."""
    cells = _read(tmp_path, "Wert\n0,1 µF 630 V\n4,7 kOhm\n")
    assert [row for _, row in cells.rows] == [("0,1 µF 630 V",), ("4,7 kOhm",)]


@pytest.mark.parametrize("rule", ["|---|---|", "|:--:|--:|", "+---+---+", "========="])
def test_a_line_drawn_between_rows_is_no_row(tmp_path: Path, rule: str) -> None:
    """As typed tables have them."""
    cells = _read(tmp_path, f"|Value|Qty|\n{rule}\n|22n|3|\n")
    assert [row for _, row in cells.rows] == [("", "22n", "3", "")]


def test_columns_may_be_kept_apart_by_blanks(tmp_path: Path) -> None:
    """A piece stands under the heading that begins or ends where it does."""
    cells = _read(tmp_path, "Qty   Value     Rating\n  3   22n       630V\n 10   470k\n  1             5A\n")
    assert cells.notes == ("UTF-8, columns kept apart by blanks",)
    assert [row for _, row in cells.rows] == [("3", "22n", "630V"), ("10", "470k", ""), ("1", "", "5A")]


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_wide_letters_are_known_without_their_mark(tmp_path: Path, encoding: str) -> None:
    """Every other byte is nothing."""
    assert _read(tmp_path, "Wert;Stück\n8 µF;2\n".encode(encoding)).header == ("Wert", "Stück")


def test_a_picture_under_another_name_is_no_list(tmp_path: Path) -> None:
    """Even without a zero in it."""
    with pytest.raises(ListError, match=r"^list\.csv: not a text file$"):
        _read(tmp_path, b"\xff\xd8\xff\xe0" + bytes(range(1, 256)) * 20)


def test_a_row_of_a_thousand_cells_is_no_list(tmp_path: Path) -> None:
    """It would take minutes to say so otherwise."""
    with pytest.raises(ListError, match=r"^list\.csv:1: over 1,000 cells in one row$"):
        _read(tmp_path, "22n," * 100_000)
