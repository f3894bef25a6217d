"""fit, return: a part into a set and out again."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import MOST, AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.job import Facts, job_named
from partsbin.cli.stock import Number, Why, who

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from partsbin.jobs.fitting import Fitted, OwingError, Spot
    from partsbin.jobs.spots import Told
    from partsbin.stock.shelf import Shelved

Job = Annotated[str, typer.Option("--job", "-j", metavar="JOB", help="The job: J-0012.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("fit", short_help="Fit a part into a job's set: judged, booked out, written down.")(fit)
    app.command("return", short_help="Take a part out of a set and shelve it again.")(return_)


def fit(
    context: typer.Context,
    number: Number,
    job: Job,
    needs: Annotated[
        list[str] | None,
        typer.Option(
            "--for",
            metavar="NEED",
            help="A need of the job: its designator or number. Repeat it for a can whose sections serve several.",
        ),
    ] = None,
    family: Annotated[
        str, typer.Option("--family", help="Without a need: the family.", autocompletion=complete.families)
    ] = "",
    text: Annotated[str, typer.Option("--original", help="Without a need: the dead part's marking.")] = "",
    position: Annotated[
        str,
        typer.Option(
            "--position",
            "-p",
            metavar="P",
            help="Without a need: what the part does.",
            autocompletion=complete.positions,
        ),
    ] = "",
    designator: Annotated[str, typer.Option("--designator", "-d", help="Where it went: C31.")] = "",
    facts: Facts = None,
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many.")] = 1,
    series: Annotated[
        list[str] | None, typer.Option("--series", metavar="PART", help="Another part in series with it. Repeat it.")
    ] = None,
    parallel: Annotated[
        list[str] | None, typer.Option("--parallel", metavar="PART", help="Another part across it. Repeat it.")
    ] = None,
    readings: Annotated[
        list[str] | None,
        typer.Option("--reading", metavar="NAME=VALUE", help="What it still owed, as read. Repeat it."),
    ] = None,
    instrument: Annotated[
        str, typer.Option("--instrument", help="What it was read with; its recorded accuracy is taken.")
    ] = "",
    found: Annotated[
        bool, typer.Option("--found", help="The shelf had more than the ledger knew: count it in.")
    ] = False,
    change: Annotated[str, typer.Option("--change", help="The change made for it, in your words.")] = "",
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Fit a part. An unfit one is refused; one that still owes a reading is asked for it; a change it needs is written down.

    partsbin fit P-0042 --job J-0012 --for C31
    """
    from partsbin.errors import UsageError
    from partsbin.jobs.fitting import OwingError
    from partsbin.jobs.fitting import fit as do
    from partsbin.jobs.fitting_sections import fit_sections
    from partsbin.jobs.fitting_together import fit_together
    from partsbin.jobs.spots import Said, Told
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import reading, writing

    need, *others = needs or [""]
    if need and (family or text or position):
        raise UsageError("--for names a need that says this itself", hint="without --family, --original and --position")
    if series and parallel:
        raise UsageError("--series and --parallel at once", hint="parts are joined one way")
    if others and (series or parallel or designator):
        raise UsageError("--for more than once with several parts or --designator", hint="one can serves several needs")
    opened, ident = engine(context, db), id_of(number)
    words = Said(job, need, family, text, position, designator, facts or [])
    if series or parallel:
        if readings:
            raise UsageError("--reading with several parts", hint="partsbin measure says of which part it is")
        joined = [ident, *(id_of(other) for other in series or parallel or ())]
        with writing(opened) as connection:
            spot = words.spot(connection, ident)
            how = "in series" if series else "in parallel"
            done = fit_together(connection, spot, joined, how, who(why), pieces=pieces, found=found, change=change)
        _show(done, spot, as_json)
        return
    told = Told(readings=readings or [])
    while True:
        with reading(opened) as connection:
            spot = words.spot(connection, ident)
        ident = _record(opened, spot, ident, told, pieces, found, why, instrument)
        try:
            with writing(opened) as connection:
                spot = words.spot(connection, ident)
                if others:
                    spots = [spot, *(replace(words, need=other).spot(connection, ident) for other in others)]
                    done = fit_sections(connection, spots, ident, who(why), pieces=pieces, found=found, change=change)
                else:
                    done = do(connection, spot, ident, who(why), pieces=pieces, found=found, change=change)
            break
        except OwingError as owing:
            told = _ask(owing)
            if told == Told():
                raise
    _show(done, spot, as_json)


def _show(done: Fitted, spot: Spot, as_json: bool) -> None:
    if as_json:
        print_json(_json(done, spot.job.code))
    else:
        _tell(done, spot)


