"""Which column of somebody's list is what: as said, as remembered, by name, by likeness, by contents."""

from __future__ import annotations

import re
import typing
from collections.abc import Sequence

from partsbin.errors import UsageError
from partsbin.notation.choices import chosen
from partsbin.stock.columns import (
    DESIGNATOR,
    FOREIGN_ROLE,
    IGNORED,
    LAST_RESORT,
    MONEY,
    PART_COLUMNS,
    RATING,
    VALUE,
    Mapping,
    plain_heading,
    told_apart,
)

Assigned = typing.Mapping[str, str]
NEAR_ENOUGH = 85.0
"""Likeness in per cent from which a heading is taken for a known one."""
LOOKS_LIKE = 0.6
"""Share of the cells that must look like a role, where nothing but the contents says it."""
_AMBIGUOUS = frozenset({"type", "kind", "size", "standard", "base", "thread", "wired"})
"""Field names that other people's lists use for other things: our own only in a list of ours, which names the family."""

_ROLES_SAID = f"a field such as voltage_dc, or one of {', '.join((*PART_COLUMNS, DESIGNATOR, VALUE, RATING, IGNORED))}"


def map_columns(
    header: Sequence[str],
    fields: Sequence[str],
    *,
    sample: Sequence[Sequence[str]] = (),
    given: Assigned | None = None,
    remembered: Assigned | None = None,
) -> Mapping:
    """Map column names to roles.

    Parameters
    ----------
    header : sequence of str
        Names as written in the file.
    fields : sequence of str
        Field names of the families.
    sample : sequence of sequence of str
        Some rows: what the cells hold decides where no name does.
    given : mapping of str to str, optional
        Role by heading, as the person said; "" or `IGNORED` for a column that is not to be read.
    remembered : mapping of str to str, optional
        The same, from an earlier file of this shape.

    Returns
    -------
    Mapping
        What was said first, then our own names, the usual names of other people's lists, names near those, contents; each
        role once.

    Raises
    ------
    UsageError
        If a heading given is not there, or a role is none.
    """
    own = set(PART_COLUMNS) | set(fields) | {DESIGNATOR, VALUE, RATING}
    found: dict[int, tuple[str, str]] = {}
    _assigned(found, header, remembered or {}, own, "as in an earlier file")
    _assigned(found, header, given or {}, own, "as said")
    listed_by_us = any(_exact(name) == "family" for name in header)
    taken = {role for role, _ in found.values()}
    for by in (_own_name, _usual_name, _near_name):
        for index, name in enumerate(header):
            role, why = by(name, own, listed_by_us) if index not in found else ("", "")
            if role and role not in taken:
                found[index] = (role, why)
                taken.add(role)
    _late(found, taken, header)
    if sample:
        _by_contents(found, taken, header, sample)
    roles = [("" if role == IGNORED else role) for role, _ in (found.get(i, ("", "")) for i in range(len(header)))]
    return Mapping(tuple(roles), tuple(found.get(i, ("", ""))[1] for i in range(len(header))))


def _exact(name: str) -> str:
    return name.strip().lower().replace(" ", "_").replace("-", "_")


def _assigned(
    found: dict[int, tuple[str, str]], header: Sequence[str], roles: Assigned, own: set[str], why: str
) -> None:
    names = told_apart(header)
    for heading, role in roles.items():
        if heading not in names:
            close = chosen(heading, names, "column")  # raises with the nearest name where none is meant
            heading = close
        word = _exact(role) or IGNORED
        if word not in own | {IGNORED}:
            raise UsageError(f"{role!r} is no role of a column", hint=_ROLES_SAID)
        for index, (other, _) in list(found.items()):
            if other == word != IGNORED:
                del found[index]
        found[names.index(heading)] = (word, why)


def _own_name(name: str, own: set[str], listed_by_us: bool) -> tuple[str, str]:
    exact = _exact(name)
    return (exact, "our own name") if exact in own and (listed_by_us or exact not in _AMBIGUOUS) else ("", "")


def _usual_name(name: str, own: set[str], listed_by_us: bool) -> tuple[str, str]:
    role = "" if MONEY.search(name) else FOREIGN_ROLE.get(plain_heading(name), "")
    return role, "by its name" if role else ""


def _near_name(name: str, own: set[str], listed_by_us: bool) -> tuple[str, str]:
    """A heading with a slip, or with words around the one that counts."""
    plain = plain_heading(name)
    if len(plain) < 4 or MONEY.search(name):
        return "", ""
    from rapidfuzz import fuzz, process

    near = process.extractOne(plain, list(FOREIGN_ROLE), scorer=fuzz.ratio, score_cutoff=NEAR_ENOUGH)
    if near is None:
        return "", ""
    return FOREIGN_ROLE[near[0]], f"near {near[0]!r}, {near[1]:.0f} %"


def _late(found: dict[int, tuple[str, str]], taken: set[str], header: Sequence[str]) -> None:
    for index, name in enumerate(header):
        role = LAST_RESORT.get(plain_heading(name), "")
        if index not in found and role and role not in taken:
            found[index] = (role, "by its name")
            taken.add(role)


_CONTENTS: tuple[tuple[str, re.Pattern[str]], ...] = (
    (
        DESIGNATOR,
        re.compile(r"(?:R|C|L|V|D|T|P|VR|RV|CH|TR|SW|F|LP|J)[0-9]{1,4}[A-Za-z]?(?:\s*[-,;]\s*[A-Z]{0,2}[0-9]{1,4})*"),
    ),
    (VALUE, re.compile(r"(?i)[0-9]*[.,]?[0-9]+\s?(?:[pnuµμmk]f?|meg|[kmr]|ohms?|Ω|mfd|mmfd)[0-9]*(?:[ ,/].*)?")),
    ("count", re.compile(r"[1-9][0-9]{0,3}")),
)
"""What the cells of a column look like, the surest first."""


def _by_contents(
    found: dict[int, tuple[str, str]], taken: set[str], header: Sequence[str], sample: Sequence[Sequence[str]]
) -> None:
    """Where no name says what a part is, the cells do: the column that looks most like designators, values, counts."""
    if taken & {VALUE, "description", "family"}:
        return
    for role, pattern in _CONTENTS:
        if role in taken:
            continue
        shares = {
            index: _share([row[index] for row in sample if index < len(row)], pattern)
            for index in range(len(header))
            if index not in found
        }
        best = max(shares, key=lambda index: shares[index], default=None)
        if best is not None and shares[best] >= LOOKS_LIKE:
            found[best] = (role, f"by what it holds, {shares[best] * 100:.0f} %")
            taken.add(role)


def _share(cells: Sequence[str], pattern: re.Pattern[str]) -> float:
    filled = [cell.strip() for cell in cells if cell.strip()]
    return sum(pattern.fullmatch(cell) is not None for cell in filled) / len(filled) if filled else 0.0
