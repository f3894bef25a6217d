"""What every command takes from its start to its end: ``--help``, and the first call that README.md shows; and the page's start.

The calls of README.md are run in its order in a folder of their own, each in a process: they are what a person types, on a
small catalogue, so that starting is most of it. Help of one command has no target: a typer program whose commands stand beside
an option of its own loads pydantic to read that option, which ``partsbin --help`` is spared.
"""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.error import URLError
from urllib.request import urlopen

from partsbin.cli.main import app
from tests.bench import measure
from tests.bench.lines import MEGABYTE, Plan, Row, against, tell
from tests.bench.measure import CouldNotRunError, Runs
from tests.command import Ran
from tests.docs import Shell, console, document, marked_files

PROGRAM = str(Path(sys.executable).with_name("partsbin"))
TYPER = [sys.executable, "-c", "import typer"]
IMPORTS = [sys.executable, "-c", "import sqlmodel, typer"]
PAGE_IMPORTS = [sys.executable, "-c", "import sqlmodel, typer, starlette.applications, uvicorn, jinja2"]
PATIENCE = 30.0


def commands() -> list[str]:
    """Return every command, those of a group by both words."""
    single = [str(each.name) for each in app.registered_commands]
    groups = [
        f"{group.name} {each.name}"
        for group in app.registered_groups
        for each in (group.typer_instance.registered_commands if group.typer_instance else ())
    ]
    return [*single, *groups]


class Timed(Shell):
    """The commands of a document as processes: the seconds and the peak memory of each command's first call."""

    def __init__(self, folder: Path, files: dict[str, str]) -> None:
        super().__init__(folder, files)
        self.first: dict[str, tuple[float, int]] = {}

    def work(self, words: list[str], db: Path, rules: Path | None) -> Ran:
        """Run it; what it printed is nobody's concern here."""
        environment = {"PARTSBIN_DB": str(db), "PARTSBIN_RULES": str(rules or "")}
        took = measure.once([PROGRAM, *words], environment, may_say_no=True)
        known = commands()
        name = " ".join(words[:2]) if " ".join(words[:2]) in known else words[0]
        self.first.setdefault(name, took)
        return Ran(0, "", "")


def played() -> dict[str, tuple[float, int]]:
    """Play README.md once, and the demonstration."""
    text = document("README.md")
    with TemporaryDirectory() as folder:
        shell = Timed(Path(folder), marked_files(text))
        for step in console(text):
            shell.run(step.command)
        shell.work(["demo"], Path("demo.sqlite"), None)
    return shell.first


def lines(plan: Plan) -> Iterator[Row]:
    """Two rows a command."""
    names = commands()
    tell(f"starts: {len(names)} commands")
    helps = {name: [PROGRAM, *name.split(), "--help"] for name in names}
    rounds = max(3, plan.process_rounds // 3)
    try:
        runs = measure.processes({"typer": TYPER, "sqlmodel": IMPORTS, **helps}, rounds)
        plays = [played() for _ in range(rounds)]
    except CouldNotRunError as fault:
        tell(str(fault))
        yield Row("starts", "could not run", "", "", "", False)
        return
    for name in names:
        yield against(f"start, partsbin {name} --help: import typer", runs[name], runs["typer"])
        taken = [play[name] for play in plays if name in play]
        if taken:
            call = Runs(tuple(seconds for seconds, _ in taken), max(peak for _, peak in taken))
            yield against(f"    a call, {call.peak / MEGABYTE:.0f} MB: import sqlmodel, typer", call, runs["sqlmodel"])
        elif name != "serve":
            tell(f"starts: README.md shows no call of {name!r}")
    yield from _page(rounds)


def _page(rounds: int) -> Iterator[Row]:
    with TemporaryDirectory() as folder:
        store = Path(folder) / "page.sqlite"
        measure.once([PROGRAM, "shelve", "22n 630V polypropylene", "--db", str(store)])
        imports = measure.processes({"imports": PAGE_IMPORTS}, rounds)["imports"]
        served = Runs(tuple(_until_it_answers(store) for _ in range(rounds)))
    yield against("start, partsbin serve to its first page: import of what it stands on", served, imports)


def _until_it_answers(store: Path) -> float:
    """Return what passes between the start and the first page [s]."""
    with closing(socket.socket()) as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = measure.compiled()
    start = time.perf_counter()
    process = subprocess.Popen(
        [PROGRAM, "serve", "--port", str(port), "--db", str(store)], stderr=subprocess.DEVNULL, env=environment
    )
    try:
        while time.perf_counter() - start < PATIENCE:
            try:
                with urlopen(f"http://127.0.0.1:{port}/", timeout=PATIENCE) as answer:
                    if not re.search(rb"<h1|<form", answer.read()):
                        raise CouldNotRunError("the page came without a form")
                return time.perf_counter() - start
            except (URLError, ConnectionError):
                time.sleep(0.005)  # not listening yet
        raise CouldNotRunError(f"the page did not answer in {PATIENCE:.0f} s")
    finally:
        process.terminate()
        process.wait()
