"""Many browsers at once over a real server: what each asks for, how long it waited, what it was told was done."""

from __future__ import annotations

import http.client
import random
import re
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from threading import Barrier, Thread
from urllib.parse import urlencode

FORM = "application/x-www-form-urlencoded"
ASKS = (
    ("0.02uF 350V waxed paper", "coupling"),
    ("0.1uF 400V", "coupling"),
    ("0.05uF 500V paper", "decoupling"),
    ("25uF 25V", "cathode-bypass"),
)


SAID = {"voltage_dc": "630V", "capacitance": "21nF"}
"""What is read on a part, by what is owed."""


@dataclass
class Told:
    """What one browser was told.

    Parameters
    ----------
    waits : list of (str, float)
        What was asked, and how long the answer took [s].
    aside, read : int
        Pieces that the page said it set aside, and readings or marks that it said it wrote down [-].
    faults : list of str
        Answers that there must not be.
    """

    waits: list[tuple[str, float]] = field(default_factory=list)
    aside: int = 0
    read: int = 0
    faults: list[str] = field(default_factory=list)


class Browser:
    """A browser that keeps its connection and its cookies.

    Parameters
    ----------
    port : int
        The server's.
    seed : int
        What it asks for follows from it.
    """

    def __init__(self, port: int, seed: int) -> None:
        self.told, self.chance = Told(), random.Random(seed)
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self._cookies: dict[str, str] = {}

    def ask(self, what: str, path: str, form: dict[str, str] | None = None) -> tuple[int, str]:
        """Ask for a page or send a form, and note how long it took."""
        headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in self._cookies.items())}
        body = urlencode(form) if form is not None else None
        began = time.perf_counter()
        self._connection.request("POST" if body is not None else "GET", path, body, {**headers, "Content-Type": FORM})
        answer = self._connection.getresponse()
        page = answer.read().decode()
        self.told.waits.append((what, time.perf_counter() - began))
        for said in answer.headers.get_all("set-cookie") or []:
            name, _, value = said.partition(";")[0].partition("=")
            self._cookies[name] = value
        if answer.status >= 500:
            self.told.faults.append(f"{answer.status} for {path}: {page[:200]}")
        return answer.status, page

    def come_in(self) -> None:
        """Say who is working."""
        page = self.ask("first", "/find")[1]
        self.ask("name", "/name", {"token": _field(page, "token"), "name": "ann"})
        self.told.waits.clear()

    def work(self) -> None:
        """Find, look at the part, set a piece aside or write a reading down."""
        text, position = self.chance.choice(ASKS)
        said = {"text": text, "family": "capacitor", "position": position}
        page = self.ask("find", f"/find?{urlencode(said)}")[1]
        for action, what in (("/find/aside", "set aside"), ("/find/record", "record")):
            forms = re.findall(rf'<form method="post" action="{action}".*?</form>', page, re.DOTALL)
            if forms and self.chance.random() < 0.5:
                form = dict(re.findall(r'name="([a-z.]+)" value="([^"]*)"', self.chance.choice(forms)))
                self.ask("part", f"/part/{form['part']}")
                status = self.ask(what, action, {**form, "value": SAID[form["reading"]]} if what == "record" else form)[
                    0
                ]
                if status == 303:
                    self.told.aside += what == "set aside"
                    self.told.read += what == "record"
                    self.ask("and again", f"/find?{urlencode(said)}")

    def close(self) -> None:
        """End the connection."""
        self._connection.close()


def _field(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, name
    return found[1]


def crowd(port: int, number: int, rounds: int, pause: Callable[[random.Random], float]) -> list[Told]:
    """Let so many browsers work at once, each so many rounds.

    Parameters
    ----------
    port : int
        The server's.
    number, rounds : int
        Browsers, and rounds of each [-].
    pause : callable
        How long a browser's person thinks between rounds [s].
    """
    ready, told = Barrier(number), []

    def one(seed: int) -> None:
        browser = Browser(port, seed)
        told.append(browser.told)
        try:
            browser.come_in()
            ready.wait(120)
            for _ in range(rounds):
                time.sleep(pause(browser.chance))
                browser.work()
        except Exception as fault:
            browser.told.faults.append(repr(fault))
            ready.abort()
        finally:
            browser.close()

    threads = [Thread(target=one, args=(seed,)) for seed in range(number)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return told


def waits(told: Iterable[Told]) -> dict[str, list[float]]:
    """Return the waits by what was asked, in rising order."""
    found: dict[str, list[float]] = {}
    for each in told:
        for what, wait in each.waits:
            found.setdefault(what, []).append(wait)
    return {what: sorted(some) for what, some in sorted(found.items())}
