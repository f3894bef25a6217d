"""measure, mark, move, count, scrap, undo: what is done to parts on the shelf."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import MOST, AsJson, Db, engine, now, plain, print_json, say, tell, user

if TYPE_CHECKING:
    from partsbin.stock.acts import Who

Number = Annotated[str, typer.Argument(metavar="PART", help="A part: P-0042.")]
Why = Annotated[str, typer.Option("--why", help="Why, in a few words; the ledger keeps them.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("measure", short_help="Write down what was read on a part.")(measure)
    app.command("mark", short_help="Write down more of what is printed on a part.")(mark)
    app.command("move", short_help="Move a part, or some of it, to another place.")(move)
    app.command("count", short_help="Take stock of a place.")(count)
    app.command("scrap", short_help="Throw pieces away.")(scrap)
    app.command("undo", short_help="Take back the last thing done.")(undo)


def who(why: str = "") -> Who:
    """Return the clock and the user as an act wants them."""
    from partsbin.stock.acts import Who

    return Who(now(), user(), why)


def measure(
    context: typer.Context,
    number: Number,
    readings: Annotated[
        list[str], typer.Argument(metavar="READING…", help='What was read: resistance=478k±1%, "ratio 230V:5.1V".')
    ],
    pieces: Annotated[
        int | None,
        typer.Option(
            "--pieces",
            min=1,
            max=MOST,
            help="How many pieces it stands for; without it one, where several lie together.",
        ),
    ] = None,
    every: Annotated[bool, typer.Option("--every", help="It stands for every piece.")] = False,
    instrument: Annotated[
        str, typer.Option("--instrument", help="What it was read with; its recorded accuracy is taken.")
    ] = "",
    on: Annotated[str, typer.Option("--on", metavar="DATE", help="When, if not now: 2026-03-01.")] = "",
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Write down what was read on a part. A piece measured out of several gets a number of its own.

    partsbin measure P-0042 "leakage=12uA@350V" "capacitance=21.6nF±(1%+2d)" --instrument LCR
    """
    from partsbin.errors import UsageError
    from partsbin.stock.measuring import past_day, write_down
    from partsbin.stock.portrait import said_reading
    from partsbin.store.engine import writing

    if every and pieces is not None:
        raise UsageError("--every and --pieces say two things", hint="one of them")
    at = past_day(on, now().date())
    with writing(engine(context, db)) as connection:
        done = write_down(
            connection, number, readings, who(why), pieces=pieces or 0, every=every, instrument=instrument, at=at
        )
    if as_json:
        print_json({"part": done.part, "parted_from": done.parted_from, "readings": done.readings, "drift": done.drift})
        return
    tell(f"{done.part}  {plain(done.title)}{f', split off {done.parted_from}' if done.parted_from else ''}")
    for reading in done.readings:
        tell(f"    {said_reading(reading)}")
    for line in done.drift:
        tell(f"    DRIFT {line}")


