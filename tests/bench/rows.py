"""Rows of invented capacitors, seeded, as columns: what a very large bench could hold. A million are drawn in seconds.

Three kinds, each with 5 % unknown in each of value, rated volts and dielectric:

selective
    `MATCHES` rows that pass the hard filter of the need, and nothing else in the value window.
windowed
    the same `MATCHES`, and a window filled with parts rated too low.
realistic
    E6 values, the volts that each dielectric is made for; whatever falls into the window does so by chance.

With `window` given, the last two have that many rows in the value window, the same ones at every size: the growth row needs
it. The first has its matches there and nothing else, whatever the size.
The shares below are invented; they only have to be of the right order. Nothing is measured, so that a part's value is its
marking, and one plain comparison is the whole hard filter.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

KINDS = ("selective", "windowed", "realistic")
MATCHES = 300
FILLED = 0.3
UNKNOWN = 0.05
SEED = 1949

E6 = np.array([1.0, 1.5, 2.2, 3.3, 4.7, 6.8])
CONDITIONS = ("new", "unused-old", "salvaged")
CONDITION_SHARES = (0.70, 0.10, 0.20)
TOLERANCES = (None, 0.05, 0.1, 0.2)
TOLERANCE_SHARES = (0.25, 0.15, 0.40, 0.20)
PLACES, DONORS = 400, 600


class Material(NamedTuple):
    """What a dielectric is made in: its share of all parts, decades of value (powers of ten of a farad), rated volts."""

    name: str
    share: float
    decades: tuple[int, int]
    volts: tuple[int, ...]


MATERIALS = (
    Material("film-polyester", 0.24, (-9, -6), (63, 100, 250, 400, 630, 1000)),
    Material("film-polypropylene", 0.12, (-10, -7), (160, 250, 400, 630, 1000, 1600)),
    Material("polystyrene", 0.03, (-11, -9), (63, 160, 500, 630)),
    Material("mica", 0.08, (-11, -9), (300, 350, 500)),
    Material("ceramic-1", 0.10, (-12, -10), (50, 100, 500, 1000)),
    Material("ceramic-2", 0.13, (-10, -8), (50, 100, 500, 1000)),
    Material("electrolytic", 0.18, (-6, -4), (16, 25, 50, 63, 100, 350, 400, 450, 500)),
    Material("tantalum", 0.02, (-7, -5), (16, 25, 35)),
    Material("paper-waxed", 0.05, (-9, -7), (150, 200, 350, 400, 500, 600)),
    Material("paper-moulded", 0.02, (-9, -7), (200, 400, 600)),
    Material("paper-metallised", 0.01, (-8, -6), (150, 250, 400)),
    Material("paper-oil", 0.02, (-8, -6), (400, 600, 1000)),
)
OLD = np.array([material.name.startswith("paper") for material in MATERIALS])
REFUSED = tuple(
    material.name for material in MATERIALS if material.name in ("paper-waxed", "paper-moulded", "paper-metallised")
)
"""Paper that is never used again: the wall of the hard filter."""

Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Asked:
    """The hard filter of a need: the value window, the value wanted, the least rated volts."""

    low: float
    high: float
    ideal: float
    least: float


@lru_cache(maxsize=1)
def request() -> Any:
    """Return the need of every benchmark, as a repairer says it."""
    from partsbin.needs import Request
    from partsbin.sets import read_facts

    return Request("capacitor", "0.022uF 400V", "coupling", {}, read_facts(["rail=240"]))


@lru_cache(maxsize=1)
def asked() -> Asked:
    """Return the hard filter, as partsbin itself draws it from the need."""
    from partsbin.matching.answer import build

    family, need = build(request())
    search = family.search(need)
    return Asked(search.low, search.high, search.ideal, search.least)


@dataclass(frozen=True)
class Rows:
    """Columns of n parts; NaN and -1 where a mark cannot be read."""

    value: npt.NDArray[np.float64]
    volts: npt.NDArray[np.float64]
    material: npt.NDArray[np.int64]
    tolerance: npt.NDArray[np.int64]
    condition: npt.NDArray[np.int64]
    count: npt.NDArray[np.int64]
    place: npt.NDArray[np.int64]
    donor: npt.NDArray[np.int64]

    def __len__(self) -> int:
        return len(self.value)

    def take(self, chosen: npt.NDArray[Any] | slice) -> Rows:
        """Return some of the rows, in the order chosen."""
        return Rows(*(getattr(self, field.name)[chosen] for field in fields(self)))


def joined(*parts: Rows) -> Rows:
    """Return the rows of several tables as one."""
    return Rows(*(np.concatenate([getattr(part, field.name) for part in parts]) for field in fields(Rows)))


def draw(rng: np.random.Generator, n: int) -> Rows:
    """Return n rows, every mark readable."""
    material = rng.choice(len(MATERIALS), n, p=[material.share for material in MATERIALS])
    lowest, highest = np.array([material.decades for material in MATERIALS]).T
    decade = rng.integers(lowest[material], highest[material] + 1)
    value = (
        np.round(E6[rng.integers(0, len(E6), n)] * 10.0 ** (decade + 13)) / 1e13
    )  # whole tenths of a picofarad: as typed
    ratings, offered = _ratings()
    volts = ratings[material, (rng.random(n) * offered[material]).astype(np.int64)]
    condition = _conditions(rng, OLD[material])
    return Rows(
        value,
        volts,
        material,
        rng.choice(len(TOLERANCES), n, p=TOLERANCE_SHARES),
        condition,
        rng.integers(1, 21, n),
        rng.integers(1, PLACES + 1, n),
        np.where(condition == CONDITIONS.index("salvaged"), rng.integers(1, DONORS + 1, n), 0),
    )


def _ratings() -> tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]]:
    """The rated volts of each material side by side, padded, and how many there are."""
    offered = np.array([len(material.volts) for material in MATERIALS])
    table = np.zeros((len(MATERIALS), offered.max()))
    for row, material in zip(table, MATERIALS, strict=True):
        row[: len(material.volts)] = material.volts
    return table, offered


def _conditions(rng: np.random.Generator, old: Mask) -> npt.NDArray[np.int64]:
    """Conditions in the stated shares over all rows; paper is never new."""
    share = sum(material.share for material, is_old in zip(MATERIALS, OLD, strict=True) if is_old)
    among_old = np.array([0.0, *CONDITION_SHARES[1:]]) / sum(CONDITION_SHARES[1:])
    among_rest = (np.array(CONDITION_SHARES) - share * among_old) / (1.0 - share)
    steps = np.where(old[:, None], np.cumsum(among_old), np.cumsum(among_rest))
    passed: npt.NDArray[np.int64] = (rng.random(len(old))[:, None] >= steps).sum(axis=1)
    return np.minimum(passed, len(CONDITIONS) - 1).astype(np.int64)


def draw_where(rng: np.random.Generator, n: int, wanted: Callable[[Rows], Mask]) -> Rows:
    """Return n rows of those that `draw` gives, only such as are wanted."""
    kept: list[Rows] = [draw(rng, 0)]
    have = 0
    while have < n:
        more = draw(rng, max(n, 1000))
        more = more.take(wanted(more))
        kept.append(more)
        have += len(more)
    return joined(*kept).take(slice(n))


def inside(rows: Rows) -> Mask:
    """Return which values lie in the need's window, its bounds included."""
    need = asked()
    return (rows.value >= need.low * (1 - 1e-9)) & (rows.value <= need.high * (1 + 1e-9))


