"""Orders: what is short, the least dear order for it, what is under way, what came."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError
from partsbin.jobs.delivery import COLUMNS, Booked, Came, book, order_rows
from partsbin.jobs.orders import lines, offer_id, offer_number, send
from partsbin.jobs.record import Opened, job_named, jobs, still_open
from partsbin.jobs.reorder import Bought, Proposal, look_up, propose, said_uses
from partsbin.jobs.unread import left_unread
from partsbin.jobs.wanted import would_serve
from partsbin.notation.money import read_money, say_money
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import address, count_of, refuse_other, word_for
from partsbin.page.paging import Pages
from partsbin.page.words import MOST_JOBS
from partsbin.stock.acts import Who
from partsbin.stock.export import write
from partsbin.stock.shelf import number_of
from partsbin.store.engine import reading, writing

A_PAGE = 100
"""Lines of each list on a page [-]."""

LISTS = ("short", "comes", "lines", "missing", "unsaid", "way")
"""The lists of the page, each with its own pages."""

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
    orders = [(order, list(own)) for order, own in groupby(under_way, lambda line: line.order)]
    way = Pages.of(_looked(form), A_PAGE, "way").among(len(orders))
    return desk.show(
        request,
        "orders.html",
        status,
        form=form,
        codes=codes,
        jobs=open_jobs,
        made=made,
        unread=left_unread(desk.engine, unread),
        **(_proposed(made, form) if made else {}),
        seen=state_of(made) if made else "",
        under_way=orders[way.start : way.start + A_PAGE],
        way=way,
        fault=fault,
        said=say_money,
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


def _looked(form: Form) -> Form:
    """Return what an address of this page asks for, of a form that may have come from elsewhere."""
    return {
        name: text for name, text in form.items() if name in LISTS or name in ("propose", "job") or name[:4] == "job."
    }


def _proposed(made: Proposal, form: Form) -> dict[str, Any]:
    """Return the lists of a proposal, of each the page that is asked for; a supplier's sum is of all its lines."""
    every: dict[str, Sequence[Any]] = {
        "short": made.wanted,
        "comes": made.coming,
        "lines": _by_supplier(made.lines),
        "missing": made.missing,
        "unsaid": made.unsaid,
    }
    pages = {name: Pages.of(_looked(form), A_PAGE, name).among(len(every[name])) for name in every}
    shown = {name: every[name][its.start : its.start + A_PAGE] for name, its in pages.items()}
    shops = []
    for supplier, own in groupby(shown["lines"], lambda line: line.supplier):
        goods = sum(line.price * line.pieces for line in made.lines if line.supplier == supplier)
        shops.append({"name": supplier, "lines": [(offer_number(line.offer_id), line) for line in own], "goods": goods})
    return {**shown, "pages": pages, "shops": shops, "uses": said_uses}


def _by_supplier(lines: Sequence[Bought]) -> list[Bought]:
    return [line for name in dict.fromkeys(each.supplier for each in lines) for line in lines if line.supplier == name]


def state_of(made: Proposal) -> str:
    """Return a word for a proposal: which offers, how many, at which price, for what with which verdict, and what sending costs."""
    said = [(line.offer_id, line.pieces, line.price, line.uses) for line in made.lines]
    return word_for([said, made.shipping])


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
    return table(rows, "proposal")


def table(rows: Iterable[Mapping[str, str]], name: str) -> Response:
    """Return rows of an order as a file to take along."""
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
            said = came_said(connection, book(connection, came, who, place=form.get("place", "").strip()))
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other("/orders", said)


def came_said(connection: Connection, booked: Sequence[Booked]) -> str:
    """Return what was booked, in words, with the needs that it would serve."""
    said = [f"{each.pieces} × {number_of(each.part_id)} {each.title}" for each in booked[:SERVED]]
    more = [f"and {len(booked) - SERVED} more"] if len(booked) > SERVED else []
    serves = [
        f"{number_of(match.part_id)} {match.said}"
        for match in would_serve(connection, [each.part_id for each in booked[:SERVED]])
    ]
    return f"booked: {'; '.join([*said, *more, *serves[:SERVED]])}"


ROUTES = [
    Route("/orders", page),
    Route("/orders/proposal.csv", proposal_csv),
    Route("/orders/send", posted(sent), methods=["POST"]),
    Route("/orders/bought", posted(bought), methods=["POST"]),
]
