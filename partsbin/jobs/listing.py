"""A parts list of a set as needs of a job: every designator accounted for, each position with what says so."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from partsbin.errors import PartsbinError, Problem
from partsbin.families import Family, load
from partsbin.jobs.positions import at_risk_under, position_of
from partsbin.jobs.record import Opened
from partsbin.jobs.typed import is_typed
from partsbin.notation.reading import NOT_UNDERSTOOD
from partsbin.reference.equivalents import equivalents, type_key
from partsbin.reference.valves import valve
from partsbin.sets import SetFacts
from partsbin.stock.accounts import HEADING, NOT_OURS, REFUSED, RowAccount
from partsbin.stock.describe import read_as
from partsbin.stock.designators import designators
from partsbin.stock.intake import Intake
from partsbin.stock.lists import Cells

WANTED, OURS_NOT, UNREAD, AGAIN = "wanted", "not ours", "not understood", "noted before"
REMARK = "no part"
"""A line of a typed list without designators of which nothing is understood: a title, a remark. It counts no pieces."""

_SIGNAL = re.compile(r"(?i)led(?![a-z])|.*\bzener|bz[xyv]\d|1n(?:4148|914)\b")
"""Diodes that rectify no supply; from memory."""
_RATED = re.compile(r"(?i)\d[\d.,/+\s-]*(?:[km]?V(?: ?[AD]C|~|=|-)?|m?W|watts?|m?A|volts?|amps?)")
_OF_SWITCHES = frozenset({"switch_poles", "switch_action", "switch_voltage_ac", "switch_current"})
_EMPTY = re.compile(
    r"(?i)dnp|dni|dnf|do not (?:populate|fit|place)|not (?:fitted|populated|used)|unbestückt|nicht bestückt"
)
_NO_WORDS = re.compile(r"://|^\w+:\w+$")

_OTHERS = frozenset(
    ("Q", "U", "IC", "J", "K", "X", "M", "BT", "Y", "CN", "TP", "H", "MH", "HS", "JP", "RL", "RY", "ZD", "FID")
)
"""Letters of what is kept in no family: transistors, circuits, connectors, relays, crystals, motors, test points."""


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
        ``wanted``, ``not ours``, ``not understood``, ``noted before`` or ``no part``.
    family, text, position : str
        The need; the position is "" where it has to be said.
    why : str
        What says that it has that position, or what has to be said.
    notes : tuple of str
        What else is to be known of the row.
    need : int
        The job's need that it became, or was before; 0 if none.
    facts : tuple of str
        What is known at this place alone, ``KEY=VALUE``.
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
    need: int = 0
    facts: tuple[str, ...] = ()

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
        The list, as `cells_of` reads it.
    job : Opened
        Whose set it is of: its facts help to tell positions.
    given : mapping of str to str, optional
        Roles of columns by heading, as the person said.

    Returns
    -------
    (list of Entry, list of Problem)
        Every row that names a part; what is wrong with cells.
    """
    intake = Intake(cells, given=given)
    raw, read, problems, under, above, headed = dict(cells.rows), [], [], {}, "", False
    for rows in intake.chunks(lambda keys: (), lambda numbers: ()):
        for row in rows:
            row.notes = [*row.notes, *_left(intake, raw.get(row.line, ()))]
            heading = _heading(raw.get(row.line, ())) if row.draft is None and not row.designator else ""
            if heading:  # a second one with nothing between says more of the same: it takes nothing back
                above = f"{above}, {heading}" if headed and at_risk_under(above) else heading
            headed = bool(heading)
            if row.status != HEADING:
                read.append((row, tuple(designators(row.designator))))
                under[row.line] = above
                problems += [problem for problem in row.problems if problem.code != "CSV-BROKEN"]
    known, typed = _with_valves(job.facts, read), is_typed(cells)
    first = min((row.line for row, names in read if names), default=0)
    entries = []
    for row, names in read:
        words = " ".join((*_words(raw.get(row.line, ())), *(said for said in row.notes if said.startswith("under "))))
        entry = _entry(row, names, words, known, under[row.line])
        if not_fitted(raw.get(row.line, ()), cells.header):
            entry = Entry(row.line, names, max(len(names), 1), OURS_NOT, row.family, row.text, notes=("not fitted",))
        elif typed and entry.fate == UNREAD and not names and (row.line < first or not re.search(r"\d", row.text)):
            entry = replace(entry, fate=REMARK, pieces=0, notes=())
        entries += _sections(entry, row) if entry.family != "valve" else _valves(entry, row.text)
    return entries, problems


