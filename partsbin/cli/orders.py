"""reorder, order, bought: what to order, what is under way, what came."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from partsbin.cli.common import MOST, AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.job import job_named
from partsbin.cli.stock import Why, who
from partsbin.cli.wanted import tell_wanted, wanted_for

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from partsbin.jobs.orders import Ordered
    from partsbin.jobs.reorder import Proposal

sent = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Orders that were sent, what is still to come.",
)

Number = Annotated[int, typer.Argument(metavar="ORDER", min=1, max=2**31 - 1, help="The order's number.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("reorder", short_help="What is short, and the least dear order that covers it.")(reorder)
    app.add_typer(sent, name="order")
    app.command("bought", short_help="Put what came from a supplier on the shelf.")(bought)


def reorder(
    context: typer.Context,
    jobs: Annotated[
        list[str] | None, typer.Option("--job", metavar="JOB", help="What it is short of as well. Repeat it.")
    ] = None,
    send: Annotated[bool, typer.Option("--send", help="It is ordered: from now on it is coming.")] = False,
    folder: Annotated[
        Path | None, typer.Option("--folder", metavar="DIR", help="One CSV a supplier is written there, and --send.")
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """What stock rules and jobs are short of, and the least dear order that covers it: packs, price breaks, sending.

    Only what fits, with or without care, is bought. Without --send nothing is noted; what was sent is coming, and is not
    ordered again.

    partsbin reorder --job J-0012
    partsbin reorder --job J-0012 --folder orders
    """
    from partsbin.jobs.delivery import write_orders
    from partsbin.jobs.orders import send as note
    from partsbin.jobs.record import still_open
    from partsbin.jobs.reorder import propose
    from partsbin.jobs.unread import left_unread
    from partsbin.store.engine import reading, writing

    sending = send or folder is not None
    opened = engine(context, db)
    unread = read_price_lists(opened, jobs or ())
    files: list[Path] = []
    try:
        with writing(opened) if sending else reading(opened) as connection:
            made = propose(connection, [still_open(job_named(connection, code)) for code in jobs or ()], who())
            ordered = note(connection, made, who()) if sending else []
            files = write_orders(ordered, folder) if folder is not None else []
    except BaseException:
        for file in files:  # of an order that could not be noted nobody sends a list
            file.unlink(missing_ok=True)
        raise
    numbers = list(dict.fromkeys(line.order for line in ordered))
    if as_json:
        print_json({**made.as_json(), "unread": unread, "sent": numbers, "files": [str(file) for file in files]})
    else:
        _proposal(made, ordered)
        for file in files:
            say(f"    {plain(str(file))}")
        if unread:
            say(f"    {left_unread(opened, unread)}")
        if made.lines and not sending:
            say("    nothing is ordered yet: --send notes that you did, --folder DIR writes the orders as well")
    raise typer.Exit(1 if made.missing else 0)


def read_price_lists(opened: Engine, jobs: Iterable[str]) -> int:
    """Read what may serve of the lines that wait unread, and return how many were too many for once."""
    from partsbin.cli.progress import progress
    from partsbin.jobs.record import still_open
    from partsbin.jobs.reorder import look_up

    with progress("price lists", lost="what was read stays read") as told:
        return look_up(opened, lambda held: [still_open(job_named(held, code)) for code in jobs], who(), told)


def _proposal(made: Proposal, ordered: list[Ordered]) -> None:
    from partsbin.jobs.orders import offer_number
    from partsbin.jobs.reorder import said_uses
    from partsbin.notation.money import say_money

    for short in made.wanted:
        tell(plain(made.said_of(short)))
    for each in made.coming:
        line = each.line
        tell(
            f"COMING  {line.coming} × {_called(line.article, line.title)}, order {line.order} from {plain(line.supplier)}"
        )
        tell(f"      {plain(said_uses(each.uses, line.coming))}")
    of = {line.supplier: line.order for line in ordered}
    for supplier in dict.fromkeys(line.supplier for line in made.lines):
        tell(f"ORDER{f' {of[supplier]}' if of else ''} from {plain(supplier)}")
        for bought in (line for line in made.lines if line.supplier == supplier):
            paid = f"{say_money(bought.price)} = {say_money(bought.price * bought.pieces)}"
            called = _called(bought.article, bought.title)
            tell(f"  {bought.pieces} × {called} ({offer_number(bought.offer_id)}) at {paid}")
            tell(f"      {plain(said_uses(bought.uses, bought.pieces))}")
            if bought.note:
                tell(f"      look at the list first: {plain(bought.note)}")
    for name in made.unsaid:
        tell(f"{plain(name)}: nothing is ordered before its position is said (partsbin job position)")
    for short, pieces in made.missing:
        tell(f"{plain(short.name)}: {pieces} that nobody offers")
    if made.lines:
        total = say_money(made.goods + made.shipping)
        tell(f"goods {say_money(made.goods)}, sending {say_money(made.shipping)}, together {total}")
        if made.over:
            say(f"    no proof in time that it is the least: another may cost up to {say_money(made.over)} less")
    elif not made.wanted and not made.unsaid:
        say("    nothing is short")
    elif made.wanted and not made.missing:
        say("    all of it is coming: nothing is to be ordered")


def _called(article: str, title: str) -> str:
    return f"{plain(article)}  {plain(title)}" if article else plain(title)


@sent.command("list")
def list_(
    context: typer.Context,
    everything: Annotated[
        bool, typer.Option("--all", help="Those of which all came or was cancelled as well.")
    ] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """What is under way: orders of which something is still to come.

    partsbin order list
    """
    from partsbin.jobs.orders import lines
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = lines(connection, coming=not everything)
    _orders(found, as_json)
    if not found and not as_json:
        say("    nothing is under way: partsbin reorder --send notes what you order")


@sent.command("show")
def show(context: typer.Context, order: Number, db: Db = None, as_json: AsJson = False) -> None:
    """One order: what came, what is still to come.

    partsbin order show 3
    """
    from partsbin.jobs.orders import lines
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = lines(connection, order=order)
    _orders(found, as_json)


@sent.command("cancel")
def cancel(
    context: typer.Context,
    order: Number,
    offer: Annotated[str, typer.Argument(help="One offer of it, O-0012; all of it without.")] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Note that what is still to come of an order does not come: it is short again.

    partsbin order cancel 3
    partsbin order cancel 3 O-0012
    """
    from partsbin.jobs.orders import cancel as note
    from partsbin.jobs.orders import lines, offer_id
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        note(connection, order, offer_id(offer) if offer else None)
        found = lines(connection, order=order)
    _orders(found, as_json)


