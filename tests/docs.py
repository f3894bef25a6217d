"""The documents read as data: marked blocks, and console blocks whose commands are run and whose output is compared.

``python -m tests.docs`` runs the commands of README.md again and writes what they print now in place of what stands there, and the
tables that follow from the code.
"""

from __future__ import annotations

import difflib
import os
import re
import shlex
import shutil
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path

from partsbin.families import load, names
from partsbin.sources import source
from tests.command import Ran, partsbin

ROOT = Path(__file__).parents[1]
LEFT_OUT = "[…]"
"""Stands for any number of whole lines that a document does not repeat."""

COLUMNS = 100
_BLOCK = re.compile(r"^```(?P<kind>[a-z]*)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)
_DATE = re.compile(r"\b20[0-9]{2}-[0-9]{2}-[0-9]{2}\b")


@dataclass
class Step:
    """A command of a console block and the lines that stand under it."""

    command: str
    lines: list[str]


def document(name: str) -> str:
    """Return a document's text."""
    return (ROOT / name).read_text(encoding="utf-8")


def marked(text: str, marker: str) -> str:
    """Return the body of the fenced block below ``<!-- marker -->``.

    Raises
    ------
    LookupError
        If there is none.
    """
    head = f"<!-- {marker} -->\n"
    block = _BLOCK.match(text, text.find(head) + len(head)) if head in text else None
    if block is None:
        raise LookupError(f"no block marked {marker!r}")
    return block["body"]


def marked_files(text: str) -> dict[str, str]:
    """Return the blocks marked ``<!-- file: NAME -->``: files that the commands below them read."""
    return {name: marked(text, f"file: {name}") for name in re.findall(r"<!-- file: (\S+) -->", text)}


def console(text: str) -> list[Step]:
    """Return every command of the console blocks, in order; a line that does not begin with ``$`` is output."""
    steps: list[Step] = []
    for block in _BLOCK.finditer(text):
        for line in block["body"].splitlines() if block["kind"] == "console" else ():
            if line.startswith("$ "):
                steps.append(Step(line.removeprefix("$ "), []))
            elif steps:
                steps[-1].lines.append(line)
    return steps


class Shell:
    """A folder with the demonstration inventory, in which the commands of a document are run one after the other."""

    def __init__(self, folder: Path, files: dict[str, str]) -> None:
        self.folder, self.environment, self.last = folder, {"PARTSBIN_DB": "none.sqlite"}, 0
        shutil.copy(ROOT / "demo_inventory.csv", folder)
        for name, body in files.items():
            (folder / name).write_text(body, encoding="utf-8")

    def run(self, command: str) -> Ran:
        """Run ``partsbin …``, ``NAME=VALUE partsbin …``, ``export NAME=VALUE`` or ``echo $?``.

        Raises
        ------
        LookupError
            If it is another command: a document shows no more than these.
        """
        words = shlex.split(command)
        if words == ["echo", "$?"]:
            return Ran(0, f"{self.last}\n", "")
        given = dict(word.split("=", 1) for word in words if re.match(r"PARTSBIN_[A-Z]+=", word))
        rest = [word for word in words if word.partition("=")[0] not in given]
        if rest == ["export"]:
            self.environment |= given
            return Ran(0, "", "")
        if rest[:1] != ["partsbin"]:
            raise LookupError(f"not a command that a document may show: {command!r}")
        now = self.environment | given
        rules = self.folder / now["PARTSBIN_RULES"] if "PARTSBIN_RULES" in now else None
        before = Path.cwd()
        os.chdir(self.folder)
        try:
            ran = self.work(rest[1:], Path(now["PARTSBIN_DB"]), rules)
        finally:
            os.chdir(before)
        self.last = ran.code
        return ran

    def work(self, words: list[str], db: Path, rules: Path | None) -> Ran:
        """Run the words after ``partsbin`` in the folder."""
        return partsbin(*words, db=db, rules=rules, columns=COLUMNS)


def printed(ran: Ran) -> list[str]:
    """Return what a command leaves on the terminal: stdout, then stderr."""
    return f"{ran.out}{ran.err}".splitlines()


def dateless(line: str) -> str:
    """Return a line with the date struck out."""
    return _DATE.sub("DATE", line.rstrip())


def agrees(stands: list[str], now: list[str]) -> bool:
    """Return whether what stands in a document is what is printed now, lines left out where it says so."""
    signs = [r"(?:[^\n]*\n)+?" if line == LEFT_OUT else re.escape(f"{dateless(line)}\n") for line in stands]
    return re.fullmatch("".join(signs), "".join(f"{dateless(line)}\n" for line in now)) is not None


def refreshed(stands: list[str], now: list[str]) -> list[str]:
    """Return the lines as they are printed now, left out where they were left out before."""
    old, new = [dateless(line) for line in stands], [dateless(line) for line in now]
    made: list[str] = []
    for what, start, stop, first, last in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if LEFT_OUT not in stands[start:stop]:
            made += now[first:last] if what != "equal" else _undated(stands[start:stop], now[first:last])
            continue
        before = stands[start:stop].index(LEFT_OUT)
        after = stands[start:stop][::-1].index(LEFT_OUT)
        kept = max(last - after, first + before)
        made += [*now[first : first + before], LEFT_OUT, *now[kept:last]]
    return made


def _undated(stands: list[str], now: list[str]) -> list[str]:
    """Keep the dates that stand: they say nothing."""
    return stands if [dateless(line) for line in stands] == [dateless(line) for line in now] else now


def rewritten(text: str, folder: Path) -> Iterator[str]:
    """Yield a document in pieces, console blocks with the output of today."""
    shell, done = Shell(folder, marked_files(text)), 0
    for block in _BLOCK.finditer(text):
        if block["kind"] == "console":
            yield text[done : block.start()]
            steps = console(block[0])
            fresh = [[f"$ {step.command}", *refreshed(step.lines, printed(shell.run(step.command)))] for step in steps]
            yield "```console\n" + "".join(f"{line}\n" for lines in fresh for line in lines) + "```"
            done = block.end()
    yield text[done:]


def _as_code(words: Iterable[str]) -> str:
    return " ".join(f"`{word}`" for word in words)


def position_rows() -> list[str]:
    """Return the README's table of positions, a row a family."""
    return [f"| {name} | {_as_code(load(name).rules().positions)} |" for name in names()]


def column_rows() -> list[str]:
    """Return the README's table of columns, a row a family."""
    return [f"| {name} | {_as_code(load(name).facts.model_fields)} |" for name in names()]


def check_rows() -> list[str]:
    """Return the table of checks in DEVELOPERS.md: code, title, wall, how its figures came here."""
    checks = [check for name in names() for check in sorted(load(name).checks, key=lambda check: check.code)]
    return [
        f"| `{check.code}` | {check.title} | {'wall' if check.wall else ''} | {source(check.source).standing} |"
        for check in checks
    ]


def rows_under(text: str, head: str) -> list[str]:
    """Return the rows of the table with that heading line."""
    lines = text.split(f"{head}\n", 1)[1].splitlines()[1:]
    return list(takewhile(lambda line: line.startswith("|"), lines))


def _with_rows(text: str, head: str, rows: list[str]) -> str:
    old = "".join(f"{row}\n" for row in rows_under(text, head))
    before, after = text.split(f"{head}\n", 1)
    new = "".join(f"{row}\n" for row in rows)
    return f"{before}{head}\n{after.replace(old, new, 1)}"


POSITIONS, FIELDS, CHECKS = "| family | positions |", "| family | columns |", "| code | check | wall | figures |"


def refresh() -> None:
    """Write both documents anew."""
    with tempfile.TemporaryDirectory() as name:
        readme = "".join(rewritten(document("README.md"), Path(name)))
    readme = _with_rows(_with_rows(readme, POSITIONS, position_rows()), FIELDS, column_rows())
    (ROOT / "README.md").write_text(readme, encoding="utf-8")
    developers = _with_rows(document("DEVELOPERS.md"), CHECKS, check_rows())
    (ROOT / "DEVELOPERS.md").write_text(developers, encoding="utf-8")


if __name__ == "__main__":
    refresh()
