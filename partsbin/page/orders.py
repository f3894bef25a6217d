"""Orders: what is short, the least dear order for it, what is under way, what came."""

from __future__ import annotations

import hashlib
import json
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.jobs.delivery import COLUMNS, Booked, Came, book, order_rows, ordered_rows
from partsbin.jobs.orders import Ordered, cancel, lines, offer_id, offer_number, send
from partsbin.jobs.record import Opened, job_named, jobs, still_open
from partsbin.jobs.reorder import Proposal, look_up, propose
from partsbin.jobs.wanted import would_serve
from partsbin.notation.money import read_money, say_money
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import address, count_of, refuse_other
from partsbin.page.words import MOST_JOBS
from partsbin.stock.acts import Who
from partsbin.stock.export import write
from partsbin.stock.shelf import number_of
from partsbin.store.engine import reading, writing

SHOWN = 200
"""Lines of a proposal or of an order that a page shows, at most [-]."""

SERVED = 5
"""Needs that are named of what has come in [-]."""


def page(request: Asked) -> Response:
    """Show what is under way; once asked, what is to be ordered."""
    return _page(desk_of(request), request, asked(request))


def _page(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    codes, unread = _codes(form), 0
    if codes or form.get("propose"):
        unread = look_up(desk.engine, lambda held: _jobs(held, codes), Who(desk.clock()))
    with reading(desk.engine) as connection:
        made = None
        if codes or form.get("propose"):
            made = propose(connection, _jobs(connection, codes), Who(desk.clock()))
        under_way = lines(connection, coming=True)
        open_jobs = jobs(connection, open_only=True, most=MOST_JOBS)
    return desk.show(
        request,
        "orders.html",
        status,
        form=form,
        codes=codes,
        jobs=open_jobs,
        made=made,
        unread=unread,
        shops=_shops(made) if made else [],
        seen=state_of(made) if made else "",
        under_way=[(order, list(own)) for order, own in groupby(under_way[:SHOWN], lambda line: line.order)],
        fault=fault,
        said=say_money,
        comes=made.comes if made else None,
        csv=lambda supplier: address("/orders/proposal.csv", {**_asked(codes), "supplier": supplier}),
    )


def _codes(form: Form) -> list[str]:
    """Return the jobs that are ordered for: ticked, or led here from one."""
    ticked = [name.removeprefix("job.") for name, said in form.items() if name.startswith("job.") and said]
    return list(dict.fromkeys([*ticked, *form.get("job", "").split()]))[:MOST_JOBS]


def _asked(codes: Sequence[str]) -> Form:
    return {"job": " ".join(codes)} if codes else {"propose": "yes"}


def _jobs(connection: Connection, codes: Sequence[str]) -> list[Opened]:
    return [still_open(job_named(connection, code)) for code in codes]


def _shops(made: Proposal) -> list[dict[str, Any]]:
    """Return the lines of a proposal by supplier, with their sum."""
    shops = []
    for supplier in dict.fromkeys(line.supplier for line in made.lines):
        own = [line for line in made.lines if line.supplier == supplier]
        numbered = [(offer_number(line.offer_id), line) for line in own[:SHOWN]]
        shops.append({"name": supplier, "lines": numbered, "goods": sum(line.price * line.pieces for line in own)})
    return shops


def state_of(made: Proposal) -> str:
    """Return a word for a proposal: which offers, how many, at which price, for what with which verdict, and what sending costs."""
    said = [(line.offer_id, line.pieces, line.price, line.uses) for line in made.lines]
    return hashlib.sha256(json.dumps([said, made.shipping]).encode()).hexdigest()[:16]


def sent(desk: Desk, request: Asked, form: Form) -> Response:
    """Note that what is proposed was sent: it is coming from now on. Refused where it is another proposal by now."""
    try:
        who = desk.who(request)
        with writing(desk.engine) as connection:
            made = propose(connection, _jobs(connection, _codes(form)), who)
            refuse_other(form.get("seen", ""), lambda: state_of(made), "what is to be ordered")
            numbers = dict.fromkeys(line.order for line in send(connection, made, who))
    except PartsbinError as fault:
        return _page(desk, request, {**form, "propose": "yes"}, fault, 409)
    return see_other("/orders", f"noted as sent: order {', '.join(map(str, numbers))}")


def proposal_csv(request: Asked) -> Response:
    """Return what is proposed of one supplier as a table."""
    desk, form = desk_of(request), asked(request)
    look_up(desk.engine, lambda held: _jobs(held, _codes(form)), Who(desk.clock()))
    with reading(desk.engine) as connection:
        made = propose(connection, _jobs(connection, _codes(form)), Who(desk.clock()))
    rows = [row for row in order_rows(made) if row["supplier"] == form.get("supplier", "")]
    return _csv(rows, "proposal")


def _csv(rows: Iterable[Mapping[str, str]], name: str) -> Response:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "table.csv"
        write(path, COLUMNS, rows)
        content = path.read_bytes()
    shown = {"Content-Disposition": f'attachment; filename="{name}.csv"'}
    return Response(content, media_type="text/csv; charset=utf-8", headers=shown)


def bought(desk: Desk, request: Asked, form: Form) -> Response:
    """Book what came by the number of its offer, ordered or not."""
    try:
        who = desk.who(request)
        price = read_money(form["price"]) if form.get("price", "").strip() else None
        came = [Came(offer_id(form.get("offer", "")), count_of(form.get("pieces", "")), price)]
        with writing(desk.engine) as connection:
            said = _came(connection, book(connection, came, who, place=form.get("place", "").strip()))
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other("/orders", said)


def _came(connection: Connection, booked: Sequence[Booked]) -> str:
    """Return what was booked, in words, with the needs that it would serve."""
    said = [f"{each.pieces} × {number_of(each.part_id)} {each.title}" for each in booked[:SERVED]]
    more = [f"and {len(booked) - SERVED} more"] if len(booked) > SERVED else []
    serves = [
        f"{number_of(match.part_id)} {match.said}"
        for match in would_serve(connection, [each.part_id for each in booked[:SERVED]])
    ]
    return f"booked: {'; '.join([*said, *more, *serves[:SERVED]])}"


# ---- an order that was sent


def order(request: Asked) -> Response:
    """Show an order: what was ordered, what came, what is still to come."""
    return _order(desk_of(request), request, {})


def _order(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    number = request.path_params["number"]
    with reading(desk.engine) as connection:
        found = lines(connection, order=number)
    return desk.show(
        request,
        "order.html",
        status,
        number=number,
        lines=[(offer_number(line.offer_id), line) for line in found[:SHOWN]],
        coming=any(line.coming for line in found),
        seen=_stands(found),
        form=form,
        fault=fault,
        said=say_money,
    )


def _stands(found: Sequence[Ordered]) -> str:
    """Return a word for how an order stands."""
    said = [(line.id, line.came, line.cancelled) for line in found]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:16]


def arrived(desk: Desk, request: Asked, form: Form) -> Response:
    """Book what came of an order, all of it or a part, as one act."""
    number = request.path_params["number"]
    try:
        who = desk.who(request)
        with writing(desk.engine) as connection:
            found = lines(connection, order=number)
            refuse_other(form.get("seen", ""), lambda: _stands(found), f"order {number}")
            counts = {line: count_of(form.get(f"came.{offer_number(line.offer_id)}", ""), least=0) for line in found}
            came = [Came(line.offer_id, pieces, order=number) for line, pieces in counts.items() if pieces]
            if not came:
                raise UsageError("nothing came: expected pieces of at least one line")
            said = _came(connection, book(connection, came, who, place=form.get("place", "").strip()))
    except PartsbinError as fault:
        return _order(desk, request, form, fault, 409)
    return see_other(f"/order/{number}", said)


def cancelled(desk: Desk, request: Asked, form: Form) -> Response:
    """Note that what is still to come of an order does not come."""
    number = request.path_params["number"]
    try:
        desk.who(request)
        with writing(desk.engine) as connection:
            found = lines(connection, order=number)
            refuse_other(form.get("seen", ""), lambda: _stands(found), f"order {number}")
            gone = cancel(connection, number)
    except PartsbinError as fault:
        return _order(desk, request, form, fault, 409)
    return see_other(f"/order/{number}", f"{sum(pieces for _, pieces in gone)} pieces are not to come any more")


def order_csv(request: Asked) -> Response:
    """Return an order as a table, as it is sent; the same table books what came of it on the command line."""
    number = request.path_params["number"]
    with reading(desk_of(request).engine) as connection:
        rows = ordered_rows(lines(connection, order=number))
    return _csv(rows, f"order-{number}")


ROUTES = [
    Route("/orders", page),
    Route("/orders/proposal.csv", proposal_csv),
    Route("/orders/send", posted(sent), methods=["POST"]),
    Route("/orders/bought", posted(bought), methods=["POST"]),
    Route("/order/{number:int}", order),
    Route("/order/{number:int}/table.csv", order_csv),
    Route("/order/{number:int}/came", posted(arrived), methods=["POST"]),
    Route("/order/{number:int}/cancel", posted(cancelled), methods=["POST"]),
]
