"""The command that works out the figures of the bench."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, print_json, tell, width
from partsbin.errors import UsageError

if TYPE_CHECKING:
    from partsbin.sets.calculations import Calculation, Figure


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "calc",
        help="Figures of the bench: ratio, rail, corner, leakage, …",
        context_settings={"ignore_unknown_options": True},
    )(calc)


def calc(
    context: typer.Context,
    name: Annotated[str | None, typer.Argument(help="Which; without it all are listed.")] = None,
    figures: Annotated[
        list[str] | None, typer.Argument(help="NAME=FIGURE, with an uncertainty if you like: primary=230V±1%.")
    ] = None,
    lineup: Annotated[str | None, typer.Option(help="Of a set: its valves.")] = None,
    secondary: Annotated[str | None, typer.Option(help="Of a set: its HT winding, 250-0-250 off-load.")] = None,
    speaker: Annotated[str | None, typer.Option(help="Of a set: loudspeaker ohms.")] = None,
    facts: Annotated[
        list[str] | None,
        typer.Option("--with", metavar="KEY=VALUE", help="Of a set: any other fact; --rail 250 does as well."),
    ] = None,
    job: Annotated[str, typer.Option("--job", "-j", metavar="JOB", help="Of a set: the job whose it is, J-0012.")] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Work out a figure from others, with its formula and its source.

    partsbin calc ratio primary=230V secondary=5.1V±1% load=3
    partsbin calc set --lineup "ECH81 EBF89 EABC80 EL84 EZ80" --secondary 250-0-250 --speaker 3
    """
    said = {"lineup": lineup, "secondary": secondary, "speaker": speaker}
    pairs = [*(facts or []), *(f"{key}={value}" for key, value in said.items() if value is not None)]
    if name is not None and name.strip().lower() == "set":
        from partsbin.cli.calc_set import calc_set

        known = of_job(context, db, job) if job else []
        calc_set([*known, *pairs, *as_facts(figures or [])], as_json=as_json)
        return
    _no_options(figures or [], [*pairs, *([f"job={job}"] if job else [])])
    from partsbin.sets.bench import CALCULATIONS
    from partsbin.sets.bench_parts import meant
    from partsbin.sets.calculations import find_calculation, reckon

    if not name:
        _list(CALCULATIONS.values(), as_json)
        return
    calculation = find_calculation(CALCULATIONS, meant(name.strip().lower(), figures or []))
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


def of_job(context: typer.Context, db: str | None, code: str) -> list[str]:
    """Return the facts of a job's set, as ``KEY=VALUE``."""
    from partsbin.jobs.record import job_id_of, job_of
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        return [f"{name}={text}" for name, text in job_of(connection, job_id_of(code)).texts.items()]


def as_facts(words: Sequence[str]) -> list[str]:
    """Return ``--rail 250``, ``--rail=250`` and ``rail=250`` as ``rail=250`` each.

    Raises
    ------
    UsageError
        If an option has no value, or a word belongs to none.
    """
    pairs, waiting = [], ""
    for word in words:
        if waiting and not word.startswith("--"):
            pairs.append(f"{waiting}={word}")
            waiting = ""
        elif waiting:
            break
        elif word.startswith("--") and "=" not in word:
            waiting = word[2:]
        elif "=" in word:
            pairs.append(word.removeprefix("--"))
        else:
            raise UsageError(f"{word!r} is no fact of a set", hint="--rail 250 or rail=250")
    if waiting:
        raise UsageError(f"--{waiting} has no value", hint=f"--{waiting} VALUE")
    return pairs


def _no_options(words: Sequence[str], pairs: Sequence[str]) -> None:
    odd = [word for word in words if word.startswith("--")]
    if odd:
        raise UsageError(
            f"no option {odd[0]!r}", hint="a figure is NAME=FIGURE; calc set takes the facts of a set as options"
        )
    if pairs:
        raise UsageError(f"{pairs[0]!r} is a fact of a set", hint="calc set takes it; a figure is NAME=FIGURE")


def _list(calculations: Any, as_json: bool) -> None:
    if as_json:
        print_json([_document(calculation, [], []) for calculation in calculations])
        return
    tell(f"{'set':<12}all that follows from a set: heaters, rail, rectifier, output stage, readings to expect")
    tell(f"{'':<12}takes --lineup, --secondary, --speaker, --with KEY=VALUE")
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
