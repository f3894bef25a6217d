"""Which column of somebody's list is what: as told, as remembered, by its heading, by its contents; and how sure that is."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from collections.abc import Mapping as Named

from rapidfuzz import fuzz, process

from partsbin import families
from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.stock.contents import RUNNING, described, is_money, shares, worded
from partsbin.stock.headings import (
    DESIGNATOR,
    OPEN,
    OURS_ALONE,
    PART_COLUMNS,
    RATING,
    UNIT,
    VALUE,
    Heading,
    meaning,
    own_name,
    plain,
)
from partsbin.stock.mapping import CONTENTS, LEAST, NAME, OWN, REMEMBERED, TOLD, Column, Mapping, told_apart

__all__ = [
    "CONTENTS",
    "DESIGNATOR",
    "NAME",
    "OWN",
    "PART_COLUMNS",
    "RATING",
    "TOLD",
    "UNIT",
    "VALUE",
    "Column",
    "Mapping",
    "all_fields",
    "map_columns",
    "told_apart",
]

BY_CONTENTS = (DESIGNATOR, VALUE, RATING, "family", "condition", "part", "description")
"""What contents alone can tell. A whole number may be anything: a count is told by its heading, but where there is none."""

IGNORED = "ignored"
"""Role that a person gives to a column that is not to be read."""


def all_fields() -> list[str]:
    """Return the field names of every family."""
    return list(dict.fromkeys(name for family in families.names() for name in load(family).facts.model_fields))


def map_columns(
    header: Sequence[str],
    fields: Collection[str],
    rows: Sequence[Sequence[str]] = (),
    *,
    given: Named[str, str] | None = None,
    remembered: Named[str, str] | None = None,
) -> Mapping:
    """Map columns to roles, each role once; a part may be described in several.

    Parameters
    ----------
    header : sequence of str
        Names as written in the file.
    fields : collection of str
        Field names of the families.
    rows : sequence of sequence of str
        The first rows, whose contents are looked at.
    given, remembered : mapping of str to str
        Role by heading, "" or `IGNORED` for a column that is not to be read: what a person says now, and said of an earlier file.

    Returns
    -------
    Mapping
        Told columns first, then remembered ones, our own names, known headings, contents.

    Raises
    ------
    UsageError
        If a column is told that is not there, or a role that is none.
    """
    names = told_apart(header)
    roles = [*PART_COLUMNS, DESIGNATOR, VALUE, RATING, UNIT, *dict.fromkeys(fields)]
    said = {_heading(heading, names): _role(role, roles) for heading, role in (given or {}).items()}
    mapper = _Mapper(names, header, frozenset(fields), [[*row][: len(names)] for row in rows])
    for index, name in enumerate(names):
        if name in said:
            mapper.give(index, said[name], TOLD)
    for index, name in enumerate(names):
        role = (remembered or {}).get(name)
        if role is not None and (role in ("", IGNORED) or role in roles):
            mapper.give(index, role.replace(IGNORED, ""), REMEMBERED)
    mapper.by_name()
    mapper.by_contents()
    mapper.last_resort()
    mapper.beside()
    return Mapping(tuple(column or Column(name, "") for column, name in zip(mapper.found, names, strict=True)))


class _Mapper:
    """The columns of one list, given their roles step by step."""

    def __init__(self, names: list[str], header: Sequence[str], fields: frozenset[str], rows: list[list[str]]) -> None:
        self.names, self.header, self.rows = names, header, rows
        self.ours = ours = any(own_name(heading) == "family" for heading in header)
        self.means = [
            Heading("", 0.0, found.unit)
            if not ours and found.role in OURS_ALONE and own_name(heading) == found.role
            else found
            for heading, found in ((heading, meaning(heading, fields)) for heading in header)
        ]
        self.open = [not ours and plain(heading) in OPEN for heading in header]
        self.found: list[Column | None] = [None] * len(names)
        self.looks: dict[int, dict[str, float]] = {}

    def give(self, index: int, role: str, by: str, sure: float = 100.0) -> None:
        """Give a column a role, if neither has been given."""
        if self.found[index] is None and not (role and self.has(role) and not (role == "description" and by == TOLD)):
            self.found[index] = Column(self.names[index], role, by, sure, self._unit(index, role))

    def _unit(self, index: int, role: str) -> str:
        """The unit of bare numbers; in anybody's list but our own a tolerance of 5 is one of 5 %."""
        if (
            role == "tolerance"
            and not self.ours
            and not self.means[index].unit
            and any(map(_percents, self._cells(index)))
        ):
            return "%"
        return self.means[index].unit

    def has(self, role: str) -> bool:
        """Return whether some column has the role."""
        return any(column is not None and column.role == role for column in self.found)

    def contents(self, index: int) -> dict[str, float]:
        """Return what the cells of a column look like."""
        if index not in self.looks:
            cells = self._cells(index)
            self.looks[index] = {**shares(cells), "description": described(cells)}
        return self.looks[index]

    def _cells(self, index: int) -> list[str]:
        return [row[index] for row in self.rows if index < len(row)]

    def by_name(self) -> None:
        """Take known headings, our own first, then the surest; money under any of them is not read."""
        own = [own_name(heading) == found.role for heading, found in zip(self.header, self.means, strict=True)]
        for index in sorted(range(len(own)), key=lambda index: (not own[index], -self.means[index].likeness)):
            role, likeness, _ = self.means[index]
            if role and not self.open[index] and not self._worthless(index):
                self.give(index, role, OWN if own[index] else NAME, likeness)

    def _worthless(self, index: int) -> bool:
        return is_money(self._cells(index))

    def by_contents(self) -> None:
        """Take what the cells tell, the surest first; what a heading leaves open before what it says nothing of."""
        offers = []
        for index, heading in enumerate(self.header):
            left = self.means[index].likeness < 100.0 and (
                not self.means[index].role or self.has(self.means[index].role)
            )
            if self.found[index] is None and left and not self._worthless(index):
                possible = OPEN.get(plain(heading), () if _named_otherwise(heading) else BY_CONTENTS)
                kinds = (*possible, *(() if heading else ("count", "voltage")))
                looks = self.contents(index)
                if looks.get(RUNNING) or (not heading and looks.get("voltage", 0.0) >= LEAST):
                    kinds = tuple(kind for kind in kinds if kind != "count")
                offers += [(self.open[index], looks.get(kind, 0.0), -index, kind) for kind in kinds]
        for _, share, index, kind in sorted(offers, reverse=True):
            if share >= LEAST:
                self.give(-index, kind, CONTENTS, round(100 * share))

    def last_resort(self) -> None:
        """Take an open heading for the last thing that it may mean, where no other column has that role."""
        for index, heading in enumerate(self.header):
            possible = OPEN.get(plain(heading))
            if (
                possible
                and self.found[index] is None
                and not self.contents(index).get(RUNNING)
                and not self._worthless(index)
            ):
                self.give(index, "description" if possible[-1] == "description" else "", NAME)
                if (
                    self.found[index] is None
                    and plain(heading) in _REMARKS
                    and self.contents(index)["description"] < LEAST
                ):
                    self.give(index, "note", NAME)
            if heading and self.means[index].role == DESIGNATOR and self.found[index] is None and not self.has(VALUE):
                self.give(index, VALUE, NAME)  # Designation beside Designator
        rest = [index for index, column in enumerate(self.found) if column is None and any(self._cells(index))]
        if len(self.found) == 1 and rest:
            self.give(0, "description", "as all there is")

    def beside(self) -> None:
        """Take further columns for descriptions whose cells have words of the trade: ``Item`` beside ``Specification``."""
        for index, heading in enumerate(self.header):
            role = self.means[index].role
            possible = OPEN.get(plain(heading), (role,) if role or _named_otherwise(heading) else ("description",))
            if self.found[index] is None and "description" in possible:
                known = role or self.open[index]
                share = worded(self._cells(index)) if known else self._beside(index)
                if share >= LEAST and self.has("description") and not self._worthless(index):
                    self.found[index] = Column(self.names[index], "description", CONTENTS, round(100 * share))

    def _beside(self, index: int) -> float:
        """How many rows are understood as one part with the cells of this column beside those that describe it."""
        there = [at for at, column in enumerate(self.found) if column is not None and column.role == "description"]
        both = [(row[there[0]], row[index]) for row in self.rows if there and max(there[0], index) < len(row)]
        filled = [f"{first} {second}" for first, second in both if second]
        return min(described(filled), described(self._cells(index)))


