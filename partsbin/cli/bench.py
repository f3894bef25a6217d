"""The command that records what the bench can measure with."""

from __future__ import annotations

from typing import Annotated

import typer

from partsbin.cli.common import AsJson, Db, engine, print_json, tell


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("instruments", short_help="What can the bench measure with?")(instruments)


def instruments(
    context: typer.Context,
    have: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="NAME[=ACCURACY]…", help="All that there are, meter=0.8%+3d; without any, what is recorded."
        ),
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Record the instruments of the bench: test cards then ask for nothing else, and readings get their accuracy.

    partsbin instruments meter="0.8%+3d" "500 V tester" LCR
    """
    from partsbin.families._declare import INSTRUMENTS
    from partsbin.stock.instruments import accuracies, record, recorded
    from partsbin.store.engine import reading, writing

    if have:
        with writing(engine(context, db, create=True)) as connection:
            now: list[str] | None = record(connection, have)
            known = accuracies(connection)
    else:
        with reading(engine(context, db)) as connection:
            found, known = recorded(connection), accuracies(connection)
        now = None if found is None else sorted(found, key=INSTRUMENTS.index)
    if as_json:
        print_json({"instruments": now, "accuracies": known, "known": list(INSTRUMENTS)})
        return
    named = [f"{name} ±({known[name]})" if name in known else name for name in now or ()]
    tell("not recorded: every test card is shown" if now is None else f"the bench has: {', '.join(named)}")
    tell(f"known: {', '.join(INSTRUMENTS)}")
