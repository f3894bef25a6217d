"""serve: the bench page."""

from __future__ import annotations

from typing import Annotated

import typer

from partsbin.cli.common import Db, engine, say


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("serve", short_help="The bench page: find in a browser on this machine.")(serve)


def serve(
    context: typer.Context,
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="The port on this machine.")] = 8071,
    db: Db = None,
) -> None:
    """Serve the bench page on this machine alone, until Ctrl-C.

    partsbin serve --port 8071
    """
    from partsbin.errors import UsageError

    opened = engine(context, db)
    try:
        import uvicorn

        from partsbin.page.app import create
    except ImportError as fault:
        raise UsageError(f"the bench page lacks {fault.name!r}", hint="install partsbin again") from None
    say(f"    http://127.0.0.1:{port}/ until Ctrl-C")
    uvicorn.run(create(opened), host="127.0.0.1", port=port, log_level="warning", server_header=False, ws="none")
