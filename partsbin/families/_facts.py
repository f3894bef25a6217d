"""How a family writes down what is marked on its parts: fields with units and bounds; tables, columns and schemas follow from them."""

from __future__ import annotations

import types
import typing
from typing import Any, Literal, Self, Union

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from partsbin.errors import DeclarationError


class Facts(BaseModel):
    """What is marked on a part, validated. Its table, its columns in files and its schema follow from the fields.

    A field that is not known is None. A list of further `Facts` becomes a child table.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    @classmethod
    def trusted(cls, values: dict[str, Any]) -> Self:
        """Make facts of values that a table with constraints held, every field among them: `model_construct` without its search
        for aliases and defaults, which takes ten times as long."""
        made = cls.__new__(cls)
        object.__setattr__(made, "__dict__", {name: values[name] for name in cls.model_fields})
        object.__setattr__(made, "__pydantic_fields_set__", set(values))
        object.__setattr__(made, "__pydantic_extra__", None)
        object.__setattr__(made, "__pydantic_private__", None)
        return made


def fact(
    description: str, *, unit: str = "", gt: float | None = None, ge: float | None = None, le: float | None = None
) -> Any:
    """Declare a field: what it is, its SI unit, its bounds. It may always be unknown."""
    return Field(default=None, description=description, gt=gt, ge=ge, le=le, json_schema_extra={"unit": unit})


def unit_of(info: FieldInfo) -> str:
    """Return the unit that a field was declared with, "" where it has none."""
    extra = info.json_schema_extra
    return str(extra.get("unit", "")) if isinstance(extra, dict) else ""


def facts_list(description: str) -> Any:
    """Declare a list of child rows."""
    return Field(default=(), description=description, max_length=64)


def child_type(annotation: Any) -> type[Facts] | None:
    """Return the row type of a field that holds a list of facts, None for a plain field."""
    if typing.get_origin(annotation) in (tuple, list):
        inner = typing.get_args(annotation)[0]
        if isinstance(inner, type) and issubclass(inner, Facts):
            return inner
    return None


def plain_type(annotation: Any) -> tuple[type, tuple[str, ...]]:
    """Return the Python type of a plain field and the words it allows (none: any)."""
    if typing.get_origin(annotation) in (Union, types.UnionType):
        inner = [arg for arg in typing.get_args(annotation) if arg is not type(None)]
        if len(inner) == 1:
            return plain_type(inner[0])
    if typing.get_origin(annotation) is Literal:
        return str, typing.get_args(annotation)
    if annotation in (float, int, bool, str):
        return annotation, ()
    raise DeclarationError(
        f"field type {annotation!r} has no column", hint="use float, int, bool, str, Literal or a list of Facts"
    )
