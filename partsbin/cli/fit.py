"""fit, return: a part into a set and out again."""

from __future__ import annotations

import sys
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import MOST, AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.job import Facts, job_named
from partsbin.cli.stock import Number, Why, who

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

    from partsbin.jobs.fitting import Fitted, OwingError, Spot
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
    from partsbin.jobs.fitting_together import fit_together
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import reading, writing

    if need and (family or text or position):
        raise UsageError("--for names a need that says this itself", hint="without --family, --original and --position")
    if series and parallel:
        raise UsageError("--series and --parallel at once", hint="parts are joined one way")
    opened, ident = engine(context, db), id_of(number)
    words = _Words(job, need, family, text, position, designator, facts or [])
    if series or parallel:
        if readings:
            raise UsageError("--reading with several parts", hint="partsbin measure says of which part it is")
        others = [ident, *(id_of(other) for other in series or parallel or ())]
        with writing(opened) as connection:
            spot = words.spot(connection, ident)
            how = "in series" if series else "in parallel"
            done = fit_together(connection, spot, others, how, who(why), pieces=pieces, found=found, change=change)
        _show(done, spot, as_json)
        return
    told = _Told(readings=readings or [])
    while True:
        with reading(opened) as connection:
            spot = words.spot(connection, ident)
        ident = _record(opened, spot, ident, told, pieces, found, why, instrument)
        try:
            with writing(opened) as connection:
                spot = words.spot(connection, ident)
                done = do(connection, spot, ident, who(why), pieces=pieces, found=found, change=change)
            break
        except OwingError as owing:
            told = _ask(owing)
            if told == _Told():
                raise
    _show(done, spot, as_json)


def _show(done: Fitted, spot: Spot, as_json: bool) -> None:
    if as_json:
        print_json(_json(done, spot.job.code))
    else:
        _tell(done, spot)


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
        """Return what they mean; the job must be open."""
        from partsbin.families import named
        from partsbin.jobs.fitting import Spot
        from partsbin.jobs.record import need_named, still_open
        from partsbin.needs import Request
        from partsbin.sets import read_facts
        from partsbin.stock.acts import part_of

        job = still_open(job_named(connection, self.job))
        if self.need:
            wanted = need_named(connection, job, self.need)
            said = read_facts(self.facts).texts
            asked = replace(wanted, texts={**wanted.texts, **said}).request(job)
            return Spot(job, asked, wanted, self.designator)
        own = {**job.texts, **read_facts(self.facts).texts}
        facts = read_facts(f"{name}={text}" for name, text in own.items())
        family = named(self.family) if self.family else part_of(connection, part_id).family
        return Spot(job, Request(family, self.text, self.position, {}, facts), None, self.designator)


@dataclass(frozen=True)
class _Told:
    """What was said of what is owed: readings of the part, what can be seen on it, facts of the set."""

    readings: list[str] = field(default_factory=list)
    marks: list[str] = field(default_factory=list)
    facts: list[str] = field(default_factory=list)


def _record(
    opened: Engine, spot: Spot, part_id: int, told: _Told, pieces: int, found: bool, why: str, instrument: str
) -> int:
    """Write down what was told, acts of their own: it stays true whether the part is fitted or not. Return the part read."""
    if told == _Told():
        return part_id
    from partsbin.families import load
    from partsbin.jobs.fitting import lines_for
    from partsbin.jobs.record import learn
    from partsbin.stock.acts import measure, part_of
    from partsbin.stock.instruments import accuracy_with
    from partsbin.stock.marking import mark
    from partsbin.stock.readings import read_taken
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    read = part_id
    with writing(opened) as connection:
        part = part_of(connection, part_id)
        lines_for(connection, spot.job, part, pieces, found)  # nothing is read of a part that is not there
        if told.facts:
            learn(connection, spot.job, told.facts)
        for text in told.marks:
            mark(connection, part_id, text, who(why))
        if told.readings:
            accuracy = accuracy_with(connection, instrument)
            taken = read_taken(load(part.family), told.readings, instrument=instrument, accuracy=accuracy)
            few = min(pieces, part.on_hand)
            read, _ = measure(connection, part_id, taken, who(why), pieces=few, job_id=spot.job.id)
    if read != part_id:
        say(f"    {number_of(read)} split off {part.number}: {', '.join(told.readings)}")
    return read


def _ask(owing: OwingError) -> _Told:
    """Ask for what is owed, at a terminal; elsewhere the fault says it."""
    told = _Told()
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return told
    from partsbin.jobs.fitting import owed_as

    say(f"{owing.part.number} may do once this is known:")
    for card in owing.cards:
        say(f"    {card['title']}: {card['connect']}; {card['passes']}")
        if card["danger"]:
            say(f"    CAUTION {card['danger']}")
        kind, said = _answered(owing.part, card["reading"], owed_as(owing.part, card))
        if said:
            {"reading": told.readings, "mark": told.marks, "fact": told.facts}[kind].append(said)
    return told


_PROMPT = {"mark": "what it says", "any": "KEY=VALUE of the set, or what the part says"}


def _answered(part: Shelved, name: str, kind: str) -> tuple[str, str]:
    """Return what was typed and what it is, "" for nothing; what cannot be read is said, and asked for again."""
    from partsbin.errors import PartsbinError

    while True:
        prompt = f"    {_PROMPT.get(kind, name)}, empty to leave it"
        said = str(typer.prompt(prompt, default="", show_default=False, err=True)).strip()
        if not said:
            return kind, ""
        text = f"{name}={said}" if kind in ("reading", "fact") and "=" not in said else said
        known = ("fact" if "=" in said else "mark") if kind == "any" else kind
        try:
            _read(part, known, text)
        except PartsbinError as fault:
            say(f"    {fault.message}" + (f" ({fault.hint})" if fault.hint else ""))
            continue
        return known, text


def _read(part: Shelved, kind: str, text: str) -> None:
    """See whether an answer can be read."""
    from partsbin.families import load
    from partsbin.sets import read_facts
    from partsbin.stock.marking import read_mark
    from partsbin.stock.readings import read_taken

    if kind == "reading":
        read_taken(load(part.family), [text])
    elif kind == "fact":
        read_facts([text])
    else:
        read_mark(part, text)


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
        "after": answer["after"],
        "also": answer["also"],
        "cautions": answer["cautions"],
    }


def _tell(done: Fitted, spot: Spot) -> None:
    count = f"{done.pieces} × " if done.pieces > 1 else ""
    number = " + ".join(done.make_up) or done.number
    tell(f"{number}  {count}{plain(done.title)}: fitted in {spot.job.code}, {done.verdict}: {plain(done.reason)}")
    if done.found:
        tell(f"    {done.found} counted in: the ledger did not know of {'them' if done.found > 1 else 'it'}")
    for word, lines in (("CHANGE", done.changes), ("ALSO", done.answer["also"]), ("AFTER", done.answer["after"])):
        for line in lines:
            tell(f"    {word} {plain(line)}")
    for line in done.answer["cautions"] if done.first else _once_more(done.answer["cautions"]):
        tell(f"    CAUTION {plain(line)}")
    if done.there > done.wanted > 0:
        say(f"    {done.wanted} wanted there, {done.there} sit there now: partsbin undo, if that was once too often")


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
