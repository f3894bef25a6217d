"""Long lists, a page at a time: which one is asked for, and which are before and after it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

FURTHEST = 100_000
"""Pages that may be asked for, at most [-]."""


@dataclass(frozen=True)
class Pages:
    """One page of a list.

    Parameters
    ----------
    number : int
        Which, from 1 [-].
    size : int
        Lines of a page [-].
    count : int
        Lines of the list [-].
    asked : mapping of str to str
        What else the address asks, for the addresses of the pages beside this one.
    name : str
        The address's word for the page, where several lists stand on one.
    """

    number: int
    size: int
    count: int
    asked: Mapping[str, str]
    name: str = "page"

    @classmethod
    def of(cls, asked: Mapping[str, str], size: int, name: str = "page") -> Pages:
        """Return the page that an address asks for, the first where it asks for none.

        Examples
        --------
        >>> pages = Pages.of({"page": "2"}, 50).among(120)
        >>> pages.start, pages.before, pages.after
        (50, '?page=1', '?page=3')
        """
        said = asked.get(name, "")
        number = int(said) if said.isascii() and said.isdecimal() and len(said) < 7 else 1
        return cls(min(max(number, 1), FURTHEST), size, 0, {k: v for k, v in asked.items() if k != name and v}, name)

    def among(self, count: int) -> Pages:
        """Return it with the length of the list."""
        return replace(self, count=count)

    @property
    def start(self) -> int:
        """Lines before this page [-]."""
        return (self.number - 1) * self.size

    @property
    def last(self) -> int:
        """How many pages there are [-]."""
        return max(1, -(-self.count // self.size))

    @property
    def before(self) -> str:
        """Where the page before is, "" for none."""
        return self._at(min(self.number - 1, self.last)) if self.number > 1 else ""

    @property
    def after(self) -> str:
        """Where the page after is, "" for none."""
        return self._at(self.number + 1) if self.number < self.last else ""

    def _at(self, number: int) -> str:
        return f"?{urlencode({**self.asked, self.name: str(number)})}"
