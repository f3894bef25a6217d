"""rule, supplier, reorder, bought: what is to be kept, from whom it comes, what to order, what came."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import MOST, AsJson, Db, engine, now, plain, print_json, say, tell
from partsbin.cli.job import Facts, job_named
from partsbin.cli.stock import Why, who
from partsbin.cli.wanted import tell_wanted, wanted_for

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from partsbin.jobs.reorder import Proposal

kept = typer.Typer(
    no_args_is_help=True, rich_markup_mode=None, help="Stock rules: a need of which so many pieces are to be there."
)
sellers = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Suppliers and what they want for sending.")


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.add_typer(kept, name="rule")
    app.add_typer(sellers, name="supplier")
    app.command("reorder", short_help="What is short, and the least dear order that covers it.")(reorder)
    app.command("bought", short_help="Put what came from a supplier on the shelf.")(bought)


@kept.command("add")
def add(
    context: typer.Context,
    level: Annotated[int, typer.Argument(min=1, max=MOST, help="Pieces that are to be there.")],
    family: Annotated[str, typer.Argument(help="The family.", autocompletion=complete.families)],
    text: Annotated[str, typer.Argument(help="What they have to stand in for, in trade notation.")] = "",
    position: Annotated[
        str, typer.Option("--position", "-p", metavar="P", help="What it does.", autocompletion=complete.positions)
    ] = "",
    facts: Facts = None,
    service: Annotated[
        float | None, typer.Option("--service", help="Chance that stock lasts until a delivery comes: 0.95.")
    ] = None,
    lead: Annotated[int | None, typer.Option("--lead", help="Days until a delivery comes.")] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Ten of anything that serves: equivalents count together.

    partsbin rule add 10 capacitor "0.047uF 400V" --position coupling --with rail=350
    """
    from partsbin.families import named
    from partsbin.jobs.stock_rules import add_rule, levels
    from partsbin.store.engine import writing

    with writing(engine(context, db, create=True)) as connection:
        made = add_rule(connection, named(family), text, position, level, facts=facts or (), service=service, lead=lead)
        found = [each for each in levels(connection, now()) if each.rule.id == made.id]
    _rules(found, as_json)


@kept.command("list")
def list_(context: typer.Context, db: Db = None, as_json: AsJson = False) -> None:
    """How the rules stand: what is there, what is to be ordered, and why.

    partsbin rule list
    """
    from partsbin.jobs.stock_rules import levels
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = levels(connection, now())
    _rules(found, as_json)


