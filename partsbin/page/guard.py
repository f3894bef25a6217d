"""What every request passes before a page sees it: whose host it names, how large it is; and the headers of every answer.

A page of another site must neither read the catalogue (a name that it leads to this machine: the host is checked) nor act on it
(a form that it sends here: origin and token are checked, cookies stay with this site).
"""

from __future__ import annotations

import hmac
import re
import secrets
from collections.abc import Awaitable, Callable, Iterable
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address
from urllib.parse import quote, urlencode

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST = 64 * 1024
"""Bytes that a form may have, at most [-]."""

UPLOADS = ((re.compile(r"/part/P-\d{1,12}/photograph"), 12 * 1024 * 1024),)
"""Addresses that take more than a form, and how many bytes [-]."""

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
VISIT = "partsbin_visit"
DEVICE = "partsbin_device"
OPEN = ("/pair", "/assets/page.css", "/assets/icon.svg", "/favicon.ico")
"""What a device sees before it is let in."""

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=()",
}
_HEADERS = [(name.lower().encode(), value.encode()) for name, value in HEADERS.items()]
_OURS = {b"cache-control", *dict(_HEADERS)}
_DRAWN = re.compile(r"[A-Za-z0-9_-]{32,43}")


def largest(path: str) -> int:
    """Return how many bytes an address takes, at most [-]."""
    return next((most for pattern, most in UPLOADS if pattern.fullmatch(path)), LARGEST)


class TooLargeError(Exception):
    """More bytes came than a form may have."""


class Tokens:
    """Tokens of forms: each belongs to one visit and to this run of the program.

    Parameters
    ----------
    secret : bytes, optional
        What they are made with; without it drawn anew.
    """

    def __init__(self, secret: bytes = b"") -> None:
        self._secret = secret or secrets.token_bytes(32)

    def of(self, visit: str) -> str:
        """Return the token of a visit."""
        return hmac.new(self._secret, visit.encode(), "sha256").hexdigest()

    def holds(self, visit: str, token: str) -> bool:
        """Return whether a token belongs to a visit."""
        return bool(_DRAWN.fullmatch(visit)) and hmac.compare_digest(self.of(visit).encode(), token.encode())


@dataclass(frozen=True)
class Network:
    """How requests that come over the network are met.

    Parameters
    ----------
    host : str
        The address that they name this machine by.
    lets_in : callable
        ``await lets_in(token)`` says whether a device's token is good.
    """

    host: str
    lets_in: Callable[[str], Awaitable[bool]]


class Guard:
    """Lets a request through, or answers it; see the module.

    Parameters
    ----------
    app : ASGI application
        What is guarded.
    hosts : iterable of str
        Names that this machine may be called by, without the port.
    network : Network, optional
        For those from elsewhere; without it only this machine is listened to.
    """

    def __init__(self, app: ASGIApp, hosts: Iterable[str], network: Network | None = None) -> None:
        self.app, self.hosts, self.network = app, frozenset(hosts), network

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        visit = _cookie(headers, VISIT)
        scope["visit"] = visit or secrets.token_urlsafe(24)

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = _dressed(message["headers"], scope, new="" if visit else scope["visit"])
            await send(message)

        scope["near"] = self.network is None or _is_loopback(scope)
        refused = self._refused(scope, headers) or await self._stranger(scope, headers)
        if refused is not None:
            await refused(scope, receive, dressed)
            return
        await self.app(scope, _bounded(receive, largest(scope["path"])), dressed)

    async def _stranger(self, scope: Scope, headers: Headers) -> Response | None:
        """Return what a device gets that was not let in: the same for every address, whether there is a page or not."""
        if self.network is None or scope["near"] or scope["path"] in OPEN:
            return None
        token = _cookie(headers, DEVICE)
        if token and await self.network.lets_in(token):
            return None
        to = urlencode({"to": quote(scope["path"])})
        return RedirectResponse(f"/pair?{to}" if scope["method"] == "GET" else "/pair", 303)

    def _refused(self, scope: Scope, headers: Headers) -> Response | None:
        method = scope["method"]
        host = headers.get("host", "")
        hosts = self.hosts if self.network is None or scope["near"] else {self.network.host}
        if len(headers.getlist("host")) != 1 or _name(host) not in hosts:
            return PlainTextResponse("this machine is not called that", 421)
        if method not in ("GET", "HEAD", "POST"):
            return PlainTextResponse("not done here", 405)
        if method == "POST":
            origin = headers.get("origin")
            if origin is not None and origin != f"http://{host}":
                return PlainTextResponse("this form came from elsewhere", 403)
            length = headers.get("content-length", "0")
            if not length.isdecimal() or int(length[:12]) > largest(scope["path"]):
                return PlainTextResponse("more than a form holds", 413)
        return None


def _name(host: str) -> str:
    """Return a Host header without its port."""
    return re.sub(r":\d{1,5}$", "", host).lower()


def _is_loopback(scope: Scope) -> bool:
    """Return whether a request comes from this machine; what is not known for sure does not."""
    try:
        return ip_address((scope.get("client") or ("",))[0]).is_loopback
    except ValueError:
        return False


def _cookie(headers: Headers, name: str) -> str:
    """Return what the browser keeps under a name of ours, "" if it is not of the form of ours."""
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(name)
    except CookieError:
        return ""
    return found.value if found is not None and _DRAWN.fullmatch(found.value) else ""


def _dressed(headers: Iterable[tuple[bytes, bytes]], scope: Scope, new: str) -> list[tuple[bytes, bytes]]:
    keep = b"max-age=3600" if scope["path"].startswith("/assets/") else b"no-store"
    dressed = [*(each for each in headers if each[0] not in _OURS), *_HEADERS, (b"cache-control", keep)]
    if new:
        dressed.append((b"set-cookie", f"{VISIT}={new}; Path=/; HttpOnly; SameSite=Strict".encode()))
    return dressed


def _bounded(receive: Receive, most: int) -> Receive:
    """Return a body that ends with a fault where it grows too large, whatever length it claimed."""
    had = 0

    async def counted() -> Message:
        nonlocal had
        message = await receive()
        had += len(message.get("body", b""))
        if had > most:
            raise TooLargeError
        return message

    return counted