def bears(rows: Rows) -> Mask:
    """Return which parts are rated for the need's stress."""
    return rows.volts >= asked().least


def refused(rows: Rows) -> Mask:
    """Return which parts are paper that is never used again."""
    return np.isin(rows.material, [index for index, material in enumerate(MATERIALS) if material.name in REFUSED])


def forget(rng: np.random.Generator, rows: Rows, value: float) -> Rows:
    """Return the rows with some marks no longer readable: `value` of the values, `UNKNOWN` of rated volts and dielectrics."""
    lost = [rng.random(len(rows)) < share for share in (value, UNKNOWN, UNKNOWN)]
    return Rows(
        np.where(lost[0], np.nan, rows.value),
        np.where(lost[1], np.nan, rows.volts),
        np.where(lost[2], -1, rows.material),
        rows.tolerance,
        rows.condition,
        rows.count,
        rows.place,
        rows.donor,
    )


def catalogue(kind: str, size: int, window: int | None = None) -> Rows:
    """Return the rows of one catalogue, shuffled.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    size : int
        How many parts [-].
    window : int, optional
        How many of them have a value in the need's window; without it what the kind gives by itself [-].
    """
    block_rng, rng = (
        np.random.default_rng([SEED, KINDS.index(kind)]),
        np.random.default_rng([SEED, KINDS.index(kind), size]),
    )
    if kind == "realistic" and window is None:
        return forget(rng, draw(rng, size), UNKNOWN)
    block = _window_block(block_rng, kind, _window_rows(kind, size, window))
    rest = draw_where(rng, size - len(block), lambda rows: ~inside(rows))
    rows = joined(block, forget(rng, rest, UNKNOWN * size / len(rest)))
    return rows.take(rng.permutation(size))


def _window_rows(kind: str, size: int, window: int | None) -> int:
    own = {"selective": MATCHES, "windowed": int(FILLED * size)}.get(kind, 0)
    rows = own if window is None or kind == "selective" else window
    if not MATCHES <= rows < size:
        raise ValueError(f"{rows} rows in the window of {size} parts: expected {MATCHES} to {size - 1}")
    return rows


def _window_block(rng: np.random.Generator, kind: str, n: int) -> Rows:
    if kind == "realistic":
        return forget(rng, draw_where(rng, n, inside), 0.0)
    matches = draw_where(rng, MATCHES, lambda rows: inside(rows) & bears(rows) & ~refused(rows))
    return joined(matches, forget(rng, draw_where(rng, n - MATCHES, lambda rows: inside(rows) & ~bears(rows)), 0.0))
