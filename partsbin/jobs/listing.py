"""A parts list of a set as needs of a job: every designator accounted for, each position with what says so."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from sqlalchemy import Connection

from partsbin.errors import PartsbinError, Problem, UsageError
from partsbin.families import load
from partsbin.jobs.plan import Served, plan
from partsbin.jobs.positions import position_of
from partsbin.jobs.record import Opened, add_need, needs_of
from partsbin.sets import SetFacts
from partsbin.stock.accounts import HEADING, NOT_OURS, REFUSED, RowAccount
from partsbin.stock.columns import DESIGNATOR
from partsbin.stock.counted import designators
from partsbin.stock.describe import family_by_designator
from partsbin.stock.intake import Intake
from partsbin.stock.lists import Cells

MOST_ROWS = 20_000
"""Rows of a list of needs that are read [-]."""

WANTED, OURS_NOT, UNREAD, AGAIN = "wanted", "not ours", "not understood", "noted before"

_LETTERS = "RV|VR|LS|LP|CH|TR|SW|FS|PL|C|R|L|D|V|T|Q|U|F|S|P|X|J|K"
_OTHERS = frozenset(("Q", "U", "IC", "J", "K", "X", "M", "BT", "Y", "CN", "TP", "H"))
"""Letters of what is kept in no family: transistors, circuits, connectors, relays, crystals, motors."""

_ONE = rf"(?:{_LETTERS})\d{{1,4}}[a-z]?"
_FIRST = re.compile(rf"({_ONE}(?:\s*[-–,;/&+ ]\s*{_ONE}|\s*[-–]\s*\d{{1,4}}(?=[\s,;:=]))*)\s*[:=]?\s+(?=\S)")
"""Designators before what they stand for: ``R4 R5 R6 4K7``, ``C1,C2-C5: 0.1µF``."""


@dataclass(frozen=True)
class Entry:
    """One row of a list of needs.

    Parameters
    ----------
    line : int
        Where it stands.
    names : tuple of str
        The designators, as many as the row has.
    pieces : int
        How many are wanted: the designators, or the count that the row says [-].
    fate : str
        ``wanted``, ``not ours``, ``not understood`` or ``noted before``.
    family, text, position : str
        The need; the position is "" where it has to be said.
    why : str
        What says that it has that position, or what has to be said.
    notes : tuple of str
        What else is to be known of the row.
    """

    line: int
    names: tuple[str, ...]
    pieces: int
    fate: str
    family: str = ""
    text: str = ""
    position: str = ""
    why: str = ""
    notes: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The designators in one word."""
        return ",".join(self.names)


def read_needs(
    cells: Cells, job: Opened, *, given: Mapping[str, str] | None = None
) -> tuple[list[Entry], list[Problem]]:
    """Read a parts list as needs.

    Parameters
    ----------
    cells : Cells
        The list, as people write it.
    job : Opened
        Whose set it is of: its facts help to tell positions.
    given : mapping of str to str, optional
        Roles of columns by heading, as the person said.

    Returns
    -------
    (list of Entry, list of Problem)
        Every row that names a part; what is wrong with cells.
    """
    cells = _designated(cells, Intake(cells, given=given))
    intake = Intake(cells, given=given)
    raw = dict(cells.rows)
    facts, entries, problems = job.facts, [], []
    for rows in intake.chunks(lambda keys: (), lambda numbers: ()):
        for row in rows:
            if row.status == HEADING:
                continue
            values, names = raw.get(row.line, ()), tuple(designators(row.designator))
            words = " ".join((*values, *(said for said in row.notes if said.startswith("under "))))
            entries += _sections(_entry(row, names, words, facts), row)
            problems += [problem for problem in row.problems if problem.code != "CSV-BROKEN"]
    return entries, problems


def _designated(cells: Cells, intake: Intake) -> Cells:
    """A list without a column of designators, whose rows begin with them, as one that has such a column."""
    at = intake.mapping.where.get(DESIGNATOR)
    if at is not None:
        return replace(cells, rows=[each for line, values in _read(cells) for each in _by_letter(line, values, at)])
    sample = [values for values in cells.sample() if any(values)]
    begun = sum(_FIRST.match(_first(values)) is not None for values in sample)
    if not sample or 2 * begun < len(sample):
        return cells
    rows = [each for line, values in _read(cells) for each in _by_letter(line, _split(values), 0)]
    header = cells.header if any(cells.header) else ("description", *cells.header[1:])
    return replace(cells, header=("designator", *header), rows=rows)


def _read(cells: Cells) -> list[tuple[int, tuple[str, ...]]]:
    rows = list(islice(iter(cells.rows), MOST_ROWS + 1))
    if len(rows) > MOST_ROWS:
        raise UsageError(f"{cells.name}: over {MOST_ROWS:,} rows", hint="a list of needs is that of one set")
    return rows


def _by_letter(line: int, values: tuple[str, ...], at: int) -> list[tuple[int, tuple[str, ...]]]:
    """One row for each family that the designators of a row are of: ``R201, RV301`` are a resistor and a control."""
    groups: dict[str, list[str]] = {}
    for name in designators(values[at]) if at < len(values) else ():
        groups.setdefault(family_by_designator(name), []).append(name)
    if len(groups) < 2:
        return [(line, values)]
    return [(line, (*values[:at], ",".join(names), *values[at + 1 :])) for names in groups.values()]


