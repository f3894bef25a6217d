"""The docstring of a circuit function names its parameters as the signature does, each with a unit."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable

import pytest

from tests.circuit.walk import public_functions

UNITS = {"-", "V", "A", "VA", "W", "J", "C", "ohm", "S", "F", "H", "Hz", "rad", "s", "m", "m^2", "K", "°C", "dB"}
FUNCTIONS = public_functions()

_UNIT = re.compile(r"\[([^\[\]]+)\]\.?$")
_RULE = re.compile(r"^-+$")


def _section(docstring: str, title: str) -> list[tuple[str, str]]:
    """Return the entries of a numpydoc section as head line and description."""
    lines = docstring.splitlines()
    starts = [i for i in range(len(lines) - 1) if lines[i] == title and _RULE.match(lines[i + 1])]
    if not starts:
        return []
    entries: list[tuple[str, str]] = []
    for line, below in zip(lines[starts[0] + 2 :], [*lines[starts[0] + 3 :], ""], strict=True):
        if _RULE.match(below):  # the title of the next section
            break
        if line and not line.startswith(" "):
            entries.append((line, ""))
        elif line and entries:
            entries[-1] = (entries[-1][0], f"{entries[-1][1]} {line.strip()}".strip())
    return entries


def _unit_fault(what: str, description: str) -> list[str]:
    match = _UNIT.search(description)
    if match is None:
        return [f"{what} does not end in a unit in brackets: {description!r}"]
    return [] if match[1] in UNITS else [f"{what} has the unit {match[1]!r}, which is none of SI"]


def faults(function: Callable[..., object]) -> list[str]:
    """Return what is wrong with the Parameters and Returns of a docstring."""
    docstring = inspect.getdoc(function) or ""
    stars = {inspect.Parameter.VAR_POSITIONAL: "*", inspect.Parameter.VAR_KEYWORD: "**"}
    signature = [stars.get(p.kind, "") + p.name for p in inspect.signature(function).parameters.values()]
    parameters, returns = _section(docstring, "Parameters"), _section(docstring, "Returns")
    documented = [head.partition(" : ")[0] for head, _ in parameters]
    found = [] if documented == signature else [f"documents {documented}, the signature has {signature}"]
    for head, description in parameters:
        found += _unit_fault(f"parameter {head.partition(' : ')[0]}", description)
    for _, description in returns:
        found += _unit_fault("return", description)
    return found if returns else [*found, "return is not documented"]


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_docstring_agrees_with_the_signature_and_gives_units(name: str) -> None:
    """Every parameter and every return is documented under its own name, with a unit of SI."""
    assert faults(FUNCTIONS[name]) == []


def test_the_walk_finds_the_functions() -> None:
    """A walk that found nothing, or only what modules import from each other, would make the check above empty."""
    assert {"partsbin.circuit.supply.off_load_peak", "partsbin.circuit.touch.touch_current"} <= FUNCTIONS.keys()
    assert "partsbin.circuit.touch.parallel_capacitance" not in FUNCTIONS


def _sound(volts: float, *amperes: float) -> float:
    """Return the power.

    Parameters
    ----------
    volts : float
        Voltage,
        however it was read [V]
    *amperes : float
        Each current [A].

    Returns
    -------
    float
        Power [W]

    Notes
    -----
    Nothing here [nothing]
    """
    return volts * sum(amperes)


def test_a_sound_docstring_has_no_faults() -> None:
    """Descriptions over two lines, starred names and a full stop behind the unit are taken."""
    assert faults(_sound) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (
            "volts : float",
            "voltage : float",
            "documents ['voltage', '*amperes'], the signature has ['volts', '*amperes']",
        ),
        ("however it was read [V]", "however it was read", "parameter volts does not end in a unit in brackets: "),
        ("Each current [A].", "Each current [A] or none", "parameter *amperes does not end in a unit in brackets: "),
        ("Each current [A].", "Each current [mA]", "parameter *amperes has the unit 'mA', which is none of SI"),
        ("Power [W]", "Power", "return does not end in a unit in brackets: 'Power'"),
        ("Returns\n", "Gives\n", "return is not documented"),
    ],
)
def test_a_faulty_docstring_is_refused(old: str, new: str, fault: str) -> None:
    """Each kind of fault, put into a sound docstring, is found and named."""

    def faulty(volts: float, *amperes: float) -> float:
        return volts * sum(amperes)

    assert _sound.__doc__ is not None
    assert old in _sound.__doc__
    faulty.__doc__ = _sound.__doc__.replace(old, new)
    assert [found for found in faults(faulty) if found.startswith(fault)] != []
