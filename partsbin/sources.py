"""The list of published sources. A check, a rule or a table row names one by its key; an unknown key is refused.

``standing`` says how far a figure from this source may be trusted:

* ``read``: the figure was read in an excerpt of the named publication;
* ``memory``: recalled, not confirmed in a text; an answer resting on it says so;
* ``practice``: common practice of the trade, no source;
* ``worked``: our own arithmetic, shown where it is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partsbin.errors import DeclarationError

Standing = Literal["read", "memory", "practice", "worked"]


@dataclass(frozen=True, slots=True)
class Source:
    """A publication, or the honest absence of one.

    Parameters
    ----------
    key : str
        Name used in code and data.
    title : str
        Title, author, edition and year as far as known.
    where : str
        Page, clause or address.
    standing : {"read", "memory", "practice", "worked"}
        How the figures came here.
    """

    key: str
    title: str
    where: str = ""
    standing: Standing = "read"

    def cite(self) -> str:
        """Return the source in one line, with its standing where that is not ``read``."""
        if self.standing == "practice":
            return "common practice, no source"
        text = f"{self.title}, {self.where}" if self.where else self.title
        return text if self.standing == "read" else f"{text} (from memory)" if self.standing == "memory" else f"{text} (worked here)"


_LIST = (
    Source("practice", "common practice", standing="practice"),
    Source("worked", "arithmetic from the stated formula", standing="worked"),
    Source("memory", "trade knowledge", standing="memory"),
)

SOURCES: dict[str, Source] = {source.key: source for source in _LIST}


def source(key: str) -> Source:
    """Return the source of that key.

    Raises
    ------
    DeclarationError
        If no source has that key.
    """
    try:
        return SOURCES[key]
    except KeyError:
        raise DeclarationError(f"unknown source {key!r}", hint="add it to partsbin/sources.py") from None
