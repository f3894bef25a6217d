"""Stripping a donor: a line a part, in trade language, shelved as it is read; what is doubtful is kept as unsure, never guessed.

A line is ``PART ; further words``, where the further words are ``place B3``, ``read leakage=12uA@350V``, ``new``, ``note …``.
A line that begins with ``place`` holds for those after it; ``3 of them, untested`` says more of the part before it; one that begins
with ``#`` is a remark.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from partsbin.errors import PartsbinError, RefusedError, UsageError
from partsbin.families import Family, load, names
from partsbin.families._declare import CONDITIONS, INSTRUMENTS
from partsbin.notation.choices import exactly
from partsbin.notation.reading import Reading
from partsbin.stock.describe import facts_from, family_by_words, part_fields, readings_of, refuse_broken
from partsbin.stock.draft import condition_named
from partsbin.stock.limits import CELL
from partsbin.stock.parts import Draft, NewReading
from partsbin.stock.readings import read_taken

Kind = Literal["part", "unsure", "more", "place", "remark", "refused"]

MOST = 10_000
"""Pieces of one line [-]."""

_MORE = re.compile(
    r"(?:there (?:are|were) )?(about |ca\.? ?|~)?(\d{1,6}) (?:off? (?:them|these|those)|davon|stück|pcs)\b[\s,]*(.*)",
    re.I,
)
_PLACE = re.compile(r"(?:place|in|into|ort|fach|kiste)\b[\s:=]*(.+)", re.I)
_READ = re.compile(r"(?:read|reads|reading|measured|gemessen)\b[\s:=]*(.+)", re.I)
_WITH = re.compile(r"\s+(?:with|mit)\s+(?:the |my |dem |der )?(.+)$", re.I)
_NOTE = re.compile(r"(?:note|notiz)\b[\s:=]*(.+)", re.I)


@dataclass(frozen=True)
class Taken:
    """What a line was taken for.

    Parameters
    ----------
    kind : str
        `part` and `unsure` are shelved, `more` changes the part before, `place` and `remark` are no parts, `refused` is none.
    text : str
        The line.
    draft : Draft or None
        The part.
    said : str
        In a few words, what was understood.
    doubts : tuple of str
        What is assumed, left open or was not understood.
    readings : tuple of Reading
        The ways in which the line can be read, where there are several.
    """

    kind: Kind
    text: str
    draft: Draft | None = None
    said: str = ""
    doubts: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()


@dataclass
class Sitting:
    """One sitting over a donor: where parts go, and what came before.

    Parameters
    ----------
    donor : str
        The donor's code.
    place : str
        Where parts go until a line says otherwise.
    accuracies : mapping of str to str
        Of the bench's instruments, as recorded: a reading taken ``with LCR`` gets its half-width from them.
    """

    donor: str
    place: str = ""
    accuracies: Mapping[str, str] = field(default_factory=dict)
    last: Draft | None = field(default=None, repr=False)

    def take(self, line: str, *, chosen: int = 0) -> Taken:
        """Understand a line.

        Parameters
        ----------
        line : str
            As it was typed.
        chosen : int
            Which of several readings is meant, counted from 1; 0: nobody said [-].
        """
        text = line.strip()
        if not text or text.startswith("#"):
            return Taken("remark", text)
        if len(text) > CELL.most:
            said, advice = CELL.over(f"{text[:20]}…")
            return Taken(
                "refused", text[: CELL.usual], said=said.replace(" in one cell", " in one line"), doubts=(advice,)
            )
        head, *further = (piece.strip() for piece in text.split(";"))
        if more := _MORE.fullmatch(head):
            return self._more(text, more, further)
        if (place := _PLACE.fullmatch(head)) and not further:
            self.place = place[1].strip()
            return Taken("place", text, said=f"from here on into {self.place}")
        try:
            taken = self._part(text, head, further, chosen)
        except PartsbinError as fault:
            self.last = None  # what follows must not be taken to speak of the part before
            hint = (fault.hint,) if fault.hint else ()
            return Taken("refused", text, said=fault.message, doubts=hint, readings=tuple(readings_of(head)))
        self.last = taken.draft
        return taken

    def _part(self, text: str, head: str, further: Sequence[str], chosen: int) -> Taken:
        if not head:
            raise UsageError(f"{text!r} names no part")
        found = readings_of(head)
        refuse_broken(head, found)
        if chosen:
            if not 0 < chosen <= len(found):
                raise UsageError(f"reading {chosen} of {text!r}: there are {len(found)}")
            found = [found[chosen - 1]]
        draft, doubts = self._draft(head, found)
        draft, more = self._further(draft, further)
        unsure = len(found) != 1
        return Taken(
            "unsure" if unsure else "part",
            text,
            draft,
            said_briefly(draft),
            (*doubts, *more),
            tuple(found) if unsure else (),
        )

    def _draft(self, head: str, found: Sequence[Reading]) -> tuple[Draft, tuple[str, ...]]:
        """The part that the readings agree on: of several, what all of them say; of none, the words alone."""
        family = _family(head, found)
        if len(found) == 1:
            own, lying = part_fields(dict(found[0].fields), family)
            rest = (f"not understood: {found[0].rest!r}",) if found[0].rest else ()
            doubts = (*found[0].notes, *rest)
        else:
            own, lying = _agreed(found, family)
            why = "; ".join(dict.fromkeys(note for reading in found for note in reading.notes))
            doubts = (
                (f"{len(found)} readings: {why}",) if found else ("nothing in it was understood: kept as it is called",)
            )
        facts, faults = facts_from(family, own)
        if facts is None:
            raise UsageError(f"{head!r}: {'; '.join(faults)}")
        condition = str(lying.get("condition", "")) or "salvaged"
        return Draft(
            family.name,
            facts,
            family.title(facts) if len(found) == 1 else head,
            condition,
            int(lying.get("count", 1)),
            marking=head,
            place=str(lying.get("place", "")) or self.place,
            donor=self.donor,
        ), doubts

    def _further(self, draft: Draft, further: Sequence[str]) -> tuple[Draft, tuple[str, ...]]:
        """What stands behind the semicolons."""
        doubts: list[str] = []
        for said in filter(None, further):
            if place := _PLACE.fullmatch(said):
                draft = replace(draft, place=place[1].strip())
            elif reading := _READ.fullmatch(said):
                draft = replace(draft, readings=(*draft.readings, *self._readings(load(draft.family), reading[1])))
            elif note := _NOTE.fullmatch(said):
                draft = replace(draft, note=note[1].strip())
            elif (more := _MORE.fullmatch(said)) or re.fullmatch(r"\d{1,6}", said):
                draft, told = _counted(
                    draft, int(more[2] if more else said), bool(more and more[1]), more[3] if more else ""
                )
                doubts += told
            else:
                draft, told = _worded(draft, said)
                doubts += told
        return draft, tuple(doubts)

    def _readings(self, family: Family, text: str) -> tuple[NewReading, ...]:
        """Readings of a part, by what is named behind them: ``capacitance=15.2uF, leakage=20uA@350V with LCR``."""
        said = _WITH.search(text)
        instrument = (exactly(said[1], INSTRUMENTS) or said[1].strip()) if said else ""
        words = [piece for piece in re.split(r",\s+(?=[a-z])", text[: said.start()] if said else text) if piece.strip()]
        taken = read_taken(family, words, instrument=instrument, accuracy=self.accuracies.get(instrument, ""))
        return tuple(taken)

    def _more(self, text: str, more: re.Match[str], further: Sequence[str]) -> Taken:
        if self.last is None:
            return Taken("refused", text, said=f"{text!r} says more of the part before it, and there is none")
        try:
            draft, doubts = _counted(self.last, int(more[2]), bool(more[1]), more[3])
            draft, others = self._further(draft, further)
        except PartsbinError as fault:
            return Taken("refused", text, said=fault.message)
        self.last = draft
        return Taken("more", text, draft, said_briefly(draft), (*doubts, *others))


def _family(head: str, found: Sequence[Reading]) -> Family:
    kinds = list(dict.fromkeys(reading.family for reading in found))
    if len(kinds) == 1:
        return load(kinds[0])
    named = family_by_words(head)
    if named in names():
        return load(named)
    if kinds:
        raise RefusedError(f"{head!r} may be a {' or a '.join(kinds)}", hint=f"say which: {kinds[0]} {head}")
    raise RefusedError(f"{head!r} was not understood", hint="name what it is: choke, switch, …")


def _agreed(found: Sequence[Reading], family: Family) -> tuple[dict[str, object], dict[str, object]]:
    """The fields that every reading gives alike."""
    if not found:
        return {}, {}
    first = found[0].fields
    same = {name: v for name, v in first.items() if all(r.fields.get(name) == v for r in found[1:])}
    return part_fields(dict(same), family)


def _counted(draft: Draft, pieces: int, rough: bool, words: str) -> tuple[Draft, list[str]]:
    if not 0 < pieces <= MOST:
        raise UsageError(f"{pieces} pieces, expected 1 to {MOST}")
    draft = replace(draft, count=pieces, rough=rough)
    return _worded(draft, words) if words.strip() else (draft, [])


def _worded(draft: Draft, words: str) -> tuple[Draft, list[str]]:
    """Words behind a part: its condition where they say one, else a note."""
    plain = words.strip().strip(",")
    if plain.lower() in ("untested", "ungeprüft", "not tested"):
        return replace(draft, note=_joined(draft.note, "untested")), []
    try:
        condition = condition_named(plain)
    except UsageError:
        condition = ""
    if condition in CONDITIONS:
        return replace(draft, condition=condition), []
    return replace(draft, note=_joined(draft.note, plain)), [f"kept as a note: {plain!r}"]


def _joined(note: str, more: str) -> str:
    return f"{note}; {more}" if note else more


def said_briefly(draft: Draft) -> str:
    """Return a part in a few words: what is shelved, how many, where."""
    count = f"{'about ' if draft.rough else ''}{draft.count} × " if draft.count > 1 or draft.rough else ""
    new = f", {draft.condition}" if draft.condition != "salvaged" else ""
    read = f", {len(draft.readings)} read" if draft.readings else ""
    place = f" → {draft.place}" if draft.place else ""
    note = f" ({draft.note})" if draft.note else ""
    family = "" if draft.family in draft.title.lower() else f"{draft.family}: "
    return f"{family}{count}{draft.title}{new}{read}{note}{place}"
