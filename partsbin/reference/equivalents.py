"""Which valve may replace which: the table of equivalents, and the names that mean one and the same valve.

``type_b`` may replace ``type_a``. ``identical`` holds both ways; ``drop-in`` and ``near`` only as written, and ``near``
never without its note. Two thirds of the rows are from memory and say so.
"""

from __future__ import annotations

import csv
import unicodedata
from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal, cast

Relation = Literal["identical", "drop-in", "near"]
Known = Literal["read", "memory"]

_TABLE = Path(__file__).with_name("equivalents.csv")


@dataclass(frozen=True)
class Equivalent:
    """One row of the table.

    Parameters
    ----------
    type_a, type_b : str
        The valve to be replaced, and the one that may replace it.
    relation : {"identical", "drop-in", "near"}
        Another name of the same valve; fits as it is; fits after the change that `note` names.
    note : str
        What differs, or whose name it is.
    standing : {"read", "memory"}
        Whether the row was read in its source.
    source : str
        Key in ``partsbin.sources``.
    """

    type_a: str
    type_b: str
    relation: Relation
    note: str
    standing: Known
    source: str


@dataclass(frozen=True)
class Namesake:
    """A name that means a valve listed under another name, and how far that is known."""

    name: str
    listed_as: str
    standing: Known


@lru_cache(4096)
def type_key(name: str) -> str:
    """Return a type designation without case, spaces, hyphens or dots, so that ``ecc-83`` and ``ECC 83`` are one.

    Examples
    --------
    >>> type_key("vt-126b"), type_key("ECC 83")
    ('VT126B', 'ECC83')
    """
    return "".join(sign for sign in unicodedata.normalize("NFKC", name).upper() if sign.isalnum())


@cache
def equivalents() -> tuple[Equivalent, ...]:
    """Return the whole table, in the order of the file."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(
            Equivalent(
                row["type_a"],
                row["type_b"],
                cast(Relation, row["relation"]),
                row["note"],
                cast(Known, row["standing"]),
                row["source"],
            )
            for row in csv.DictReader(file)
        )


def namesakes(listed: Iterable[str]) -> dict[str, Namesake]:
    """Return every name that is identical with one of the listed types, by its key.

    Parameters
    ----------
    listed : iterable of str
        Types that have a row of their own; a listed type is never read as another.

    Returns
    -------
    dict of str to Namesake
        The nearest listed type for each other name; from memory if any link to it is.
    """
    links: dict[str, list[Equivalent]] = {}
    for row in equivalents():
        if row.relation == "identical":
            links.setdefault(row.type_a, []).append(row)
            links.setdefault(row.type_b, []).append(row)
    types = list(listed)
    seen = set(types)
    found: dict[str, Namesake] = {}
    waiting = deque(Namesake(name, name, "read") for name in types)
    while waiting:
        here = waiting.popleft()
        for link in links.get(here.name, ()):
            name = link.type_b if link.type_a == here.name else link.type_a
            if name not in seen:
                seen.add(name)
                sure = here.standing == link.standing == "read"
                found[type_key(name)] = Namesake(name, here.listed_as, "read" if sure else "memory")
                waiting.append(found[type_key(name)])
    return found
