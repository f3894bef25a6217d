"""find, try, read, demo: the main job."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import AsJson, Db, engine, plain, print_json, say, tell, width

Position = Annotated[
    str,
    typer.Option(
        "--position",
        "-p",
        metavar="P",
        help="What the part does in the circuit: coupling, reservoir, output, …",
        autocompletion=complete.positions,
    ),
]
With = Annotated[
    list[str] | None,
    typer.Option(
        "--with",
        "-w",
        metavar="KEY=VALUE",
        help='A fact of the set: rail=250, chassis=live, lineup="ECH81 EL84". Repeat it.',
        autocompletion=complete.facts,
    ),
]
JobCode = Annotated[str, typer.Option("--job", "-j", metavar="JOB", help="The job whose set it is: J-0012.")]
Limit = Annotated[int, typer.Option("--limit", min=1, max=200, help="How many that fit, with or without care.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("find", short_help="What on the shelves can stand in for a failed part?")(find)
    app.command("try", short_help="May this part in the hand go in?")(try_)
    app.command("read", short_help="How is a description understood?")(read)
    app.command("demo", short_help="Build the demonstration, play three repairs on it.")(demo)


def _finish(answer: dict[str, Any], as_json: bool, sold: Sequence[str] = ()) -> None:
    from partsbin.cli.render import answer_text
    from partsbin.cli.screen import show

    if as_json:
        print_json(answer)
    else:
        show("\n".join([answer_text(plain(answer), width()), *(f"SOLD     {plain(line)}" for line in sold)]))
    raise typer.Exit(0 if answer["candidates"] else 1)


def _either_order(family: str, text: str) -> tuple[str, str]:
    """Family and text, whichever came first: where one is plainly a family's word, or the other plainly is none."""
    from partsbin.families import named, names
    from partsbin.notation.choices import exactly

    figures = re.search(r"\d", family) and text and not re.search(r"\d", text)
    if not exactly(family, names()) and (exactly(text, names()) or figures):
        family, text = text, family
    return named(family), text


def find(
    context: typer.Context,
    family: Annotated[
        str,
        typer.Argument(
            help="The family, capacitor for example; a wrong word lists them all.", autocompletion=complete.families
        ),
    ],
    text: Annotated[str, typer.Argument(help="The dead part's marking, in trade notation.")] = "",
    position: Position = "",
    facts: With = None,
    job: JobCode = "",
    limit: Limit = 5,
    offers: Annotated[bool, typer.Option("--offers", help="Among what suppliers offer, not on the shelf.")] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """What on the shelves can do the job of a failed part?

    partsbin find capacitor "0.02uF 350V waxed paper" --position coupling --with rail=250
    """
    from partsbin.matching.answer import find as search
    from partsbin.needs import Request
    from partsbin.sets import read_facts
    from partsbin.store.engine import reading

    family, text = _either_order(family, text)
    opened = engine(context, db)

    def asked(connection: Any) -> Request:
        known = _of_job(connection, job) if job else ()
        return Request(family, text, position, {}, read_facts([*known, *(facts or ())]))

    unread = _read_offers(opened, asked) if offers else 0
    with reading(opened) as connection:
        request = asked(connection)
        answer = search(connection, request, limit=limit, origin="offered" if offers else "shelf")
        sold = _sold(connection, answer) if offers else []
    if unread:
        from partsbin.jobs.unread import left_unread

        left = left_unread(opened, unread)
        say(f"    {left}")
        if as_json:
            answer["need"]["assumptions"].append(left)
    _finish(answer, as_json, sold)


def _read_offers(opened: Any, asked: Any) -> int:
    """Read what may serve of the price lists' lines that wait unread, and return how many were too many for once."""
    from partsbin.cli.progress import progress
    from partsbin.jobs.unread import AT_A_FIND, read_for, waiting
    from partsbin.store.engine import reading

    with reading(opened) as connection:
        if not waiting(connection):
            return 0
        request = asked(connection)
    with progress("price lists", lost="what was read stays read") as told:
        return read_for(opened, [(request, AT_A_FIND)], each=AT_A_FIND, most=AT_A_FIND, tell=told)


def _sold(connection: Any, answer: dict[str, Any]) -> list[str]:
    """Who sells the candidates."""
    from partsbin.jobs.on_sale import sold_as
    from partsbin.stock.shelf import id_of

    return sold_as(connection, [id_of(each["part"]) for each in answer["candidates"] if each["part"]])


def _of_job(connection: Any, code: str) -> list[str]:
    """The facts of a job's set, as ``KEY=VALUE``."""
    from partsbin.jobs.record import job_id_of, job_of

    return [f"{name}={text}" for name, text in job_of(connection, job_id_of(code)).texts.items()]


def try_(
    text: Annotated[str, typer.Argument(help='The part in the hand, in trade notation: "22n 400V film".')],
    family: Annotated[str, typer.Argument(help="Its family.", autocompletion=complete.families)],
    position: Position = "",
    facts: With = None,
    readings: Annotated[
        list[str] | None,
        typer.Option("--reading", metavar="NAME=VALUE", help="Something measured on it: leakage=2uA@250V. Repeat it."),
    ] = None,
    condition: Annotated[
        str,
        typer.Option(
            "--condition", help="new, unused-old (NOS) or salvaged (used); without it the part is taken as new."
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """May this part in the hand go in? Judged without shelving it.

    partsbin try "22n 400V film" capacitor --position coupling --with rail=240 --with original="0.02uF 350V"
    """
    from partsbin.matching.hand import try_text
    from partsbin.needs import Request
    from partsbin.sets import read_facts

    family, text = _either_order(family, text)
    request = Request(family, "", position, {}, read_facts(facts or ()))
    _finish(try_text(request, text, condition, readings or []), as_json)


def read(
    text: Annotated[str, typer.Argument(help='A description: "8+8 µF/450 V".')],
    family: Annotated[str, typer.Option("--family", help="The family, where it is known.")] = "",
    as_json: AsJson = False,
) -> None:
    """How is a description understood? One sure reading, several, or none.

    partsbin read "2J473K"
    """
    from partsbin.cli.render import readings_text
    from partsbin.families import named
    from partsbin.stock.describe import readings_of

    found = [
        {
            "family": r.family,
            "fields": r.fields,
            "sure": r.sure,
            "notes": r.told(),
        }
        for r in readings_of(text, named(family) if family else "")
    ]
    if as_json:
        print_json({"readings": found})
    else:
        tell(readings_text(plain(found)))
    raise typer.Exit(0 if found else 1)


def demo(
    db: Annotated[
        str | None,
        typer.Option(
            "--db", metavar="FILE", help="Where to build it; without it a file of its own, never the user's catalogue."
        ),
    ] = None,
) -> None:
    """Build the demonstration catalogue and play three repairs on it."""
    from partsbin.cli.demo import play

    play(db, width())
