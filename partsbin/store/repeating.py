"""Whether a catalogue would answer again what it answered before: then what was made of its answers stands.

What a page or an answer says follows from what was read for it, and each question from the answers before it. So if the same
questions get the same answers, in one state of the catalogue, the same comes out, whatever else was changed and by whom. To ask
again takes a part of the time that judging and wording take.
"""

from __future__ import annotations

import marshal
import re
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass, field
from hashlib import blake2b
from threading import Lock
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection

T = TypeVar("T")
_QUESTION = re.compile(r"\s*(SELECT|WITH)\b", re.IGNORECASE)
MOST = 300
"""What is remembered, at most; what was asked for longest ago goes first [-]."""

MOST_BYTES = 32 * 1024 * 1024
"""What it weighs, at most, as whoever remembers it weighs it."""

QUESTION = 500
"""What a question weighs, about: its text is shared, its parameters and a digest are not [bytes]."""


@dataclass
class Reads:
    """What was read.

    Parameters
    ----------
    answered : list of (str, Any, bytes)
        Each question as the database got it, its parameters, and a digest of the answer.
    open : list of (str, Any)
        Questions whose answer is not digested yet.
    """

    answered: list[tuple[str, Any, bytes]] = field(default_factory=list)
    open: list[tuple[str, Any]] = field(default_factory=list)

    def settle(self, connection: Connection) -> None:
        """Digest what is open, by asking again in the same state of the catalogue; what wrote stays open for ever."""
        if not all(_QUESTION.match(query) for query, _ in self.open):
            return
        database: Any = connection.dialect.dbapi
        with suppress(database.Error):  # what cannot be asked again stays open, too
            for query, values in self.open:
                self.answered.append((query, values, digest(_ask(connection, query, values))))
            self.open.clear()

    def stand(self, connection: Connection) -> bool:
        """Return whether each question is answered as it was; the last ones first, which ask for the fewest parts."""
        return all(was == digest(_ask(connection, *asked)) for *asked, was in reversed(self.answered))


_noting: ContextVar[Reads | None] = ContextVar("noting", default=None)


@contextmanager
def noting() -> Iterator[Reads]:
    """Note what is read while the block runs."""
    reads = Reads()
    before = _noting.set(reads)
    try:
        yield reads
    finally:
        _noting.reset(before)


def note(query: str, values: Any, rows: Sequence[Any]) -> None:
    """Note a question with its answer, if anybody wants it noted."""
    reads = _noting.get()
    if reads is not None:
        reads.answered.append((query, values, digest(rows)))


def note_open(query: str, values: Any) -> None:
    """Note a question whose answer somebody else reads; anything but a question, too, so that nothing is taken for read again."""
    reads = _noting.get()
    if reads is not None and query != "BEGIN":
        reads.open.append((query, values))


def settle(connection: Connection) -> None:
    """Digest what is open before a state of the catalogue is let go of."""
    reads = _noting.get()
    if reads is not None:
        reads.settle(connection)


def _ask(connection: Connection, query: str, values: Any) -> list[Any]:
    cursor = connection.connection.cursor()
    try:
        cursor.execute(query, values)
        return list(cursor.fetchall()) if cursor.description else []
    finally:
        cursor.close()


def digest(rows: Any) -> bytes:
    """Return a digest of plain values: equal ones have the same."""
    try:
        told = marshal.dumps(rows, 2)  # of that version, equal rows are equal bytes
    except ValueError:  # types that a server's driver makes
        told = repr(rows).encode()
    return blake2b(told, digest_size=16).digest()


class Repeated(Generic[T]):
    """What was made of answers of a catalogue, given again while these stand.

    Parameters
    ----------
    reading : callable
        Gives a connection that sees one state of the catalogue.
    weigh : callable
        Returns the bytes that what was made takes.
    """

    def __init__(self, reading: Callable[[], Any], weigh: Callable[[T], int] = lambda made: 0) -> None:
        self._reading, self._weigh = reading, weigh
        self._made: OrderedDict[Hashable, tuple[Reads, T, int]] = OrderedDict()
        self._weight = 0
        self._lock = Lock()

    def of(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what `make` makes, or made of the same answers before.

        Parameters
        ----------
        key : hashable
            Everything else that it depends on.
        make : callable
            Reads inside `reading` only.
        """
        with self._lock:
            old = self._made.get(key)
            if old is not None:
                self._made.move_to_end(key)
        if old is not None and self._stands(old[0]):
            return old[1]
        with noting() as reads:
            made = make()
        if reads.answered and not reads.open:
            self._keep(key, reads, made)
        return made

    def _stands(self, reads: Reads) -> bool:
        # whatever hinders the asking: who makes it anew meets it in his own words
        with suppress(Exception), self._reading() as connection:
            return reads.stand(connection)
        return False

    def _keep(self, key: Hashable, reads: Reads, made: T) -> None:
        weight = self._weigh(made) + QUESTION * len(reads.answered)
        with self._lock:
            self._drop(self._made.pop(key, None))
            self._made[key], self._weight = (reads, made, weight), self._weight + weight
            while len(self._made) > MOST or self._weight > MOST_BYTES:
                self._drop(self._made.popitem(last=False)[1])

    def _drop(self, one: tuple[Reads, T, int] | None) -> None:
        self._weight -= one[2] if one else 0
