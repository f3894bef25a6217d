"""The workshop's overrides: windows may change, walls may only be tightened."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from partsbin.errors import RulesError

if TYPE_CHECKING:
    from partsbin.rules import Line

LOWER_ONLY = frozenset(
    {
        "thin_above",
        "thin_safety",
        "derating",
        "touch_limit_peak",
        "touch_limit_earthed",
        "touch_limit_class_2",
        "grid_shift_fits",
        "grid_shift_care",
        "leakage_factor",
        "impedance_care_high",
        "gap_current_ungapped",
    }
)
"""Numbers, or tables of numbers, of which a smaller value is the safer one."""

HIGHER_ONLY = frozenset({"insulation_least", "efficiency_least", "swing", "dc_current_margin", "comfortable"})
"""Numbers of which a larger value is the safer one."""

FEWER_ONLY = frozenset({"dielectrics", "dielectrics_care", "classes", "reuse", "reuse_care"})
"""Lists of what is let through: an override may strike words out, never add one."""

FIXED = frozenset({"stress", "safety", "critical", "barrier", "leakage", "needs_nonpolarised"})
"""What a position is; changing it would turn its walls off."""


def apply_overrides(
    sections: dict[str, dict[str, Line]], changes: Mapping[str, Mapping[str, Line]], file: str, family: str
) -> tuple[str, ...]:
    """Put the workshop's lines into `sections`, refusing what would loosen a wall.

    Parameters
    ----------
    sections : dict
        The family's rules, changed in place.
    changes : mapping
        The workshop's lines.
    file, family : str
        Names for messages.

    Returns
    -------
    tuple of str
        Each change in words, for the answer.

    Raises
    ------
    RulesError
        If a line is unknown or of another form, or loosens a wall.
    """
    said = []
    for section, lines in changes.items():
        if section not in sections:
            raise RulesError(f"{file}: no section [{family}.{section}] to override", hint=", ".join(sections))
        for name, line in lines.items():
            old = sections[section].get(name)
            if old is None:
                raise RulesError(
                    f"{file}: no rule {name!r} in [{family}.{section}] to override", hint=", ".join(sections[section])
                )
            _allow(f"{file}: [{family}.{section}] {name}", name, old.value, line.value)
            said.append(
                f"{section.removeprefix('position.')} {name}: {_text(line.value)} (was {_text(old.value)}), {file}"
            )
            sections[section][name] = line
    return tuple(said)


def _allow(where: str, name: str, old: Any, new: Any) -> None:
    if name in FIXED:
        raise RulesError(f"{where}: cannot be overridden, it says what the position is")
    if isinstance(old, bool) or isinstance(new, bool):
        same = isinstance(old, bool) and isinstance(new, bool)
    else:
        same = type(old) is type(new) or (isinstance(old, (int, float)) and isinstance(new, (int, float)))
    if not same:
        raise RulesError(f"{where}: {new!r} is not of the form of {old!r}")
    if name in LOWER_ONLY and not _no_more(new, old):
        raise RulesError(
            f"{where}: {_text(new)} is looser than {_text(old)}", hint="this line holds a wall: it may only be lowered"
        )
    if name in HIGHER_ONLY and not new >= old:
        raise RulesError(
            f"{where}: {_text(new)} is looser than {_text(old)}", hint="this line holds a wall: it may only be raised"
        )
    if name in FEWER_ONLY and not set(new) <= set(old):
        raise RulesError(
            f"{where}: {_text(new)} adds to {_text(old)}", hint="this line holds a wall: words may only be struck out"
        )
    if name in ("fits", "care"):
        _ordered(where, new)


def _no_more(new: Any, old: Any) -> bool:
    if isinstance(old, dict):
        return set(new) <= set(old) and all(_no_more(value, old[key]) for key, value in new.items())
    return bool(0 < new <= old)


def _ordered(where: str, window: Any) -> None:
    if len(window) != 2 or not all(isinstance(end, (int, float)) for end in window) or not 0 < window[0] <= window[1]:
        raise RulesError(f"{where}: {_text(window)} is not a window [low, high] with 0 < low ≤ high")


def _text(value: Any) -> str:
    if isinstance(value, tuple):
        return "[" + ", ".join(str(item) for item in value) + "]"
    return str(value)