def _orders(found: list[Ordered], as_json: bool) -> None:
    from partsbin.jobs.orders import offer_number
    from partsbin.notation.money import say_money

    if as_json:
        print_json({"orders": [line.as_json() for line in found]})
        return
    for order in dict.fromkeys(line.order for line in found):
        own = [line for line in found if line.order == order]
        tell(f"order {order} to {plain(own[0].supplier)}, {own[0].at:%Y-%m-%d}")
        for line in own:
            state = [f"{n} {word}" for n, word in ((line.came, "came"), (line.cancelled, "cancelled")) if n]
            state.append(f"{line.coming} to come" if line.coming else "nothing to come")
            called = _called(line.article, line.title)
            tell(
                f"  {line.pieces} × {called} ({offer_number(line.offer_id)}) at {say_money(line.price)}: {', '.join(state)}"
            )
            tell(f"      for {plain('; '.join(line.uses))}")


def bought(
    context: typer.Context,
    what: Annotated[
        str, typer.Argument(help="An offer, O-0012; or the file of an order, its pieces as they came.")
    ] = "",
    order: Annotated[
        int | None, typer.Option("--order", min=1, max=2**31 - 1, help="All that is still to come of this order came.")
    ] = None,
    pieces: Annotated[
        int | None, typer.Option("--pieces", min=1, max=MOST, help="How many came of one offer: 1.")
    ] = None,
    price: Annotated[str, typer.Option("--price", help="What a piece cost, if not as ordered: 0.45.")] = "",
    place: Annotated[str, typer.Option("--place", help="Where it lies now.")] = "",
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Put what came on the shelf: one act, partsbin undo takes it back. What came in part is booked in part.

    partsbin bought --order 3 --place "drawer E1"
    partsbin bought O-0012 --order 3 --pieces 20
    partsbin bought orders/order-3-bridge-valves.csv
    """
    from partsbin.errors import UsageError
    from partsbin.jobs.delivery import Came, book, read_delivery
    from partsbin.jobs.orders import lines, offer_id
    from partsbin.notation.money import read_money, say_money
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    paid = read_money(price) if price else None
    file = bool(Path(what).suffix)
    if not what and order is None:
        raise UsageError("what came is not said", hint="an offer O-0012, the file of an order, or --order 3")
    if (file or not what) and (price or pieces is not None):
        raise UsageError("pieces and prices are said of one offer", hint="in a file they are changed there")
    if file and order is not None:
        raise UsageError("the orders stand in the file", hint="leave out --order")
    opened = engine(context, db)
    came = read_delivery(Path(what)) if file else []
    with writing(opened) as connection:
        if what and not file:
            came = [Came(offer_id(what), pieces or 1, paid, order=order)]
        elif order is not None:
            own = lines(connection, order=order)
            came = [Came(line.offer_id, line.coming, order=order) for line in own if line.coming]
        booked = book(connection, came, who(why), place=place)
    serves = wanted_for(opened, [number_of(line.part_id) for line in booked])
    if as_json:
        told = [
            {"part": number_of(b.part_id), "title": b.title, "pieces": b.pieces, "price": b.price, "orders": list(b.of)}
            for b in booked
        ]
        print_json({"bought": told, "serves": serves})
        return
    for line in booked:
        of = f" (order {', '.join(map(str, line.of))})" if line.of else ""
        tell(f"{number_of(line.part_id)}  {plain(line.title)}: {line.pieces} bought at {say_money(line.price)}{of}")
    tell_wanted(serves, named=True)
    if not booked:
        say("    nothing came: every line says 0" if file else f"    nothing of order {order} is to come")
