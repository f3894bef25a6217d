"""What is dear to reckon and shown often, remembered while nothing that it rests on has changed."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable, Hashable
from datetime import datetime, timedelta
from threading import Lock
from typing import Generic, TypeVar

T = TypeVar("T")
Text = TypeVar("Text", bound=str)
DEAR = 0.05
"""From so long a reckoning on an older answer will do for a while [s]."""

WHILE = timedelta(seconds=30)
"""How old it may be."""


class Few(Generic[Text]):
    """Some texts by what they say, the newest.

    Parameters
    ----------
    most : int
        How many [-].
    letters : int
        How long they are together, at most [-].
    """

    def __init__(self, most: int, letters: int) -> None:
        self._most, self._letters, self._lock = most, letters, Lock()
        self._kept: OrderedDict[Hashable, Text] = OrderedDict()
        self._long = 0

    def of(self, key: Hashable, make: Callable[[], Text]) -> Text:
        """Return what was made of the same before, else make it."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        made = make()
        with self._lock:
            self._long += len(made) - len(self._kept.get(key, ""))
            self._kept[key] = made
            while len(self._kept) > self._most or self._long > self._letters:
                self._long -= len(self._kept.popitem(last=False)[1])
        return made


class Remembered(Generic[T]):
    """One answer, with what it rests on, what it cost and when it was reckoned; one thread reckons, the others take the older one."""

    def __init__(self) -> None:
        self._one: tuple[Hashable, T, datetime, float] | None = None
        self._reckoning = Lock()

    def get(self, rests_on: Hashable, now: datetime, reckon: Callable[[], T]) -> tuple[T, datetime | None]:
        """Return the answer, and since when it may be out of date; None where it is not.

        Parameters
        ----------
        rests_on : hashable
            What the answer depends on: the same again means the same answer.
        now : datetime
            The time.
        reckon : callable
            Finds the answer.
        """
        old = self._one
        if old is not None and old[0] == rests_on:
            return old[1], None
        if old is not None and old[3] > DEAR and timedelta() <= now - old[2] < WHILE:
            return old[1], old[2]
        if not self._reckoning.acquire(blocking=old is None) and old is not None:
            return old[1], old[2]
        try:
            begun = time.perf_counter()
            answer = reckon()
            self._one = (rests_on, answer, now, time.perf_counter() - begun)
            return answer, None
        finally:
            self._reckoning.release()