def mark(
    context: typer.Context,
    number: Number,
    text: Annotated[str, typer.Argument(help='What it says, in trade notation: "400V polyester".')],
    correct: Annotated[bool, typer.Option("--correct", help="Write over what is known already.")] = False,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Write down more of what is printed on a part: a rating found under the dirt, a letter in better light.

    partsbin mark P-0042 "400V polyester"
    """
    from partsbin.stock.acts import part_of
    from partsbin.stock.marking import mark as write
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        _, notes = write(connection, id_of(number), text, who(why), correct=correct)
        part = part_of(connection, id_of(number))
    if as_json:
        print_json({"part": part.number, "title": part.title, "notes": notes})
        return
    tell(f"{part.number}  {plain(part.title)}")
    for note in notes:
        say(f"    {note}")


def move(
    context: typer.Context,
    number: Number,
    place: Annotated[str, typer.Argument(help="Drawer, box, shelf.")],
    pieces: Annotated[
        int | None, typer.Option("--pieces", min=1, max=MOST, help="How many; without it all of them.")
    ] = None,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Move a part to another place; some of its pieces become a part of their own.

    partsbin move P-0042 "drawer C3" --pieces 5
    """
    from partsbin.errors import UsageError
    from partsbin.stock.acts import move as do
    from partsbin.stock.acts import part_of
    from partsbin.stock.shelf import id_of, number_of
    from partsbin.store.engine import writing

    if not place.strip():
        raise UsageError("no place was said", hint='partsbin move P-0042 "drawer C3"')
    with writing(engine(context, db)) as connection:
        ident, _ = do(connection, id_of(number), place, who(why), pieces=pieces or 0)
        part = part_of(connection, ident)
    whole = number_of(id_of(number))
    parted = "" if part.number == whole else whole
    if as_json:
        print_json({"part": part.number, "parted_from": parted, "place": part.place, "on_hand": part.on_hand})
        return
    split = f", split off {parted}" if parted else ""
    tell(f"{part.number}  {plain(part.title)}: {part.on_hand} in {plain(part.place)}{split}")


_COUNTED = re.compile(r"\s*((?:P-?)?\d+)\s*[=:x\s]\s*(about|ca\.?|~)?\s*(\d+)\s*", re.IGNORECASE)


def count(
    context: typer.Context,
    place: Annotated[str, typer.Argument(help="The place: drawer, box, shelf.")],
    counted: Annotated[
        list[str] | None, typer.Argument(metavar="PART=PIECES…", help='What lies there: P-0042=11, "P-0043=about 50".')
    ] = None,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take stock of a place. Without counts it lists what should lie there; with counts it books the differences.

    partsbin count "drawer C2" P-0042=11 "P-0043=about 50"
    """
    from partsbin.stock.counting import count as write
    from partsbin.stock.counting import expected_in
    from partsbin.store.engine import reading, writing

    opened = engine(context, db)
    if not counted:
        with reading(opened) as connection:
            listed = expected_in(connection, place)
        if as_json:
            print_json(
                {
                    "place": place,
                    "parts": [
                        {
                            "part": e.number,
                            "title": e.title,
                            "on_hand": e.on_hand,
                            "reserved": e.reserved,
                            "rough": e.rough,
                        }
                        for e in listed
                    ],
                }
            )
            return
        for entry in listed:
            aside = f", {entry.reserved} of them set aside" if entry.reserved else ""
            tell(f"{entry.number}  {'about ' if entry.rough else ''}{entry.on_hand}{aside}  {plain(entry.title)}")
        if listed:
            many = f"{len(listed)} parts" if len(listed) > 1 else "1 part"
            say(f"    {many}; book what you count with: partsbin count {place!r} {listed[0].number}=…")
        else:
            say("    nothing should lie there: partsbin move brings parts there")
        return
    with writing(opened) as connection:
        there = expected_in(connection, place)
        counts = _counts(counted, {entry.part_id for entry in there}, place)
        done, _ = write(connection, counts, who(why or f"counted {place}"))
    left = [entry.number for entry in there if entry.on_hand and entry.part_id not in counts]
    _say_counted(done, left, as_json)


def _counts(counted: list[str], here: set[int], place: str) -> dict[int, tuple[int, bool]]:
    from partsbin.errors import UsageError
    from partsbin.stock.shelf import id_of, number_of

    found: dict[int, tuple[int, bool]] = {}
    for text in counted:
        match = _COUNTED.fullmatch(text)
        if match is None:
            raise UsageError(f"{text!r} is not PART=PIECES", hint='P-0042=11, or "P-0042=about 50"')
        ident = id_of(match[1])
        if ident not in here:
            raise UsageError(f"{number_of(ident)} does not lie in {place!r}", hint="partsbin move brings it there")
        if ident in found:
            raise UsageError(f"{number_of(ident)} is counted twice", hint="one number for all its pieces there")
        found[ident] = (int(match[3]), bool(match[2]))
    return found


def _say_counted(done: list[Any], left: list[str], as_json: bool) -> None:
    from partsbin.stock.history import job_code
    from partsbin.stock.shelf import number_of

    if as_json:
        print_json(
            {
                "counted": [
                    {
                        "part": number_of(c.part_id),
                        "before": c.before,
                        "now": c.now,
                        "difference": c.difference,
                        "rough": c.rough,
                        "let_go": {job_code(j) if j else "": n for j, n in c.let_go.items()},
                    }
                    for c in done
                ],
                "not_counted": left,
            }
        )
        return
    for entry in done:
        off = f"{entry.difference:+d}" if entry.difference else "as the ledger says"
        about = "about " if entry.rough else ""
        tell(f"{number_of(entry.part_id)}  {about}{entry.now}, {off}  {plain(entry.title)}")
        for job, pieces in entry.let_go.items():
            say(f"    {pieces} set aside for {job_code(job) if job else 'no job'} let go: not there")
    if left:
        more = f" and {len(left) - 5} more" if len(left) > 5 else ""
        say(f"    not counted, as they were: {', '.join(left[:5])}{more}")


def scrap(
    context: typer.Context,
    number: Number,
    pieces: Annotated[int, typer.Option("--pieces", min=1, max=MOST, help="How many.")] = 1,
    why: Why = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Throw pieces of a part away. Old capacitors and rectifiers are not household waste: see what show says of the part.

    partsbin scrap P-0042 --why "leaks 40 µA"
    """
    from partsbin.stock.acts import part_of
    from partsbin.stock.acts import scrap as do
    from partsbin.stock.shelf import id_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        do(connection, id_of(number), pieces, who(why))
        part = part_of(connection, id_of(number))
    if as_json:
        print_json({"part": part.number, "scrapped": pieces, "on_hand": part.on_hand})
        return
    tell(f"{part.number}  {plain(part.title)}: {pieces} scrapped, {part.on_hand} left")


def undo(
    context: typer.Context,
    act: Annotated[
        int | None, typer.Option("--act", metavar="NUMBER", min=1, help="This act and not your last one.")
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take back the last thing you did to stock: a new line in the ledger, nothing is erased. Again takes back the one before.

    partsbin undo
    """
    from partsbin.stock.ledger import undo as take_back
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    with writing(engine(context, db)) as connection:
        done = take_back(connection, at=now(), by=user(), act_id=act)
    numbers = [number_of(ident) for ident in done.parts]
    if as_json:
        print_json({"undone": done.word, "why": done.why, "parts": numbers})
        return
    named = ", ".join(numbers[:5]) + (f" and {len(numbers) - 5} more" if len(numbers) > 5 else "")
    tell(f"taken back: {done.word} {named}{f' ({plain(done.why)})' if done.why else ''}")
