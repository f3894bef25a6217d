"""The customer's sheet of a job: what was fitted, from where, what was read, and the tests that are still to be made.

It never says that a set is safe: it lists what a competent person tests, with blanks for instrument, reading and date, and leaves
the figures to the local code.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from partsbin.families import load
from partsbin.families._said import plain
from partsbin.jobs.fitted import fittings_of
from partsbin.jobs.lines import lines_of
from partsbin.jobs.needs import need_of
from partsbin.jobs.record import Opened
from partsbin.matching.answer import GENERAL_CAUTION
from partsbin.notation.money import say_money
from partsbin.stock.acts import part_of
from partsbin.stock.history import readings_of_part
from partsbin.stock.shelf import id_of
from partsbin.store.job_tables import LINES
from partsbin.words import say

TESTS = (
    ("earth continuity", "every touchable metal part to the earth pin, where the set is earthed"),
    (
        "insulation",
        "both mains pins joined, to every touchable part; sockets for aerial, earth, pickup and loudspeaker too",
    ),
    ("touch current", "of every touchable part, switched on, the plug either way round"),
    ("switch and fuse", "both poles open; the fuse of the marked rating, and none bridged"),
    ("lead, plug, cord grip", "by eye and by pull"),
)
"""What a competent person tests before a set goes home, common practice; limits are those of the local code."""

NO_CLAIM = (
    "This sheet lists what was done. It does not say that the set is safe: the tests below are made by a competent person, by the "
    "limits of the local code."
)


@dataclass(frozen=True)
class FittedPart:
    """One line of the sheet: what went in, from where, how it was tested, what was changed for it, what it cost."""

    where: str
    what: str
    origin: str
    tested: tuple[str, ...]
    change: str
    verdict: str
    price: int | None
    pieces: int


@dataclass(frozen=True)
class Sheet:
    """A job as the customer gets it."""

    code: str
    what: str
    reference: str
    opened: str
    facts: tuple[tuple[str, str], ...]
    fitted: tuple[FittedPart, ...]
    readings: tuple[str, ...]
    tests: tuple[str, ...]
    reviewed: tuple[str, ...]
    kept: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def cost(self) -> int | None:
        """What the parts cost, in thousandths of the currency's unit; None where a price is not known."""
        prices = [None if part.price is None else part.price * part.pieces for part in self.fitted]
        return None if not prices or None in prices else sum(price for price in prices if price is not None)

    def as_json(self) -> dict[str, Any]:
        """Return the sheet as the object of ``job sheet --json``."""
        return {
            "job": self.code,
            "what": self.what,
            "reference": self.reference,
            "opened": self.opened,
            "set": dict(self.facts),
            "fitted": [{**vars(part), "tested": list(part.tested)} for part in self.fitted],
            "cost": self.cost,
            "readings": list(self.readings),
            "tests_made": list(self.tests),
            "margins_reviewed": list(self.reviewed),
            "tests_to_make": [{"test": name, "how": how} for name, how in TESTS],
            "kept": list(self.kept),
            "notes": list(self.notes),
            "cautions": list(self.cautions),
        }


def sheet_of(connection: Connection, job: Opened) -> Sheet:
    """Return the sheet of a job, as it stands now."""
    fitted = fittings_of(connection, job.id)
    lines = lines_of(connection, job)
    said = {kind: tuple(_line(line) for line in lines if line["kind"] == kind) for kind in (*LINES, "review")}
    return Sheet(
        job.code,
        job.what,
        job.reference,
        f"{job.opened_at:%Y-%m-%d}",
        tuple(job.texts.items()),
        tuple(_fitted(connection, entry) for entry in fitted),
        said["reading"],
        said["test"],
        said["review"],
        said["kept"],
        said["note"],
        _cautions(connection, fitted),
    )


