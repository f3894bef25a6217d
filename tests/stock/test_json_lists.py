"""JSON lists as cells."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.stock.intake import TAKEN, take_in
from partsbin.stock.lists import Cells, ListError, read_cells


def _read(tmp_path: Path, text: str) -> Cells:
    path = tmp_path / "a.json"
    path.write_text(text, encoding="utf-8")
    return read_cells(path)


def test_objects_are_rows_under_all_their_names(tmp_path: Path) -> None:
    """Numbers in SI, yes and no, lists of objects; a name that is missing is an empty cell."""
    marked = '{"family": "capacitor", "capacitance": 2.2e-08}'
    text = f'[{marked}, {{"family": "capacitor", "sections": [{{"capacitance": 8e-6}}], "polarised": true}}]'
    cells = _read(tmp_path, text)
    assert cells.header == ("family", "capacitance", "sections", "polarised")
    assert tuple(cells.rows) == (
        (1, ("capacitor", "2.2e-08", "", "")),
        (2, ("capacitor", "", '[{"capacitance": 8e-06}]', "yes")),
    )
    rows = take_in(cells).rows
    assert [row.status for row in rows] == [TAKEN, TAKEN]
    assert rows[0].fields == {"capacitance": 2.2e-08}


WRONG = [
    ("{}", "one object"),
    ('"text"', "a text"),
    ("3", "a number"),
    ("null", "nothing"),
    ("true", "a truth value"),
    ("[1]", "entry 1 is a number"),
    ('[{"family": "capacitor"}, []]', "entry 2 is a list"),
    ("[]", "empty"),
    ("[{}]", "empty"),
]


@pytest.mark.parametrize(("text", "said"), WRONG)
def test_a_document_that_is_no_list_of_objects_is_refused(tmp_path: Path, text: str, said: str) -> None:
    """With what was expected: never a list of no rows."""
    with pytest.raises(ListError, match=rf"^a\.json: {said}, expected a list of objects"):
        _read(tmp_path, text)


@pytest.mark.parametrize("text", ["", "[{", "[" * 100_000])
def test_what_is_no_json_is_refused(tmp_path: Path, text: str) -> None:
    """With what the reader says."""
    with pytest.raises(ListError, match=r"^a\.json: no JSON document: "):
        _read(tmp_path, text)


@pytest.mark.parametrize("text", ["'=1", "-", "n/a", "value"])
def test_a_text_in_json_is_meant_as_it_stands(tmp_path: Path, text: str) -> None:
    """A list of objects has null for what is not known."""
    account = take_in(_read(tmp_path, f'[{{"family": "capacitor", "capacitance": "22n", "note": "{text}"}}]'))
    assert [draft.note for draft in account.drafts] == [text]


WRAPPED = [
    (
        '{"stock": {"day": "1", "items": [{"name": "22n 630V", "qty": 3}]}}',
        "JSON in 'items' in 'stock', lines count its entries",
    ),
    ('{"name": "22n 630V", "qty": 3}\n{"name": "10k 1W", "qty": 5}\n', "JSON, lines count its entries"),
    ('[["Name", "Qty"], ["22n 630V", 3]]', "JSON, lines count its entries"),
    ('[["Value", "Qty"], ["22n 630V", 3]]', "JSON, lines count its entries"),
    ('["22n 630V x3", "10k 1W"]', "JSON, lines count its entries"),
]


@pytest.mark.parametrize(("text", "said"), WRAPPED)
def test_a_list_is_found_in_what_wraps_it(tmp_path: Path, text: str, said: str) -> None:
    """An object, lines of one object each, lists below a list of names, texts."""
    cells = _read(tmp_path, text)
    first = take_in(cells).rows[0]
    assert cells.notes[0] == said
    assert (first.title, first.count) == ("22 nF 630 V", 3)


def test_lists_under_names_of_families_are_one_list(tmp_path: Path) -> None:
    """Each entry keeps the name that it stood under."""
    text = '{"capacitors": [{"value": "22n", "volts": 630}], "resistors": [{"value": "470", "watts": 1}]}'
    assert [row.title for row in take_in(_read(tmp_path, text)).rows] == ["22 nF 630 V", "470 Ω 1 W"]


def test_two_lists_that_nothing_tells_apart_are_refused(tmp_path: Path) -> None:
    """Never half a document."""
    with pytest.raises(ListError, match=r"one object, expected a list of objects"):
        _read(tmp_path, '{"here": [{"value": "22n"}], "there": [{"value": "10k"}]}')


def test_an_object_in_a_cell_is_said_in_words(tmp_path: Path) -> None:
    """Where a part lies may have several names."""
    (row,) = take_in(_read(tmp_path, '[{"name": "22n 630V", "where": {"drawer": "A", "box": 2}}]')).rows
    assert row.place == "drawer A, box 2"


@pytest.mark.parametrize("text", ["[[]]", "[[], []]", '[""]'])
def test_lists_without_a_cell_are_empty(tmp_path: Path, text: str) -> None:
    """And said to be."""
    with pytest.raises(ListError, match="empty, expected"):
        _read(tmp_path, text)