def _first(values: Sequence[str]) -> str:
    return next(filter(None, values), "").strip()


def _split(values: Sequence[str]) -> tuple[str, ...]:
    found = _FIRST.match(first := _first(values))
    if found is None:
        return ("", *values)
    at = list(values).index(next(filter(None, values)))
    return (found[1], *values[:at], first[found.end() :], *values[at + 1 :])


def _entry(row: RowAccount, names: tuple[str, ...], words: str, known: SetFacts) -> Entry:
    pieces = max(len(names), 1)
    if row.draft is None and not (row.status == REFUSED and _only_broken(row)):
        letters = names[0].rstrip("0123456789") if names else ""
        other = row.status == NOT_OURS and (row.family or letters in _OTHERS)
        fate = OURS_NOT if other else UNREAD
        notes = tuple(row.notes) or tuple(problem.message for problem in row.problems)
        return Entry(row.line, names, pieces, fate, row.family, row.text, notes=notes)
    family = load(row.family)
    marked = row.draft.facts if row.draft is not None else family.facts(**row.fields)
    if not row.fields:
        return Entry(row.line, names, pieces, UNREAD, row.family, row.text, notes=tuple(row.notes))
    guess = position_of(row.family, words, marked, known)
    count = row.count if row.draft is not None and not names else pieces
    said = [f"{row.count} said, {len(names)} designators counted"] if names and row.count not in (1, len(names)) else []
    return Entry(
        row.line, names, max(count, 1), WANTED, row.family, family.title(marked) or row.text, guess.position, guess.why,
        (*(note for note in row.notes if not note.startswith("how many is not said")), *said),
    )  # fmt: skip


def _sections(entry: Entry, row: RowAccount) -> list[Entry]:
    """Each section of a can is a need of its own: sections of different parts may take its place."""
    sections = row.draft.facts.sections if row.draft is not None and row.family == "capacitor" else ()  # type: ignore[attr-defined]
    if entry.fate != WANTED or len(sections) < 2:
        return [entry]
    family = load(row.family)
    made = []
    for number, section in enumerate(sections, 1):
        volts = section.voltage_dc or row.draft.facts.voltage_dc  # type: ignore[union-attr]
        marked = {"capacitance": section.capacitance, "voltage_dc": volts, "dielectric": "electrolytic"}
        text = family.title(family.facts(**{name: value for name, value in marked.items() if value is not None}))
        names = tuple(f"{name}/{number}" for name in entry.names)
        said = f"section {number} of {len(sections)} of {row.text}"
        made.append(replace(entry, names=names, text=text, notes=(*entry.notes, said)))
    return made


def _only_broken(row: RowAccount) -> bool:
    """That a part of a list of needs is called broken is why it is wanted."""
    return bool(row.problems) and all(problem.code == "CSV-BROKEN" for problem in row.problems)


def note(connection: Connection, job: Opened, entries: Sequence[Entry]) -> list[Entry]:
    """Note the needs of a list; what the job has of the same designators is left as it is.

    Returns
    -------
    list of Entry
        The entries, those noted before marked so, and those whose position a need cannot be built with left open.
    """
    have = {name for wanted in needs_of(connection, job) for name in wanted.designator.split(",") if name}
    told = []
    for entry in entries:
        if entry.fate == WANTED and have & set(entry.names):
            entry = replace(entry, fate=AGAIN)
        if entry.fate == WANTED:
            have |= set(entry.names)
            try:
                add_need(
                    connection, job, entry.family, entry.text, entry.position,
                    designator=entry.name, quantity=entry.pieces, why=entry.why,
                )  # fmt: skip
            except PartsbinError as fault:
                entry = replace(entry, fate=UNREAD, notes=(*entry.notes, fault.message))
        told.append(entry)
    return told


@dataclass(frozen=True)
class Sums:
    """What became of every piece of a list: the four add up to it.

    Parameters
    ----------
    served, short, not_ours, unread : int
        Pieces that the shelf serves now, that it does not, of no family kept here, and not understood [-].
    """

    served: int
    short: int
    not_ours: int
    unread: int

    @property
    def all(self) -> int:
        """Pieces on the list [-]."""
        return self.served + self.short + self.not_ours + self.unread


def weigh(connection: Connection, job: Opened, entries: Sequence[Entry]) -> tuple[Sums, list[Served]]:
    """Say what the shelf serves of a list that was noted: the job's whole plan, and the four sums of the list."""
    made = plan(connection, [job])
    served = Counter({name.wanted.designator: name.pieces for name in made})
    left = Counter({name.wanted.designator: name.left for name in made})
    count: Counter[str] = Counter()
    for entry in entries:
        if entry.fate in (OURS_NOT, UNREAD):
            count[entry.fate] += entry.pieces
        elif entry.name in left:
            count["served"] += (got := min(entry.pieces, served[entry.name]))
            count["short"] += entry.pieces - got
        else:
            count["served"] += entry.pieces  # fitted already, or noted with others
    return Sums(count["served"], count["short"], count[OURS_NOT], count[UNREAD]), made
