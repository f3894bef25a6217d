"""job: opening a repair, the facts of its set, what it needs, what was read and written down."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from partsbin.cli import complete
from partsbin.cli.common import MOST, AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.stock import Why, who

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from partsbin.jobs.record import Opened

Code = Annotated[str, typer.Argument(metavar="JOB", help="A job: J-0012.")]
Facts = Annotated[
    list[str] | None,
    typer.Option(
        "--with",
        "-w",
        metavar="KEY=VALUE",
        help='A fact of the set: lineup="ECH81 EL84". Repeat it.',
        autocompletion=complete.facts,
    ),
]

jobs = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="A repair on the bench, with its set.")


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.add_typer(jobs, name="job")


def job_named(connection: Connection, code: str) -> Opened:
    """Return the job that a number stands for."""
    from partsbin.jobs.record import job_named as found

    return found(connection, code)


@jobs.command("open")
def open_(
    context: typer.Context,
    what: Annotated[str, typer.Argument(help='What the set is: "signal-box intercom".')] = "",
    reference: Annotated[
        str, typer.Option("--reference", help="The customer's own word for the set: no name, no address.")
    ] = "",
    facts: Facts = None,
    again: Annotated[str, typer.Option("--again", metavar="JOB", help="Open a closed job again.")] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Open a job. A reference that has been here before shows what was fitted then.

    partsbin job open "signal-box intercom" --reference "box 4" --with lineup="ECC83 ECL86 EZ81"
    """
    from partsbin.errors import UsageError
    from partsbin.jobs.portrait import portrait, portrait_text
    from partsbin.jobs.record import close_job, open_job
    from partsbin.store.engine import writing

    if again and (what or reference or facts):
        raise UsageError("--again opens a job as it was", hint="partsbin job facts adds what was learnt of its set")
    with writing(engine(context, db, create=not again)) as connection:
        if again:
            job = close_job(connection, job_named(connection, again), who(), again=True)
        else:
            job = open_job(connection, who(), reference=reference, what=what, facts=facts or ())
        found = portrait(connection, job)
    if as_json:
        print_json(found)
    else:
        tell(portrait_text(plain(found)))


