"""Pages that were made are kept while the catalogue stands as it did: whoever asks for the same gets the same, made once.

What may be kept says nothing but what follows from its address, the catalogue and the rules: no clock, nothing of one visit
(`shown.py` puts that in). Nobody gets a page older than the moment in which they asked for it.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Callable, Hashable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from anyio import CapacityLimiter, to_thread
from starlette.requests import Request
from starlette.responses import Response

from partsbin.page.desk import Desk
from partsbin.page.makers import Makers, Page
from partsbin.page.shown import Shown, name_in
from partsbin.store.watching import Watch

MOST_BYTES = 32 * 1024 * 1024
"""What is kept, at most; what was asked for longest ago goes first [-]."""

Key = tuple[str, bytes, bool]
"""Path, query, and whether somebody has said their name."""


@dataclass
class _Making:
    """A page that is being made: as the catalogue stood in `state`, once it is begun."""

    begun: bool = False
    state: Hashable = None
    task: asyncio.Task[Response] | None = None


class Kept:
    """The pages of one server; but for the making, all of it happens in the server's one loop.

    Parameters
    ----------
    desk : Desk
        The server's.
    watch : Watch
        Over the catalogue.
    makers : Makers
        Make them, where there are any.
    """

    def __init__(self, desk: Desk, watch: Watch, makers: Makers) -> None:
        self._desk, self._watch, self._makers = desk, watch, makers
        self._state: Hashable = None
        self._pages: OrderedDict[Key, Shown] = OrderedDict()
        self._size = 0
        self._making: dict[Key, _Making] = {}
        self._long = CapacityLimiter(2)  # what takes long keeps nobody waiting who asks for little

    async def of(self, page: Page, request: Request, long: bool) -> tuple[Response, bool]:
        """Return a page: the one that is kept, the one that is being made for others, or a new one; and whether it is new."""
        key = (request.scope["path"], request.scope["query_string"], bool(name_in(request.scope)))
        now = self._look()
        if key in self._pages:
            self._pages.move_to_end(key)
            return self._pages[key], False
        making, new = self._making.get(key), False
        # what is not begun will be made from the catalogue as it stands then; what is, only serves if nothing changed since
        if making is None or (making.begun and (now is None or making.state != now)):
            making = self._making[key] = _Making()
            making.task, new = asyncio.ensure_future(self._make(key, making, page, request, long)), True
        assert making.task is not None
        return await asyncio.shield(making.task), new  # a browser that goes away takes nothing from the others

    async def _make(self, key: Key, making: _Making, page: Page, request: Request, long: bool) -> Response:
        def begun() -> None:
            making.begun = True
            making.state = self._now()  # before anything is read: what changes while it is read makes another state

        def here() -> Response:
            begun()
            return self._desk.repeated.of((*key, page, _rules()), lambda: page(request))

        try:
            answer: Response | None = None
            if self._makers.there:
                with suppress(TimeoutError):
                    async with self._makers.turn(long) as maker:
                        begun()
                        pieces = await self._makers.make(maker, page, (*key, request.path_params))
                        answer = Shown(self._desk, pieces) if pieces else None
            if answer is None:
                answer = await to_thread.run_sync(here, limiter=self._long if long else None)
        finally:
            if self._making.get(key) is making:
                del self._making[key]
        if isinstance(answer, Shown) and answer.status_code == 200 and making.state == self._look() is not None:
            self._keep(key, answer)
        return answer

    def _now(self) -> Hashable:
        state, rules = self._watch.state(), _rules()
        return None if state is None or rules is None else (state, rules)

    def _look(self) -> Hashable:
        """Return the state, and drop what was made in another: none comes again."""
        now = self._now()
        if now != self._state:
            self._state, self._size = now, 0
            self._pages.clear()
        return now

    def _keep(self, key: Key, page: Shown) -> None:
        if key in self._pages:
            self._size -= _bytes(key, self._pages[key])
        self._size += _bytes(key, page)
        self._pages[key] = page
        while self._size > MOST_BYTES:
            self._size -= _bytes(*self._pages.popitem(last=False))


def _bytes(key: Key, page: Shown) -> int:
    path, query, _ = key
    return len(page) + len(path) + len(query)  # an address may be longer than its page


def _rules() -> Hashable:
    from partsbin.rules import rules_stand  # the first answer does without

    return rules_stand()


def kept(page: Page, *, long: bool = False) -> Callable[[Request], Any]:
    """Return the endpoint of a page that may be kept; one that takes `long` lets the others go first."""

    async def endpoint(request: Request) -> Response:
        pages: Kept = request.app.state.kept
        answer, new = await pages.of(page, request, long)
        request.scope["kept"] = not new
        return answer

    return endpoint
