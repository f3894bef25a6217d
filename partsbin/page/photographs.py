"""Photographs of a part: taken by the telephone's camera, written anew before they are kept, shown, taken back."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.page.addresses import part_address
from partsbin.page.desk import Desk, Form, answered, desk_of, posted, see_other
from partsbin.page.fields import refuse_other, word_for
from partsbin.page.parts import told_on_the_page
from partsbin.page.uploads import read_upload
from partsbin.stock import photographs
from partsbin.stock.pictures import redrawn
from partsbin.stock.shelf import id_of, number_of
from partsbin.store.engine import reading, writing


async def take(request: Request) -> Response:
    """Take a photograph in; the guard lets this address have more than a form."""
    form, file = read_upload(request.headers.get("content-type", ""), await request.body())

    @told_on_the_page("photograph")
    def work(desk: Desk, request: Request, form: Form) -> Response:
        who, ident = desk.who(request), id_of(request.path_params["part"])
        picture = redrawn(file)
        with writing(desk.engine) as connection:
            photographs.keep(connection, ident, picture, who, caption=form.get("caption", ""))
        return see_other(f"{part_address(number_of(ident))}#photographs", f"photograph of {number_of(ident)} kept")

    return await answered(request, form, work)


def show(request: Request) -> Response:
    """Return a picture."""
    return _picture(request, small=False)


def show_small(request: Request) -> Response:
    """Return the picture for lists."""
    return _picture(request, small=True)


def _picture(request: Request, *, small: bool) -> Response:
    ident, number = id_of(request.path_params["part"]), int(request.path_params["number"])
    with reading(desk_of(request).engine) as connection:
        found = photographs.picture_of(connection, ident, number, small=small) if number < 2**53 else None
    if found is None:
        raise HTTPException(404)
    named = f'inline; filename="{number_of(ident)}-{number}.jpg"'
    return Response(found, media_type="image/jpeg", headers={"Content-Disposition": named})


def _stands(connection: Connection, ident: int, number: int) -> str:
    """Return a word for how a photograph stands, "" where the part has none of that number."""
    found = photographs.photographs_of(connection, ident)
    return next((word_for(each) for each in found if each["photograph"] == number), "")


@told_on_the_page("photograph-back")
def take_back(desk: Desk, request: Request, form: Form) -> Response:
    """Take a photograph back."""
    ident, number = id_of(request.path_params["part"]), int(request.path_params["number"])
    who = desk.who(request)
    with writing(desk.engine) as connection:
        refuse_other(form.get("seen", ""), lambda: _stands(connection, ident, number), f"photograph {number}")
        photographs.take_back(connection, ident, min(number, 2**53), who)
    return see_other(f"{part_address(number_of(ident))}#photographs", f"photograph {number} taken back")


ROUTES: list[Any] = [
    Route("/part/{part}/photograph", take, methods=["POST"]),
    Route("/part/{part}/photograph/{number:int}", show),
    Route("/part/{part}/photograph/{number:int}/small", show_small),
    Route("/part/{part}/photograph/{number:int}/back", posted(take_back), methods=["POST"]),
]
