"""A page as it is sent: made once for everybody, with what belongs to one visit put in while it is sent."""

from __future__ import annotations

import re
from secrets import token_hex, token_urlsafe
from typing import TYPE_CHECKING
from urllib.parse import unquote

from markupsafe import escape
from starlette.requests import cookie_parser
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from partsbin.errors import PartsbinError

if TYPE_CHECKING:
    from partsbin.page.desk import Desk

NAME = "partsbin_name"
_DRAWN = token_hex(16)  # nobody is shown it: no text that comes in can be taken for a gap

GAPS = {word: f"{word}{_DRAWN}" for word in ("token", "once", "name", "told", "refused")}
"""What stands in a template's answer where each visit gets its own."""

_GAP = re.compile(f"({'|'.join(GAPS)}){_DRAWN}")


def name_in(scope: Scope) -> str:
    """Return who works at the browser that asks, "" where nobody said."""
    for key, value in scope["headers"]:
        if key == b"cookie" and NAME.encode() in value:
            return unquote(cookie_parser(value.decode("latin-1")).get(NAME, ""))[:60].strip()
    return ""


Pieces = tuple[list[bytes], list[str]]
"""What stands round the gaps of a page, and which gaps they are."""


def in_pieces(page: str) -> Pieces:
    """Return what a template answered, taken apart at its gaps."""
    split = _GAP.split(page)
    return [text.encode() for text in split[::2]], split[1::2]


class Shown(Response):
    """A page with gaps.

    Parameters
    ----------
    desk : Desk
        Knows what goes into the gaps.
    pieces : Pieces
        The page.
    status : int
        Of the answer.
    fault : PartsbinError, optional
        Why a form of the page was refused.
    """

    media_type = "text/html"

    def __init__(self, desk: Desk, pieces: Pieces, status: int = 200, fault: PartsbinError | None = None) -> None:
        super().__init__(status_code=status)
        self._desk, self._kind = desk, dict(self.raw_headers)[b"content-type"]
        self._texts, self._gaps = self.pieces = pieces
        self._fault = fault

    def refused(self, fault: PartsbinError) -> Shown:
        """Return it as the answer to a form of it that is refused."""
        return Shown(self._desk, self.pieces, 409, fault)

    def __len__(self) -> int:
        """Return how many bytes it has without what goes into its gaps."""
        return sum(map(len, self._texts))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send it to one visit."""
        body = self._filled(scope) if self._gaps else self._texts[0]
        headers = [(b"content-length", str(len(body)).encode()), (b"content-type", self._kind)]
        if scope.get("kept"):
            headers.append((b"server-timing", b"kept"))
        await send({"type": "http.response.start", "status": self.status_code, "headers": headers})
        await send({"type": "http.response.body", "body": body})

    def _filled(self, scope: Scope) -> bytes:
        visit, wanted = scope["visit"], set(self._gaps)
        done = self._desk.told(visit) if "told" in wanted else ""
        own = {
            "token": self._desk.tokens.of(visit),
            "once": token_urlsafe(9),
            "name": escape(name_in(scope)),
            "told": done and f'<p class="done" role="status" tabindex="-1" autofocus>{escape(done)}</p>',
            "refused": self._fault and self._desk.said_of(self._fault),
        }
        said = {gap: str(own[gap] or "").encode() for gap in wanted}
        pieces = [self._texts[0]]
        for gap, text in zip(self._gaps, self._texts[1:], strict=True):
            pieces += (said[gap], text)
        return b"".join(pieces)
