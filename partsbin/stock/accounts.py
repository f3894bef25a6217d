"""What became of a list: each row with its fate, the totals that add up to the list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from partsbin.errors import Problem
from partsbin.stock.parts import Draft

TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN = (
    "taken",
    "unsure",
    "not ours",
    "not understood",
    "refused",
    "already here",
)
HEADING = "heading"
"""No part: a heading of what follows, a total, the headings once more."""
CHANGED = "changed since"
"""Here already, from this row as it was: what the list says now changes nothing."""
LATER = "kept unread"
"""A line of a long price list, which is read when it may serve something."""
FATES = (TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN, CHANGED, HEADING, LATER)
NOT_READ = "kept, not read"
"""What the account says of a column that has no role."""


@dataclass(slots=True)
class RowAccount:
    """What became of one row."""

    line: int
    text: str
    status: str
    family: str = ""
    fields: Mapping[str, Any] = field(default_factory=dict)
    title: str = ""
    notes: Sequence[str] = ()
    problems: list[Problem] = field(default_factory=list)
    draft: Draft | None = None
    number: str = ""
    count: int = 1
    rough: bool = False
    place: str = ""
    designator: str = ""

    def at(self, line: int) -> RowAccount:
        """Return the same of another line."""
        return RowAccount(
            line, self.text, self.status, self.family, self.fields, self.title, self.notes, self.problems, self.draft,
            self.number, self.count, self.rough, self.place, self.designator,
        )  # fmt: skip

    @property
    def how_many(self) -> str:
        """How many there are, and where, in words."""
        many = f"about {self.count}" if self.rough else str(self.count)
        return f"{many} in {self.place}" if self.place else many

    def as_json(self) -> dict[str, Any]:
        """Return the row as an object of the import's account."""
        return {
            "line": self.line,
            "text": self.text,
            "status": self.status,
            "family": self.family,
            "fields": dict(self.fields),
            "title": self.title,
            "count": self.how_many if self.title else "",
            "notes": list(self.notes),
            "problems": [problem.text() for problem in self.problems],
        }


MOST_REFUSED = 10_000
"""Rows with a problem that are kept of a long list: more than anybody mends by hand are one mistake, repeated [-]."""


@dataclass
class Account:
    """What became of a list: the columns, the totals, the rows.

    Parameters
    ----------
    file : str
        Its name.
    columns, why : dict of str to str
        What each column was taken for, by heading, and what says so.
    rows : list of RowAccount
        Every row; of a list taken in as a stream no more than `most` of each fate, and of those refused `MOST_REFUSED`.
    notes : list of str
        How the file was read.
    most : int, optional
        Rows of each fate that are kept here; None for all.
    """

    file: str
    columns: dict[str, str]
    rows: list[RowAccount]
    notes: list[str]
    why: dict[str, str] = field(default_factory=dict)
    most: int | None = None
    count: Counter[str] = field(default_factory=Counter)
    left_out: Counter[str] = field(default_factory=Counter)

    def add(self, row: RowAccount) -> None:
        """Count a row, and keep it if there is room."""
        self.add_like(row, row.line)

    def add_like(self, row: RowAccount, line: int) -> None:
        """Count a row that is like another but for its line."""
        self.count[row.status] += 1
        if row.status == NOT_OURS:
            self.left_out[row.family] += 1
        if self.most is None or self.count[row.status] <= (MOST_REFUSED if row.status == REFUSED else self.most):
            self.rows.append(row if row.line == line else row.at(line))

    @property
    def refused(self) -> int:
        """Rows with a problem [-]."""
        return self.count[REFUSED]

    @property
    def problems(self) -> list[Problem]:
        """All problems, in line order."""
        return [problem for row in self.rows for problem in row.problems]

    @property
    def drafts(self) -> list[Draft]:
        """The parts that may be shelved."""
        return [row.draft for row in self.rows if row.draft is not None]

    def totals(self) -> dict[str, int]:
        """Return how many rows had each fate; the sum is the list. None is kept unread but of a price list."""
        return {status: self.count[status] for status in FATES if status != LATER or self.count[LATER]}
