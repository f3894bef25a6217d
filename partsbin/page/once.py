"""A form that is sent twice: two taps on a button, or back and again, write once.

A form that shows a part carries what it was `seen` as, and the second is refused by that. A form that adds something new
shows nothing that changes: it carries a mark of the page it stands on instead.
"""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import Lock

MOST_SENT = 1000
"""Forms that are remembered, the newest [-]."""


@dataclass
class Sent:
    """A form as it was sent: the address that its answer led to and what was done, once it is done."""

    answer: tuple[str, str] | None = None
    lock: Lock = field(default_factory=Lock)


class Once:
    """The forms that were sent."""

    def __init__(self) -> None:
        self._sent: OrderedDict[str, Sent] = OrderedDict()
        self._lock = Lock()

    @contextmanager
    def held(self, *said: str, fields: Mapping[str, str]) -> Iterator[Sent]:
        """Give what is known of a form; the second of two at once waits until the first is done.

        Parameters
        ----------
        *said : str
            The visit, the address and the mark of the page.
        fields : mapping
            What the form says: other words from the same page are another form.
        """
        key = hashlib.sha256(json.dumps([said, sorted(fields.items())]).encode()).hexdigest()
        with self._lock:
            sent = self._sent.setdefault(key, Sent())
            self._sent.move_to_end(key)
            while len(self._sent) > MOST_SENT:
                self._sent.popitem(last=False)
        with sent.lock:
            yield sent