@kept.command("drop")
def drop(
    context: typer.Context,
    number: Annotated[int, typer.Argument(help="The rule's number.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take a rule out of force.

    partsbin rule drop 3
    """
    from partsbin.jobs.stock_rules import drop_rule, levels
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        drop_rule(connection, number)
        found = levels(connection, now())
    _rules(found, as_json)


def _rules(found: list[Any], as_json: bool) -> None:
    if as_json:
        print_json({"rules": [each.as_json() for each in found]})
        return
    for each in found:
        order = f", order {each.order}" if each.order else ""
        tell(f"{plain(each.name)}: {each.why}{order}")
    if not found:
        say('    no stock rule: partsbin rule add 10 capacitor "0.047uF 400V" --position coupling')


@sellers.command("list")
def suppliers_(context: typer.Context, db: Db = None, as_json: AsJson = False) -> None:
    """Suppliers, and what sending costs.

    partsbin supplier list
    """
    _suppliers(engine(context, db), as_json)


@sellers.command("sending")
def sending(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="The supplier.")],
    price: Annotated[str, typer.Argument(help="What an order's sending costs: 4.50.")],
    free_from: Annotated[str, typer.Option("--free-from", metavar="SUM", help="Free from goods of so much.")] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Note what a supplier wants for sending an order.

    partsbin supplier sending "Bridge Valves" 4.50 --free-from 60
    """
    from partsbin.jobs.offers import ship
    from partsbin.notation.money import read_money
    from partsbin.store.engine import writing

    opened = engine(context, db, create=True)
    with writing(opened) as connection:
        ship(connection, name, read_money(price), read_money(free_from) if free_from else None)
    _suppliers(opened, as_json)


def _suppliers(opened: Engine, as_json: bool) -> None:
    from partsbin.jobs.offers import suppliers
    from partsbin.notation.money import say_money

    found = suppliers(opened)
    if as_json:
        print_json({"suppliers": [{k: s[k] for k in ("name", "shipping", "free_from")} for s in found]})
        return
    for each in found:
        free = f", free from {say_money(each['free_from'])}" if each["free_from"] is not None else ""
        tell(f"{plain(each['name'])}: sending {say_money(each['shipping'])}{free}")
    if not found:
        say('    no supplier: partsbin import prices.csv --as offers --supplier "Bridge Valves"')


def reorder(
    context: typer.Context,
    jobs: Annotated[
        list[str] | None, typer.Option("--job", metavar="JOB", help="What it is short of as well. Repeat it.")
    ] = None,
    folder: Annotated[
        Path | None, typer.Option("--folder", metavar="DIR", help="One CSV a supplier is written there.")
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """What stock rules and jobs are short of, and the least dear order that covers it: packs, price breaks, sending.

    Only what fits, with or without care, is bought.

    partsbin reorder --job J-0012 --folder orders
    """
    from partsbin.jobs.delivery import write_orders
    from partsbin.jobs.record import still_open
    from partsbin.jobs.reorder import propose
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        made = propose(connection, [still_open(job_named(connection, code)) for code in jobs or ()], who())
    files = write_orders(made, folder) if folder is not None else []
    if as_json:
        print_json({**made.as_json(), "files": [str(file) for file in files]})
    else:
        _order(made)
        for file in files:
            say(f"    {plain(str(file))}")
    raise typer.Exit(1 if made.missing else 0)


def _order(made: Proposal) -> None:
    from partsbin.notation.money import say_money
    from partsbin.stock.shelf import number_of

    for short in made.wanted:
        tell(f"{plain(short.name)}: {short.pieces} short ({short.why})")
    for supplier in dict.fromkeys(line.supplier for line in made.lines):
        tell(f"ORDER from {plain(supplier)}")
        for line in (line for line in made.lines if line.supplier == supplier):
            paid = f"{say_money(line.price)} = {say_money(line.price * line.pieces)}"
            article = f"{plain(line.article)}  " if line.article else ""
            tell(f"  {line.pieces} × {article}{plain(line.title)} ({number_of(line.part_id)}) at {paid}")
            tell("      " + "; ".join(f"{n} for {plain(name)} ({verdict})" for name, n, verdict in line.uses))
    for short, pieces in made.missing:
        tell(f"{plain(short.name)}: {pieces} that nobody offers")
    if made.lines:
        total = say_money(made.goods + made.shipping)
        tell(f"goods {say_money(made.goods)}, sending {say_money(made.shipping)}, together {total}")
    elif not made.wanted:
        say("    nothing is short")


def bought(
    context: typer.Context,
    what: Annotated[str, typer.Argument(help="An offer, P-1042, or the file of an order with the pieces that came.")],
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many came, of one offer.")] = 1,
    price: Annotated[str, typer.Option("--price", help="What a piece cost, if not as offered: 0.45.")] = "",
    place: Annotated[str, typer.Option("--place", help="Where it lies now.")] = "",
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Put what came on the shelf: one act, partsbin undo takes it back. What came in part is booked in part.

    partsbin bought P-1042 --pieces 20 --place "drawer E1"
    partsbin bought orders/order-bridge-valves.csv
    """
    from partsbin.errors import UsageError
    from partsbin.jobs.delivery import Came, book, read_delivery
    from partsbin.notation.money import read_money, say_money
    from partsbin.stock.shelf import id_of, number_of
    from partsbin.store.engine import writing

    if Path(what).suffix:
        if price or pieces != 1:
            raise UsageError("pieces and prices stand in the file", hint="change them there")
        came = read_delivery(Path(what))
    else:
        came = [Came(id_of(what), pieces, read_money(price) if price else None)]
    opened = engine(context, db)
    with writing(opened) as connection:
        booked = book(connection, came, who(why), place=place)
    serves = wanted_for(opened, [number_of(line.part_id) for line in booked])
    if as_json:
        lines = [{"part": number_of(b.part_id), "title": b.title, "pieces": b.pieces, "price": b.price} for b in booked]
        print_json({"bought": lines, "serves": serves})
        return
    for line in booked:
        tell(f"{number_of(line.part_id)}  {plain(line.title)}: {line.pieces} bought at {say_money(line.price)}")
    tell_wanted(serves, named=True)
    if not booked:
        say("    nothing came: every line says 0")
