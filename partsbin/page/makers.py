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
from asyncio.subprocess import DEVNULL, PIPE, Process
from collections import deque
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager, suppress
from pathlib import Path
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
_LARGEST = 1 << 20  # bytes of an answer that are taken in before the loop looks at them


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


class Maker:
    """One of the processes; it makes one page at a time.

    Parameters
    ----------
    process : Process
        It runs.
    """

    def __init__(self, process: Process) -> None:
        self.process = process

    async def ask(self, said: Any) -> Any:
        """Return what it answers.

        Raises
        ------
        EOFError, OSError
            If it is gone.
        """
        asked, answers = self.process.stdin, self.process.stdout
        assert asked is not None
        assert answers is not None
        asked.write(framed(said))
        size = int.from_bytes(await answers.readexactly(SIZE), "big")
        return marshal.loads(await answers.readexactly(size))

    async def end(self) -> None:
        """End it, whatever it is at, and wait until it is gone: it only reads, and one that is stuck would hear nothing else."""
        with suppress(ProcessLookupError):
            self.process.kill()
        assert self.process.stdin is not None
        self.process.stdin.close()
        await self.process.wait()
        with suppress(OSError):
            await self.process.stdin.wait_closed()


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
        self._replacing: set[asyncio.Task[None]] = set()

    @property
    def there(self) -> bool:
        """Return whether there are any."""
        return bool(self._there)

    @property
    def processes(self) -> list[int]:
        """Return their numbers."""
        return [maker.process.pid for maker in self._there]

    async def start(self) -> None:
        """Start them; each makes itself ready before it is counted on."""
        await asyncio.gather(*(self._one_more() for _ in range(self._number)))

    async def _one_more(self) -> None:
        try:
            maker = Maker(await _run())
        except (OSError, NotImplementedError):  # a machine without room for it, a loop that starts none
            return
        try:
            await maker.ask(self._where)
        except (EOFError, OSError):
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
        except (EOFError, OSError, TimeoutError):  # it was killed, or is stuck
            self._there.discard(maker)
            task = asyncio.ensure_future(self._replace(maker))
            self._replacing.add(task)
            task.add_done_callback(self._replacing.discard)
            return None
        return answer

    async def _replace(self, maker: Maker) -> None:
        await maker.end()
        await self._one_more()

    async def end(self) -> None:
        """End them, and wait until they are gone."""
        for task in self._replacing:
            task.cancel()
        ending, self._there, self._free = self._there, set(), []
        await asyncio.gather(*(maker.end() for maker in ending), *self._replacing, return_exceptions=True)


async def _run() -> Process:
    """Start a process that finds the same modules, and does not hear the Ctrl-C of the terminal: the server says when it is over."""
    paths = os.pathsep.join(path or str(Path.cwd()) for path in sys.path)
    apart: dict[str, Any] = {"creationflags": 0x200} if sys.platform == "win32" else {"start_new_session": True}
    return await asyncio.create_subprocess_exec(
        sys.executable, "-P", "-c", _RUN, stdin=PIPE, stdout=PIPE, stderr=DEVNULL, limit=_LARGEST,
        env={**os.environ, "PYTHONPATH": paths}, **apart,
    )  # fmt: skip
