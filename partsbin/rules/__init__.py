"""Rules: windows, derating, walls and defaults by position, read from one TOML file a family, each line with its source.

A line is a table ``{ is = VALUE, source = KEY }``. The workshop may override lines in a file of its own: windows and words may
change either way, whatever holds a wall may only be tightened, and the answer names every line overridden.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from partsbin.errors import RulesError
from partsbin.rules.overrides import apply_overrides
from partsbin.sources import SOURCES

_HERE = Path(__file__).parent


@dataclass(frozen=True)
class Line:
    """One rule: its value and the key of its source."""

    value: Any
    source: str


@dataclass(frozen=True)
class Rules:
    """The rules of one family, with the workshop's overrides in force.

    Parameters
    ----------
    family : str
        The family.
    sections : mapping
        Section name to its lines: ``general``, ``rank`` and one ``position.NAME`` for each position.
    overridden : tuple of str
        What the workshop changed, in words.
    """

    family: str
    sections: Mapping[str, Mapping[str, Line]]
    overridden: tuple[str, ...] = field(default=())

    @property
    def positions(self) -> tuple[str, ...]:
        """Names of the positions, in file order."""
        return tuple(name.removeprefix("position.") for name in self.sections if name.startswith("position."))

    def line(self, section: str, name: str) -> Line:
        """Return a line.

        Raises
        ------
        RulesError
            If the rules have no such line.
        """
        try:
            return self.sections[section][name]
        except KeyError:
            raise RulesError(f"no rule {name!r} in [{section}] of {self.family}") from None

    def get(self, section: str, name: str, default: Any = None) -> Any:
        """Return the value of a line, or `default` where there is none."""
        line = self.sections.get(section, {}).get(name)
        return default if line is None else line.value

    def general(self, name: str) -> Any:
        """Return the value of a line of ``[general]``."""
        return self.line("general", name).value

    def of(self, position: str, name: str, default: Any = None) -> Any:
        """Return the value of a position's line, or `default`."""
        return self.get(f"position.{position}", name, default)

    def source_of(self, position: str, name: str) -> str:
        """Return the source key of a position's line, ``practice`` where there is none."""
        line = self.sections.get(f"position.{position}", {}).get(name)
        return "practice" if line is None else line.source


def _lines(table: Mapping[str, Any], where: str) -> dict[str, Line]:
    lines = {}
    for name, entry in table.items():
        if not isinstance(entry, dict) or "is" not in entry or "source" not in entry:
            raise RulesError(f"{where}: rule {name!r} is not {{ is = …, source = … }}")
        if not isinstance(entry["source"], str) or entry["source"] not in SOURCES:
            raise RulesError(f"{where}: rule {name!r} names unknown source {entry['source']!r}")
        value = entry["is"]
        lines[name] = Line(tuple(value) if isinstance(value, list) else value, entry["source"])
    return lines


def _sections(document: Mapping[str, Any], where: str) -> dict[str, dict[str, Line]]:
    sections = {name: _lines(table, f"{where} [{name}]") for name, table in document.items() if name != "position"}
    for name, table in document.get("position", {}).items():
        sections[f"position.{name}"] = _lines(table, f"{where} [position.{name}]")
    return sections


def override_file() -> Path | None:
    """Return the workshop's file of overrides, if it is named by ``PARTSBIN_RULES``."""
    named = os.environ.get("PARTSBIN_RULES", "")
    return Path(named) if named else None


def rules_stand() -> tuple[str, int] | None:
    """Return a word that is another one when the workshop's overrides are; None where they cannot be read."""
    path = override_file()
    try:
        return (str(path), path.stat().st_mtime_ns) if path else ("", 0)
    except OSError:
        return None


@lru_cache(maxsize=64)
def _load(family: str, own: str, override: Path | None, stamp: float) -> Rules:
    path = _HERE / f"{family}.toml"
    if own:
        sections = _sections(_parse_text(own, f"rules of {family}"), f"rules of {family}")
    else:
        sections = _sections(_parse(path), path.name) if path.exists() else {}
    if override is None:
        return Rules(family, sections)
    document = _parse(override)
    ruled = _ruled(family)
    for name in document:
        if name not in ruled:  # a family mistyped would leave the wall that was meant as it is
            raise RulesError(f"{override.name}: no rules of a family {name!r} to override", hint=", ".join(ruled))
    changes = _sections(_with_default_source(document.get(family, {}), override.name), override.name)
    changed = apply_overrides(sections, changes, override.name, family)
    return Rules(family, sections, changed)


def _ruled(family: str) -> list[str]:
    """Names that may head an override: a family whose rules stand in its own module has no table of rules here."""
    tables = {file.stem for file in _HERE.glob("*.toml")}
    declared = {file.stem for file in (_HERE.parent / "families").iterdir() if not file.name.startswith("_")}
    return sorted({family} | tables | declared)


def _with_default_source(document: Any, file: str) -> dict[str, Any]:
    """A workshop need not name a source for its own habits: plain values count as its common practice."""
    result = {}
    for name, table in _table(document, "rules", file).items():
        if name == "position":
            result[name] = {key: _sourced(inner, key, file) for key, inner in _table(table, name, file).items()}
        else:
            result[name] = _sourced(table, name, file)
    return result


def _table(value: Any, name: str, file: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise RulesError(
            f"{file}: {name!r} is {value!r}, expected a table", hint="for example [capacitor.position.coupling]"
        )
    return value


def _sourced(table: Any, name: str, file: str) -> dict[str, Any]:
    return {
        key: {"source": "practice", **(entry if isinstance(entry, dict) and "is" in entry else {"is": entry})}
        for key, entry in _table(table, name, file).items()
    }


def _parse(path: Path) -> dict[str, Any]:
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as fault:
        raise RulesError(f"cannot read rules {str(path)!r}: {fault.strerror}") from None
    except UnicodeDecodeError as fault:
        raise RulesError(f"{path.name}: {fault}") from None
    return _parse_text(text, path.name)


def _parse_text(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (
        ValueError,
        RecursionError,
    ) as fault:  # no TOML, a number of thousands of figures, lists in lists without end
        raise RulesError(f"{name}: {fault}") from None


def load_rules(family: str, override: Path | None = None, *, own: str = "") -> Rules:
    """Return the rules of a family, with the workshop's overrides.

    Parameters
    ----------
    family : str
        The family's name.
    override : Path, optional
        The file of overrides; without it the one named by ``PARTSBIN_RULES``.
    own : str, optional
        The rules as TOML text, where a small family keeps them in its own module; without it ``rules/FAMILY.toml``.

    Raises
    ------
    RulesError
        If a rule breaks its form, names an unknown source, or an override loosens a wall.
    """
    path = override or override_file()
    try:
        stamp = path.stat().st_mtime if path else 0.0
    except OSError as fault:
        raise RulesError(f"cannot read rules {str(path)!r}: {fault.strerror}") from None
    return _load(family, own, path, stamp)
