"""The command line: one file a group of commands, heavy imports inside the commands, exit codes set here only.

0 done · 1 the answer is no (nothing fits, problems in data) · 2 could not work.
"""

from __future__ import annotations

import io
import os
import sys
from copy import copy
from typing import Annotated, NoReturn

import typer
from typer.models import CommandInfo, TyperInfo

from partsbin import __version__
from partsbin.cli import (
    bench,
    buying,
    calc,
    donor,
    fit,
    job,
    keeping,
    labels,
    lists,
    matching,
    orders,
    plan,
    report,
    search,
    serve,
    sheet,
    shelf,
    stock,
    strip,
    trace,
)
from partsbin.cli.common import say
from partsbin.errors import PartsbinError, StoreError, UsageError


def _empty() -> typer.Typer:
    return typer.Typer(
        name="partsbin",
        no_args_is_help=True,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        help="Spare parts and what may stand in for them, for the repair bench of valve-era mains equipment.",
        epilog="Start with: partsbin demo",
    )


app = _empty()


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
strip.add_to(app)
donor.add_to(app)
stock.add_to(app)
job.add_to(app)
plan.add_to(app)
buying.add_to(app)
orders.add_to(app)
sheet.add_to(app)
report.add_to(app)
fit.add_to(app)
trace.add_to(app)
lists.add_to(app)
search.add_to(app)
calc.add_to(app)
bench.add_to(app)
labels.add_to(app)
keeping.add_to(app)
serve.add_to(app)


def _needed(words: list[str]) -> typer.Typer:
    """Return the command line with as much of it as these words need: making all of it takes longer than starting typer."""
    rest = iter(words)
    first = next((word for word in rest if word != "--db" or next(rest, None) is None), "")
    commands, groups = app.registered_commands, app.registered_groups
    if "_PARTSBIN_COMPLETE" in os.environ:
        return app
    small = _empty()
    small.callback()(_global)
    if first in ("", "--help"):
        small.registered_commands, small.registered_groups = [*map(_named, commands)], [*map(_named_group, groups)]
    elif first in {*(each.name for each in commands), *(each.name for each in groups)}:
        small.registered_commands = [each for each in commands if each.name == first]
        small.registered_groups = [each for each in groups if each.name == first]
    else:
        return app
    return small


def _named(command: CommandInfo) -> CommandInfo:
    """A command as the list of them shows it: name and words, without its options."""

    def nothing() -> None: ...

    nothing.__doc__ = command.callback.__doc__ if command.callback else ""
    shown = copy(command)
    shown.callback = nothing
    return shown


def _named_group(group: TyperInfo) -> TyperInfo:
    """The same of a command that has commands of its own."""
    shown, known = copy(group), group.typer_instance
    if known is not None:
        shown.typer_instance = copy(known)
        shown.typer_instance.registered_commands = []
    return shown


def main() -> None:
    """Run the command line; the one place where faults become exit codes."""
    # A short process makes much and drops little: collecting while it imports costs a tenth of it.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal without Ω shows a question mark instead of ending the work.
            stream.reconfigure(errors="replace")
    try:
        _work()
    except KeyboardInterrupt:
        sys.exit(130)  # as a shell reports it; a transaction that was open is rolled back
    except BrokenPipeError:
        for stream in (sys.stdout, sys.stderr):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        sys.exit(0)  # the reader went away, as `head` does: nothing more to say
    except SystemExit as end:
        if isinstance(end.__context__, BrokenPipeError):  # typer saw it first
            sys.exit(0)
        raise


def _work() -> None:
    try:
        _refuse_broken_text(sys.argv[1:])
        try:
            _needed(sys.argv[1:])(prog_name="partsbin")
        finally:
            sys.stdout.flush()  # a reader that went away shows here, not when the interpreter ends
    except PartsbinError as fault:
        _end(fault)
    except BrokenPipeError:
        raise
    except OSError as fault:
        _end(_disk_fault(fault))
    except Exception as fault:
        known = _database_fault(fault)
        if known is None:
            raise
        _end(known)


def _end(fault: PartsbinError) -> NoReturn:
    say(f"partsbin: {fault.message}")
    if fault.hint:
        say(f"    hint: {fault.hint}")
    sys.exit(fault.exit_code)


def _refuse_broken_text(words: list[str]) -> None:
    """Bytes that are no text in the terminal's encoding can be neither stored nor printed."""
    for word in words:
        if any("\ud800" <= sign <= "\udfff" for sign in word):
            raise UsageError(
                f"{word.encode('utf-8', 'replace').decode()!r} holds bytes that are not {sys.getfilesystemencoding()} text"
            )


def _disk_fault(fault: OSError) -> PartsbinError:
    """Return what a disk that is full, or may not be touched, means."""
    if fault.filename is None:  # what was printed: it must not be tried again when the interpreter ends
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return UsageError(f"the answer cannot be written: {fault.strerror or fault}")
    return UsageError(f"cannot read or write {str(fault.filename)!r}: {fault.strerror}")


def _database_fault(fault: Exception) -> StoreError | None:
    """Return what a fault of the database means at the bench, None for a fault that is our own."""
    if "sqlalchemy.exc" not in sys.modules:  # not loaded, so not its fault; loading it here would slow every start
        return None
    from partsbin.store.faults import store_fault

    return store_fault(fault)


if __name__ == "__main__":
    main()
