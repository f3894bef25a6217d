"""Keys of the rows of files: what tells a second import of the same row from a new one."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

HEAPS = 32
"""Parts that the hashes are kept in, by their last bits: the room that merging takes is a part's, not the list's."""

Hashes = npt.NDArray[np.uint64]


class RowKeys:
    """Gives each row of a file its key. Equal rows are told apart by their number.

    It holds eight bytes a row, whatever the list: sorted runs of hashes, each at least twice as long as the next.
    """

    def __init__(self) -> None:
        self.heaps: list[list[Hashes]] = [[] for _ in range(HEAPS)]
        self.repeated: dict[int, int] = {}

    def keys(self, file: str, rows: Sequence[Sequence[str]]) -> list[str]:
        """Return the key of each row of a chunk."""
        digests = [
            hashlib.blake2b("\x1f".join((file, *row)).encode("utf-8", "surrogatepass"), digest_size=16).digest()
            for row in rows
        ]
        short = [int.from_bytes(digest[:8], "little") for digest in digests]
        before = self._seen(np.array(short, dtype=np.uint64))
        keys, here = [], set()
        for digest, number, old in zip(digests, short, before.tolist(), strict=True):
            if old or number in here:
                self.repeated[number] = times = self.repeated.get(number, 1) + 1
                keys.append(f"{digest.hex()}#{times}")
            else:
                here.add(number)
                keys.append(digest.hex())
        return keys

    def has(self, key: str) -> bool:
        """Return whether a row with that key was among those given so far."""
        digest, _, times = key.partition("#")
        number = int.from_bytes(bytes.fromhex(digest[:16]), "little")
        if times:
            return self.repeated.get(number, 1) >= int(times)
        found = np.uint64(number)
        return any(
            run[min(int(np.searchsorted(run, found)), len(run) - 1)] == found for run in self.heaps[number % HEAPS]
        )

    def _seen(self, hashes: Hashes) -> npt.NDArray[np.bool_]:
        """Return which of the hashes were here before, and keep them all."""
        before = np.zeros(len(hashes), dtype=bool)
        for number, runs in enumerate(self.heaps):
            own = np.flatnonzero(hashes % HEAPS == number)
            some = hashes[own]
            for run in runs:
                before[own] |= run[np.minimum(np.searchsorted(run, some), len(run) - 1)] == some
            if len(own):
                _keep(runs, np.unique(some))
        return before


def _keep(runs: list[Hashes], run: Hashes) -> None:
    while runs and len(runs[-1]) < 2 * len(run):
        run = np.union1d(runs.pop(), run)
    runs.append(run)
