"""rule, supplier: what is to be kept, and from whom it comes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import MOST, AsJson, Db, engine, now, plain, print_json, say, tell
from partsbin.cli.job import Facts

if TYPE_CHECKING:
    from sqlalchemy import Engine

kept = typer.Typer(
    no_args_is_help=True, rich_markup_mode=None, help="Stock rules: a need of which so many pieces are to be there."
)
sellers = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Suppliers and what they want for sending.")


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.add_typer(kept, name="rule")
    app.add_typer(sellers, name="supplier")


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
