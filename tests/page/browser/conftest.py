"""A browser for the session, the demonstration's catalogue, and the program serving a copy of it."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.command import partsbin
from tests.page.browser.chromium import CHROMIUM, PATIENCE, Chromium, Tab

Site = Callable[[], str]


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


@pytest.fixture(scope="session")
def site(demo: Path) -> Iterator[str]:
    """Where the demonstration is served to be read."""
    with serving(demo) as address:
        yield address


@pytest.fixture
def own_site(demo: Path, tmp_path: Path) -> Iterator[str]:
    """Where a copy of the demonstration is served to be written."""
    with serving(Path(shutil.copy(demo, tmp_path / "own.sqlite"))) as address:
        yield address


@pytest.fixture(scope="session")
def keep() -> Callable[[Tab, str], None]:
    """Return what keeps a picture of a page where ``PARTSBIN_TEST_PICTURES`` says, nothing without it."""
    folder = os.environ.get("PARTSBIN_TEST_PICTURES")

    def kept(tab: Tab, name: str) -> None:
        if folder:
            tab.picture(Path(folder) / f"{name}.png")

    return kept
