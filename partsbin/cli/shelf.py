"""shelve, show: putting a part on the shelf and looking at it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, say, tell, user
from partsbin.cli.wanted import tell_wanted, wanted_for

if TYPE_CHECKING:
    from sqlalchemy import Connection


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("shelve")(shelve)
    app.command("show", short_help="Everything known of a part.")(show)


def shelve(
    context: typer.Context,
    text: Annotated[str, typer.Argument(help='The part, in trade notation: "47n 400V film".')],
    family: Annotated[str, typer.Option("--family", help="Its family, where the words do not tell.")] = "",
    count: Annotated[int, typer.Option("--count", min=1, max=1_000_000, help="How many.")] = 1,
    rough: Annotated[bool, typer.Option("--rough", help="The count is about right, no more.")] = False,
    condition: Annotated[str, typer.Option("--condition", help="new, unused-old (NOS) or salvaged (used).")] = "",
    place: Annotated[str, typer.Option("--place", help="Drawer, box, shelf.")] = "",
    donor: Annotated[str, typer.Option("--donor", help="Chassis it came from: D-007.")] = "",
    donor_lineup: Annotated[str, typer.Option("--donor-lineup", help="Valves of that chassis.")] = "",
    title: Annotated[str, typer.Option("--title", help="A title of your own.")] = "",
    note: Annotated[str, typer.Option("--note", help="Anything else.")] = "",
    price: Annotated[str, typer.Option("--price", help="What a piece costs to replace, in your currency.")] = "",
    readings: Annotated[
        list[str] | None,
        typer.Option("--reading", metavar="NAME=VALUE", help="Something measured: capacitance=22.0uF±1%. Repeat it."),
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Put a part on the shelf.

    partsbin shelve "22n 630V polypropylene" --count 12 --condition new --place "drawer C2"
    """
    from partsbin.notation.money import read_money
    from partsbin.stock.catalogue import shelve as put
    from partsbin.stock.draft import draft_from_text
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    draft, doubts = draft_from_text(
        text,
        family=family,
        count=count,
        rough=rough,
        condition=condition,
        place=place,
        donor=donor,
        donor_lineup=donor_lineup,
        title=title,
        note=note,
        readings=readings or [],
    )
    draft = replace(draft, price=read_money(price) if price else None)
    opened = engine(context, db, create=True)
    with writing(opened) as connection:
        number = number_of(put(connection, [draft], at=now(), by=user())[0])
    serves = wanted_for(opened, [number])
    if as_json:
        print_json({"part": number, "family": draft.family, "title": draft.title, "notes": doubts, "serves": serves})
        return
    tell(f"{number}  {plain(draft.title)}")
    tell_wanted(serves)
    for doubt in doubts:
        say(f"    {doubt}")


def show(
    context: typer.Context,
    number: Annotated[str, typer.Argument(help="A part, P-0042; or a donor, D-007; or a job, J-0012.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Everything known of a part: what is marked, what was measured, where it lies, what became of it.

    partsbin show P-0042
    """
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found, lines = _portrait(connection, number)
    if as_json:
        print_json(found)
    else:
        tell("\n".join(lines))


def _portrait(connection: Connection, number: str) -> tuple[dict[str, Any], list[str]]:
    """A part, a donor or a job, by the letter of its number; and the same in lines."""
    kind = number.strip()[:1].upper()
    if kind == "D":
        from partsbin.reports.donor import donor_lines, donor_portrait
        from partsbin.stock.donors import donor_of

        found = donor_portrait(connection, donor_of(connection, number), now())
        return found, donor_lines(plain(found))
    if kind == "J":
        from partsbin.jobs.portrait import portrait as job_portrait
        from partsbin.jobs.portrait import portrait_text as job_text
        from partsbin.jobs.record import job_id_of, job_of

        found = job_portrait(connection, job_of(connection, job_id_of(number)))
        return found, job_text(plain(found)).split("\n")
    from partsbin.stock.portrait import portrait, portrait_text

    found = portrait(connection, number)
    lines = portrait_text(plain(found)).split("\n")
    if found["on_hand"] == 0:
        from partsbin.jobs.on_sale import sold_as
        from partsbin.stock.shelf import id_of

        sold = sold_as(connection, [id_of(number)])
        lines += [f"    sold as {plain(line.partition(': ')[2])}" for line in sold]
    return found, lines