_REMARKS = frozenset({"comment", "comments", "kommentar", "text"})
"""Headings of what the part is, or of what somebody says of it."""
_PERCENT = re.compile(r"[1-9]\d?(?:[.,]\d+)?")


def _percents(cell: str) -> bool:
    return bool(_PERCENT.fullmatch(cell))


def _named_otherwise(heading: str) -> bool:
    """Headings of things that look like parts and are none: links, foot prints, order numbers of somebody else."""
    words = set(plain(heading).split())
    return bool(
        words
        & {
            "equivalent",
            "equivalents",
            "substitute",
            "replaces",
            "ersatz",
            "alternative",
            "footprint",
            "datasheet",
            "link",
            "url",
            "package",
            "supplier",
            "order",
            "artikelnummer",
            "bestellnummer",
        }
    )


def _heading(given: str, names: Sequence[str]) -> str:
    for name in names:
        if name.casefold() == given.strip().casefold():
            return name
    near = process.extractOne(given, names, scorer=fuzz.ratio, score_cutoff=60.0)
    hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(names)}"
    raise UsageError(f"no column {given!r} in this list", hint=hint)


def _role(given: str, roles: Sequence[str]) -> str:
    own = own_name(given)
    if not own or own == IGNORED or own in roles:
        return "" if own == IGNORED else own
    near = process.extractOne(own, roles, scorer=fuzz.ratio, score_cutoff=60.0)
    raise UsageError(
        f"{given!r} is nothing that a column can be",
        hint=f"did you mean {near[0]!r}?" if near else f"one of {', '.join(PART_COLUMNS)}, or a field of a family",
    )
