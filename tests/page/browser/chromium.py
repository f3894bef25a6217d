"""A headless Chromium, led over the pipe of its own debugging protocol: no driver program and no library between.

A page is used as a person does: elements are found by what a screen reader calls them, touched where they are drawn, and
typed into by keys. What the page writes on its console, and every address that it asks for, is kept.
"""

from __future__ import annotations

import base64
import itertools
import json
import os
import select
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PATIENCE = 20.0
"""Seconds that anything may take on a busy machine, at most [s]."""

_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-default-apps",
    "--disable-extensions",
    "--hide-scrollbars",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
    "--remote-debugging-pipe",
)
_KEYS = {"Tab": 9, "Enter": 13, "Escape": 27, " ": 32, "ArrowDown": 40, "End": 35}


class BrowserError(AssertionError):
    """The browser did not do what it was told: the page lacks what a person would look for, or time ran out."""


class Chromium:
    """One browser; every tab is a visitor of its own, with its own cookies.

    Parameters
    ----------
    profile : Path
        An empty folder for it.
    """

    def __init__(self, profile: Path) -> None:
        commands, ours_out = os.pipe()
        ours_in, answers = os.pipe()
        shell = f'exec "$@" 3<&{commands} 4>&{answers}'
        self._process = subprocess.Popen(
            ["bash", "-c", shell, "bash", str(CHROMIUM), *_FLAGS, f"--user-data-dir={profile}", "about:blank"],
            pass_fds=(commands, answers),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "HOME": str(profile)},
        )
        os.close(commands)
        os.close(answers)
        self._out, self._in, self._read = ours_out, ours_in, b""
        self._numbers = itertools.count(1)
        self._heard: dict[str, list[dict[str, Any]]] = {}

    def close(self) -> None:
        """End it."""
        self.tell("Browser.close")
        self._process.wait(PATIENCE)
        os.close(self._out)
        os.close(self._in)

    def tell(self, method: str, session: str = "", **values: Any) -> dict[str, Any]:
        """Give a command and return its answer; what happens meanwhile is kept for who waits for it."""
        number = next(self._numbers)
        message = {"id": number, "method": method, "params": values, **({"sessionId": session} if session else {})}
        os.write(self._out, json.dumps(message).encode() + b"\0")
        deadline = time.monotonic() + PATIENCE
        while True:
            heard = self._next(deadline, method)
            if heard.get("id") == number:
                if "error" in heard:
                    raise BrowserError(f"{method}: {heard['error']['message']}")
                found: dict[str, Any] = heard["result"]
                return found
            self._heard.setdefault(heard.get("sessionId", ""), []).append(heard)

    def heard(self, session: str) -> list[dict[str, Any]]:
        """Return what happened in a session and nobody has asked for yet."""
        return self._heard.pop(session, [])

    def wait(self, session: str, deadline: float, what: str) -> list[dict[str, Any]]:
        """Return what happens next in a session."""
        while not self._heard.get(session):
            heard = self._next(deadline, what)
            self._heard.setdefault(heard.get("sessionId", ""), []).append(heard)
        return self.heard(session)

    def _next(self, deadline: float, what: str) -> dict[str, Any]:
        while b"\0" not in self._read:
            ready, _, _ = select.select([self._in], [], [], max(0.0, deadline - time.monotonic()))
            if not ready:
                raise BrowserError(f"nothing heard for {PATIENCE:g} s after {what}")
            got = os.read(self._in, 1 << 20)
            if not got:
                raise BrowserError(f"the browser ended at {what}")
            self._read += got
        first, _, self._read = self._read.partition(b"\0")
        message: dict[str, Any] = json.loads(first)
        return message

    @contextmanager
    def tab(self, *, width: int = 1280, height: int = 900, dark: bool = False, scripts: bool = True) -> Iterator[Tab]:
        """Open a visitor's tab, on a phone where it is narrow, and close it."""
        context = self.tell("Target.createBrowserContext")["browserContextId"]
        target = self.tell("Target.createTarget", url="about:blank", browserContextId=context)["targetId"]
        session = self.tell("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        tab = Tab(self, session)
        try:
            for domain in ("Page", "Runtime", "Network", "Log", "DOM", "Accessibility"):
                tab.tell(f"{domain}.enable")
            phone = width < 600
            tab.tell(
                "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=phone
            )
            tab.tell("Emulation.setTouchEmulationEnabled", enabled=phone)
            tab.scheme(dark=dark)
            tab.tell("Emulation.setScriptExecutionDisabled", value=not scripts)
            yield tab
        finally:
            self.tell("Target.disposeBrowserContext", browserContextId=context)
            self._heard.pop(session, None)


class Tab:
    """A page that somebody uses; taps and typed fields are counted.

    Parameters
    ----------
    browser : Chromium
        Whose tab it is.
    session : str
        What the browser calls it.
    """

    def __init__(self, browser: Chromium, session: str) -> None:
        self._browser, self._session = browser, session
        self.taps = self.fields = self.letters = 0
        self.console: list[str] = []
        self.asked: list[str] = []
        self.weight = 0

    def tell(self, method: str, **values: Any) -> dict[str, Any]:
        """Give a command of the protocol."""
        return self._browser.tell(method, self._session, **values)

    def scheme(self, *, dark: bool) -> None:
        """Have it drawn dark, or light."""
        wanted = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.tell("Emulation.setEmulatedMedia", features=[wanted])

    def open(self, address: str) -> None:
        """Go to an address and wait until the page is there."""
        self._led(lambda: self.tell("Page.navigate", url=address), address)

    def tap(self, role: str, name: str, *, leads: bool = False, at: int = 0) -> None:
        """Touch what has this role and name; `leads` waits for the page behind it."""
        node = self.find(role, name, at)
        self.taps += 1
        if leads:
            self._led(lambda: self._touch(node), name)
        else:
            self._touch(node)

    def type(self, name: str, text: str, *, at: int = 0) -> None:
        """Type into the field of this name, over what stands there."""
        self._touch(self.find("textbox", name, at))
        self.taps += 1
        self.fields += 1
        self.letters += len(text)
        self.tell("Input.dispatchKeyEvent", type="rawKeyDown", commands=["selectAll"], key="a", modifiers=2)
        self.tell("Input.dispatchKeyEvent", type="keyUp", key="a", modifiers=2)
        self.tell("Input.insertText", text=text)

    def choose(self, name: str, word: str, *, at: int = 0) -> None:
        """Choose a word of a list: on a phone two taps, here typed, because headless it has no list to show."""
        self.tell("DOM.focus", backendNodeId=self.find("combobox", name, at))
        self.taps += 2
        for letter in word:
            self.tell("Input.dispatchKeyEvent", type="char", text=letter)

    def press(self, key: str, *, leads: bool = False) -> None:
        """Press a key."""

        def press() -> None:
            text = {"Enter": "\r", " ": " "}.get(key, "")
            common = {"key": key, "windowsVirtualKeyCode": _KEYS[key], "code": {" ": "Space"}.get(key, key)}
            self.tell("Input.dispatchKeyEvent", type="keyDown" if text else "rawKeyDown", text=text, **common)
            self.tell("Input.dispatchKeyEvent", type="keyUp", **common)

        if leads:
            self._led(press, key)
        else:
            press()

    def find(self, role: str, name: str, at: int = 0) -> int:
        """Return the node that a screen reader calls so, the `at`-th of several; a part of the name will do."""
        seen = [(said, node) for said_role, said, node in self.outline() if said_role == role]
        found = [node for said, node in seen if said == name] or [node for said, node in seen if name in said]
        if len(found) <= at:
            raise BrowserError(f"no {role} called {name!r} on {self.address}: {[said for said, _ in seen]}")
        return found[at]

    def outline(self) -> list[tuple[str, str, int]]:
        """Return role, name and node of everything that a screen reader is told of."""
        nodes = self.tell("Accessibility.getFullAXTree")["nodes"]
        return [
            (node["role"]["value"], node.get("name", {}).get("value", ""), node["backendDOMNodeId"])
            for node in nodes
            if not node["ignored"] and "backendDOMNodeId" in node
        ]

    def value(self, script: str) -> Any:
        """Return what an expression gives on the page; the page itself need not run scripts for it."""
        answer = self.tell("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise BrowserError(f"{script[:80]}: {answer['exceptionDetails']}")
        return answer["result"].get("value")

    @property
    def address(self) -> str:
        """Where it is."""
        return str(self.value("location.href"))

    @property
    def text(self) -> str:
        """What can be read on the page."""
        return str(self.value("document.body.innerText"))

    @property
    def focused(self) -> str:
        """Role and name of what has the focus, as a screen reader says them."""
        node = self.tell("Runtime.evaluate", expression="document.activeElement")["result"]["objectId"]
        found = self.tell("Accessibility.getPartialAXTree", objectId=node, fetchRelatives=False)["nodes"][0]
        return f"{found['role']['value']} {found.get('name', {}).get('value', '')}".strip()

    def until(self, holds: Callable[[], bool], what: str) -> None:
        """Wait until something is so."""
        deadline = time.monotonic() + PATIENCE
        while not holds():
            if time.monotonic() > deadline:
                raise BrowserError(f"not so after {PATIENCE:g} s: {what}")

    def picture(self, file: Path) -> None:
        """Keep the whole page as a picture."""
        file.parent.mkdir(parents=True, exist_ok=True)
        taken = self.tell("Page.captureScreenshot", captureBeyondViewport=True)
        file.write_bytes(base64.b64decode(taken["data"]))

    def printed(self) -> bytes:
        """Return the page as it is printed, A4."""
        made = self.tell("Page.printToPDF", paperWidth=8.27, paperHeight=11.69)
        return base64.b64decode(made["data"])

    def listen(self) -> None:
        """Sort what was heard so far."""
        self._sort(self._browser.heard(self._session))

    def _led(self, act: Callable[[], Any], what: str) -> None:
        self.listen()
        act()
        deadline = time.monotonic() + PATIENCE
        while not self._sort(self._browser.wait(self._session, deadline, what)):
            pass

    def _touch(self, node: int) -> None:
        self.tell("DOM.scrollIntoViewIfNeeded", backendNodeId=node)
        quads = self.tell("DOM.getContentQuads", backendNodeId=node)["quads"]
        if not quads:
            raise BrowserError("it is not drawn anywhere")
        x, y = sum(quads[0][0::2]) / 4, sum(quads[0][1::2]) / 4
        for kind in ("mousePressed", "mouseReleased"):
            self.tell("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def _sort(self, events: list[dict[str, Any]]) -> bool:
        """Keep what is of interest; return whether a page has come."""
        loaded = False
        for event in events:
            said = event["params"]
            match event["method"]:
                case "Page.loadEventFired":
                    loaded = True
                case "Network.requestWillBeSent":
                    self.asked.append(said["request"]["url"])
                    self.weight = 0 if said["type"] == "Document" else self.weight
                case "Network.dataReceived":
                    self.weight += said["dataLength"]
                case "Runtime.exceptionThrown":
                    self.console.append(str(said["exceptionDetails"]))
                case "Runtime.consoleAPICalled" if said["type"] in ("error", "warning", "assert"):
                    self.console.append(str(said["args"]))
                case "Log.entryAdded" if said["entry"]["level"] in ("error", "warning"):
                    self.console.append(f"{said['entry']['text']} {said['entry'].get('url', '')}")
        return loaded
