"""Keys of the rows of files: what tells a second import of the same row from a new one."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt


class RowKeys:
    """Gives each row of a file its key. Equal rows are told apart by their number.

    It holds eight bytes a row, whatever the list: sorted runs of hashes, each at least twice as long as the next.
    """

    def __init__(self) -> None:
        self.runs: list[npt.NDArray[np.uint64]] = []
        self.repeated: dict[int, int] = {}

    def keys(self, file: str, rows: Sequence[Sequence[str]]) -> list[str]:
        """Return the key of each row of a chunk."""
        digests = [
            hashlib.blake2b("\x1f".join((file, *row)).encode("utf-8", "surrogatepass"), digest_size=16).digest()
            for row in rows
        ]
        short = [int.from_bytes(digest[:8], "little") for digest in digests]
        hashes = np.array(short, dtype=np.uint64)
        before = np.zeros(len(hashes), dtype=bool)
        for run in self.runs:
            before |= run[np.minimum(np.searchsorted(run, hashes), len(run) - 1)] == hashes
        keys, here = [], set()
        for digest, number, old in zip(digests, short, before.tolist(), strict=True):
            if old or number in here:
                self.repeated[number] = times = self.repeated.get(number, 1) + 1
                keys.append(f"{digest.hex()}#{times}")
            else:
                here.add(number)
                keys.append(digest.hex())
        self._keep(np.unique(hashes))
        return keys

    def has(self, key: str) -> bool:
        """Return whether a row with that key was among those given so far."""
        digest, _, times = key.partition("#")
        number = int.from_bytes(bytes.fromhex(digest[:16]), "little")
        if times:
            return self.repeated.get(number, 1) >= int(times)
        found = np.uint64(number)
        return any(run[min(int(np.searchsorted(run, found)), len(run) - 1)] == found for run in self.runs)

    def _keep(self, run: npt.NDArray[np.uint64]) -> None:
        while self.runs and len(self.runs[-1]) < 2 * len(run):
            run = np.union1d(self.runs.pop(), run)
        self.runs.append(run)
