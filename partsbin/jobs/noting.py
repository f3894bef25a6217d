"""A list's entries as needs of a job: what is new is noted, what is there already is left, and every piece is counted once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sqlalchemy import Connection

from partsbin.errors import PartsbinError
from partsbin.jobs.listing import AGAIN, OURS_NOT, UNREAD, WANTED, Entry
from partsbin.jobs.needs import Wanted, add_need, needs_of
from partsbin.jobs.plan import Served, plan
from partsbin.jobs.record import Opened


def note(connection: Connection, job: Opened, entries: Sequence[Entry]) -> list[Entry]:
    """Note the needs of a list; what the job has of the same designators is left as it is.

    Returns
    -------
    list of Entry
        The entries, those noted before marked so, and those whose position a need cannot be built with left open. One of which
        some designators are there already is told in two; one that says something else of them than this list did is not understood.
    """
    had = {wanted.id: wanted for wanted in needs_of(connection, job)}
    have = {name: wanted.id for wanted in had.values() for name in wanted.designator.split(",") if name}
    nameless: dict[tuple[str, str, int], list[int]] = {}
    for wanted in had.values():
        if not wanted.designator:
            nameless.setdefault((wanted.family, wanted.text, wanted.quantity), []).append(wanted.id)
    here: dict[str, Entry] = {}
    told = []
    for entry in (each for whole in entries for each in _parted(whole, have, here)):
        if entry.fate == WANTED and (found := [here[name] for name in entry.names if name in here]):
            entry = _said_twice(entry, found[0])
        elif entry.fate == WANTED and (known := [have[name] for name in entry.names if name in have]):
            entry = _known(entry, had[known[0]])
        elif entry.fate == WANTED and not entry.names and nameless.get(key := (entry.family, entry.text, entry.pieces)):
            entry = replace(entry, fate=AGAIN, need=nameless[key].pop(0))
        elif entry.fate == WANTED:
            entry = _add(connection, job, entry)
            here |= dict.fromkeys(entry.names if entry.need else (), entry)
        told.append(entry)
    return told


def _parted(entry: Entry, have: Mapping[str, int], here: Mapping[str, Entry]) -> list[Entry]:
    """An entry by the needs that its designators are of already; those of none together."""
    if entry.fate != WANTED or len(entry.names) < 2 or entry.pieces != len(entry.names):
        return [entry]
    groups: dict[int, list[str]] = {}
    for name in entry.names:
        groups.setdefault(here[name].need if name in here else have.get(name, 0), []).append(name)
    if len(groups) == 1:
        return [entry]
    return [replace(entry, names=tuple(names), pieces=len(names)) for names in groups.values()]


def _known(entry: Entry, wanted: Wanted) -> Entry:
    """What the job has already; where the list says another part, that is told."""
    other = (entry.family, entry.text) != (wanted.family, wanted.text)
    notes = (*entry.notes, f"the job has {wanted.text}") if other else entry.notes
    return replace(entry, fate=AGAIN, notes=notes, need=wanted.id)


def _said_twice(entry: Entry, first: Entry) -> Entry:
    """A designator that a list has in two rows: once more, or of another part."""
    if (entry.family, entry.text) == (first.family, first.text):
        return replace(entry, fate=AGAIN, need=first.need)
    said = f"{entry.name} is {first.text} in line {first.line} of this list: which holds has to be said"
    return replace(entry, fate=UNREAD, notes=(*entry.notes, said))


def _add(connection: Connection, job: Opened, entry: Entry) -> Entry:
    try:
        made = add_need(
            connection, job, entry.family, entry.text, entry.position,
            designator=entry.name, quantity=entry.pieces, why=entry.why, facts=entry.facts,
        )  # fmt: skip
    except PartsbinError as fault:
        return replace(entry, fate=UNREAD, notes=(*entry.notes, fault.message))
    return replace(entry, need=made.id)


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
    given = {served.wanted.id: served.pieces for served in made}
    count: Counter[str] = Counter()
    for entry in entries:
        if entry.fate in (OURS_NOT, UNREAD):
            count[entry.fate] += entry.pieces
        elif entry.need in given:
            count["served"] += (got := min(entry.pieces, given[entry.need]))
            count["short"] += entry.pieces - got
            given[entry.need] -= got
        else:
            count["served"] += entry.pieces  # fitted already
    return Sums(count["served"], count["short"], count[OURS_NOT], count[UNREAD]), made
