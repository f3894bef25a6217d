"""serve: the bench page."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from partsbin.cli.common import Db, engine, now, say, tell

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from partsbin.page.pairing import Pairing


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("serve", short_help="The bench page, for a browser on this machine or on the bench's devices.")(serve)


def serve(
    context: typer.Context,
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="The port on this machine.")] = 8071,
    lan: Annotated[bool, typer.Option("--lan", help="Other devices of the bench's network may be let in.")] = False,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="This machine's address there, where it has several.")
    ] = "",
    devices: Annotated[bool, typer.Option("--devices", help="List the devices that were let in, and end.")] = False,
    forget: Annotated[int | None, typer.Option("--forget", metavar="N", help="Forget a device, and end.")] = None,
    db: Db = None,
) -> None:
    """Serve the bench page on this machine alone, or to devices that were let in once; until Ctrl-C.

    partsbin serve --lan
    """
    from partsbin.errors import UsageError
    from partsbin.page.serving import address_of, lan_address, listen

    if devices or forget is not None:
        _known(engine(context, db), forget)
        return
    if host and not lan:
        raise UsageError("--host goes with --lan: without it this machine alone is listened to")
    there = lan_address(host) if lan else ""
    sockets = [listen(each, port) for each in ("127.0.0.1", there) if each]
    opened = engine(context, db)
    try:
        from partsbin.page.app import create
        from partsbin.page.makers import spare_cores
        from partsbin.page.pairing import Pairing as Door
        from partsbin.page.serving import run
    except ImportError as fault:
        raise UsageError(f"the bench page lacks {fault.name!r}", hint="install partsbin again") from None
    say(f"    {address_of('127.0.0.1', port)}/ until Ctrl-C")
    pairing = Door(address_of(there, port), tell=lambda line: say(f"    {line}")) if lan else None
    if pairing is not None:
        _invite(pairing)
    run(create(opened, pairing=pairing, makers=spare_cores()), sockets)


def _invite(pairing: Pairing) -> None:
    """Show the code that lets the first device in."""
    from partsbin.page.pairing import for_terminal

    carrying = pairing.issue(now())
    if sys.stderr.isatty():
        sys.stderr.write(for_terminal(carrying, blocks=_has_blocks()))
    say(f"    let a device in: scan the code, or type {carrying} there; good once, for ten minutes")
    say("    another code: the page of devices, /devices, in a browser on this machine")
    say("    nothing is encrypted on the way: for a network that you trust")


def _has_blocks() -> bool:
    return (sys.stderr.encoding or "").lower().replace("-", "") == "utf8"


def _known(opened: Engine, ident: int | None) -> None:
    """Forget one, or list all."""
    from partsbin.page.devices import devices, forget
    from partsbin.store.engine import reading, writing

    if ident is not None:
        with writing(opened) as connection:
            device = forget(connection, ident, now())
        tell(f"device {device.id} ({device.name}) is forgotten")
        return
    with reading(opened) as connection:
        found = devices(connection)
    if not found:
        tell("no device was let in")
    for device in found:
        seen = f"last seen {device.seen_at:%Y-%m-%d}" if device.seen_at else "never seen"
        gone = f", forgotten {device.forgotten_at:%Y-%m-%d}" if device.forgotten_at else ""
        tell(f"{device.id:4}  {device.name}: let in {device.paired_at:%Y-%m-%d}, {seen}{gone}")
