"""Where the page is served: the sockets, the machine's address on the bench's network, and the server's run."""

from __future__ import annotations

import errno
import gc
import signal
import socket
import sys
from collections.abc import Iterable
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import Any

from partsbin.errors import UsageError

_ELSEWHERE = ("192.0.2.1", "10.255.255.254", "172.31.255.254", "192.168.255.254")
"""Addresses that a way is asked to; nothing is sent there."""

_TAKEN = "end it, or name another port with --port"


def lan_address(said: str = "") -> str:
    """Return the address of this machine on the bench's network.

    Parameters
    ----------
    said : str
        The one that was named; without it the only one that there is.

    Raises
    ------
    UsageError
        If it is no address of a private network, or there are none or several to choose from.
    """
    if said:
        return str(_private(said))
    found = sorted(filter(_is_private, {*_on_the_way(), *_by_name()}))
    if not found:
        raise UsageError(
            "this machine's address on the bench's network is not known", hint="name it with --host ADDRESS"
        )
    if len(found) > 1:
        raise UsageError(
            f"this machine has several addresses: {', '.join(found)}", hint="name that of the bench with --host ADDRESS"
        )
    return found[0]


def _private(said: str) -> IPv4Address | IPv6Address:
    try:
        found = ip_address(said)
    except ValueError:
        raise UsageError(f"{said!r} is no address: expected one such as 192.168.1.20") from None
    if found.is_loopback or found.is_unspecified or found.is_multicast:
        raise UsageError(f"{said} is no address on a network: expected one such as 192.168.1.20")
    if found.is_global:
        raise UsageError(
            f"{said} is reached from everywhere: expected an address of a private network",
            hint="what is said on this page can be read by whoever listens on the way",
        )
    return found


def _is_private(address: str) -> bool:
    try:
        _private(address)
    except UsageError:
        return False
    return True


def _on_the_way() -> Iterable[str]:
    for there in _ELSEWHERE:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            try:
                asked.connect((there, 9))  # a datagram's socket only looks for the way
                yield str(asked.getsockname()[0])
            except OSError:
                continue


def _by_name() -> Iterable[str]:
    try:
        return [str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    except OSError:
        return []


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens.

    Raises
    ------
    UsageError
        If the port is in use or may not be had, or the address is not of this machine.
    """
    sock = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM)
    try:
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind((host, port))
        sock.listen(128)
    except OSError as fault:
        sock.close()
        raise _why_not(fault, host, port) from None
    return sock


def _why_not(fault: OSError, host: str, port: int) -> UsageError:
    if fault.errno == errno.EADDRINUSE:
        return UsageError(
            f"port {port} of {host} is in use: by another program, or the page is served already", hint=_TAKEN
        )
    if fault.errno == errno.EACCES:
        return UsageError(f"port {port} may not be opened by this user", hint="name one from 1024 on with --port")
    if fault.errno == errno.EADDRNOTAVAIL:
        return UsageError(f"{host} is not an address of this machine", hint="name one of its own with --host")
    return UsageError(f"cannot listen at {host}, port {port}: {fault.strerror}")


def address_of(host: str, port: int) -> str:
    """Return what a browser asks for."""
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def run(app: Any, sockets: list[socket.socket]) -> None:
    """Serve until Ctrl-C, or until whoever started it ends it."""
    import uvicorn

    signal.signal(
        signal.SIGTERM, signal.default_int_handler
    )  # uvicorn sends it on when all is put away: no way out beside that
    sys.setswitchinterval(0.001)  # a page that is being made lets those go first that are sent as they are
    gc.set_threshold(20_000, 10, 10)  # a short command collects nothing; this one runs for days
    config = uvicorn.Config(
        app,
        loop="auto",  # the quicker one, where there is one: half of what a crowd waits is the waking of threads
        http="h11",
        ws="none",
        lifespan="on",
        proxy_headers=False,  # nobody says on behalf of another where a request comes from
        server_header=False,
        access_log=False,  # an address may carry the secret of a pairing
        log_level="warning",
        timeout_keep_alive=60,  # a person thinks longer than five seconds
        timeout_graceful_shutdown=2,
    )
    try:
        uvicorn.Server(config).run(sockets=sockets)
    except KeyboardInterrupt:
        return
    finally:
        for sock in sockets:
            sock.close()
