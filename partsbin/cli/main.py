"""The command line: one file a group of commands, heavy imports inside the commands, exit codes set here only.

0 done · 1 the answer is no (nothing fits, problems in data) · 2 could not work.
"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from partsbin import __version__
from partsbin.cli import matching, shelf
from partsbin.errors import PartsbinError

app = typer.Typer(
    name="partsbin",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Spare parts and what may stand in for them, for the repair bench of valve-era mains equipment.",
    epilog="Start with: partsbin demo",
)


def _version(asked: bool) -> None:
    if asked:
        print(f"partsbin {__version__}")
        raise typer.Exit


@app.callback()
def _global(
    context: typer.Context,
    db: Annotated[
        str | None,
        typer.Option("--db", metavar="FILE", envvar="PARTSBIN_DB", help="The catalogue: a file or a database URL."),
    ] = None,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and end.")
    ] = False,
) -> None:
    context.obj = db


matching.add_to(app)
shelf.add_to(app)


def main() -> None:
    """Run the command line; the one place where faults become exit codes."""
    try:
        app()
    except PartsbinError as fault:
        sys.stderr.write(f"partsbin: {fault.message}\n")
        if fault.hint:
            sys.stderr.write(f"    hint: {fault.hint}\n")
        sys.exit(fault.exit_code)
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away, as `head` does: nothing more to say
        sys.exit(0)


if __name__ == "__main__":
    main()
