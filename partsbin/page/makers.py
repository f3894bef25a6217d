"""Processes that make pages beside the server's own: one a core but for the server's.

What a page says follows from its address and the catalogue, so any process can make it; what belongs to a visit is put in where it
is sent (`shown.py`), and all that is kept in memory stays in the one server. They are asked over pipes of the server's own loop,
so that no other thread stands between a browser and its page.
"""

from __future__ import annotations

import asyncio
import marshal
import os
import sys
from collections import deque
from collections.abc import AsyncIterator, Callable, Coroutine, Mapping
from contextlib import asynccontextmanager
from pathlib import Path
from subprocess import DEVNULL, PIPE
from typing import Any

from sqlalchemy import Engine
from starlette.requests import Request
from starlette.responses import Response

from partsbin.page.shown import Pieces

MOST = 4
"""Processes, at most [-]."""

PATIENCE = 1.0
"""How long a page waits for one of them; then the server makes it itself [s]."""

MOST_SECONDS = 60.0
"""How long one of them may be at a page; then it is taken for stuck, and another one takes its place [s]."""

Page = Callable[[Request], Response]
Asked = tuple[str, bytes, bool, Mapping[str, Any]]
"""Path, query, whether somebody has said their name, and what stands in the path."""

_RUN = "from partsbin.page.making import main; main()"


SIZE = 4
"""Bytes of a message that say how many follow [-]."""


def framed(said: Any) -> bytes:
    """Return plain values as a message."""
    body = marshal.dumps(said)
    return len(body).to_bytes(SIZE, "big") + body


def spare_cores() -> int:
    """Return how many processes the machine has cores for, beside the server [-]."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(MOST, cores - 1)


class Maker(asyncio.SubprocessProtocol):
    """One of the processes; it makes one page at a time."""

    def __init__(self) -> None:
        self._transport: Any = None  # each loop has a kind of its own
        self._answer: asyncio.Future[Any] | None = None
        self._came = bytearray()
        self._deaf = False
        self._gone = asyncio.Event()

    @property
    def ident(self) -> int:
        """Return the number of the process [-]."""
        return int(self._transport.get_pid())

    async def ask(self, said: Any) -> Any:
        """Return what it answers.

        Raises
        ------
        EOFError
            If it is gone.
        """
        if self._deaf:
            raise EOFError
        self._answer = asyncio.get_running_loop().create_future()
        self._transport.get_pipe_transport(0).write(framed(said))
        return await self._answer

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Note how it is reached."""
        self._transport = transport

    def pipe_data_received(self, fd: int, data: bytes) -> None:
        """Take in what it says; a whole message is the answer."""
        self._came += data
        size = int.from_bytes(self._came[:SIZE], "big")
        if len(self._came) >= SIZE + size and self._answer is not None:
            said, self._came = marshal.loads(self._came[SIZE:]), bytearray()
            if not self._answer.done():
                self._answer.set_result(said)

    def pipe_connection_lost(self, fd: int, exc: Exception | None) -> None:
        """Nothing more will be heard: it has ended, or was ended; that it is gone is known some time later."""
        self._deaf = True
        if self._answer is not None and not self._answer.done():
            self._answer.set_exception(EOFError())

    def connection_lost(self, exc: Exception | None) -> None:
        """It is gone, and so are its pipes."""
        self._gone.set()

    async def end(self) -> None:
        """End it, whatever it is at, and wait until it is gone: it only reads, and one that is stuck would hear nothing else."""
        self._transport.close()
        await self._gone.wait()


