"""The command that works out the figures of the bench."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, print_json, tell, width

if TYPE_CHECKING:
    from partsbin.sets.calculations import Calculation, Figure


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("calc", help="Figures of the bench: ratio, rail, corner, leakage, …")(calc)


def calc(
    name: Annotated[str | None, typer.Argument(help="Which; without it all are listed.")] = None,
    figures: Annotated[
        list[str] | None, typer.Argument(help="NAME=FIGURE, with an uncertainty if you like: primary=230V±1%.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Work out a figure from others, with its formula and its source.

    partsbin calc ratio primary=230V secondary=5.1V±1% load=3
    """
    from partsbin.sets.bench import CALCULATIONS
    from partsbin.sets.calculations import find_calculation, reckon

    if not name:
        _list(CALCULATIONS.values(), as_json)
        return
    calculation = find_calculation(CALCULATIONS, name.strip().lower())
    inputs, results = reckon(calculation, figures or [])
    if as_json:
        print_json(_document(calculation, inputs, results))
        return
    tell(f"{calculation.name.upper()}  {calculation.title}")
    for figure in inputs:
        if not math.isnan(figure.value):
            tell(
                f"  {figure.name:<22}{_said(figure):<24}{figure.words}{'' if figure.origin == 'given' else ' (usual)'}"
            )
    tell(f"  {'':<22}{calculation.formula}")
    for figure in results:
        if not math.isnan(figure.value):
            tell(f"= {figure.name:<22}{_said(figure):<24}{figure.words}")
    if calculation.caution:
        tell(textwrap.fill(f"CAUTION  {calculation.caution}", width(), subsequent_indent=" " * 9))


def _list(calculations: Any, as_json: bool) -> None:
    if as_json:
        print_json([_document(calculation, [], []) for calculation in calculations])
        return
    for calculation in calculations:
        tell(f"{calculation.name:<12}{calculation.title}")
        tell(f"{'':<12}takes {', '.join(e.name if e.usual is None else f'[{e.name}]' for e in calculation.inputs)}")


def _said(figure: Figure) -> str:
    from partsbin.words import say, span

    if figure.low == figure.high or math.isnan(figure.low):
        return say(figure.value, figure.unit)
    return f"{say(figure.value, figure.unit)} ({span(figure.low, figure.high, figure.unit)})"


def _document(calculation: Calculation, inputs: Sequence[Figure], results: Sequence[Figure]) -> dict[str, Any]:
    from partsbin.sources import source

    return {
        "calculation": calculation.name,
        "title": calculation.title,
        "formula": calculation.formula,
        "source": source(calculation.source).cite(),
        "inputs": [_figure(figure) for figure in inputs],
        "results": [_figure(figure) for figure in results],
        "caution": calculation.caution,
    }


def _figure(figure: Figure) -> dict[str, Any]:
    ends = [None if math.isnan(end) or math.isinf(end) else end for end in (figure.value, figure.low, figure.high)]
    return {
        "name": figure.name, "value": ends[0], "lo": ends[1], "hi": ends[2], "unit": figure.unit,
        "words": figure.words, "from": figure.origin,
    }  # fmt: skip
