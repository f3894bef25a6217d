"""A JSON list: objects whose names are columns."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from partsbin.stock.guard import BLANKS, GUARD, guarded
from partsbin.stock.text_lists import MOST_BYTES, ListError

_EXPECTED = 'a list of objects, such as [{"family": "capacitor", "capacitance": 2.2e-08, "count": 3}]'


def json_rows(path: Path) -> tuple[list[tuple[int, tuple[str, ...]]], str]:
    """Return the names as a first row, then a row for each object; its line is its number in the list.

    Raises
    ------
    ListError
        If the file cannot be read, or is no list of objects.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListError(f"{path.name}: over {MOST_BYTES // 1024**2} MB")
        document = json.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    except UnicodeError:
        raise ListError(f"{path.name}: not readable as UTF-8, expected {_EXPECTED}") from None
    except (ValueError, RecursionError) as fault:
        raise ListError(f"{path.name}: no JSON document: {fault}") from None
    if not isinstance(document, list):
        raise ListError(f"{path.name}: {_kind(document)}, expected {_EXPECTED}")
    for number, entry in enumerate(document, 1):
        if not isinstance(entry, dict):
            raise ListError(f"{path.name}: entry {number} is {_kind(entry)}, expected {_EXPECTED}")
    if not any(document):
        raise ListError(f"{path.name}: empty, expected {_EXPECTED}")
    header = tuple(dict.fromkeys(name for entry in document for name in entry))
    rows = [
        (number, tuple(_cell(entry.get(name)) for name in header)) for number, entry in enumerate(document, 1) if entry
    ]
    return [(0, header), *rows], "JSON, lines count its entries"


def _kind(value: Any) -> str:
    kinds = {dict: "one object", list: "a list", str: "a text", bool: "a truth value", type(None): "nothing"}
    return kinds.get(type(value), "a number")


def _cell(value: Any) -> str:
    """A value as it would stand in a cell: numbers in SI, lists of objects as JSON."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        text = value.strip()
        return guarded(text) if text.startswith(GUARD) or text.lower() in BLANKS else text  # what stands here is meant
    return json.dumps(value, ensure_ascii=False)
