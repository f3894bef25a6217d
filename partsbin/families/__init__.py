"""The families. Only the one asked for is loaded; a module here whose name has no leading underscore is a family."""

from __future__ import annotations

import importlib
import pkgutil
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

from partsbin.errors import DeclarationError, UsageError
from partsbin.families._declare import Family
from partsbin.families._materials import materials
from partsbin.notation.choices import chosen

__all__ = ["Family", "load", "named", "names", "register"]

_REGISTERED: dict[str, Family] = {}


def names() -> tuple[str, ...]:
    """Return the names of all families, without loading them."""
    return tuple(sorted(_modules() | set(_REGISTERED)))


@cache
def _modules() -> frozenset[str]:
    """The modules beside this one: the folder is read once."""
    found = pkgutil.iter_modules([str(Path(__file__).parent)])
    return frozenset(module.name for module in found if not module.name.startswith("_"))


def named(word: str) -> str:
    """Return the name of the family that a person means by a word.

    Raises
    ------
    UsageError
        If there is no such family, or several begin so; the hint names the nearest.
    """
    return chosen(word, names(), "family")


def register(family: Family) -> None:
    """Add a family declared outside the package, as the toy family of the tests is."""
    _REGISTERED[family.name] = family
    load.cache_clear()


@cache
def load(name: str) -> Family:
    """Return the declaration of a family.

    Raises
    ------
    UsageError
        If there is no family of that name.
    DeclarationError
        If its module declares no proper `FAMILY`.
    """
    if name in _REGISTERED:
        return _REGISTERED[name]
    if name not in names():
        raise UsageError(f"unknown family {name!r}", hint=f"known: {', '.join(names())}")
    module = importlib.import_module(f"partsbin.families.{name}")
    family = getattr(module, "FAMILY", None)
    if not isinstance(family, Family) or family.name != name:
        raise DeclarationError(f"{sys.modules[module.__name__].__file__}: no FAMILY named {name!r}")
    codes = [check.code for check in family.checks]
    if len(set(codes)) != len(codes):
        raise DeclarationError(f"{module.__name__}: check codes are not unique: {', '.join(codes)}")
    return replace(family, hazards=materials(name, family.hazards))
