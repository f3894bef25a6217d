"""Facts in words: SI numbers in trade notation, child rows with their own units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pydantic.fields import FieldInfo

from partsbin.families._declare import Facts, child_type, unit_of
from partsbin.words import say


def said_fields(model: type[Facts], fields: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return the name and the value of each field in words: SI numbers in trade notation, child rows with their own units."""
    return [(name.replace("_", " "), _said(value, model.model_fields.get(name))) for name, value in fields.items()]


def _said(value: Any, info: FieldInfo | None) -> str:
    if info is not None and (child := child_type(info.annotation)) is not None:
        return "; ".join(", ".join(f"{name} {text}" for name, text in said_fields(child, row)) for row in value)
    return plain(value, unit_of(info) if info is not None else "")


def sentence(model: type[Facts]) -> Callable[[dict[str, Any]], str]:
    """Return a function that says fields in one line, to name a reading by."""
    return lambda fields: ", ".join(f"{name} {text}" for name, text in said_fields(model, fields)) or "nothing"


def plain(value: Any, unit: str) -> str:
    """Return one value in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return say(value, unit) if unit not in ("", "-") else f"{value:.4g}"
    if isinstance(value, (tuple, list)):
        return " ".join(str(word) for word in value)
    return str(value)