def _heading(values: Sequence[str]) -> str:
    """The text of a row that has nothing but words: it holds for what stands below, until the next."""
    said = [cell for cell in values if cell]
    return said[0] if len(said) == 1 and not re.search(r"\d", said[0]) else ""


def _left(intake: Intake, values: Sequence[str]) -> list[str]:
    """Volts, watts and amperes in a column that is not read: they may be what the part has to bear."""
    columns = zip(intake.mapping.columns, values, strict=False)
    return [
        f"not read: {cell!r} under {column.heading!r}"
        for column, cell in columns
        if not column.role and _RATED.fullmatch(cell)
    ]


def not_fitted(values: Sequence[str], header: Sequence[str]) -> bool:
    """Whether a row of a drawing program says that nothing is fitted there: a cell that says so, or a mark in a column of that name.

    Examples
    --------
    >>> not_fitted(("R2", "DNP"), ("Ref", "Value")), not_fitted(("R2", "1k", "x"), ("Ref", "Value", "DNP"))
    (True, True)
    >>> not_fitted(("R2", "1k", "No"), ("Ref", "Value", "DNP"))
    False
    """
    marked = zip(values, header, strict=False)
    return any(_EMPTY.fullmatch(cell) for cell in values) or any(
        cell and cell.lower() not in ("0", "no", "false", "n", "-", "~")
        for cell, head in marked
        if _EMPTY.fullmatch(head)
    )


def _words(values: Sequence[str]) -> list[str]:
    """The cells that may say what a part does: links and names of drawn outlines say it of others."""
    return [cell for cell in values if not _NO_WORDS.search(cell)]


def _with_valves(known: SetFacts, read: Sequence[tuple[RowAccount, tuple[str, ...]]]) -> SetFacts:
    """The set, its valves as the list has them where nobody said: heaters in a chain mean a live chassis."""
    if known.knows("lineup"):
        return known
    valves = [row.title for row, _ in read if row.family == "valve" and row.draft is not None]
    try:
        return known.having(lineup=" ".join(valves)) if valves else known
    except PartsbinError:
        return known


def _entry(row: RowAccount, names: tuple[str, ...], words: str, known: SetFacts, above: str) -> Entry:
    pieces = max(len(names), 1)
    if row.draft is None and not (row.status == REFUSED and _only_broken(row)):
        letters = names[0].rstrip("0123456789") if names else ""
        pad = letters == "P" and not re.match(r"\d", row.text)  # a plug or a pad, with its name
        other = (row.status == NOT_OURS and (row.family or letters in _OTHERS)) or pad or _SIGNAL.match(row.text)
        fate = OURS_NOT if other else UNREAD
        notes = tuple(row.notes) or tuple(problem.message for problem in row.problems)
        return Entry(row.line, names, pieces, fate, row.family, row.text, notes=notes)
    family = load(row.family)
    marked = row.draft.facts if row.draft is not None else family.facts(**row.fields)
    if row.draft is not None and row.draft.note:
        marked = _remarked(row, family, marked)
    if not row.fields:
        return Entry(row.line, names, pieces, UNREAD, row.family, row.text, notes=tuple(row.notes))
    unread = " ".join(said.removeprefix(NOT_UNDERSTOOD) for said in row.notes if said.startswith(NOT_UNDERSTOOD)).strip(
        "'"
    )
    guess = position_of(row.family, words, marked, known, above=above, unread=unread)
    count = row.count if row.draft is not None and not names else pieces
    taken = re.search(r"'([^']*)'", guess.why)
    if taken is not None and unread.lower() == taken[1].lower():  # it was understood: of the position
        row.notes = [note for note in row.notes if not note.startswith(NOT_UNDERSTOOD)]
    said = [f"{row.count} said, {len(names)} designators counted"] if names and row.count not in (1, len(names)) else []
    return Entry(
        row.line, names, max(count, 1), WANTED, row.family, family.title(marked) or row.text, guess.position, guess.why,
        (*(note for note in row.notes if not note.startswith("how many is not said")), *said),
    )  # fmt: skip


