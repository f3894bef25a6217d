"""A donor's yield of 200 lines from a file: the whole process, on an empty catalogue and on a long one."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench import measure
from tests.bench.catalogue import files
from tests.bench.lines import MEGABYTE, Plan, Row, against, tell
from tests.bench.measure import CouldNotRunError, Runs
from tests.bench.starts import IMPORTS, PROGRAM
from tests.families.test_everyday_parts import LINES

LINES_OF_A_DONOR = 200
SEED = 1954


def listed(file: Path) -> Path:
    """Write what a chassis yields: everyday parts, a third of them with a reading, a count or a place of their own."""
    source = random.Random(SEED)
    further = ("", "", "", "", " ; place box B3", " ; 3 of them, untested", " ; note from the output stage")
    texts = [source.choice(LINES).part for _ in range(LINES_OF_A_DONOR)]
    file.write_text("".join(f"{text}{source.choice(further)}\n" for text in texts), "utf-8")
    return file


def lines(plan: Plan) -> Iterator[Row]:
    """One row a catalogue."""
    rounds = max(3, plan.process_rounds // 2)
    long = files("realistic", plan.size, tell=tell)
    with TemporaryDirectory(dir=long.folder) as folder:
        here = Path(folder)
        yields, there = listed(here / "yields.txt"), here / "long.sqlite"
        shutil.copy(long.store, there)
        taken: dict[str, list[tuple[float, int]]] = {"an empty catalogue": [], f"{plan.size:,} parts": []}
        bare: list[float] = []
        try:
            for turn in range(rounds):
                for name, store in zip(taken, (here / f"{turn}.sqlite", there), strict=True):
                    command = [PROGRAM, "strip", f"D-{9000 + turn}", str(yields), "--db", str(store)]
                    taken[name].append(measure.once(command, may_say_no=True))
                bare.append(measure.once(IMPORTS)[0])
        except CouldNotRunError as fault:
            tell(str(fault))
            yield Row("strip", "could not run", "", "")
            return
    for name, runs in taken.items():
        ours = Runs(tuple(seconds for seconds, _ in runs), max(peak for _, peak in runs))
        what = f"strip, process, {LINES_OF_A_DONOR} lines into {name}, {ours.peak / MEGABYTE:.0f} MB: import sqlmodel, typer"
        yield against(what, ours, Runs(tuple(bare)))