class Makers:
    """The processes; they are there some time after `start`, and while there is none the server makes its pages itself.

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
        self._there: set[Maker] = set()
        self._free: list[Maker] = []
        self._waiting: tuple[deque[asyncio.Future[Maker]], deque[asyncio.Future[Maker]]] = (deque(), deque())
        self._starting: set[asyncio.Task[None]] = set()
        self._ending: set[asyncio.Task[None]] = set()

    @property
    def there(self) -> bool:
        """Return whether there are any."""
        return bool(self._there)

    @property
    def processes(self) -> list[int]:
        """Return their numbers."""
        return [maker.ident for maker in self._there]

    async def start(self) -> None:
        """Start them; each makes itself ready before it is counted on."""
        for _ in range(self._number):
            self._aside(self._starting, self._one_more())
        await asyncio.gather(*self._starting)

    async def _one_more(self) -> None:
        try:
            maker = await _run()
        except (OSError, NotImplementedError):  # a machine without room for it, a loop that starts none
            return
        try:
            await maker.ask(self._where)
        except EOFError:
            await maker.end()
            return
        except asyncio.CancelledError:
            await maker.end()
            raise
        self._there.add(maker)
        self._pass_on(maker)

    @asynccontextmanager
    async def turn(self, long: bool) -> AsyncIterator[Maker]:
        """Give one of the processes while the block runs: what is short goes before what takes `long`, else whoever came first.

        Raises
        ------
        TimeoutError
            If none is to be had in `PATIENCE`: all are at something that takes very long.
        """
        if self._free:
            maker = self._free.pop()
        else:
            mine: asyncio.Future[Maker] = asyncio.get_running_loop().create_future()
            self._waiting[long].append(mine)
            try:
                maker = await asyncio.wait_for(mine, PATIENCE)
            except (TimeoutError, asyncio.CancelledError):
                if mine.done() and not mine.cancelled():  # it came in the very moment in which it was given up
                    self._pass_on(mine.result())
                raise
        try:
            yield maker
        finally:
            self._pass_on(maker)

    def _pass_on(self, maker: Maker) -> None:
        if maker not in self._there:
            return
        for line in self._waiting:
            while line:
                following = line.popleft()
                if not following.done():
                    following.set_result(maker)
                    return
        self._free.append(maker)

    async def make(self, maker: Maker, page: Page, asked: Asked) -> Pieces | None:
        """Return a page in pieces, None where the server must make it itself; call it in one's `turn`."""
        path, query, named, params = asked
        said = (page.__module__, page.__qualname__, path, query, named, dict(params))
        try:
            answer: Pieces | None = await asyncio.wait_for(maker.ask(said), MOST_SECONDS)
        except (EOFError, TimeoutError):  # it was killed, or is stuck
            self._lose(maker)
            return None
        except asyncio.CancelledError:  # its answer is still to come, and would be taken for that of the next page
            self._lose(maker)
            raise
        return answer

    def _lose(self, maker: Maker) -> None:
        """End one and begin another, unless all of them are being ended."""
        if maker in self._there:
            self._there.remove(maker)
            self._aside(self._ending, maker.end())
            self._aside(self._starting, self._one_more())

    def _aside(self, some: set[asyncio.Task[None]], work: Coroutine[Any, Any, None]) -> None:
        task = asyncio.ensure_future(work)
        some.add(task)
        task.add_done_callback(some.discard)

    async def end(self) -> None:
        """End them, and wait until they are gone."""
        there, self._there, self._free = self._there, set(), []
        for task in self._starting:
            task.cancel()
        await asyncio.gather(*(maker.end() for maker in there), *self._ending, *self._starting, return_exceptions=True)


async def _run() -> Maker:
    """Start a process that finds the same modules, and does not hear the Ctrl-C of the terminal: the server says when it is over."""
    paths = os.pathsep.join(path or str(Path.cwd()) for path in sys.path)
    apart: dict[str, Any] = {"creationflags": 0x200} if sys.platform == "win32" else {"start_new_session": True}
    _, maker = await asyncio.get_running_loop().subprocess_exec(
        Maker, sys.executable, "-P", "-c", _RUN, stdin=PIPE, stdout=PIPE, stderr=DEVNULL,
        env={**os.environ, "PYTHONPATH": paths}, **apart,
    )  # fmt: skip
    return maker
