"""donor: chassis stripped for parts, what they are, what they gave, what is still to be read on it."""

from __future__ import annotations

from textwrap import fill
from typing import Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, say, tell, width

Code = Annotated[str, typer.Argument(metavar="DONOR", help="A donor: D-007.")]
Name = Annotated[str, typer.Option("--name", help="What it was.")]
Lineup = Annotated[str, typer.Option("--lineup", help="Its valves.")]
Note = Annotated[str, typer.Option("--note", help="Anything else.")]
Cost = Annotated[str, typer.Option("--cost", help="What it cost, in your currency.")]
Came = Annotated[str, typer.Option("--came", help="When it came, as you write dates.")]

donor = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="A chassis stripped for parts.")


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.add_typer(donor, name="donor")


@donor.command("add")
def add(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help='What it was: "carriage receiver, cabinet gone".')] = "",
    code: Annotated[str, typer.Option("--number", help="Its number; without it the next one.")] = "",
    lineup: Lineup = "",
    note: Note = "",
    cost: Cost = "",
    came: Came = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Note a donor.

    partsbin donor add "carriage receiver, cabinet gone" --lineup "UCH81 UF89 UABC80 UL84 UY85"
    """
    from partsbin.notation.money import read_money
    from partsbin.stock.donors import add_donor
    from partsbin.store.engine import writing

    said = {"name": name, "lineup": lineup, "note": note, "came": came, "cost": read_money(cost) if cost else None}
    with writing(engine(context, db, create=True)) as connection:
        made = add_donor(connection, code=code, **said)
    if as_json:
        print_json(made.as_json())
        return
    tell(f"{made.code}  {plain(made.name) or 'a donor'}{f': {plain(made.lineup)}' if made.lineup else ''}")


@donor.command("know")
def know(
    context: typer.Context,
    code: Code,
    name: Name = "",
    lineup: Lineup = "",
    note: Note = "",
    cost: Cost = "",
    came: Came = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Add to what is known of a donor; its valves tell what its transformers carried.

    partsbin donor know D-007 --lineup "ECH81 EBF89 EL84 EZ80"
    """
    from partsbin.notation.money import read_money
    from partsbin.stock.donors import donor_of, learn
    from partsbin.store.engine import writing

    said = {"name": name, "lineup": lineup, "note": note, "came": came, "cost": read_money(cost) if cost else None}
    with writing(engine(context, db)) as connection:
        known = learn(connection, donor_of(connection, code), **said)
    if as_json:
        print_json(known.as_json())
        return
    tell(f"{known.code}  {plain(known.name) or 'a donor'}{f': {plain(known.lineup)}' if known.lineup else ''}")


@donor.command("list")
def list_(context: typer.Context, db: Db = None, as_json: AsJson = False) -> None:
    """All donors, with what is left of them.

    partsbin donor list
    """
    from partsbin.stock.donors import donors, parts_of
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = [(each, parts_of(connection, each)) for each in donors(connection)]
    if as_json:
        print_json(
            {"donors": [{**each.as_json(), "parts": len(p), "left": sum(q["on_hand"] for q in p)} for each, p in found]}
        )
        return
    for each, parts in found:
        left = sum(part["on_hand"] for part in parts)
        valves = f": {plain(each.lineup)}" if each.lineup else ""
        tell(f"{each.code}  {plain(each.name) or 'a donor'}{valves} · {len(parts)} parts, {left} pieces left")


@donor.command("todo")
def todo(
    context: typer.Context,
    code: Annotated[str, typer.Argument(metavar="[DONOR]", help="A donor; without it all of them.")] = "",
    limit: Annotated[int, typer.Option("--limit", min=1, max=1000, help="How many parts.")] = 20,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """What is still to be read or looked up on salvaged parts, most useful first.

    partsbin donor todo D-007
    """
    from partsbin.stock.donors import donor_of, owed
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = owed(connection, donor_of(connection, code) if code else None)
    if as_json:
        print_json({"parts": found[:limit], "more": max(0, len(found) - limit)})
        return
    for entry in found[:limit]:
        _tell_owed(entry)
    for danger in dict.fromkeys(danger for entry in found[:limit] for danger in entry["dangers"]):
        tell(_wrapped("CAUTION ", danger))
    if len(found) > limit:
        say(f"    and {len(found) - limit} more: --limit {len(found)} shows all")
    if not found:
        say("    nothing is owed")


@donor.command("worth")
def worth_(
    context: typer.Context,
    code: Annotated[str, typer.Argument(metavar="DONOR", help="A donor: D-007.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Which parts of a donor are worth pulling now, by its valves and what a set with them usually holds.

    partsbin donor worth D-007
    """
    from partsbin.jobs.worth import LEAVE, worth
    from partsbin.stock.donors import donor_of
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        each = donor_of(connection, code)
        found = worth(connection, each, now())
    if as_json:
        pulls = [{"family": p.family, "part": p.what, "why": p.why, "serves": list(p.serves)} for p in found]
        print_json({"donor": each.code, "parts": pulls, "leave": list(LEAVE)})
        return
    for pull in found:
        head = f"{'PULL' if pull.serves else 'MAY '} {plain(pull.what)} ({plain(pull.why)})"
        tell(
            _wrapped(head + (": " if pull.serves else ""), "; ".join(map(plain, pull.serves))) if pull.serves else head
        )
    for line in LEAVE:
        tell(f"LEAVE {line}")
    if not found:
        say(f"    its valves are not known: partsbin donor know {each.code} --lineup …")


def _tell_owed(entry: dict[str, Any]) -> None:
    count = f", {entry['count']} of them" if entry["count"] > 1 else ""
    place = f", in {plain(entry['place'])}" if entry["place"] else ""
    tell(f"{entry['part']}  {plain(entry['title'])}{count}{place}")
    if entry["look"]:
        tell(_wrapped("look for: ", ", ".join(entry["look"])))
    if entry["read"]:
        tell(_wrapped("read: ", "; ".join(entry["read"])))


def _wrapped(head: str, said: str) -> str:
    return fill(f"{head}{said}", width(), initial_indent="    ", subsequent_indent=" " * (4 + len(head)))
