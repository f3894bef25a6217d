"""What a way of using a part offers, and which of it the search keys hold."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt


@dataclass(frozen=True)
class Option:
    """One way of using a part: its label and what it offers, in SI, None where not known.

    ``assumed`` lists the defaults that filled a gap, in words.
    """

    label: str
    offers: Mapping[str, float | str | None]
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Named:
    """What stands behind search keys where a name, and no figure, decides: in the place of the value they hold its number.

    Parameters
    ----------
    name : str
        The quantity that holds the name: all that `told` needs.
    told : callable
        ``told(name)`` gives the quantities that follow from a name, as an option of that name offers them.
    listed : callable
        ``listed(text)`` gives the names that tables know, and those that a text may hold.
    read : str
        The quantity of `Keys.kind` that is "" where none of `best` is known.
    best : mapping of str to float
        What may be read on the part itself; where any of it was, the keys take all of it at its best.
    """

    name: str
    told: Callable[[str], Mapping[str, Any]]
    listed: Callable[[str], Collection[str]]
    read: str
    best: Mapping[str, float]


@dataclass(frozen=True)
class Sections:
    """How the sections of one piece may go to several needs: their poles on one side are one.

    Parameters
    ----------
    taken : tuple of frozenset of int
        Of each way of using it, in their order, the sections that it takes.
    alone : frozenset of str
        Positions of which one piece serves only one: what they load is rated for the whole.
    """

    taken: tuple[frozenset[int], ...]
    alone: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Keys:
    """Which quantities the search keys of an option hold.

    Parameters
    ----------
    value, low, high : str
        The value looked for and its interval.
    limit : str
        The rating that must at least be there.
    kind : tuple of (str, tuple)
        Quantities with few values, packed into one integer; the first value of each is "unknown" ("" or NaN).
    named : Named, optional
        What stands behind them where a name decides: the value is the same for all parts then.
    """

    value: str
    low: str
    high: str
    limit: str
    kind: tuple[tuple[str, tuple[Any, ...]], ...] = ()
    named: Named | None = None

    @property
    def names(self) -> frozenset[str]:
        """Names of all quantities that the keys hold."""
        return frozenset((self.value, self.low, self.high, self.limit, *(name for name, _ in self.kind)))

    def pack(self, offers: Mapping[str, Any]) -> int:
        """Pack the kind quantities of one option into an integer [-]."""
        code = 0
        for name, words in self.kind:
            value = offers.get(name)
            code = code * len(words) + (0 if value is None else words.index(value))
        return code

    def unpack(self, codes: npt.NDArray[np.int64]) -> dict[str, npt.NDArray[Any]]:
        """Unpack integers into columns, "" and NaN for unknown."""
        columns: dict[str, npt.NDArray[Any]] = {}
        rest = codes
        for name, words in reversed(self.kind):
            rest, digit = np.divmod(rest, len(words))
            text = isinstance(words[-1], str)
            columns[name] = np.array(words, dtype=object if text else np.float64)[digit]
        return columns


@dataclass(frozen=True)
class Search:
    """What a need asks of the keys.

    Parameters
    ----------
    low, high : float
        Value window outside which everything is unfit.
    ideal : float
        The value wanted.
    least : float
        Limit under which everything is unfit; NaN where the limit is not asked.
    comfortable : float
        Limit beyond which more is no better.
    any_value : bool
        Whether an option whose value nobody knows may be usable: no value is asked.
    """

    low: float
    high: float
    ideal: float
    least: float = math.nan
    comfortable: float = math.nan
    any_value: bool = False


def columns_of(options: Sequence[Option], names: Sequence[str], words: frozenset[str]) -> dict[str, npt.NDArray[Any]]:
    """Lay options out as columns: float arrays with NaN for unknown, or, for `words`, object arrays of text with ""."""
    columns: dict[str, npt.NDArray[Any]] = {}
    for name in names:
        values = [option.offers.get(name) for option in options]
        if name in words:
            columns[name] = np.array([value or "" for value in values], dtype=object)
        else:
            columns[name] = np.array([math.nan if value is None else value for value in values], dtype=np.float64)
    return columns


def known(offers: Mapping[str, Any], name: str) -> bool:
    """Return whether an option offers a known value for `name`."""
    value = offers.get(name)
    return not (value is None or value == "" or (isinstance(value, float) and math.isnan(value)))