def _record(
    opened: Engine, spot: Spot, part_id: int, told: Told, pieces: int, found: bool, why: str, instrument: str
) -> int:
    """Write down what was told; return the part read."""
    from partsbin.jobs.spots import write_down
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    with writing(opened) as connection:
        read = write_down(connection, spot, part_id, told, who(why), pieces=pieces, found=found, instrument=instrument)
    if read != part_id:
        say(f"    {number_of(read)} split off {number_of(part_id)}: {', '.join(told.readings)}")
    return read


def _ask(owing: OwingError) -> Told:
    """Ask for what is owed, at a terminal; elsewhere the fault says it."""
    from partsbin.jobs.fitting import owed_as
    from partsbin.jobs.spots import Told

    told = Told()
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return told
    say(f"{owing.part.number} may do once this is known:")
    for card in owing.cards:
        say(f"    {card['title']}: {card['connect']}; {card['passes']}")
        if card["danger"]:
            say(f"    CAUTION {card['danger']}")
        _answered(told, owing.part, card["reading"], owed_as(owing.part, card))
    return told


_PROMPT = {"mark": "what it says", "any": "KEY=VALUE of the set, or what the part says"}


def _answered(told: Told, part: Shelved, name: str, kind: str) -> None:
    """Take what is typed, nothing if nothing is; what cannot be read is said, and asked for again."""
    from partsbin.errors import PartsbinError

    while True:
        prompt = f"    {_PROMPT.get(kind, name)}, empty to leave it"
        said = str(typer.prompt(prompt, default="", show_default=False, err=True)).strip()
        if not said:
            return
        try:
            told.take(part, name, kind, said)
        except PartsbinError as fault:
            say(f"    {fault.message}" + (f" ({fault.hint})" if fault.hint else ""))
            continue
        return


def _json(done: Fitted, job: str) -> dict[str, Any]:
    answer = done.answer
    return {
        "part": done.number,
        "make_up": list(done.make_up),
        "job": job,
        "pieces": done.pieces,
        "verdict": done.verdict,
        "reason": done.reason,
        "changes": list(done.changes),
        "counted_in": done.found,
        "wanted": done.wanted,
        "there": done.there,
        "sections": [
            {"need": each.designator, "title": each.title, "verdict": each.verdict, "reason": each.reason}
            for each in done.others
        ],
        "after": answer["after"],
        "also": answer["also"],
        "cautions": answer["cautions"],
    }


def _tell(done: Fitted, spot: Spot) -> None:
    from partsbin.jobs.fitted import said_over

    count = f"{done.pieces} × " if done.pieces > 1 else ""
    number = " + ".join(done.make_up) or done.number
    for each in done.others or [done]:
        where = f", {plain(each.designator)}" if done.others else ""
        tell(
            f"{number}  {count}{plain(each.title)}: fitted in {spot.job.code}{where}, {each.verdict}: {plain(each.reason)}"
        )
    if done.found:
        tell(f"    {done.found} counted in: the ledger did not know of {'them' if done.found > 1 else 'it'}")
    for word, lines in (("CHANGE", done.changes), ("ALSO", done.answer["also"]), ("AFTER", done.answer["after"])):
        for line in lines:
            tell(f"    {word} {plain(line)}")
    for line in done.answer["cautions"] if done.first else _once_more(done.answer["cautions"]):
        tell(f"    CAUTION {plain(line)}")
    for each in done.others or [done]:
        if over := said_over(each.wanted, each.there):
            say(f"    {over}: partsbin undo, if that was once too often")


def _once_more(cautions: list[str]) -> list[str]:
    """Cautions that were read at the first part of a job, in one line: the first sentence of each."""
    return [" · ".join(caution.partition(". ")[0] for caution in cautions)] if cautions else []


def return_(
    context: typer.Context,
    number: Number,
    job: Job,
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many.")] = 1,
    unused: Annotated[
        bool, typer.Option("--unused", help="It was never switched on: it stays as new as it was.")
    ] = False,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take a part out of a set and shelve it again; what was in use is salvaged from now on.

    partsbin return P-0042 --job J-0012
    """
    from partsbin.jobs.fitting import bring_back
    from partsbin.stock.acts import part_of
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        on = job_named(connection, job)
        ident, _ = bring_back(connection, on, id_of(number), pieces, who(why), unused=unused)
        part = part_of(connection, ident)
    if as_json:
        print_json({"part": part.number, "job": on.code, "pieces": pieces, "condition": part.item.condition})
        return
    tell(
        f"{part.number}  {plain(part.title)}: {pieces} back from {on.code}, {part.item.condition or 'condition not known'}"
    )
