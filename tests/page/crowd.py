"""Many browsers at once over a real server: what each asks for, how long it waited, what it was told was done."""

from __future__ import annotations

import random
import re
import socket
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
    ("0.01uF 1000V", "coupling"),
    ("0.25uF 350V paper", "decoupling"),
    ("500pF 350V mica", "detector-filter"),
    ("5000pF 600V", "tone"),
    ("16uF 450V", "reservoir"),
    ("8uF 450V", "smoothing"),
    ("0.1uF 250V paper", "screen-bypass"),
    ("200pF 500V", "rf-bypass"),
)
"""What the browsers ask for, each what it happens to need."""


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
    kept : int
        Answers that had been made before, for this browser or another [-].
    faults : list of str
        Answers that there must not be.
    """

    waits: list[tuple[str, float]] = field(default_factory=list)
    aside: int = 0
    read: int = 0
    kept: int = 0
    faults: list[str] = field(default_factory=list)


class Browser:
    """A browser that keeps its connection and its cookies; it reads answers by itself: fifty of them share the server's machine.

    Parameters
    ----------
    port : int
        The server's.
    seed : int
        What it asks for follows from it.
    """

    def __init__(self, port: int, seed: int) -> None:
        self.told, self.chance, self.name = Told(), random.Random(seed), f"bench {seed}"
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=60)
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._reader = self._socket.makefile("rb", 65_536)
        self._head = f"Host: 127.0.0.1:{port}\r\nContent-Type: {FORM}\r\n"
        self._cookies: dict[str, str] = {}

    def ask(self, what: str, path: str, form: dict[str, str] | None = None, holds: str = "") -> tuple[int, str]:
        """Ask for a page or send a form, and note how long it took; a page must be whole and hold what it is asked for."""
        body = urlencode(form) if form is not None else ""
        method, cookies = "GET" if form is None else "POST", "; ".join(map("=".join, self._cookies.items()))
        head = f"{method} {path} HTTP/1.1\r\n{self._head}Cookie: {cookies}\r\nContent-Length: {len(body)}\r\n\r\n"
        began = time.perf_counter()
        self._socket.sendall((head + body).encode())
        status, headers = self._headers()
        page = self._reader.read(int(headers.get("content-length", ["0"])[0])).decode()
        self.told.waits.append((what, time.perf_counter() - began))
        self.told.kept += headers.get("server-timing") == ["kept"]
        for said in headers.get("set-cookie", ()):
            name, _, value = said.partition(";")[0].partition("=")
            self._cookies[name] = value
        if status not in (200, 303, 409):
            self.told.faults.append(f"{status} for {path}: {page[:200]}")
        elif status != 303 and not (page.endswith("</html>") and f">{self.name}<" in page and holds in page):
            self.told.faults.append(f"not the whole page, or another one, for {path}: {page[:200]}")
        return status, page

    def _headers(self) -> tuple[int, dict[str, list[str]]]:
        status, found = int(self._reader.readline().split()[1]), dict[str, list[str]]()
        while line := self._reader.readline().decode("latin-1").rstrip("\r\n"):
            name, _, value = line.partition(":")
            found.setdefault(name.lower(), []).append(value.strip())
        return status, found

    def come_in(self) -> None:
        """Say who is working."""
        name, self.name = self.name, "who is working?"
        page = self.ask("first", "/find")[1]
        self.name = name
        self.ask("name", "/name", {"token": _field(page, "token"), "name": name})
        self.told.waits.clear()
        self.told.kept = 0

    def work(self) -> None:
        """Find, look at the part, set a piece aside or write a reading down."""
        text, position = self.chance.choice(ASKS)
        said = {"text": text, "family": "capacitor", "position": position}
        page = self.ask("find", f"/find?{urlencode(said)}", holds=f'value="{text}"')[1]
        for action, what in (("/find/aside", "set aside"), ("/find/record", "record")):
            forms = re.findall(rf'<form method="post" action="{action}".*?</form>', page, re.DOTALL)
            forms = [form for form in forms if what != "record" or any(f'value="{each}"' in form for each in SAID)]
            if forms and self.chance.random() < 0.5:
                form = dict(re.findall(r'name="([a-z.]+)" value="([^"]*)"', self.chance.choice(forms)))
                self.ask("part", f"/part/{form['part']}", holds=f"<h1>{form['part']} ")
                form |= {"value": SAID[form["reading"]]} if what == "record" else {}
                status = self.ask(what, action, form)[0]
                if status == 303:
                    self.told.aside += what == "set aside"
                    self.told.read += what == "record"
                    again = self.ask("and again", f"/find?{urlencode(said)}", holds='<p class="done"')[1]
                    if form["part"] in again and f'name="seen" value="{form["seen"]}"' in _card(again, form["part"]):
                        self.told.faults.append(f"{form['part']} is shown as it was before it was {what}")

    def close(self) -> None:
        """End the connection."""
        self._reader.close()
        self._socket.close()


def _card(page: str, part: str) -> str:
    """Return what a page's first form on a part holds, "" without one."""
    found = re.search(rf'name="part" value="{part}">\s*<input[^>]*>', page)
    return found[0] if found else ""


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
