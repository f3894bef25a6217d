"""Which module has which pages: it is loaded when the first of them is asked for, so that the server answers at once."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from threading import Lock

from starlette.concurrency import run_in_threadpool
from starlette.routing import BaseRoute, Router
from starlette.types import Receive, Scope, Send

MODULES: Mapping[str, tuple[str, ...]] = {
    "bench": ("bench",),
    "donor": ("strip", "owed", "donors"),
    "donors": ("donors",),
    "find": ("finding",),
    "fit": ("fitting",),
    "job": ("fitting", "jobs", "needs", "planning", "printing"),
    "jobs": ("jobs",),
    "label": ("printing",),
    "label.pdf": ("printing",),
    "order": ("ordered",),
    "orders": ("orders",),
    "part": ("parts", "photographs"),
    "place": ("places",),
    "places": ("places",),
    "rules": ("keeping",),
    "scan": ("places",),
    "strip": ("strip",),
}
"""The modules whose `ROUTES` begin with a word."""


def routes_of(name: str) -> list[BaseRoute]:
    """Return the routes of one module, loading it."""
    return list(import_module(f"partsbin.page.{name}").ROUTES)


def load_all() -> None:
    """Load every module: the server does it when it has answered first."""
    for name in dict.fromkeys(name for names in MODULES.values() for name in names):
        routes_of(name)


class Pages:
    """Leads a request to the modules that its first word names."""

    def __init__(self) -> None:
        self._routers: dict[str, Router] = {}
        self._loading = Lock()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        word = scope["path"].lstrip("/").partition("/")[0]
        word = word if word in MODULES else ""
        router = self._routers.get(word)
        if router is None:
            router = await run_in_threadpool(self._made, word)
        await router(scope, receive, send)

    def _made(self, word: str) -> Router:
        with self._loading:
            if word not in self._routers:
                routes = [route for name in MODULES.get(word, ()) for route in routes_of(name)]
                self._routers[word] = Router(routes, redirect_slashes=False)
            return self._routers[word]
