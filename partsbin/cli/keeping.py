"""backup, restore, copy, verify: keeping a catalogue."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from partsbin.cli.common import AsJson, Db, engine, now, print_json, say, tell
from partsbin.cli.progress import progress

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from partsbin.stock.keeping.faults import Fault

SHOWN = 50
"""Faults that are told one by one [-]."""


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("backup", short_help="Copy the catalogue, consistent while it is in use.")(backup)
    app.command("restore", short_help="Put a copy in the catalogue's place; what was there is kept.")(restore)
    app.command("copy", short_help="Carry the catalogue to a server or back, compared row by row.")(copy)
    app.command("verify", short_help="Look the catalogue over; make anew what can be derived.")(verify)


def backup(
    context: typer.Context,
    file: Annotated[str, typer.Argument(help="A file that is not there yet; a folder gets one named by the date.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Copy the catalogue into one file, as it stands at one moment, while others go on working. Keep it on another disk.

    partsbin backup copies/
    """
    from partsbin.errors import UsageError
    from partsbin.store.copies import copy_to

    opened = engine(context, db)
    if opened.dialect.name != "sqlite":
        raise UsageError(
            "a server's database is copied by its own tools", hint="pg_dump, for PostgreSQL; or partsbin copy --to FILE"
        )
    target = Path(file)
    if target.is_dir() or file.endswith("/"):
        target.mkdir(parents=True, exist_ok=True)
        target = target / f"{Path(opened.url.database or 'catalogue').stem}-{now():%Y%m%d-%H%M%S}.sqlite"
    copy_to(opened, target)
    if as_json:
        print_json({"file": str(target), "bytes": target.stat().st_size})
        return
    tell(f"{target}  {target.stat().st_size / 1e6:.1f} MB")


def restore(
    context: typer.Context,
    file: Annotated[str, typer.Argument(help="A copy that partsbin backup wrote.")],
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Put a copy in the catalogue's place. The copy is looked over first, and what was there is kept beside it.

    partsbin restore copies/catalogue-20260301-120000.sqlite
    """
    from partsbin.errors import UsageError
    from partsbin.store.engine import default_file, open_store
    from partsbin.store.restoring import look_over
    from partsbin.store.restoring import restore as put

    named = db or context.obj or str(default_file())
    if "://" in named:
        raise UsageError("a server's database is restored by its own tools", hint="pg_restore, for PostgreSQL")
    copy, target = Path(file), Path(named).expanduser()
    if not yes:
        with progress("the copy is looked over", lost="nothing was restored"):
            look_over(copy)
        if not _agreed(f"put {file} in the place of {target}? y/n: "):
            raise UsageError("nothing was restored", hint="--yes restores without asking")
    with progress("the copy is looked over, then written", lost="the catalogue is as it was, or as the copy is"):
        kept = put(copy, target, now())
    open_store(target).dispose()  # an older copy is led to today's tables
    if as_json:
        print_json({"file": str(target), "kept": str(kept) if kept else None})
        return
    tell(f"{target}  restored from {file}")
    if kept:
        tell(f"    what was there is kept as {kept}")


def copy(
    context: typer.Context,
    to: Annotated[str, typer.Option("--to", metavar="URL", help="An empty database, or a file that is not there yet.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Carry the whole catalogue into an empty database: all of it or nothing, every row compared afterwards. It stays here too.

    partsbin copy --to postgresql+psycopg://bench@server/partsbin
    """
    from partsbin.store.moving import carry_to, strangers

    source = engine(context, db)
    with progress("copied") as told:
        where, made = carry_to(source, to, lambda what, rows, of: told(rows, name=what, of=of))
    left = strangers(source)
    if as_json:
        tables = [{"table": each.table, "rows": each.rows, "digest": each.digest} for each in made]
        print_json({"to": where, "tables": tables, "left": left})
        return
    for each in made:
        if each.rows:
            tell(f"{each.rows:>9,}  {each.table}")
    tell(f"{sum(each.rows for each in made):>9,}  rows, each compared, now in {where}")
    if left:
        say(f"    not of the catalogue and not copied: {', '.join(left)}")


def _agreed(question: str) -> bool:
    return sys.stdin.isatty() and input(question).strip().lower() in ("y", "yes", "j", "ja")


def verify(
    context: typer.Context,
    mend: Annotated[
        bool, typer.Option("--repair", help="Make anew what can be derived: counts, search keys, words.")
    ] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Look the catalogue over: ledger against counts, references, facts, search keys and words.

    partsbin verify
    """
    from partsbin.stock.keeping.verify import repair
    from partsbin.store.engine import reading, writing

    opened = engine(context, db)
    repaired: list[Fault] = []
    if mend:
        with writing(opened) as connection:
            repaired = repair(connection, _looked_over(connection))
    with reading(opened) as connection:
        found = _looked_over(connection, "what was repaired stays repaired" if mend else "nothing was changed")
    if as_json:
        print_json({"faults": [_json(fault) for fault in found], "repaired": [_json(fault) for fault in repaired]})
    else:
        _tell(found, repaired)
    raise typer.Exit(1 if found else 0)


def _looked_over(connection: Connection, lost: str = "nothing was changed") -> list[Fault]:
    from partsbin.stock.keeping.verify import verify as look

    with progress("pages, references and ledger", unit="parts", lost=lost) as told:
        return look(connection, lambda parts, of: told(parts, name="keys and words", of=of))


def _json(fault: Fault) -> dict[str, object]:
    return {"code": fault.code, "part": fault.part, "said": fault.said, "derived": fault.derived}


def _tell(found: list[Fault], repaired: list[Fault]) -> None:
    for fault in repaired[:SHOWN]:
        tell(f"REPAIRED {' '.join(filter(None, (fault.part, fault.said)))}")
    for fault in found[:SHOWN]:
        tell(f"{fault.code} {' '.join(filter(None, (fault.part, fault.said)))}")
    for listed, word in ((repaired, "repaired"), (found, "wrong")):
        if len(listed) > SHOWN:
            say(f"    and {len(listed) - SHOWN} more {word}")
    if not found:
        tell("nothing is wrong")
    elif any(fault.code == "DAMAGE" for fault in found):
        say("    restore a copy: partsbin restore FILE")
    elif any(fault.derived for fault in found):
        say("    partsbin verify --repair makes anew what can be derived")
