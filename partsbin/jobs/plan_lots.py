"""Parts that are alike in everything that is judged, as one lot: whichever of them a plan takes, nothing else changes.

A plan with make-ups is reckoned in lots, so that a need that wants two of a kind may have any two of it; who they are is settled
last. What is set aside, and what was measured, is a lot of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from partsbin.matching.make_ups.search import MakeUp
from partsbin.matching.search import Candidate
from partsbin.stock.shelf import Shelved


@dataclass
class _Lot:
    """The parts of a lot, and how many pieces of each are left [-]."""

    parts: dict[int, Shelved] = field(default_factory=dict)
    left: dict[int, int] = field(default_factory=dict)


class Lots:
    """All parts that a plan looks at.

    Parameters
    ----------
    held : mapping of int to int
        Pieces set aside for the jobs that are planned, by part [-].
    alike : bool
        Whether parts that are alike are one lot; else each is one.
    apart : set of int
        Parts that are a lot of their own whatever they are like: several pieces of one make one of what is wanted.
    """

    def __init__(self, held: Mapping[int, int], *, alike: bool = True, apart: Collection[int] = frozenset()) -> None:
        self.held, self.alike, self.apart = held, alike, apart
        self.numbers: dict[Hashable, int] = {}
        self.lots: list[_Lot] = []
        self.known: dict[int, int] = {}

    def of(self, part: Shelved) -> int:
        """Return the number of a part's lot, from 0 [-]."""
        if part.id not in self.known:
            number = self.numbers.setdefault(self._alike(part), len(self.lots))
            if number == len(self.lots):
                self.lots.append(_Lot())
            self.lots[number].parts[part.id] = part
            self.lots[number].left[part.id] = self.there(part)
            self.known[part.id] = number
        return self.known[part.id]

    def there(self, part: Shelved) -> int:
        """Return how many pieces of a part may be taken: those that are free, and those set aside for these jobs [-]."""
        return part.available + self.held.get(part.id, 0)

    def _alike(self, part: Shelved) -> Hashable:
        item = part.item
        if not self.alike or part.id in self.held or part.id in self.apart or item.readings:
            return part.id
        facts = tuple(item.facts.__dict__.values())
        return (part.family, item.condition, facts, item.donor_lineup, item.marking, item.year)

    def pieces(self) -> list[int]:
        """Return how many pieces each lot has [-]."""
        return [sum(lot.left.values()) for lot in self.lots]

    def spare(self) -> set[int]:
        """Return the parts of which pieces are left over, those alike to one of them among them."""
        return {ident for lot in self.lots if any(lot.left.values()) for ident in lot.parts}

    def take(self, number: int, pieces: int, first: Iterable[int]) -> list[Shelved]:
        """Take pieces of a lot, of some parts before others; each piece is a part in the list."""
        lot, taken = self.lots[number], list[Shelved]()
        for ident in (*(one for one in first if one in lot.left), *lot.left):
            some = min(pieces - len(taken), lot.left[ident])
            lot.left[ident] -= some
            taken += [lot.parts[ident]] * some
        return taken

    def single(self, candidate: Candidate, pieces: int) -> list[tuple[Candidate, int]]:
        """Take pieces for a need that single parts serve."""
        taken = self.take(self.of(candidate.part), pieces * candidate.pieces, [candidate.part.id])
        parts, each = {part.id: part for part in taken}, candidate.pieces
        return [
            (replace(candidate, part=part), sum(one.id == ident for one in taken) // each)
            for ident, part in parts.items()
        ]

    def joined(self, made: MakeUp, times: int) -> list[tuple[MakeUp, int]]:
        """Take pieces for a need that several parts joined serve, so many times."""
        found: dict[tuple[int, ...], tuple[MakeUp, int]] = {}
        lots = [self.of(member.part) for member in made.members]
        named = [member.part.id for member in made.members]
        for _ in range(times):
            taken = {number: self.take(number, lots.count(number), named) for number in dict.fromkeys(lots)}
            places = [taken[number].pop(0) for number in lots]
            members = tuple(replace(old, part=part) for old, part in zip(made.members, places, strict=True))
            key = tuple(part.id for part in places)
            found[key] = (replace(made, members=members), found[key][1] + 1 if key in found else 1)
        return list(found.values())
