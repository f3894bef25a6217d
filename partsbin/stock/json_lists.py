"""A JSON list: objects whose names are columns, or lists below a list of names; alone, wrapped in an object, or one in each line."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from partsbin.stock.describe import named_family
from partsbin.stock.guard import BLANKS, GUARD, guarded
from partsbin.stock.limits import MB, WHOLE
from partsbin.stock.text_lists import ListError

_PERHAPS_HALF = re.compile(r"\\u[dD][89a-fA-F]")
"""Signs beyond the first 65,536 are written as two halves; one alone can be neither stored nor printed."""

_EXPECTED = 'a list of objects, such as [{"family": "capacitor", "capacitance": 2.2e-08, "count": 3}]'


def json_rows(path: Path) -> tuple[list[tuple[int, tuple[str, ...]]], str]:
    """Return the names as a first row, then a row for each object; its line is its number in the list.

    Raises
    ------
    ListError
        If the file cannot be read, or is no list of objects.
    """
    try:
        if path.stat().st_size > WHOLE.most * MB:
            raise ListError(*WHOLE.over(path.name))
        text = path.read_bytes().decode("utf-8-sig")
        document = _parsed(text)
        if _PERHAPS_HALF.search(text):
            json.dumps(document, ensure_ascii=False).encode()
    except UnicodeEncodeError as fault:
        half = f"\\u{ord(fault.object[fault.start]):04x}"
        raise ListError(f"{path.name}: '{half}' alone is half a sign, expected text") from None
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    except UnicodeError:
        raise ListError(f"{path.name}: not readable as UTF-8, expected {_EXPECTED}") from None
    except (ValueError, RecursionError) as fault:
        raise ListError(f"{path.name}: no JSON document: {fault}") from None
    found, where = _list_in(document)
    if found is None:
        raise ListError(f"{path.name}: {_kind(document)}, expected {_EXPECTED}")
    said = f"JSON{where}, lines count its entries"
    if found and not any(found):
        raise ListError(f"{path.name}: empty, expected {_EXPECTED}")
    if found and all(isinstance(entry, list) for entry in found):
        names = [(1, tuple(name.strip() if isinstance(name, str) else _cell(name) for name in found[0]))]
        return names + [(n, tuple(map(_cell, entry))) for n, entry in enumerate(found[1:], 2) if any(entry)], said
    if found and all(isinstance(entry, str) for entry in found):
        return [(number, (_cell(entry),)) for number, entry in enumerate(found, 1) if entry.strip()], said
    for number, entry in enumerate(found, 1):
        if not isinstance(entry, dict):
            raise ListError(f"{path.name}: entry {number} is {_kind(entry)}, expected {_EXPECTED}")
    if not found:
        raise ListError(f"{path.name}: empty, expected {_EXPECTED}")
    header = tuple(dict.fromkeys(name for entry in found for name in entry))
    rows = [
        (number, tuple(_cell(entry.get(name)) for name in header)) for number, entry in enumerate(found, 1) if entry
    ]
    return [(0, header), *rows], said


def _parsed(text: str) -> Any:
    """One document, or one in each line."""
    try:
        return json.loads(text)
    except ValueError:
        lines = [line for line in text.splitlines() if line.strip()]
        if len(lines) < 2 or not all(line.lstrip()[:1] in "{[" for line in lines):
            raise
        try:
            return [json.loads(line) for line in lines]
        except ValueError:
            pass
        raise


def _list_in(document: Any, deep: int = 4) -> tuple[list[Any] | None, str]:
    """The list itself, or the one list that objects wrap, and in words where it lay."""
    if isinstance(document, list):
        return document, ""
    if not isinstance(document, dict) or not deep:
        return None, ""
    inside = [(name, *_list_in(value, deep - 1)) for name, value in document.items()]
    lists = [(name, found, where) for name, found, where in inside if found and isinstance(found[0], (dict, list))]
    if len(lists) > 1 and all(named_family(name) for name, _, _ in lists):
        return [{"kind": name, **entry} for name, found, _ in lists for entry in found if isinstance(entry, dict)], ""
    if len(lists) != 1:
        return None, ""
    name, found, where = lists[0]
    return found, f"{where} in {name!r}"


def _kind(value: Any) -> str:
    kinds = {dict: "one object", list: "a list", str: "a text", bool: "a truth value", type(None): "nothing"}
    return kinds.get(type(value), "a number")


def _cell(value: Any) -> str:
    """A value as it would stand in a cell: numbers in SI, an object in words, lists of objects as JSON."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        text = value.strip()
        return guarded(text) if text.startswith(GUARD) or text.lower() in BLANKS else text  # what stands here is meant
    if isinstance(value, dict) and not any(isinstance(inner, (dict, list)) for inner in value.values()):
        return ", ".join(f"{name} {_cell(inner)}".strip() for name, inner in value.items())
    return json.dumps(value, ensure_ascii=False)
