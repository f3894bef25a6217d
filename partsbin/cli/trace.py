"""trace, recall: the life of a part, and the siblings of a bad one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

import typer

from partsbin.cli import complete
from partsbin.cli.common import AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.stock import Number, Why, who


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("trace", short_help="Where a part came from and where it went.")(trace)
    app.command("recall", short_help="The siblings of a bad part, on the shelf and in sets.")(recall)


def trace(context: typer.Context, number: Number, db: Db = None, as_json: AsJson = False) -> None:
    """Where a part came from and where it went: donor, shelf, sets, and what was split off it.

    partsbin trace P-0042
    """
    from partsbin.jobs.trace import trace as follow
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = follow(connection, id_of(number))
    if as_json:
        print_json(found)
    else:
        tell("\n".join(_life(plain(found))))


def _life(found: Mapping[str, Any], indent: str = "") -> list[str]:
    from partsbin.stock.portrait import said_movement

    origin = found["came"]
    donor = ", ".join(filter(None, (origin["donor"], origin["donor_name"])))
    came = [f"from {donor}"] if donor else []
    came += [f"from {origin['file']}"] if origin["file"] else []
    came += [f"split off {origin['split_off']}"] if origin["split_off"] else []
    lines = [f"{indent}{found['part']}  {found['title']}{', ' if came else ''}{', '.join(came)}"]
    lines += [f"{indent}    {said_movement(movement)}" for movement in found["movements"]]
    place = f" in {found['place']}" if found["place"] else ""
    lines.append(f"{indent}    now: {found['on_hand']} on hand{place if found['on_hand'] else ''}")
    lines += [f"{indent}    now: {_inside(entry)}" for entry in found["sets"]]
    for part in found["split_off"]:
        lines += _life(part, f"{indent}    ")
    return lines


def _inside(entry: Mapping[str, Any]) -> str:
    what = f", {entry['what']}" if entry["what"] else ""
    reference = f" ({entry['reference']})" if entry["reference"] else ""
    return f"{entry['pieces']} in the set of {entry['job']}{what}{reference}"


def recall(
    context: typer.Context,
    donor: Annotated[str, typer.Argument(metavar="[DONOR]", help="The chassis they came from: D-007.")] = "",
    family: Annotated[
        str, typer.Option("--family", help="Of one family alone.", autocompletion=complete.families)
    ] = "",
    maker: Annotated[str, typer.Option("--maker", help="Of one maker.")] = "",
    date_code: Annotated[str, typer.Option("--date-code", help="Of one date code.")] = "",
    aside: Annotated[
        bool, typer.Option("--set-aside", help="Set what lies on the shelf aside, all of it in one step.")
    ] = False,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """A part turned out bad: where are its siblings? On the shelf, to be set aside; in customers' sets, to be called back.

    partsbin recall D-007 --family capacitor --set-aside --why "two of four leak"
    """
    from partsbin.families import named
    from partsbin.jobs.trace import set_aside, siblings
    from partsbin.stock.donors import code_of
    from partsbin.store.engine import reading, writing

    kind = named(family) if family else ""
    opened, code = engine(context, db), code_of(donor) if donor else ""
    moved = 0
    if aside:
        with writing(opened) as connection:
            found = siblings(connection, donor=code, family=kind, maker=maker, date_code=date_code)
            moved = set_aside(connection, found, who(why or f"recall {code or maker or date_code}"))
    else:
        with reading(opened) as connection:
            found = siblings(connection, donor=code, family=kind, maker=maker, date_code=date_code)
    if as_json:
        print_json({"siblings": found, "set_aside": moved})
    else:
        _tell(plain(found), moved, aside)
    raise typer.Exit(0 if found else 1)


def _tell(found: list[dict[str, Any]], moved: int, aside: bool) -> None:
    for each in found:
        place = f" in {each['place']}" if each["place"] else ""
        shelf = f"{each['on_hand']} on hand{place}" if each["on_hand"] else "none on hand"
        tell(f"{each['part']}  {each['title']}, {shelf}")
        for entry in each["sets"]:
            tell(f"    IN A SET: {_inside(entry)}")
    here, sets = (
        sum(each["on_hand"] for each in found),
        sum(entry["pieces"] for each in found for entry in each["sets"]),
    )
    say(f"    {here} on the shelf, {sets} in sets")
    if aside:
        say(f"    {moved} set aside: nobody is offered them; partsbin undo takes it back")
    elif here:
        say("    --set-aside keeps what is on the shelf from being offered")
