"""The application: routes, faults as pages without internals, the guard round everything."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from threading import Thread
from urllib.parse import urlsplit

from anyio import CapacityLimiter, to_thread
from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from partsbin.errors import PartsbinError, StoreError
from partsbin.page import pairing as pairing_page
from partsbin.page.desk import FOLDER, WRITERS, Desk, ForgedError, Form, desk_of, keep_name, posted, see_other
from partsbin.page.devices import Known
from partsbin.page.guard import LOOPBACK, Guard, Network, TooLargeError
from partsbin.page.kept import Kept
from partsbin.page.makers import Makers
from partsbin.page.pages import Pages, load_all
from partsbin.page.pairing import Pairing
from partsbin.store.watching import Watch

READERS = 4
"""Pages that are made at once: more would all be slow together, where in turn the first ones are quick [-]."""

SOON = 0.25
"""When the pages that nobody has asked for yet are loaded, after the start [s]."""


def create(
    engine: Engine,
    *,
    clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    hosts: Iterable[str] = LOOPBACK,
    pairing: Pairing | None = None,
    makers: int = 0,
) -> Starlette:
    """Return the pages over a catalogue.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    clock : callable
        Returns the time, with its zone.
    hosts : iterable of str
        Names that this machine may be called by, without the port.
    pairing : Pairing, optional
        What lets other devices in; without it this machine alone is served.
    makers : int
        Processes that make pages beside this one [-].
    """

    desk, known, watch, made_by = Desk(engine, clock), Known(engine), Watch(engine), Makers(engine, makers)

    async def lets_in(token: str) -> bool:
        return await run_in_threadpool(known.is_let_in, token, clock())

    network = Network(urlsplit(pairing.address).netloc.rpartition(":")[0], lets_in) if pairing else None

    @asynccontextmanager
    async def in_turn(app: Starlette) -> AsyncIterator[None]:
        to_thread.current_default_thread_limiter().total_tokens = READERS
        app.state.desk.writers = CapacityLimiter(WRITERS)
        later = asyncio.create_task(_later(made_by))
        yield
        later.cancel()
        await made_by.end()
        watch.close()

    app = Starlette(
        lifespan=in_turn,
        routes=[
            Route("/", _first),
            Route("/favicon.ico", _no_icon),  # what a browser asks for that reads no link
            Route("/name", posted(_name), methods=["POST"]),
            *pairing_page.ROUTES,
            Mount("/assets", StaticFiles(directory=FOLDER / "assets")),
            Mount("", Pages()),
        ],
        middleware=[Middleware(Guard, hosts=tuple(hosts), network=network)],
        exception_handlers={
            PartsbinError: _fault,
            SQLAlchemyError: _database,
            ValueError: _database,
            ForgedError: _forged,
            TooLargeError: _too_large,
            HTTPException: _not_here,
            500: _broken,
        },
    )
    app.state.desk, app.state.pairing = desk, pairing
    app.state.kept = Kept(desk, watch, made_by)
    return app


async def _later(made_by: Makers) -> None:
    """Load the pages that nobody has asked for yet, and start what makes pages beside this process."""
    await asyncio.sleep(SOON)
    Thread(target=load_all, daemon=True).start()
    await made_by.start()


def _first(request: Request) -> Response:
    return RedirectResponse("/bench", 303)


def _no_icon(request: Request) -> Response:
    return Response(status_code=204)


def _name(desk: Desk, request: Request, form: Form) -> Response:
    """Keep who works at this browser, and go on where the form was."""
    answer = see_other("/find")
    keep_name(answer, form.get("name", "")[:60].strip())
    return answer


def _told(request: Request, status: int, message: str, hint: str = "") -> Response:
    return desk_of(request).show(request, "fault.html", status, message=message, hint=hint)


def _fault(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, PartsbinError)
    return _told(request, 503 if isinstance(fault, StoreError) else 400, fault.message, fault.hint)


def _database(request: Request, fault: Exception) -> Response:
    """A disk that is full, a file that may not be written or is damaged: what to look at, as on the terminal."""
    from partsbin.store.faults import store_fault

    known = store_fault(fault)
    if known is None:
        raise fault
    return _told(request, 503, known.message, known.hint)


def _forged(request: Request, fault: Exception) -> Response:
    return _told(request, 403, "this form is from another visit; nothing was written", "open the page again")


def _too_large(request: Request, fault: Exception) -> Response:
    return PlainTextResponse("more than a form holds", 413)


def _not_here(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    return _told(request, fault.status_code, "there is no such page", "")


def _broken(request: Request, fault: Exception) -> Response:
    # The guard stands inside of what calls this: its headers are not there, so nothing but plain words goes out.
    return PlainTextResponse("something broke here; nothing was written", 500)
