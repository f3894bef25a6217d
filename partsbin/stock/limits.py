"""How much is read of a file that somebody hands over: what is beyond is refused, and each limit is raised by a variable."""

from __future__ import annotations

import os
from typing import IO, AnyStr, NamedTuple

from partsbin.errors import UsageError

MB = 1024**2


class Limit(NamedTuple):
    """One limit: the variable that raises it, what it is without one, and of what.

    The usual figures are ours, without a source: a list of a million rows passes, and what passes fits into the memory of a
    small machine.
    """

    variable: str
    usual: int
    of: str

    @property
    def most(self) -> int:
        """Return what it is now.

        Raises
        ------
        UsageError
            If the variable holds no whole number.
        """
        said = os.environ.get(self.variable, "").strip()
        if not said:
            return self.usual
        if not (said.isascii() and said.isdecimal() and len(said) < 16):
            raise UsageError(f"{self.variable}: {said[:40]!r}, expected a whole number, such as {2 * self.usual}")
        return int(said)

    def over(self, where: str) -> tuple[str, str]:
        """Return the fault and its hint for what is beyond the limit."""
        return (
            f"{where}: over {self.most:,} {self.of}",
            f"if that is right, raise the limit: {self.variable}={2 * self.most}",
        )


FILE = Limit("PARTSBIN_MOST_MB", 512, "MB")
UNPACKED = Limit("PARTSBIN_MOST_UNPACKED_MB", 2048, "MB unpacked")
SHARED = Limit("PARTSBIN_MOST_SHARED_MB", 256, "MB of texts, which are held in memory")
WHOLE = Limit("PARTSBIN_MOST_WHOLE_MB", 128, "MB, and it is read as a whole")
ROWS = Limit("PARTSBIN_MOST_ROWS", 5_000_000, "rows")
COLUMNS = Limit("PARTSBIN_MOST_COLUMNS", 1_000, "cells in one row")
LINE = Limit("PARTSBIN_MOST_LINE", 1_000_000, "characters in one line")
CELL = Limit("PARTSBIN_MOST_CELL", 20_000, "characters in one cell")


def all_of(stream: IO[AnyStr], name: str) -> AnyStr:
    """Return what is read to its end.

    Raises
    ------
    UsageError
        If there is more than is read as a whole.
    """
    most = WHOLE.most * MB
    text = stream.read(most + 1)
    if len(text) > most:
        raise UsageError(*WHOLE.over(name))
    return text
