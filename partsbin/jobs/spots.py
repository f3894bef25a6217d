"""Where a part goes as it is said, and what is said of what it still owes: what the faces of `fit` share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from sqlalchemy import Connection

from partsbin.families import load, named
from partsbin.jobs.fitting import Spot, lines_for
from partsbin.jobs.needs import need_named, need_numbered
from partsbin.jobs.record import job_named, learn, still_open
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.acts import Who, measure, part_of
from partsbin.stock.instruments import accuracy_with
from partsbin.stock.marking import mark, read_mark
from partsbin.stock.readings import read_taken
from partsbin.stock.shelf import Shelved


@dataclass(frozen=True)
class Said:
    """Where a part goes, as it was said: for a need of the job, or else what it does there.

    Parameters
    ----------
    job, need : str
        ``J-0012``, and a need of it by designator or number, "" for none.
    family, text, position : str
        Without a need: the family of the dead part, its marking, what it does.
    designator : str
        Where it went, if not as the need says.
    facts : sequence of str
        What is known at this place alone, ``KEY=VALUE``.
    number : int
        The need by its number alone, 0 for none: a designator may look like a number [-].
    """

    job: str
    need: str = ""
    family: str = ""
    text: str = ""
    position: str = ""
    designator: str = ""
    facts: Sequence[str] = ()
    number: int = 0

    def spot(self, connection: Connection, part_id: int) -> Spot:
        """Return what the words mean.

        Raises
        ------
        UsageError
            If there is no such job or need, or a word of it cannot be read.
        RefusedError
            If the job is closed.
        """
        job = still_open(job_named(connection, self.job))
        if self.need or self.number:
            wanted = (
                need_numbered(connection, job, self.number) if self.number else need_named(connection, job, self.need)
            )
            said = read_facts(self.facts).texts
            asked = replace(wanted, texts={**wanted.texts, **said}).request(job)
            return Spot(job, asked, wanted, self.designator)
        own = {**job.texts, **read_facts(self.facts).texts}
        facts = read_facts(f"{name}={text}" for name, text in own.items())
        family = named(self.family) if self.family else part_of(connection, part_id).family
        return Spot(job, Request(family, self.text, self.position, {}, facts), None, self.designator)


@dataclass(frozen=True)
class Told:
    """What was said of what is owed: readings of the part, what can be seen on it, facts of the set."""

    readings: list[str] = field(default_factory=list)
    marks: list[str] = field(default_factory=list)
    facts: list[str] = field(default_factory=list)

    def take(self, part: Shelved, name: str, kind: str, said: str) -> None:
        """Take an answer to a card; see `owed_as` for its kinds.

        Raises
        ------
        PartsbinError
            If it cannot be read as what it is.
        """
        text = f"{name}={said}" if kind in ("reading", "fact") and "=" not in said else said
        if kind == "reading":
            read_taken(load(part.family), [text])
            self.readings.append(text)
        elif kind == "fact" or (kind == "any" and "=" in said):
            read_facts([text])
            self.facts.append(text)
        else:
            read_mark(part, text)
            self.marks.append(text)


def write_down(
    connection: Connection,
    spot: Spot,
    part_id: int,
    told: Told,
    who: Who,
    *,
    pieces: int = 1,
    found: bool = False,
    instrument: str = "",
) -> int:
    """Write down what was told, as acts of their own: it stays true whether the part is fitted or not.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    spot : Spot
        Where the part is to go.
    part_id : int
        The part.
    told : Told
        What was said.
    who : Who
        When, by whom, why.
    pieces : int
        How many are to be fitted: so many are read [-].
    found : bool
        Whether pieces that the ledger did not know of were found.
    instrument : str
        With what was read.

    Returns
    -------
    int
        The part that was read: pieces read out of several become one of their own.

    Raises
    ------
    RefusedError
        If not as many are free: nothing is read of a part that is not there.
    """
    if told == Told():
        return part_id
    part = part_of(connection, part_id)
    lines_for(connection, spot.job, part, pieces, found)
    if told.facts:
        learn(connection, spot.job, told.facts)
    for text in told.marks:
        mark(connection, part_id, text, who)
    if not told.readings:
        return part_id
    accuracy = accuracy_with(connection, instrument)
    taken = read_taken(load(part.family), told.readings, instrument=instrument, accuracy=accuracy)
    few = min(pieces, part.on_hand)
    read, _ = measure(connection, part_id, taken, who, pieces=few, job_id=spot.job.id)
    return read