def _remarked(row: RowAccount, family: Family, marked: Any) -> Any:
    """What a remark beside a control says of its switch: ``mit Schalter 2-polig``; it takes back nothing that the row says."""
    note = row.draft.note if row.draft is not None else ""
    found = read_as(family, f"{row.text} {note}") if "switch_poles" in family.facts.model_fields else []
    own = {name: value for name, value in marked.model_dump().items() if value not in (None, ())}
    more = {name: value for name, value in found[0].fields.items() if name in _OF_SWITCHES} if len(found) == 1 else {}
    if not more or more.keys() & own.keys():
        return marked
    row.notes = [*row.notes, f"its switch by the remark {note!r}"]
    return family.facts.model_validate({**own, **more})


def _sections(entry: Entry, row: RowAccount) -> list[Entry]:
    """Each section of a can is a need of its own: sections of different parts may take its place."""
    sections = row.draft.facts.sections if row.draft is not None and row.family == "capacitor" else ()  # type: ignore[attr-defined]
    if entry.fate != WANTED or len(sections) < 2:
        return [entry]
    family, made = load(row.family), []
    one_each = len(entry.names) == len(sections) and len({name[:-1] for name in entry.names}) == 1  # C10A,B
    for number, section in enumerate(sections, 1):
        volts = section.voltage_dc or row.draft.facts.voltage_dc  # type: ignore[union-attr]
        marked = {"capacitance": section.capacitance, "voltage_dc": volts, "dielectric": "electrolytic"}
        text = family.title(family.facts(**{name: value for name, value in marked.items() if value is not None}))
        names = (entry.names[number - 1],) if one_each else tuple(f"{name}/{number}" for name in entry.names)
        said = f"section {number} of {len(sections)} of {row.text}"
        pieces = 1 if one_each else entry.pieces
        made.append(replace(entry, names=names, pieces=pieces, text=text, notes=(*entry.notes, said)))
    return made


_TOLD = r"(?:([1-9])\s*[x×]\s*)?([\w-]+)"


def _valves(entry: Entry, said: str) -> list[Entry]:
    """All of a line-up in one line, ``UL41, UF42, UY41`` or ``2xECL86 EZ81``; another name of a valve is the same valve's."""
    if entry.fate != WANTED or entry.names or entry.pieces > 1:
        return [entry]
    told = [(int(times or 1), word) for times, word in re.findall(rf"(?i)(?:^|[,;])\s*{_TOLD}", said)]
    if len(told) < 2:
        words = [re.fullmatch(rf"(?i){_TOLD}", word) for word in said.split()]
        told = [(int(word[1] or 1), word[2]) for word in words if word is not None and _is_valve(word[2])]
        told = told if len(told) == len(words) else []
    others = [
        (times, word)
        for at, (times, word) in enumerate(told)
        if at and _is_valve(word) and not any(_same(word, other) for _, other in told[:at])
    ]
    if len(told) < 2:
        return [entry]
    notes = tuple(note for note in entry.notes if not note.startswith(NOT_UNDERSTOOD))
    beside = (f"beside {entry.text} in one line",)
    return [
        replace(entry, pieces=told[0][0], notes=notes),
        *(replace(entry, pieces=times, text=word, notes=beside) for times, word in others),
    ]


def _same(word: str, other: str) -> bool:
    """Whether two names are of one valve, or of two of which one stands for the other."""
    named = {type_key(word), type_key(other)}
    known = [valve(word), valve(other)]
    listed = any({type_key(row.type_a), type_key(row.type_b)} == named for row in equivalents())
    return len(named) == 1 or listed or (known[0] is not None and known[0] == known[1])


def _is_valve(word: str) -> bool:
    return any(not reading.rest and reading.fields.get("valve_type") for reading in read_as(load("valve"), word))


def _only_broken(row: RowAccount) -> bool:
    """That a part of a list of needs is called broken is why it is wanted."""
    return bool(row.problems) and all(problem.code == "CSV-BROKEN" for problem in row.problems)