@jobs.command("list")
def list_(
    context: typer.Context,
    every: Annotated[bool, typer.Option("--all", help="Closed ones too.")] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Jobs on the bench, the newest first.

    partsbin job list
    """
    from partsbin.jobs.portrait import brief, headline
    from partsbin.jobs.record import jobs as all_jobs
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = [brief(job) for job in all_jobs(connection, open_only=not every)]
    if as_json:
        print_json({"jobs": found})
        return
    for job in found:
        tell(headline(plain(job)))
    if not found:
        say("    no job is open: partsbin job open")


@jobs.command("show")
def show(context: typer.Context, code: Code, db: Db = None, as_json: AsJson = False) -> None:
    """A job: its set, its needs, what was fitted, set aside, read and written down.

    partsbin job show J-0012
    """
    from partsbin.jobs.portrait import portrait, portrait_text
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = portrait(connection, job_named(connection, code))
    if as_json:
        print_json(found)
    else:
        tell(portrait_text(plain(found)))


@jobs.command("facts")
def facts_(
    context: typer.Context,
    code: Code,
    facts: Annotated[list[str], typer.Argument(metavar="KEY=VALUE…", help="Facts of the set; KEY= forgets one.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Add what was learnt of the set.

    partsbin job facts J-0012 rail=248 chassis=earthed
    """
    from partsbin.jobs.portrait import brief
    from partsbin.jobs.record import learn, still_open
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        job = learn(connection, still_open(job_named(connection, code)), facts)
    if as_json:
        print_json(brief(job))
        return
    known = ", ".join(f"{name}={plain(text)}" for name, text in job.texts.items())
    tell(f"{job.code}  {known or 'nothing known of the set'}")


@jobs.command("need")
def need(
    context: typer.Context,
    code: Code,
    family: Annotated[str, typer.Argument(help="The family.", autocompletion=complete.families)] = "",
    text: Annotated[str, typer.Argument(help="The dead part's marking, in trade notation.")] = "",
    position: Annotated[
        str, typer.Option("--position", "-p", metavar="P", help="What it does.", autocompletion=complete.positions)
    ] = "",
    file: Annotated[
        Path | None, typer.Option("--file", help="A parts list instead, as people write it; - reads what is typed.")
    ] = None,
    designator: Annotated[str, typer.Option("--designator", "-d", help="C31, or whatever you call it.")] = "",
    facts: Facts = None,
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many.")] = 1,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Note something that the set needs.

    partsbin job need J-0012 capacitor "0.02uF 350V" --position coupling --designator C31
    partsbin job need J-0012 --file amplifier.csv
    """
    from partsbin.errors import UsageError
    from partsbin.families import named
    from partsbin.jobs.needs import add_need, not_understood, numbered
    from partsbin.jobs.portrait import need_said
    from partsbin.jobs.record import still_open
    from partsbin.store.engine import writing

    if (file is not None) == bool(family):
        raise UsageError("one part or a whole list", hint="a family and its marking, or --file with a list")
    if file is not None:
        from partsbin.cli.needs import take

        take(engine(context, db), code, file, as_json=as_json)
    with writing(engine(context, db)) as connection:
        job = still_open(job_named(connection, code))
        wanted = add_need(
            connection, job, named(family), text, position, designator=designator, facts=facts or (), quantity=pieces
        )
        number = next(n for n, entry in numbered(connection, job).items() if entry.id == wanted.id)
        unread = not_understood(job, wanted)
    if as_json:
        print_json(
            {
                "job": job.code,
                "number": number,
                "designator": wanted.designator,
                "family": wanted.family,
                "position": wanted.position,
                "pieces": wanted.quantity,
                "not_understood": unread,
            }
        )
        return
    said = need_said(
        {"designator": designator, "position": wanted.position, "family": wanted.family, "text": text, "pieces": pieces}
    )
    tell(f"{job.code}  wanted {number}: {plain(said)}")
    for line in unread:
        tell(f"    {plain(line)}: nothing is judged by it")


@jobs.command("position")
def position_(
    context: typer.Context,
    code: Code,
    need: Annotated[str, typer.Argument(help="The need: its designator or number.")],
    position: Annotated[str, typer.Argument(help="What it does in the circuit.", autocompletion=complete.positions)],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Say what a need does in the circuit, where a list left it open or took it for something else.

    partsbin job position J-0012 C31 coupling
    """
    from partsbin.jobs.needs import need_named, place_need
    from partsbin.jobs.record import still_open
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        job = still_open(job_named(connection, code))
        wanted = place_need(connection, job, need_named(connection, job, need), position)
    if as_json:
        print_json(
            {"job": job.code, "designator": wanted.designator, "family": wanted.family, "position": wanted.position}
        )
        return
    tell(f"{job.code}  {plain(' '.join(filter(None, (wanted.designator, wanted.position, wanted.family))))}")


@jobs.command("drop")
def drop(
    context: typer.Context,
    code: Code,
    need: Annotated[str, typer.Argument(help="The need: its designator or number.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take a need back: it is asked for no more.

    partsbin job drop J-0012 C31
    """
    from partsbin.jobs.needs import drop_need, need_named
    from partsbin.jobs.record import still_open
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        job = still_open(job_named(connection, code))
        wanted = need_named(connection, job, need)
        drop_need(connection, wanted)
    if as_json:
        print_json(
            {"job": job.code, "designator": wanted.designator, "family": wanted.family, "position": wanted.position}
        )
        return
    tell(
        f"{job.code}  no longer wanted: {plain(' '.join(filter(None, (wanted.designator, wanted.position, wanted.family))))}"
    )


@jobs.command("note")
def note(
    context: typer.Context,
    code: Code,
    what: Annotated[str, typer.Argument(help="What was read, tested, kept, or is to be remembered.")],
    said: Annotated[str, typer.Argument(help="What came out.")] = "",
    reading: Annotated[bool, typer.Option("--reading", help="A reading on the set.")] = False,
    test: Annotated[bool, typer.Option("--test", help="A test before it goes home.")] = False,
    kept: Annotated[bool, typer.Option("--kept", help="A part kept aside for the customer.")] = False,
    instrument: Annotated[str, typer.Option("--instrument", help="With what.")] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Write something down; it is never overwritten.

    partsbin job note J-0012 "rail at the reservoir" "248 V" --reading --instrument meter
    """
    from partsbin.errors import UsageError
    from partsbin.jobs.lines import write_line
    from partsbin.store.engine import writing

    if reading + test + kept > 1:
        raise UsageError("a line is one of --reading, --test and --kept", hint="write down each of them alone")
    kind = "reading" if reading else "test" if test else "kept" if kept else "note"
    with writing(engine(context, db)) as connection:
        job = job_named(connection, code)
        write_line(connection, job, kind, what, who(), said=said, instrument=instrument)
    if as_json:
        print_json(
            {
                "job": job.code,
                "kind": kind,
                "what": what.strip(),
                "said": said.strip(),
                "instrument": instrument.strip(),
            }
        )
        return
    tell(f"{job.code}  {kind}: {plain(what)}{f': {plain(said)}' if said else ''}")


@jobs.command("close")
def close(context: typer.Context, code: Code, db: Db = None, as_json: AsJson = False) -> None:
    """Close a job. What is still set aside for it is named: let it go, or fit it.

    partsbin job close J-0012
    """
    from partsbin.jobs.record import close_job
    from partsbin.stock.ledger import set_aside_for
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        job = close_job(connection, job_named(connection, code), who())
        aside = set_aside_for(connection, job.id)
    if as_json:
        print_json({"job": job.code, "set_aside": [{"part": number_of(i), "pieces": n} for i, n in aside.items()]})
        return
    tell(f"{job.code}  closed")
    for ident, pieces in aside.items():
        say(
            f"    {pieces} of {number_of(ident)} still set aside: partsbin job release {job.code} {number_of(ident)} --pieces {pieces}"
        )


@jobs.command("reserve")
def reserve(
    context: typer.Context,
    code: Code,
    number: Annotated[str, typer.Argument(metavar="PART", help="A part: P-0042.")],
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many.")] = 1,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Set pieces of a part aside for a job: nobody else is offered them.

    partsbin job reserve J-0012 P-0042
    """
    from partsbin.jobs.record import still_open
    from partsbin.stock.acts import part_of
    from partsbin.stock.acts import reserve as do
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        job = still_open(job_named(connection, code))
        do(connection, id_of(number), pieces, who(why), job_id=job.id)
        part = part_of(connection, id_of(number))
    if as_json:
        print_json({"part": part.number, "job": job.code, "set_aside": pieces, "free": part.available})
        return
    tell(f"{part.number}  {plain(part.title)}: {pieces} set aside for {job.code}, {part.available} free")


@jobs.command("release")
def release(
    context: typer.Context,
    code: Code,
    number: Annotated[str, typer.Argument(metavar="PART", help="A part: P-0042.")],
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many.")] = 1,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Let pieces go that are set aside for a job.

    partsbin job release J-0012 P-0042
    """
    from partsbin.stock.acts import part_of
    from partsbin.stock.acts import release as do
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        job = job_named(connection, code)
        do(connection, id_of(number), pieces, who(why), job_id=job.id)
        part = part_of(connection, id_of(number))
    if as_json:
        print_json({"part": part.number, "job": job.code, "set_aside": -pieces, "free": part.available})
        return
    tell(f"{part.number}  {plain(part.title)}: {pieces} let go, {part.available} free")