def _fitted(connection: Connection, entry: Mapping[str, Any]) -> FittedPart:
    part = part_of(connection, id_of(entry["part"]))
    taken = [reading for reading in readings_of_part(connection, part.id) if reading["valid"]]
    origin = {"new": "new", "unused-old": "old stock, unused"}.get(part.item.condition, "salvaged")
    return FittedPart(
        " ".join(filter(None, (entry["designator"], entry["position"]))),
        f"{part.title} ({part.number})",
        f"{origin}, from {part.donor}" if part.donor else origin,
        tuple(_reading(reading) for reading in taken),
        entry["change"],
        entry["verdict"],
        entry["price"],
        entry["pieces"],
    )


def _reading(reading: Mapping[str, Any]) -> str:
    spread = f" ±{say(reading['uncertainty'], reading['unit'])}" if reading["uncertainty"] else ""
    at = "".join(f" at {say(float(volts), 'V')}" for volts in reading["conditions"].values())
    instrument = f", {reading['instrument']}" if reading["instrument"] else ""
    quantity = reading["quantity"].replace("_", " ").replace("@", " of section ")
    return f"{quantity} {plain(reading['value'], reading['unit'])}{spread}{at}, {reading['at'][:10]}{instrument}"


def _line(line: Mapping[str, Any]) -> str:
    said = f": {line['said']}" if line["said"] else ""
    instrument = f", {line['instrument']}" if line["instrument"] else ""
    return f"{line['at'][:10]}  {line['what']}{said}{instrument}"


def _cautions(connection: Connection, fitted: Sequence[Mapping[str, Any]]) -> tuple[str, ...]:
    """The cautions of the positions that were worked on, each once."""
    found: dict[str, None] = {GENERAL_CAUTION: None}
    for entry in fitted:
        family = need_of(connection, entry["need"]).family if entry["need"] else entry["family"]
        rules = load(family).rules()
        if entry["position"] in rules.positions:
            found.update(dict.fromkeys(rules.of(entry["position"], "cautions", ())))
    return tuple(found)


def sections(sheet: Sheet) -> list[tuple[str, Sequence[str]]]:
    """Return the parts of the sheet that are plain lines, those that hold nothing left out: heading and lines."""
    listed = (
        ("the set", [f"{name.replace('_', ' ')}: {text}" for name, text in sheet.facts]),
        ("read on the set", sheet.readings),
        ("tested", sheet.tests),
        ("margins looked at again", sheet.reviewed),
        ("kept for you", sheet.kept),
        ("remarks", sheet.notes),
        ("cautions", sheet.cautions),
    )
    return [(heading, lines) for heading, lines in listed if lines]


def said_fitted(part: FittedPart) -> list[str]:
    """Return a fitted part as lines: the first says what and where."""
    count = f"{part.pieces} × " if part.pieces > 1 else ""
    price = f", {say_money(part.price * part.pieces)}" if part.price is not None else ""
    lines = [f"{part.where}: {count}{part.what}, {part.origin}{price}"]
    lines += [f"tested: {reading}" for reading in part.tested]
    lines += [f"changed for it: {part.change}"] if part.change else []
    return lines


def sheet_lines(sheet: Sheet) -> list[str]:
    """Return the sheet as lines of text."""
    reference = f" ({sheet.reference})" if sheet.reference else ""
    lines = [f"{sheet.code}  {sheet.what or 'repair'}{reference}, opened {sheet.opened}", "", "FITTED"]
    for part in sheet.fitted:
        first, *rest = said_fitted(part)
        lines += [f"  {first}", *(f"      {line}" for line in rest)]
    lines += ["  nothing"] if not sheet.fitted else []
    lines += [f"  parts together {say_money(sheet.cost)}"] if sheet.cost is not None else []
    for heading, listed in sections(sheet):
        lines += ["", heading.upper(), *(f"  {line}" for line in listed)]
    lines += ["", "STILL TO BE TESTED", f"  {NO_CLAIM}"]
    for name, how in TESTS:
        lines += [
            f"  {name}: {how}",
            "      instrument ____________  reading ____________  date ____________  by ____________",
        ]
    return lines
