"""Fifty browsers at once on a hundred thousand parts, over a real server: ``python -m tests.bench.clients``.

Each finds, looks at the part, sets a piece aside or writes a reading down, and goes on at once; with ``--think 5`` it thinks for
some seconds in between, as people do. Ends with 0 if half of all answers came within 50 ms, none took over 500 ms, and the ledger
holds what was said, no more.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

from sqlalchemy import text

from partsbin.stock.keeping.verify import verify
from partsbin.store.engine import open_store, reading
from tests.bench import catalogue
from tests.page.crowd import crowd, waits
from tests.page.served import served

MEDIAN, WORST = 0.05, 0.5


def main() -> int:
    """Run, print a table, return the exit code."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--parts", type=int, default=100_000)
    parser.add_argument("--think", type=float, default=0.0, help="seconds between rounds, on average")
    parser.add_argument("--settle", type=float, default=3.0, help="seconds that the server has been up when they come")
    parser.add_argument("--catalogue", type=Path, help="a catalogue to copy, instead of the benchmark's")
    said = parser.parse_args()
    source = said.catalogue or catalogue.files("realistic", said.parts, tell=print).store
    with tempfile.TemporaryDirectory() as folder:
        file = Path(shutil.copy(source, Path(folder) / "page.sqlite"))
        before = _figures(file)
        with served(file) as server:
            time.sleep(said.settle)
            own, of_server = time.process_time(), _processor(server.process.pid)
            told = crowd(server.port, said.clients, said.rounds, lambda chance: chance.uniform(0, 2 * said.think))
            own, of_server = time.process_time() - own, _processor(server.process.pid) - of_server
            print(f"first answer after {server.took:.2f} s; load of the machine {os.getloadavg()[0]:.1f}")
        after = _figures(file)
        wrong = _wrong(file)
    by_what = waits(told)
    every = sorted(wait for some in by_what.values() for wait in some)
    print(f"{'':12}{'answers':>8}{'median ms':>11}{'95 %':>8}{'worst':>8}")
    for what, some in {**by_what, "all": every}.items():
        figures = (some[len(some) // 2], some[int(len(some) * 0.95)], some[-1])
        print(
            f"{what:12}{len(some):8}"
            + "".join(f"{1000 * each:{wide}.1f}" for each, wide in zip(figures, (11, 8, 8), strict=True))
        )
    print(
        f"{sum(each.kept for each in told) / len(every):.0%} of the answers had been made before; processor time an answer: "
        f"server {1000 * of_server / len(every):.1f} ms, clients {1000 * own / len(every):.1f} ms"
    )
    wrong += [fault for each in told for fault in each.faults]
    done = (sum(each.aside for each in told), sum(each.read for each in told))
    if done != (after[0] - before[0], after[1] - before[1]):
        wrong.append(
            f"said to be set aside and read: {done}; in the ledger {after[0] - before[0], after[1] - before[1]}"
        )
    print("\n".join(wrong[:5]) or f"{done[0]} pieces set aside, {done[1]} readings: as the ledger holds them")
    return int(bool(wrong) or every[len(every) // 2] > MEDIAN or every[-1] > WORST)


def _processor(process: int) -> float:
    """Return the processor time that a process and those that it started have taken so far [s]."""
    said = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    started = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    return sum(map(int, said[11:13])) / os.sysconf("SC_CLK_TCK") + sum(_processor(int(each)) for each in started)


def _figures(file: Path) -> tuple[int, int]:
    engine = open_store(file)
    with reading(engine) as connection:
        aside = connection.execute(text("SELECT coalesce(sum(reserved), 0) FROM part")).scalar_one()
        read = connection.execute(text("SELECT count(*) FROM act WHERE word IN ('measured', 'marked')")).scalar_one()
    engine.dispose()
    return int(aside), int(read)


def _wrong(file: Path) -> list[str]:
    engine = open_store(file)
    with reading(engine) as connection:
        found = [str(fault) for fault in verify(connection)]
    engine.dispose()
    return found


if __name__ == "__main__":
    sys.exit(main())
