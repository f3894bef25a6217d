"""An order that was sent: what was ordered, what came, what is still to come."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.jobs.delivery import Came, book, ordered_rows
from partsbin.jobs.orders import Ordered, cancel, lines, offer_number
from partsbin.notation.money import say_money
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import address, count_of, refuse_other, word_for
from partsbin.page.orders import came_said, table
from partsbin.page.paging import Pages
from partsbin.store.engine import reading, writing

A_PAGE = 50
"""Lines of an order on a page: each has a field, and a form has few [-]."""


def order(request: Asked) -> Response:
    """Show an order."""
    return _order(desk_of(request), request, asked(request))


def _order(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    number = request.path_params["number"]
    with reading(desk.engine) as connection:
        found = lines(connection, order=number)
    pages = Pages.of({"page": form.get("page", "")}, A_PAGE).among(len(found))
    return desk.show(
        request,
        "order.html",
        status,
        number=number,
        supplier=found[0].supplier,
        sent=found[0].at,
        lines=[(offer_number(line.offer_id), line) for line in found[pages.start : pages.start + A_PAGE]],
        pages=pages,
        coming=any(line.coming for line in found),
        seen=_stands(found),
        form=form,
        fault=fault,
        said=say_money,
    )


def _stands(found: Sequence[Ordered]) -> str:
    """Return a word for how an order stands."""
    said = [(line.id, line.came, line.cancelled) for line in found]
    return word_for(said)


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
            said = came_said(connection, book(connection, came, who, place=form.get("place", "").strip()))
    except PartsbinError as fault:
        return _order(desk, request, form, fault, 409)
    return see_other(address(f"/order/{number}", {"page": page} if (page := form.get("page", "")) else {}), said)


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
    return table(rows, f"order-{number}")


ROUTES = [
    Route("/order/{number:int}", order),
    Route("/order/{number:int}/table.csv", order_csv),
    Route("/order/{number:int}/came", posted(arrived), methods=["POST"]),
    Route("/order/{number:int}/cancel", posted(cancelled), methods=["POST"]),
]
