"""Where the page is served: this machine alone or one address of a private network, and plain words where it cannot be."""

from __future__ import annotations

import signal
import socket
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

import partsbin.page.serving as serving
from partsbin.errors import UsageError
from partsbin.page.devices import let_in
from partsbin.page.makers import spare_cores
from partsbin.store.engine import open_store, writing
from tests.command import partsbin
from tests.page.served import free_port, served

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


@pytest.fixture
def catalogue(tmp_path: Path) -> Path:
    """An empty catalogue."""
    open_store(tmp_path / "page.sqlite").dispose()
    return tmp_path / "page.sqlite"


@pytest.fixture
def taken() -> Iterator[int]:
    """A port that another program listens at."""
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        sock.listen()
        yield int(sock.getsockname()[1])


def test_a_port_in_use_is_told_in_plain_words(catalogue: Path, taken: int) -> None:
    """Exit code 2, which port, what to do; no trace of the inside."""
    ran = partsbin("serve", "--port", str(taken), db=catalogue)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        f"partsbin: port {taken} of 127.0.0.1 is in use: by another program, or the page is served already\n"
        "    hint: end it, or name another port with --port\n"
    )


def test_an_address_that_is_not_ours_is_told() -> None:
    """One of another machine of the bench."""
    with pytest.raises(UsageError, match=r"^10\.254\.253\.252 is not an address of this machine$"):
        serving.listen("10.254.253.252", free_port())


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("bench", "'bench' is no address: expected one such as 192.168.1.20"),
        ("0.0.0.0", "0.0.0.0 is no address on a network"),
        ("127.0.0.1", "127.0.0.1 is no address on a network"),
        ("::", ":: is no address on a network"),
        ("8.8.4.4", "8.8.4.4 is reached from everywhere: expected an address of a private network"),
        ("2001:4860::1", "2001:4860::1 is reached from everywhere"),
    ],
)
def test_the_page_is_not_served_to_the_whole_world(said: str, why: str) -> None:
    """Only on an address of a private network."""
    with pytest.raises(UsageError, match=f"^{why}"):
        serving.lan_address(said)


@pytest.mark.parametrize("said", ["192.168.7.20", "10.0.0.2", "172.16.5.1", "169.254.10.1", "fd00::2"])
def test_an_address_of_a_private_network_is_taken_as_it_is(said: str) -> None:
    """Whatever this machine has besides."""
    assert serving.lan_address(said) == said


@pytest.mark.parametrize(
    ("known", "said"),
    [
        ([], "this machine's address on the bench's network is not known"),
        (["127.0.0.1", "8.8.4.4"], "this machine's address on the bench's network is not known"),
        (["10.0.0.2", "192.168.7.20"], r"this machine has several addresses: 10\.0\.0\.2, 192\.168\.7\.20"),
    ],
)
def test_an_address_is_not_guessed(monkeypatch: pytest.MonkeyPatch, known: list[str], said: str) -> None:
    """None or several: the repairer names it."""
    monkeypatch.setattr(serving, "_on_the_way", lambda: known)
    monkeypatch.setattr(serving, "_by_name", list)
    with pytest.raises(UsageError, match=f"^{said}$") as told:
        serving.lan_address()
    assert "--host ADDRESS" in str(told.value.hint)


def test_the_only_address_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing has to be said then."""
    monkeypatch.setattr(serving, "_on_the_way", lambda: ["192.168.7.20", "192.168.7.20"])
    monkeypatch.setattr(serving, "_by_name", lambda: ["127.0.1.1"])
    assert serving.lan_address() == "192.168.7.20"


def test_a_host_without_the_network_is_refused(catalogue: Path) -> None:
    """It would not be listened to."""
    ran = partsbin("serve", "--host", "192.168.7.20", db=catalogue)
    assert (ran.code, ran.err) == (
        2,
        "partsbin: --host goes with --lan: without it this machine alone is listened to\n",
    )


def test_devices_are_listed_and_forgotten_at_the_terminal(catalogue: Path) -> None:
    """By their numbers; the second time says no."""
    empty = partsbin("serve", "--devices", db=catalogue)
    engine = open_store(catalogue)
    with writing(engine) as connection:
        let_in(connection, "tablet", NOON)
    engine.dispose()
    listed = partsbin("serve", "--devices", db=catalogue)
    ran = [partsbin("serve", "--forget", number, db=catalogue) for number in ("1", "1", "7")]
    assert [empty.out, listed.out] == ["no device was let in\n", "   1  tablet: let in 2026-03-01, never seen\n"]
    assert [(each.code, each.out or each.err) for each in ran] == [
        (0, "device 1 (tablet) is forgotten\n"),
        (1, "partsbin: device 1 ('tablet') is forgotten already\n"),
        (1, "partsbin: no device 7\n    hint: partsbin serve --devices lists them\n"),
    ]


def test_it_serves_and_ends_with_ctrl_c(catalogue: Path) -> None:
    """As a process of its own: exit code 0, nothing but its address on the terminal."""
    with served(catalogue) as server:
        server.process.send_signal(signal.SIGINT)
        said = server.process.communicate(timeout=20)[1]
    assert (server.process.returncode, said) == (0, f"    http://127.0.0.1:{server.port}/ until Ctrl-C\n")


def _children(process: int) -> list[Path]:
    return [Path(f"/proc/{child}") for child in Path(f"/proc/{process}/task/{process}/children").read_text().split()]


def _until(holds: Callable[[], object]) -> None:
    until = time.monotonic() + 20
    while not holds():
        assert time.monotonic() < until
        time.sleep(0.02)


@pytest.mark.skipif(spare_cores() < 1, reason="a machine of one core has no processes beside the server")
@pytest.mark.parametrize(("by", "code"), [(signal.SIGINT, 0), (signal.SIGTERM, 0), (signal.SIGKILL, -9)])
def test_it_leaves_no_process_behind(catalogue: Path, by: signal.Signals, code: int) -> None:
    """Whoever ends it, and however: those that make pages beside it end with it, and nothing is said where it could say it."""
    with served(catalogue) as server:
        _until(lambda: _children(server.process.pid))
        beside = _children(server.process.pid)
        server.process.send_signal(by)
        said = server.process.communicate(timeout=20)[1]
    _until(lambda: not any(each.exists() for each in beside))
    assert server.process.returncode == code
    assert code or said == f"    http://127.0.0.1:{server.port}/ until Ctrl-C\n"
