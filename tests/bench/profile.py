"""Where the time of `find` goes: the stages one by one, then the functions that take most, by cumulative time.

``python -m tests.bench.profile realistic 1000000``
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import sys
import time

from partsbin.matching.answer import build, find
from partsbin.matching.search import run
from partsbin.store.engine import open_store, reading
from tests.bench import catalogue, irons, measure, rows

ROUNDS = 15


def main() -> int:
    """Print the stages and the profile of one catalogue."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench.profile", description="Say where the time of find goes."
    )
    parser.add_argument("kind", choices=(*rows.KINDS, catalogue.IRONS))
    parser.add_argument("size", type=int)
    parser.add_argument("--window", type=int, help="how many parts have a value in the need's window")
    parser.add_argument("--top", type=int, default=15, help="how many functions")
    parser.add_argument("--own", action="store_true", help="by time spent in the function itself")
    asked = parser.parse_args()
    files = catalogue.files(
        asked.kind, asked.size, asked.window, tell=lambda line: print(line, file=sys.stderr, flush=True)
    )
    request = irons.request() if asked.kind == catalogue.IRONS else rows.request()
    with reading(open_store(files.store, create=False)) as connection:
        family, need = build(request)
        stages = measure.side_by_side(
            {
                "need": lambda: build(request),
                "search": lambda: run(connection, family, need, 5),
                "whole find": lambda: find(connection, request),
            },
            ROUNDS,
        )
        for name, runs in stages.items():
            print(f"{name:<12}{runs} ms")
        profile = cProfile.Profile(time.process_time)  # whatever else runs on the machine does not count
        profile.enable()
        for _ in range(ROUNDS):
            find(connection, request)
        profile.disable()
    stats = pstats.Stats(profile)
    stats.strip_dirs().sort_stats("tottime" if asked.own else "cumulative").print_stats(asked.top)
    return 0


if __name__ == "__main__":
    sys.exit(main())
