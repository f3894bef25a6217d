"""Letting a device in: a code on this machine carries a secret that is good once, for a few minutes."""

from __future__ import annotations

import hmac
import re
import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from io import StringIO
from threading import Lock

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.devices import devices, forget, let_in
from partsbin.page.guard import DEVICE
from partsbin.store.engine import reading, writing

GOOD_FOR = timedelta(minutes=10)
"""How long a secret is good for."""

TRIES = 5
"""Wrong secrets that one address may offer in that time, at most [-]."""

MOST_ADDRESSES = 1000
_HERE = re.compile(r"(/[\w.,=%-]+)+", re.ASCII)
"""An address on this machine: no other machine's name follows two strokes at its beginning."""

A_YEAR = 365 * 86400


@dataclass
class Pairing:
    """The secret that is good now, and who has offered wrong ones.

    Parameters
    ----------
    address : str
        Where other devices find this machine, as ``http://192.168.0.2:8071``.
    tell : callable
        ``tell(line)`` says at this machine who was let in.
    """

    address: str
    tell: Callable[[str], None] = lambda line: None
    secret: str = ""
    until: datetime | None = None
    _wrong: OrderedDict[str, tuple[datetime, int]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def issue(self, at: datetime) -> str:
        """Draw a secret; the one before it is good no more. Return the address that carries it."""
        with self._lock:
            self.secret, self.until = secrets.token_urlsafe(16), at + GOOD_FOR
            return self._carrying()

    def waiting(self, at: datetime) -> str:
        """Return the address that carries the secret that is good now, "" where none is."""
        with self._lock:
            return self._carrying() if self._good(at) else ""

    def redeem(self, secret: str, client: str, at: datetime) -> bool:
        """Return whether this is the secret, once; count it against the client where it is not.

        Raises
        ------
        TooOftenError
            If the client has offered too many wrong ones.
        """
        with self._lock:
            since, wrong = self._wrong.get(client, (at, 0))
            if abs(at - since) >= GOOD_FOR:  # either way: nobody waits for a clock that was set back
                since, wrong = at, 0
            if wrong >= TRIES:
                raise TooOftenError
            if self._good(at) and hmac.compare_digest(self.secret.encode(), secret.encode()):
                self.secret = ""
                return True
            self._wrong.pop(client, None)
            self._wrong[client] = (since, wrong + 1)
            while len(self._wrong) > MOST_ADDRESSES:
                self._wrong.popitem(last=False)
            return False

    def _good(self, at: datetime) -> bool:
        """Whether the secret is good: nor is it where the clock was set back since, else it would be for as long as that."""
        return bool(self.secret) and self.until is not None and self.until - GOOD_FOR <= at < self.until

    def _carrying(self) -> str:
        return f"{self.address}/pair?secret={self.secret}"


class TooOftenError(Exception):
    """One address has offered too many wrong secrets."""


def pairing_of(request: Request) -> Pairing:
    """Return what other devices come in by; there is no such page where none may."""
    pairing = request.app.state.pairing
    if not isinstance(pairing, Pairing):
        raise HTTPException(404)
    return pairing


def door(request: Request) -> Response:
    """Show a device the button that lets it in; whether its secret is good is not said before."""
    pairing_of(request)
    said = asked(request)
    return _door(desk_of(request), request, said.get("secret", ""), to=said.get("to", ""))


def _door(desk: Desk, request: Request, secret: str, fault: str = "", status: int = 200, *, to: str = "") -> Response:
    # A browser that another program opened keeps its strict cookies back the first time: a link of ours brings them along.
    return desk.show(request, "pair.html", status, secret=secret, fault=fault, to=to if _HERE.fullmatch(to) else "/")


def enter(desk: Desk, request: Request, form: Form) -> Response:
    """Let a device in that has the secret."""
    pairing, at = pairing_of(request), desk.clock()
    client = request.client.host if request.client else ""
    try:
        good = pairing.redeem(form.get("secret", ""), client, at)
    except TooOftenError:
        return _door(desk, request, "", "too many wrong codes from this device: wait ten minutes", 429)
    if not good:
        return _door(desk, request, "", "this code is used up, too old or not one of ours: show a new one", 403)
    with writing(desk.engine) as connection:
        device, token = let_in(connection, form.get("name", ""), at)
    pairing.tell(f"let in: {device.name!r}, device {device.id}; partsbin serve --forget {device.id} ends it")
    answer = see_other("/", f"this device is let in as {device.name}")
    answer.set_cookie(DEVICE, token, max_age=A_YEAR, httponly=True, samesite="strict")
    return answer


# ---- for the browser on this machine alone


def _near(request: Request) -> None:
    """A device that was let in lets nobody else in, and forgets nobody."""
    if not request.scope["near"]:
        raise HTTPException(404)


def page(request: Request) -> Response:
    """Show the devices, and the code that is good now."""
    _near(request)
    return _page(desk_of(request), request)


def _page(desk: Desk, request: Request, fault: PartsbinError | None = None, status: int = 200) -> Response:
    pairing = request.app.state.pairing
    carrying = pairing.waiting(desk.clock()) if pairing else ""
    with reading(desk.engine) as connection:
        found = devices(connection)
    return desk.show(
        request,
        "devices.html",
        status,
        devices=found,
        open=pairing is not None,
        carrying=carrying,
        code=_drawn(carrying) if carrying else "",
        minutes=int(GOOD_FOR.total_seconds() // 60),
        fault=fault,
    )


def show_code(desk: Desk, request: Request, form: Form) -> Response:
    """Draw a new secret, and show its code."""
    _near(request)
    pairing_of(request).issue(desk.clock())
    return see_other("/devices")


def forget_one(desk: Desk, request: Request, form: Form) -> Response:
    """Forget a device."""
    _near(request)
    try:
        number = form.get("device", "")
        if not (number.isascii() and number.isdecimal() and len(number) < 10):
            raise UsageError(f"{number!r} is no device: expected a number")
        with writing(desk.engine) as connection:
            device = forget(connection, int(number), desk.clock())
    except PartsbinError as fault:
        return _page(desk, request, fault, 409)
    return see_other("/devices", f"device {device.id} ({device.name}) is forgotten")


def for_terminal(address: str, *, blocks: bool = True) -> str:
    """Return the code as lines for a terminal, dark on light whatever its colours are.

    Parameters
    ----------
    address : str
        What the code says.
    blocks : bool
        Whether the terminal has signs of half a line; without them the code is twice as large.
    """
    import segno

    out = StringIO()
    segno.make(address, error="m", micro=False).terminal(out, compact=blocks)
    if not blocks:
        return out.getvalue()
    return "".join(f"\033[97;40m{line}\033[0m\n" for line in out.getvalue().splitlines())


def _drawn(address: str) -> str:
    import segno
    from markupsafe import Markup

    # dark on white whatever the page's colours are: a camera reads no other
    return Markup(segno.make(address, error="m", micro=False).svg_inline(scale=5, dark="#000", light="#fff"))


ROUTES = [
    Route("/pair", door),
    Route("/pair", posted(enter), methods=["POST"]),
    Route("/devices", page),
    Route("/devices/code", posted(show_code), methods=["POST"]),
    Route("/devices/forget", posted(forget_one), methods=["POST"]),
]
