"""The columns of a list with what each was taken for, and what of the list is not read by them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from partsbin.stock.contents import shares

LEAST = 0.6
"""Share of the cells of a column that must look like a thing before the column is taken for it [-]."""

OWN, NAME, CONTENTS, TOLD, REMEMBERED = (
    "our own name",
    "by its name",
    "by its contents",
    "as told",
    "as told of an earlier file",
)


@dataclass(frozen=True)
class Column:
    """What one column was taken for.

    Parameters
    ----------
    heading : str
        As written, told apart from its like.
    role : str
        One of our own names, or "": kept, not read.
    by : str
        What says so, such as "by its name"; "" for a column that nothing speaks of.
    sure : float
        How sure that is, of 100 [%].
    unit : str
        Unit of its bare numbers, as the heading names it.
    """

    heading: str
    role: str
    by: str = ""
    sure: float = 100.0
    unit: str = ""

    @property
    def why(self) -> str:
        """What says so, and how surely where that is in doubt."""
        return f"{self.sure:.0f} % sure {self.by}" if self.by and self.sure < 99.5 else self.by


@dataclass(frozen=True)
class Mapping:
    """What each column was taken for, in the order of the file."""

    columns: tuple[Column, ...]

    @property
    def roles(self) -> tuple[str, ...]:
        """The role of each column; "" means that it is kept but not read."""
        return tuple(column.role for column in self.columns)

    @cached_property
    def where(self) -> dict[str, int]:
        """The column of each role that there is."""
        return {column.role: index for index, column in reversed([*enumerate(self.columns)]) if column.role}

    @cached_property
    def own(self) -> bool:
        """Whether the list is one of ours: it names the family in a column of that name."""
        return any(column.role == "family" and column.by == OWN for column in self.columns)

    @cached_property
    def descriptions(self) -> tuple[int, ...]:
        """The columns that describe the part: a list may say ``Loudspeaker`` in one and ``3 ohm`` in another."""
        return tuple(index for index, column in enumerate(self.columns) if column.role == "description")

    def doubts(self, rows: Sequence[Sequence[str]]) -> tuple[str, str]:
        """Return what of the list is not read though it speaks of parts, and what makes every row of it doubtful; "" if nothing.

        Counts that stand under ratings (``250V``, ``400V``), and a second table beside the first.
        """
        unread = [(index, column.heading) for index, column in enumerate(self.columns) if not column.role]
        rated = [
            heading
            for index, heading in unread
            if _RATED.fullmatch(heading)
            and shares([row[index] for row in rows if index < len(row)]).get("count", 0.0) >= LEAST
        ]
        again = [heading for _, heading in unread if _TWICE.fullmatch(heading)]
        said = (
            f"{_quoted(again)} come a second time and are not read: write that table below the first" if again else ""
        )
        return said, f"counts under {_quoted(rated)} are not read: one line a part" if len(rated) > 1 else ""

    def index(self, role: str) -> int | None:
        """Return the column of a role, None if there is none."""
        return self.where.get(role)


_RATED = re.compile(r"(?i)\d+(?:[.,/]\d+)?\s*(?:k?v|m?w|m?a|volts?|watts?|v ?[ad]c)")
_TWICE = re.compile(r"\S.* \[\d+\]")


def _quoted(headings: Sequence[str]) -> str:
    return ", ".join(map(repr, headings))


def told_apart(header: Sequence[str]) -> list[str]:
    """Return headings without doubles: one that comes twice, or is empty, gets the number of its column."""
    seen: set[str] = set()
    names = []
    for number, heading in enumerate(header, 1):
        names.append(heading if heading and heading not in seen else f"{heading} [{number}]".strip())
        seen.add(heading)
    return names
