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
