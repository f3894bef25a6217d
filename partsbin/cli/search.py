"""search: parts by words, with slips forgiven."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping
from typing import Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, plain, print_json, say, tell, width

INDENT = 8


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("search", short_help="Parts by words, slips forgiven.")(search)


def search(
    context: typer.Context,
    words: Annotated[
        list[str], typer.Argument(help="Title, marking, maker, donor, place, note: EL84 trafo, P-0042, D-007.")
    ],
    family: Annotated[str, typer.Option("--family", help="Only parts of this family.")] = "",
    limit: Annotated[int, typer.Option("--limit", min=1, max=1000, help="How many parts at most.")] = 20,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Search the catalogue by words; every word is wanted, in any order, slips of the hand forgiven.

    Numbers are compared as numbers: 0.1uF, 100n and .1mfd are the same, 22n is not 220n.

    partsbin search "transfomer EL84"

    partsbin search 100n 630V drawer --family capacitor
    """
    from partsbin.families import load
    from partsbin.stock.searching.search import search as look
    from partsbin.stock.searching.texts import is_complete
    from partsbin.store.engine import reading

    named = load(family).name if family else ""
    opened = engine(context, db)
    with reading(opened) as connection:
        ready = is_complete(connection)
    if not ready:
        from partsbin.stock.searching.index import complete

        complete(opened)
    with reading(opened) as connection:
        answer = look(connection, " ".join(words), family=named, limit=limit)
    if as_json:
        print_json(answer)
    else:
        lines = list(_lines(plain(answer)))
        if lines:
            tell("\n".join(lines))
    if not answer["parts"]:
        _say_why(" ".join(words), plain(answer))
        raise typer.Exit(1)


def _lines(answer: Mapping[str, Any]) -> Iterator[str]:
    for part in answer["parts"]:
        yield from _wrapped(part["part"], f"{part['title']}, {_lies(part)}")
        yield from _wrapped("", _why(part))
    if answer["found"] > len(answer["parts"]):
        yield f"{len(answer['parts'])} of {answer['found']:,} shown: more with --limit, fewer with another word"


def _wrapped(head: str, text: str) -> list[str]:
    first = f"{head:<{INDENT}}"
    return textwrap.wrap(
        text,
        width(),
        initial_indent=first,
        subsequent_indent=" " * INDENT,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _lies(part: Mapping[str, Any]) -> str:
    count = f"about {part['count']}" if part["rough"] else str(part["count"])
    place = f"{count} in {part['place']}" if part["place"] else f"{count} on hand"
    donor = f"from {part['donor']}" if part["donor"] else ""
    return ", ".join(filter(None, (part["condition"], place, donor)))


def _why(part: Mapping[str, Any]) -> str:
    """What does not show from the line above: a word that only comes near, a word that stands in another text."""
    told = []
    for match in part["matches"]:
        if match["how"] != "exact":
            told.append(f"{match['asked']} {_HOW[match['how']]} {_printed(match['matched'])}")
        if match["field"] not in ("title", "place", "donor", "condition", "family", "part"):
            told.append(f"{match['field'].replace('_', ' ')} {match['text']!r}")
    return "; ".join(dict.fromkeys(told))


def _printed(shown: str) -> str:
    """A unit as the titles print it: the words of the index are in plain letters."""
    return _OHM.sub("Ω", _MICRO.sub("µ", shown))


_MICRO, _OHM = re.compile(r"(?<=[0-9 ])u(?=[FHAVW]\b)"), re.compile(r"(?<=[0-9 kM])ohm\b")
_HOW = {
    "mistyped": "read as",
    "begins": "begins",
    "ends": "ends",
    "unit not given": "taken for",
    "means": "means",
}


def _say_why(question: str, answer: Mapping[str, Any]) -> None:
    only = f" of the family {answer['family']}" if answer["family"] else ""
    say(f"partsbin: no part{only} has {question!r}")
    nowhere = [entry for entry in answer["missing"] if not entry["parts"]]
    for entry in nowhere:
        near = f": did you mean {' or '.join(repr(word) for word in entry['near'])}?" if entry["near"] else ""
        say(f"    hint: {entry['word']!r} stands nowhere{near}")
    if not nowhere:
        counts = ", ".join(f"{entry['word']!r} {entry['parts']:,}" for entry in answer["missing"])
        say(f"    hint: each word is there, never all in one part: {counts}; leave one out")
