"""What a repairer reckons at the bench: each calculation names its inputs, its formula and its source.

An input may carry an uncertainty (``230V±1%``); the results are then given with both ends, every combination of the
inputs' ends tried.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from partsbin.errors import NotationError, UsageError
from partsbin.notation.quantity import read_quantity

Values = Mapping[str, float]


@dataclass(frozen=True)
class Input:
    """One figure that a calculation takes.

    Parameters
    ----------
    name : str
        The word before ``=``.
    unit : str
        SI unit; "-" for a plain number.
    help : str
        One line for people.
    usual : float or None
        What is taken where nothing is given; None: it must be given.
    most, least : float
        The figure must lie between them [unit].
    """

    name: str
    unit: str
    help: str
    usual: float | None = None
    least: float = 0.0
    most: float = math.inf


@dataclass(frozen=True)
class Calculation:
    """One calculation.

    Parameters
    ----------
    name : str
        The word on the command line.
    title : str
        What it answers.
    inputs : tuple of Input
        In the order in which figures without a name are taken.
    results : tuple of (str, str, str)
        Name, SI unit and words of each result.
    formula : str
        As it stands in a handbook.
    source : str
        Key of `partsbin.sources`.
    work : callable
        ``work(values)`` gives the results in their order, NaN where there is none.
    caution : str
        What can hurt, "" if nothing.
    """

    name: str
    title: str
    inputs: tuple[Input, ...]
    results: tuple[tuple[str, str, str], ...]
    formula: str
    source: str
    work: Callable[[Values], Sequence[float]]
    caution: str = ""


@dataclass(frozen=True)
class Figure:
    """A value with its ends and how it came: given, usual or worked out."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    words: str
    origin: str


def reckon(calculation: Calculation, given: Sequence[str]) -> tuple[list[Figure], list[Figure]]:
    """Work out a calculation.

    Parameters
    ----------
    calculation : Calculation
        What to work out.
    given : sequence of str
        ``name=figure`` in trade notation, or figures alone in the order of the inputs.

    Returns
    -------
    (list of Figure, list of Figure)
        The inputs as understood, the results.

    Raises
    ------
    UsageError
        If an input is missing, unknown, given twice or cannot be read.
    """
    inputs = _inputs(calculation, _named(calculation, given))
    ends = [sorted({figure.low, figure.high}) for figure in inputs]
    names = [figure.name for figure in inputs]
    middle = calculation.work({figure.name: figure.value for figure in inputs})
    corners = [calculation.work(dict(zip(names, corner, strict=True))) for corner in itertools.product(*ends)]
    results = []
    for at, (name, unit, words) in enumerate(calculation.results):
        reached = [float(corner[at]) for corner in corners]
        low, high = (math.nan, math.nan) if any(map(math.isnan, reached)) else (min(reached), max(reached))
        results.append(Figure(name, float(middle[at]), low, high, unit, words, "worked out"))
    return inputs, results


def _named(calculation: Calculation, given: Sequence[str]) -> dict[str, str]:
    known = [entry.name for entry in calculation.inputs]
    found: dict[str, str] = {}
    for text in given:
        name, sign, figure = text.partition("=")
        if not sign:
            free = [name for name in known if name not in found]
            if not free:
                raise UsageError(
                    f"{text!r} is one figure too many", hint=f"{calculation.name} takes {', '.join(known)}"
                )
            name, figure = free[0], text
        name = name.strip().lower().replace("-", "_").replace(" ", "_")
        if name not in known:
            raise UsageError(f"{calculation.name} takes no {name!r}", hint=f"it takes {', '.join(known)}")
        if name in found:
            raise UsageError(f"{name!r} is given twice", hint=f"{found[name]!r} and {figure!r}")
        found[name] = figure.strip()
    return found


def _inputs(calculation: Calculation, given: Mapping[str, str]) -> list[Figure]:
    missing = [entry for entry in calculation.inputs if entry.usual is None and entry.name not in given]
    if missing:
        wanted = "; ".join(f"{entry.name}: {entry.help}" for entry in missing)
        raise UsageError(
            f"{calculation.name} needs {', '.join(entry.name for entry in missing)}", hint=f"NAME=FIGURE. {wanted}"
        )
    return [_read(entry, given[entry.name]) if entry.name in given else _usual(entry) for entry in calculation.inputs]


def _usual(entry: Input) -> Figure:
    value = math.nan if entry.usual is None else entry.usual
    return Figure(entry.name, value, value, value, entry.unit, entry.help, "usual")


def _read(entry: Input, text: str) -> Figure:
    try:
        quantity = read_quantity(text, None if entry.unit == "-" else entry.unit)
    except NotationError as fault:
        raise UsageError(f"{entry.name}={text!r}: {fault.message}", hint=entry.help) from None
    if quantity.unit not in (entry.unit, "-"):
        raise UsageError(f"{entry.name}={text!r} is in {quantity.unit}, expected {entry.unit}", hint=entry.help)
    value = float(quantity.value)
    down, up = (float(part) for part in quantity.tolerance) if quantity.tolerance else (0.0, 0.0)
    if not entry.least <= value <= entry.most:
        bounds = f"at least {entry.least:g}" if math.isinf(entry.most) else f"{entry.least:g} to {entry.most:g}"
        raise UsageError(f"{entry.name}={text!r} is impossible, expected {bounds} {entry.unit.strip('-')}".rstrip())
    ends = sorted((value * (1 + down), value * (1 + up)))
    return Figure(entry.name, value, ends[0], ends[1], entry.unit, entry.help, "given")


def find_calculation(table: Mapping[str, Calculation], name: str) -> Calculation:
    """Return a calculation by its name.

    Raises
    ------
    UsageError
        If there is none, with those whose names are near.
    """
    if name in table:
        return table[name]
    from rapidfuzz import process

    near: Any = process.extractOne(name, list(table), score_cutoff=60)
    meant = f"did you mean {near[0]!r}? " if near else ""
    raise UsageError(f"no calculation {name!r}", hint=f"{meant}Known: {', '.join(table)}")
