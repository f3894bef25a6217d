"""The workshop's overrides: windows may change, walls may only be tightened.

Each line of the rules stands in exactly one class below, by its name or, where a whole section is of one kind, by its section.
A line that stands in none cannot be overridden: a new rule is classified on purpose.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from partsbin.errors import RulesError

if TYPE_CHECKING:
    from partsbin.rules import Line

LOWER_ONLY = frozenset(
    {
        "derating.*",
        "thin_above",
        "line_volts_care",
        "heater_tolerance",
        "heater_tolerance_care",
        "flux_fits",
        "flux_care",
        "va_thin",
        "peak_rise",
        "bass_corner",
        "secondary_most",
        "thin_safety",
        "touch_limit_peak",
        "touch_limit_earthed",
        "grid_shift_fits",
        "grid_shift_care",
        "insulation_floor_film",
        "insulation_floor_seconds",
        "insulation_floor_ceramic",
        "ripple_floor",
        "gap_current_ungapped",
        "drop_fits",
        "drop_care",
        "primary_open",
        "watts_an_ampere",
        "full_to.*",
        "zero_at.*",
        "element_eighth.*",
        "element_quarter.*",
        "element_half.*",
        "element_one.*",
        "element_two.*",
        "overload",
        "film_watts",
        "body_ratio",
        "grid_leak_most",
        "grid_leak_fixed",
        "thin_current",
        "thin_volts",
        "unmarked_most",
        "contact_most",
        "winding_open",
        "heater_fits",
        "heater_care",
        "chain_current",
        "heater_more",
        "heater_most",
        "gas_most",
        "gas_bad",
        "thin_power",
        "nonlinear",
        "floor_watts",
        "floor_watts_law",
        "floor_volts",
        "body_volts",
        "surge_times",
        "match_fits",
        "match_care",
        "current_share",
        "thin_surge",
        "heater_rise",
        "leakage_most",
        "leakage_bad",
        "winding_least",
    }
)
"""Numbers of which a smaller one is safer: limits, deratings, and what is credited to a part without a reading."""

HIGHER_ONLY = frozenset(
    {
        "winding_regulation",
        "lamp_current",
        "usual_valve",
        "unmarked_least",
        "line_ratio_fits",
        "line_ratio_care",
        "insulation_supply",
        "insulation_least",
        "insulation_test",
        "efficiency_least",
        "efficiency_fits",
        "swing",
        "primary_short",
        "power_thin",
        "poles",
        "current",
        "critical_margin",
        "coil_short",
        "power_least",
        "charging",
        "watts",
        "volts",
        "ambient",
        "emission_least",
        "insulation_fits",
        "insulation_care",
        "body_watts",
        "programme",
        "across",
    }
)
"""Numbers of which a larger one is safer: what is asked of a part, and the stress that is reckoned with."""

FEWER_ONLY = frozenset({"dielectrics", "dielectrics_care", "classes", "kinds", "technologies", "technologies_care"})
"""Words for what is let through: an override may strike some out, never add one."""

MORE_ONLY = frozenset({"label_thin", "cautions"})
"""Words for what is warned of: an override may add some, never strike one out."""

FIXED = frozenset(
    {
        "stress",
        "speed",
        "safety",
        "critical",
        "leakage",
        "tolerance.*",
        "ratio_tolerance",
        "usual_primary",
        "serves",
        "common",
        "chain_fits",
        "chain_care",
        "parallel_current",
        "parallel_most",
        "panel",
        "mid.*",
        "known_by",
        "copper_field",
    }
)
"""What a position is, which would turn its walls off, and the spreads on which the stored search keys rest."""

FREE = frozenset(
    {
        "rank.*",
        "title",
        "does",
        "usual",
        "fits",
        "care",
        "also",
        "after",
        "comfortable",
        "copper_usual",
        "usual_speaker",
        "resistance_fits",
        "resistance_care",
        "field_fits",
        "field_care",
        "size_care",
        "usual_watts",
        "usual_spindle",
        "neon_volts",
        "impedance_of_resistance",
        "impedance_low",
        "impedance_high",
        "tapers",
        "tapers_care",
        "unmarked",
        "tap_apart",
        "spindle_slack",
        "length_slack",
        "plate_volts",
        "plate_drop",
    }
)
"""Habits of the workshop: windows, usual values, words, the order of what is offered."""

CLASSES = {
    "lower": LOWER_ONLY,
    "higher": HIGHER_ONLY,
    "fewer": FEWER_ONLY,
    "more": MORE_ONLY,
    "fixed": FIXED,
    "free": FREE,
}
_FRACTIONS = frozenset({"copper_usual", "comfortable"})
_MAY_BE_EMPTY = frozenset({"dielectrics_care", "technologies_care"})
_LOOSER: dict[str, Callable[[Any, Any], bool]] = {
    "lower": lambda new, old: new > old,
    "higher": lambda new, old: new < old,
    "fewer": lambda new, old: not set(new) <= set(old),
    "more": lambda new, old: not set(new) >= set(old),
    "free": lambda new, old: False,
}
_HINTS = {
    "lower": "this line holds a wall: it may only be lowered",
    "higher": "this line holds a wall: it may only be raised",
    "fewer": "this line holds a wall: words may only be struck out",
    "more": "this line warns: words may only be added",
}


def classes_of(section: str, name: str) -> tuple[str, ...]:
    """Return the classes that a line stands in: one, or none for a line that nobody has classified."""
    keys = {name, f"{section}.*"} if section == "general" or section.startswith("position.") else {f"{section}.*"}
    return tuple(word for word, names in CLASSES.items() if keys & names)


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
            _allow(f"{file}: [{family}.{section}] {name}", section, name, old.value, line.value)
            said.append(
                f"{section.removeprefix('position.')} {name}: {_text(line.value)} (was {_text(old.value)}), {file}"
            )
            sections[section][name] = line
        _nested(f"{file}: [{family}.{section}]", sections[section])
    return tuple(said)


def _allow(where: str, section: str, name: str, old: Any, new: Any) -> None:
    kind = next(iter(classes_of(section, name)), "fixed")
    if kind == "fixed":
        why = "it says what the position is" if section.startswith("position.") else "stored search keys rest on it"
        raise RulesError(f"{where}: cannot be overridden, {why}")
    _same_form(where, section, name, old, new)
    if _LOOSER[kind](new, old):
        fault = {"fewer": "adds to", "more": "strikes words out of"}.get(kind, "is looser than")
        raise RulesError(f"{where}: {_text(new)} {fault} {_text(old)}", hint=_HINTS[kind])
    if kind == "fewer" and not new and name not in _MAY_BE_EMPTY:
        raise RulesError(f"{where}: an empty list lets nothing through", hint=f"keep some of {_text(old)}")


def _same_form(where: str, section: str, name: str, old: Any, new: Any) -> None:
    """A number stays a finite number above zero, words stay words, a window stays [low, high]."""
    if name in ("fits", "care"):
        pair = isinstance(new, tuple) and len(new) == 2 and all(_is_number(end) for end in new)
        if not pair or not 0 < new[0] <= new[1]:
            raise RulesError(f"{where}: {_text(new)} is not a window [low, high] with 0 < low ≤ high")
    elif isinstance(old, tuple):
        if not isinstance(new, tuple) or not all(isinstance(word, str) for word in new):
            raise RulesError(f"{where}: {_text(new)} is not a list of words")
    elif _is_number(old):
        if not _is_number(new):
            raise RulesError(f"{where}: {_text(new)} is not a number")
        if new < 0 or (new == 0 and section != "rank"):
            least = "at least" if section == "rank" else "more than"
            raise RulesError(f"{where}: {_text(new)} is impossible, expected {least} 0")
        if name in _FRACTIONS and not new < 1:
            raise RulesError(f"{where}: {_text(new)} is impossible, expected less than 1")
    elif not isinstance(new, str):
        raise RulesError(f"{where}: {_text(new)} is not a text")


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


def _nested(where: str, lines: Mapping[str, Line]) -> None:
    """What fits must lie within what is taken with care, or it would be refused."""
    if "fits" in lines and "care" in lines:
        fits, care = lines["fits"].value, lines["care"].value
        if fits[0] < care[0] or fits[1] > care[1]:
            raise RulesError(
                f"{where} fits: {_text(fits)} reaches beyond care: {_text(care)}", hint="override both lines"
            )


def _text(value: Any) -> str:
    if isinstance(value, tuple):
        return "[" + ", ".join(str(item) for item in value) + "]"
    return str(value)
