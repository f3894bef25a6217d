"""A browser for the session, the demonstration's catalogue, the program serving a copy of it, and a workshop for each view."""

from __future__ import annotations

import os
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from threading import Thread

import pytest
import uvicorn

from partsbin.page.app import create
from partsbin.store.engine import open_store
from tests.command import partsbin
from tests.page.browser.checker import checker
from tests.page.browser.chromium import CHROMIUM, PATIENCE, Chromium, Tab
from tests.page.browser.workshop import EIGHT, View, Workshop


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what cannot run on a bare machine, and say what it lacks."""
    if CHROMIUM is None:
        for item in items:
            if item.path.is_relative_to(Path(__file__).parent):
                item.add_marker(pytest.mark.skip(reason="no chromium on this machine: apt-get install chromium"))


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chromium]:
    """One browser for all tests of this process: a tab each keeps them apart."""
    opened = Chromium(tmp_path_factory.mktemp("profile"))
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's catalogue; whoever writes takes a copy."""
    file = tmp_path_factory.mktemp("demo") / "demo.sqlite"
    assert partsbin("demo", "--db", str(file)).code == 0
    return file


def copied(catalogue: Path, file: Path) -> Path:
    """Return a copy of a catalogue, what lies beside its file included."""
    with closing(sqlite3.connect(catalogue)) as source, closing(sqlite3.connect(file)) as copy:
        source.backup(copy)
    return file


@contextmanager
def serving(catalogue: Path) -> Iterator[str]:
    """Start the program as a person does, and return where it answers."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "partsbin.cli.main", "serve", "--port", str(port), "--db", str(catalogue)]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        deadline = time.monotonic() + PATIENCE
        while True:
            try:
                socket.create_connection(("127.0.0.1", port), 0.2).close()
                break
            except OSError:
                assert running.poll() is None, "the program ended"
                assert time.monotonic() < deadline, "the program does not answer"
        yield f"http://127.0.0.1:{port}"
    finally:
        running.terminate()
        running.wait(PATIENCE)


@contextmanager
def serving_here(catalogue: Path) -> Iterator[str]:
    """Serve a catalogue from this process: the same pages without the start of a program, for each test that writes."""
    engine, listening = open_store(catalogue), socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(create(engine), log_level="critical", ws="none", lifespan="off"))
    thread = Thread(target=server.run, args=([listening],))
    thread.start()
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = server.force_exit = True
        thread.join(PATIENCE)
        listening.close()
        engine.dispose()


@pytest.fixture(scope="session")
def used(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration with a repair under way: needs, a part fitted, a donor that was stripped further."""
    file = copied(demo, tmp_path_factory.mktemp("used") / "used.sqlite")
    for words in (
        ("job", "open", "intercom from the cellar", "--with", "rail=200", "--with", "lineup=ECC83 EL84 EZ80"),
        ("job", "need", "J-1", "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C7"),
        ("job", "need", "J-1", "capacitor", "32uF 350V", "-p", "reservoir", "-d", "C1"),
        ("fit", "P-0002", "-j", "J-1", "-p", "coupling", "--original", "0.02uF 350V"),
        ("measure", "P-0078", "capacitance=48uF"),
        ("measure", "P-0078", "capacitance=41uF"),
    ):
        ran = partsbin(*words, db=file)
        assert ran.code == 0, (words, ran.err)
    return file


@pytest.fixture(scope="session")
def site(used: Path) -> Iterator[str]:
    """Where a catalogue with a repair under way is served to be read."""
    with serving(used) as address:
        yield address


@pytest.fixture
def own_site(demo: Path, tmp_path: Path) -> Iterator[str]:
    """Where a copy of the demonstration is served to be written."""
    with serving_here(copied(demo, tmp_path / "own.sqlite")) as address:
        yield address


@pytest.fixture(scope="session")
def shop(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration with a supplier who has coupling capacitors."""
    folder = tmp_path_factory.mktemp("shop")
    file, prices = copied(demo, folder / "shop.sqlite"), folder / "prices.csv"
    prices.write_text("Order code,Description,Price\nK1,22 nF 630V polypropylene axial,0.40\n", encoding="utf-8")
    assert partsbin("import", str(prices), "--as", "offers", "--supplier", "Bridge Valves", db=file).code == 0
    return file


@pytest.fixture(scope="session", params=EIGHT, ids=str)
def shared(
    request: pytest.FixtureRequest, browser: Chromium, shop: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Workshop]:
    """A workshop of one view, for all tests of that view: each opens jobs of its own and touches parts of its own."""
    view: View = request.param
    file = copied(shop, tmp_path_factory.mktemp("view") / "view.sqlite")
    with serving_here(file) as site, browser.tab(width=view.width, scripts=view.scripts, dark=view.dark) as tab:
        tab.open(f"{site}/find")
        tab.type("who is working", "bench")
        tab.tap("button", "that is me", leads=True)
        yield Workshop(view, file, site, tab)


@pytest.fixture
def workshop(shared: Workshop) -> Iterator[Workshop]:
    """The same, for one test: nothing may stand on its console, nothing may be asked for elsewhere."""
    shared.tab.console.clear()
    shared.tab.asked.clear()
    yield shared
    shared.tab.listen()
    assert shared.tab.console == []
    assert [each for each in shared.tab.asked if not each.startswith(f"{shared.site}/")] == []


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility checker's own script, "" where it is not named."""
    return checker()


@pytest.fixture(scope="session")
def keep() -> Callable[[Tab, str], None]:
    """Return what keeps a picture of a page where ``PARTSBIN_TEST_PICTURES`` says, nothing without it."""
    folder = os.environ.get("PARTSBIN_TEST_PICTURES")

    def kept(tab: Tab, name: str) -> None:
        if folder:
            tab.picture(Path(folder) / f"{name}.png")

    return kept
