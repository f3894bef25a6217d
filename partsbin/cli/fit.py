"""fit, return: a part into a set and out again."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.job import Facts, job_named
from partsbin.cli.stock import Number, Why, who

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

    from partsbin.jobs.fitting import Fitted, OwingError, Spot

Job = Annotated[str, typer.Option("--job", "-j", metavar="JOB", help="The job: J-0012.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("fit", short_help="Fit a part into a job's set: judged, booked out, written down.")(fit)
    app.command("return", short_help="Take a part out of a set and shelve it again.")(return_)


def fit(
    context: typer.Context,
    number: Number,
    job: Job,
    need: Annotated[
        str, typer.Option("--for", metavar="NEED", help="A need of the job: its designator or number.")
    ] = "",
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
    pieces: Annotated[int, typer.Option("--pieces", min=1, help="How many.")] = 1,
    readings: Annotated[
        list[str] | None,
        typer.Option("--reading", metavar="NAME=VALUE", help="What it still owed, as read. Repeat it."),
    ] = None,
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
    from partsbin.jobs.fitting import OwingError
    from partsbin.jobs.fitting import fit as do
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import reading, writing

    opened, ident = engine(context, db), id_of(number)
    with reading(opened) as connection:
        words = _Words(job, need, family, text, position, designator, facts or [])
        spot = words.spot(connection, ident)
    taken = readings or []
    while True:
        ident = _record(opened, ident, taken, pieces, why)
        try:
            with writing(opened) as connection:
                done = do(connection, spot, ident, who(why), pieces=pieces, found=found, change=change)
            break
        except OwingError as owing:
            taken = _ask(owing)
            if not taken:
                raise
    if as_json:
        print_json(_json(done, job))
    else:
        _tell(done, job)


@dataclass(frozen=True)
class _Words:
    """Where a part goes, as it was said."""

    job: str
    need: str
    family: str
    text: str
    position: str
    designator: str
    facts: list[str]

    def spot(self, connection: Connection, part_id: int) -> Spot:
        """Return what they mean."""
        from partsbin.families import named
        from partsbin.jobs.fitting import Spot
        from partsbin.jobs.record import need_named
        from partsbin.needs import Request
        from partsbin.sets import read_facts
        from partsbin.stock.acts import part_of

        job = job_named(connection, self.job)
        if self.need:
            wanted = need_named(connection, job, self.need)
            return Spot(job, wanted.request(job), wanted, self.designator)
        facts = read_facts([*(f"{name}={text}" for name, text in job.texts.items()), *self.facts])
        family = named(self.family) if self.family else part_of(connection, part_id).family
        return Spot(job, Request(family, self.text, self.position, {}, facts), None, self.designator)


def _record(opened: Engine, part_id: int, taken: list[str], pieces: int, why: str) -> int:
    """Write down what was read, an act of its own: it stays true whether the part is fitted or not. Return the part read."""
    if not taken:
        return part_id
    from partsbin.families import load
    from partsbin.stock.acts import measure, part_of
    from partsbin.stock.readings import read_taken
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    with writing(opened) as connection:
        part = part_of(connection, part_id)
        found, _ = measure(connection, part_id, read_taken(load(part.family), taken), who(why), pieces=pieces)
    if found != part_id:
        say(f"    {number_of(found)} split off {part.number}: {', '.join(taken)}")
    return found


def _ask(owing: OwingError) -> list[str]:
    """Ask for what is owed, at a terminal; elsewhere the fault says it."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return []
    say(f"{owing.part.number} may do once this is known:")
    taken = []
    for card in owing.cards:
        say(f"    {card['title']}: {card['connect']}; {card['passes']}")
        if card["danger"]:
            say(f"    CAUTION {card['danger']}")
        said = typer.prompt(f"    {card['reading']}, empty to leave it", default="", show_default=False, err=True)
        if said.strip():
            taken.append(said if "=" in said else f"{card['reading']}={said}")
    return taken


def _json(done: Fitted, job: str) -> dict[str, Any]:
    answer = done.answer
    return {
        "part": done.number,
        "job": job,
        "pieces": done.pieces,
        "verdict": done.verdict,
        "reason": done.reason,
        "changes": list(done.changes),
        "counted_in": done.found,
        "after": answer["after"],
        "also": answer["also"],
        "cautions": answer["cautions"],
    }


def _tell(done: Fitted, job: str) -> None:
    count = f"{done.pieces} × " if done.pieces > 1 else ""
    tell(f"{done.number}  {count}{plain(done.title)}: fitted in {job}, {done.verdict}: {plain(done.reason)}")
    if done.found:
        tell(f"    {done.found} counted in: the ledger did not know of them")
    for line in done.changes:
        tell(f"    CHANGE {plain(line)}")
    for line in done.answer["also"]:
        tell(f"    ALSO {plain(line)}")
    for line in done.answer["after"]:
        tell(f"    AFTER {plain(line)}")
    for line in done.answer["cautions"]:
        tell(f"    CAUTION {plain(line)}")


def return_(
    context: typer.Context,
    number: Number,
    job: Job,
    pieces: Annotated[int, typer.Option("--pieces", min=1, help="How many.")] = 1,
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
