"""plan: all open needs of jobs against the shelf at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.job import job_named
from partsbin.cli.stock import who

if TYPE_CHECKING:
    from partsbin.jobs.plan import Served
    from partsbin.matching.make_ups.search import MakeUp
    from partsbin.matching.search import Candidate


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("plan", short_help="All open needs of jobs against the shelf at once.")(plan)


def plan(
    context: typer.Context,
    codes: Annotated[list[str], typer.Argument(metavar="JOB…", help="One job or several: J-0012 J-0013.")],
    aside: Annotated[bool, typer.Option("--reserve", help="Set aside what the plan says, in one act.")] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """All open needs of one or several jobs against the shelf at once: scarce parts go where nothing else will do.

    partsbin plan J-0012 J-0013 --reserve
    """
    from partsbin.jobs.plan import plan as make
    from partsbin.jobs.plan import reserve
    from partsbin.jobs.record import still_open
    from partsbin.store.engine import reading, writing

    opened = engine(context, db)
    moved = 0
    if aside:
        with writing(opened) as connection:
            made, moved = reserve(connection, [still_open(job_named(connection, code)) for code in codes], who())
    else:
        with reading(opened) as connection:
            made = make(connection, [still_open(job_named(connection, code)) for code in codes])
    if as_json:
        print_json({"needs": [_json(served) for served in made], "moved": moved})
    else:
        _tell(made, moved, aside)
    raise typer.Exit(0 if all(served.pieces >= served.left for served in made) else 1)


def owed(candidate: Candidate | MakeUp) -> list[str]:
    """Return what must be read or looked at before a part goes in, as titles of its test cards."""
    from partsbin.matching.make_ups.said import entry_of

    return [card["title"] for card in entry_of(candidate)["tests"]]


def said_of(candidate: Candidate | MakeUp) -> str:
    """Return a part, or several joined, in words: number and title."""
    from partsbin.matching.make_ups.said import entry_of, said_parts

    entry = entry_of(candidate)
    if not entry["make_up"]:
        return f"{entry['part']} {plain(entry['title'])}"
    return f"{said_parts(entry['make_up'], entry['option'])}, {plain(entry['title'])}"


def _json(served: Served) -> dict[str, Any]:
    return {
        "job": served.job.code,
        "designator": served.wanted.designator,
        "family": served.wanted.family,
        "position": served.wanted.position,
        "wanted": served.left,
        "parts": [part for candidate, pieces in served.parts for part in _parts(candidate, pieces)],
        "shares": [wanted.designator or wanted.position for wanted in served.along],
        "why": served.why,
        "buy": "" if served.parts else served.buy,
    }


def _parts(candidate: Candidate | MakeUp, pieces: int) -> list[dict[str, Any]]:
    """Each part that serves, and how many pieces of it are taken; of several joined, how."""
    from partsbin.matching.make_ups.said import entry_of

    entry = entry_of(candidate)
    shared = {
        "verdict": entry["verdict"],
        "serves": pieces,
        "how": entry["option"] if entry["make_up"] else "",
        "read_first": owed(candidate),
        "changes": entry["changes"],
    }
    single = {
        "part": entry["part"],
        "title": _titled(entry),
        "place": entry["place"],
        "pieces": candidate.pieces,
    }
    return [
        {
            "part": part["part"],
            "title": part["title"],
            "place": part["place"],
            "pieces": pieces * part["pieces"],
            **shared,
        }
        for part in entry["make_up"] or [single]
    ]


def _tell(made: list[Served], moved: int, aside: bool) -> None:
    several = len({served.job.id for served in made}) > 1
    for served in made:
        job = f"{served.job.code} " if several else ""
        name = f"{job}{plain(served.name)}"
        for candidate, pieces in served.parts:
            number = pieces * candidate.pieces
            _tell_one(name, candidate, f"{number} × " if number and max(served.left, number) > 1 else "")
        if served.pieces < served.left:
            tell(f"{name}: SHORT of {served.left - served.pieces}")
        if served.why:
            tell(f"    {served.why}")
        if served.pieces < served.left:
            _tell_short(served)
    short = sum(served.left - served.pieces for served in made)
    total = sum(served.left for served in made)
    say(f"    {total - short} of {total} pieces served")
    if aside:
        say(
            f"    {moved} movement{'s' * (moved != 1)}; partsbin undo takes it back"
            if moved
            else "    set aside as it was"
        )


def _tell_one(name: str, candidate: Candidate | MakeUp, count: str) -> None:
    from partsbin.matching.make_ups.said import entry_of

    entry = entry_of(candidate)
    place = f", in {plain(entry['place'])}" if entry["place"] else ""
    if entry["make_up"]:
        places = [f"{each['part']} in {plain(each['place'])}" for each in entry["make_up"] if each["place"]]
        place = f", {', '.join(places)}" if places else ""
        count = f"{count.removesuffix(' × ')} times " if count else ""
        tell(f"{name}: {count}{said_of(candidate)}{place} ({entry['verdict']})")
        for change in entry["changes"]:
            tell(f"    change: {plain(change)}")
    else:
        tell(f"{name}: {count}{entry['part']}  {plain(_titled(entry))}{place} ({entry['verdict']})")
    if first := owed(candidate):
        tell(f"    first: {'; '.join(first)}")


def _titled(entry: dict[str, Any]) -> str:
    """A part, and which sections of it."""
    return f"{entry['title']}, {entry['option']}" if entry["option"] else str(entry["title"])


def _tell_short(served: Served) -> None:
    for miss in served.near[:2]:
        failed = [check["reason"] for check in miss["checks"] if check["verdict"] == "fail"]
        tell(f"    not {miss['part']} {plain(miss['title'])}: {plain(failed[0]) if failed else ''}")
    if served.buy:
        tell(f"    buy {plain(served.buy)}")
