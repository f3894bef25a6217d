"""Processes that make pages beside the server's own: one a core but for the server's.

What a page says follows from its address and the catalogue, so any process can make it; what belongs to a visit is put in where it
is sent (`shown.py`), and all that is kept in memory stays in the one server.
"""

from __future__ import annotations

import asyncio
import os
import signal
from collections import deque
from collections.abc import AsyncIterator, Callable, Iterator, Mapping
from concurrent.futures import BrokenExecutor
from contextlib import asynccontextmanager, contextmanager, suppress
from threading import Thread, current_thread, main_thread
from typing import TYPE_CHECKING, Any

from sqlalchemy import Engine
from starlette.requests import Request
from starlette.responses import Response

from partsbin.page.desk import Desk
from partsbin.page.shown import Pieces, Shown
from partsbin.store.engine import open_store

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor

MOST = 4
"""Processes, at most [-]."""

PATIENCE = 1.0
"""How long a page waits for one of them; then the server makes it itself [s]."""

MOST_SECONDS = 60.0
"""How long one of them may be at a page; then it is taken for stuck, and the server goes on without them [s]."""

Page = Callable[[Request], Response]
Asked = tuple[str, bytes, bool, Mapping[str, Any]]
"""Path, query, whether somebody has said their name, and what stands in the path."""


def spare_cores() -> int:
    """Return how many processes the machine has cores for, beside the server [-]."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(MOST, cores - 1)


class Makers:
    """The processes; they are there some time after `start`, and until then, or if one dies, the server makes its pages itself.

    Parameters
    ----------
    engine : Engine
        The catalogue, which each opens for itself.
    number : int
        How many [-].
    """

    def __init__(self, engine: Engine, number: int) -> None:
        self._where = engine.url.render_as_string(hide_password=False)
        self._number = number
        self._pool: ProcessPoolExecutor | None = None
        self._free = 0
        self._waiting: tuple[deque[asyncio.Future[None]], deque[asyncio.Future[None]]] = (deque(), deque())

    @property
    def there(self) -> bool:
        """Return whether there are any."""
        return self._pool is not None

    @property
    def processes(self) -> list[int]:
        """Return their numbers."""
        return list(self._pool._processes or ()) if self._pool is not None else []

    async def start(self) -> None:
        """Start them; each makes itself ready before it is counted on."""
        if self._number < 1:
            return
        from concurrent.futures import ProcessPoolExecutor  # the first answer does without
        from multiprocessing import get_context

        pool: ProcessPoolExecutor | None = None
        try:
            pool = ProcessPoolExecutor(self._number, get_context("spawn"), _ready, (self._where,))
            loop = asyncio.get_running_loop()
            with _deaf():
                ready = [loop.run_in_executor(pool, _loaded) for _ in range(self._number)]
            await asyncio.gather(*ready)
        except (BrokenExecutor, asyncio.CancelledError, OSError, ImportError, NotImplementedError):
            if pool is not None:  # a machine that has no room for them, or nothing that they could share, does without
                _end(pool)
            return
        self._pool = pool
        for _ in range(self._number):
            self._pass_on()

    @asynccontextmanager
    async def turn(self, long: bool) -> AsyncIterator[None]:
        """Give one of the processes while the block runs: what is short goes before what takes `long`, else whoever came first.

        Raises
        ------
        TimeoutError
            If none is to be had in `PATIENCE`: all are at something that takes very long.
        """
        if self._free:
            self._free -= 1
        else:
            mine = asyncio.get_running_loop().create_future()
            self._waiting[long].append(mine)
            try:
                await asyncio.wait_for(mine, PATIENCE)
            except (TimeoutError, asyncio.CancelledError):
                if mine.done() and not mine.cancelled():  # it came in the very moment in which it was given up
                    self._pass_on()
                raise
        try:
            yield
        finally:
            self._pass_on()

    def _pass_on(self) -> None:
        for line in self._waiting:
            while line:
                following = line.popleft()
                if not following.done():
                    following.set_result(None)
                    return
        self._free += 1

    async def make(self, page: Page, asked: Asked) -> Pieces | None:
        """Return a page in pieces, None where the server must make it itself; call it in one's `turn`."""
        if self._pool is None:
            return None
        making = asyncio.get_running_loop().run_in_executor(self._pool, _made, page, asked)
        try:
            return await asyncio.wait_for(making, MOST_SECONDS)
        except (BrokenExecutor, TimeoutError):  # one was killed, or is stuck: the server goes on alone
            self.end()
            return None

    def end(self) -> None:
        """End them, whatever they are at: they only read."""
        if self._pool is not None:
            _end(self._pool)
            self._pool = None


def _end(pool: ProcessPoolExecutor) -> None:
    for ident in list(pool._processes or ()):
        with suppress(ProcessLookupError):
            os.kill(ident, signal.SIGKILL)  # one that is stuck would hear nothing else
    pool.shutdown(wait=False, cancel_futures=True)


@contextmanager
def _deaf() -> Iterator[None]:
    """Start processes that do not hear the Ctrl-C of the terminal: the server says when it is over."""
    if current_thread() is not main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


# ---- in the process that makes pages

_desk: list[Desk] = []


def _ready(where: str) -> None:
    from datetime import UTC, datetime

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_the_server, daemon=True).start()
    _desk.append(Desk(open_store(where, create=False), lambda: datetime.now(UTC)))


def _end_with_the_server() -> None:
    from multiprocessing import parent_process
    from multiprocessing.connection import wait

    server = parent_process()
    if server is not None:
        wait([server.sentinel])  # it was killed, or has gone without a word
        os._exit(0)


def _loaded() -> None:
    from partsbin.page.pages import load_all

    load_all()


class _Standing:
    """What a page asks of the application."""

    class state:  # noqa: N801
        """Its desk."""

        desk: Desk


def _made(page: Page, asked: Asked) -> Pieces | None:
    from partsbin.rules import rules_stand

    path, query, named, params = asked
    _Standing.state.desk = _desk[0]
    scope = {
        "type": "http", "method": "GET", "scheme": "http", "server": ("127.0.0.1", 80), "root_path": "", "path": path,
        "query_string": query, "headers": [(b"cookie", b"partsbin_name=x")] if named else [],
        "path_params": dict(params), "app": _Standing,
    }  # fmt: skip
    with suppress(Exception):  # the server meets it again and tells it: not every fault of a driver can be sent
        answer = _desk[0].repeated.of((path, query, named, page, rules_stand()), lambda: page(Request(scope)))
        if isinstance(answer, Shown) and answer.status_code == 200:
            return answer.pieces
    return None
