"""The page in a process of its own, as `partsbin serve` runs it, on a port that is free."""

from __future__ import annotations

import http.client
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

RUN = "from partsbin.cli.main import main; main()"


@dataclass
class Served:
    """A server that runs.

    Parameters
    ----------
    port : int
        Its port on this machine.
    process : Popen
        Its process.
    took : float
        From the start of the process to its first whole answer [s].
    """

    port: int
    process: subprocess.Popen[str]
    took: float


def free_port() -> int:
    """Return a port that was free a moment ago."""
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        return int(sock.getsockname()[1])


@contextmanager
def served(db: Path, *words: str, first: str = "/find") -> Iterator[Served]:
    """Run the server while the block runs, from its first answer on."""
    port = free_port()
    began = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, "serve", "--port", str(port), *words],
        env={**os.environ, "PARTSBIN_DB": str(db)},
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        _until_it_answers(process, port, first)
        yield Served(port, process, time.perf_counter() - began)
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
        try:
            process.communicate(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()


def _until_it_answers(process: subprocess.Popen[str], port: int, first: str) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        try:
            connection.request("GET", first)
            answer = connection.getresponse()
            answer.read()
            assert answer.status == 200, answer.status
            return
        except ConnectionRefusedError:
            assert process.poll() is None, process.communicate()[1]
            time.sleep(0.005)
        finally:
            connection.close()
    raise AssertionError("no answer within a minute")
