"""The benchmarks as one table: ours and the others side by side in one run, medians of several with least and most.

``python -m tests.bench.run`` takes a million parts (the first time it makes the catalogues, some minutes each);
``--quick`` a hundred thousand. Ends with 0 if every target is met, 1 if one is missed, 2 if ours and the others disagree.
Rows without a target stand beside one that has it.
"""

from __future__ import annotations

import argparse
import os
import platform
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import partial
from pathlib import Path

import duckdb
from sqlalchemy import Connection

from partsbin.matching.answer import find
from tests.bench import agree, imports, irons, ledger, measure, of_families, rows, searches, starts, stripped, whole_set
from tests.bench.catalogue import IRONS, files
from tests.bench.lines import MEGABYTE, Plan, Row, against, table, tell
from tests.bench.measure import CouldNotRunError
from tests.bench.rivals import LIMIT, Duck, pandas_script

SMALL, WINDOW = 10_000, 3_000
IRONS_SHARE = 0.2


def ours(connection: Connection) -> Callable[[], object]:
    """Return the question put to partsbin."""
    return partial(find, connection, rows.request(), limit=LIMIT)


def find_rows(plan: Plan) -> Iterator[Row]:
    """`find` in process, against DuckDB and pandas, on a selective and on a realistic catalogue."""
    for kind in ("selective", "realistic"):
        with ExitStack() as stack:
            where, connection = plan.store(stack, kind, plan.size)
            tell(f"{kind}: {agree.compare(connection, where)}")
            runs = measure.side_by_side(
                {
                    "ours": ours(connection),
                    "unsorted": Duck(where.parquet).rows,
                    "sorted": Duck(where.by_value).rows,
                    "script": partial(pandas_script, where.csv),
                },
                plan.rounds,
            )
        what, mine, script = f"find, {plan.size:,} {kind}", runs["ours"], runs["script"]
        yield against(f"{what}: DuckDB, Parquet", mine, runs["unsorted"], most=1.0)
        yield against(f"{what}: DuckDB, sorted", mine, runs["sorted"])
        speed = script.median / mine.median
        yield Row(f"{what}: pandas, CSV", f"{mine}", f"{script}", f"{speed:.0f} ×", "≥ 50 × faster", speed >= 50)


def growth_rows(plan: Plan) -> Iterator[Row]:
    """The same with few and with many parts, equal numbers of matches and of rows in the value window."""
    for kind in rows.KINDS:
        window = None if kind == "selective" else WINDOW
        with ExitStack() as stack:
            small, large = (plan.store(stack, kind, size, window) for size in (SMALL, plan.size))
            few, many = (len(Duck(where.parquet).every()[0]) for where, _ in (small, large))
            if few != many:
                raise agree.DisagreementError(f"{kind}: {few} matches of {SMALL}, {many} of {plan.size}")
            runs = measure.side_by_side(
                {
                    "small": ours(small[1]),
                    "large": ours(large[1]),
                    "duck small": Duck(small[0].parquet).rows,
                    "duck large": Duck(large[0].parquet).rows,
                },
                plan.rounds,
            )
        what = f"growth {SMALL:,} to {plan.size:,}, {kind}, {window or rows.MATCHES:,} in the window, {many:,} match"
        yield against(what, runs["large"], runs["small"], under=1.5)
        yield against("    DuckDB's growth (many, few)", runs["duck large"], runs["duck small"])


def irons_rows(plan: Plan) -> Iterator[Row]:
    """Transformers: several ways of use a part. No target; the rows beside show what more options cost."""
    with ExitStack() as stack:
        size = int(plan.size * IRONS_SHARE)
        _, connection = plan.store(stack, IRONS, size)
        runs = measure.side_by_side({"ours": partial(find, connection, irons.request(), limit=LIMIT)}, plan.rounds)
    yield Row(f"find, {size:,} transformers", f"{runs['ours']}", "", "")


def process_rows(plan: Plan) -> Iterator[Row]:
    """Whole processes: what the repairer waits for, and what it holds in memory."""
    where = files("realistic", plan.size, tell=tell)
    python = sys.executable
    partsbin = str(Path(python).with_name("partsbin"))
    asked = rows.request()
    facts = [word for name, text in asked.facts.texts.items() for word in ("--with", f"{name}={text}")]
    question = [
        partsbin,
        "find",
        asked.family,
        asked.text,
        "--position",
        asked.position,
        *facts,
        "--db",
        str(where.store),
    ]
    imports, typer = [python, "-c", "import sqlmodel, typer"], [python, "-c", "import typer"]
    try:
        whole = measure.processes({"ours": question, "imports": imports}, plan.process_rounds)
        mine, other = whole["ours"], whole["imports"]
        yield against(f"process, partsbin find, {plan.size:,} realistic: import sqlmodel, typer", mine, other, most=1.5)
        peak, bare = mine.peak / MEGABYTE, other.peak / MEGABYTE
        yield Row("    its peak memory, MB", f"{peak:.0f}", f"{bare:.0f}", f"{peak / bare:.2f}", "< 200 MB", peak < 200)
        helped = measure.processes({"ours": [partsbin, "--help"], "imports": typer}, plan.process_rounds)
        yield against("process, partsbin --help: import typer", helped["ours"], helped["imports"], under=2.0)
    except CouldNotRunError as fault:
        tell(str(fault))
        yield Row("process", "could not run", "", "", "≤ 1.5", False)


def search_rows(plan: Plan) -> Iterator[Row]:
    """`search` with slips, against rapidfuzz over every title; its first ten against comparing every part."""
    for kind in searches.KINDS:
        tell(f"titles: {kind}")
        found = searches.compared(kind, plan.size, 100 if plan.size < 1_000_000 else 40)
        for name, runs in found.theirs.items():
            speed, target = runs.median / found.ours.median, name in searches.SCORERS
            met = speed >= 20 if target and plan.size >= 1_000_000 else None
            what = f"search, {plan.size:,} {kind} titles: {name}"
            yield Row(what, f"{found.ours}", f"{runs}", f"{speed:.0f} ×", "≥ 20 × faster" if target else "", met)
        share = found.same / found.asked
        yield Row(
            f"    first {searches.FIRST} as by comparing all",
            f"{found.same}",
            f"{found.asked}",
            f"{share:.0%}",
            "≥ 95 %",
            share >= 0.95,
        )


def machine() -> str:
    """Return what this ran on, in a line."""
    return (
        f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}, DuckDB {duckdb.__version__}"
    )


def import_rows(plan: Plan) -> Iterator[Row]:
    """Taking in a list, whole process, against the bare insert of what it wrote."""
    try:
        for what, taken in imports.lines(plan.size):
            ratio = taken.ours / taken.bare
            target = f"{plan.size:,}" in what  # a short list is all start-up
            reach, met = ("≤ 4", ratio <= 4) if target else ("", None)
            yield Row(what, f"{taken.ours:,.0f}", f"{taken.bare:,.0f}", f"{ratio:.2f}", reach, met)
            yield Row("    its peak memory, MB", f"{taken.peak / MEGABYTE:.0f}", "", "")
    except CouldNotRunError as fault:
        tell(str(fault))
        yield Row("import", "could not run", "", "", "≤ 4", False)


def set_rows(plan: Plan) -> Iterator[Row]:
    """A whole set at once, and what is short of it from a long price list."""
    made = whole_set.planned()
    said = f"plan, 100 needs, 10,000 parts, {made.served} pieces served, {made.joined} of them by parts joined"
    yield Row(said, f"{made.seconds * 1e3:,.0f}", "", "", "< 2 s", made.seconds < 2)
    size = 200_000 if plan.size >= 1_000_000 else 20_000
    bought = whole_set.ordered(size)
    yield Row(
        f"{size:,} offers, {bought.different:,} descriptions, taken in and matched for 40 shortages: {bought.lines} lines",
        f"{(bought.taken + bought.ordered) * 1e3:,.0f}", "", "", "< 5 s", bought.taken + bought.ordered < 5,
    )  # fmt: skip
    yield Row("    the price list alone", f"{bought.taken * 1e3:,.0f}", "", "")


GROUPS: dict[str, Callable[[Plan], Iterator[Row]]] = {
    "find": find_rows,
    "growth": growth_rows,
    "transformers": irons_rows,
    "families": of_families.lines,
    "process": process_rows,
    "starts": starts.lines,
    "search": search_rows,
    "import": import_rows,
    "strip": stripped.lines,
    "reports": ledger.lines,
    "set": set_rows,
}


def main() -> int:
    """Run the groups asked for and print the table."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench.run", description="Benchmarks of partsbin beside others."
    )
    parser.add_argument("--size", type=int, default=1_000_000, help="how many parts (1,000,000)")
    parser.add_argument("--quick", action="store_true", help="100,000 parts and fewer runs")
    parser.add_argument("--rounds", type=int, help="runs of each query (31, quick 15)")
    parser.add_argument("--only", choices=tuple(GROUPS), action="append", help="a group of rows; repeat it")
    asked = parser.parse_args()
    plan = Plan(
        100_000 if asked.quick else asked.size, asked.rounds or (15 if asked.quick else 31), 7 if asked.quick else 11
    )
    if plan.size <= SMALL:
        parser.error(f"--size {plan.size}: expected more than {SMALL}")
    print(machine())
    try:
        lines = [row for name in asked.only or GROUPS for row in GROUPS[name](plan)]
    except agree.DisagreementError as fault:
        tell(f"ours and the others disagree: {fault}")
        return 2
    print(table(lines))
    return 1 if any(row.met is False for row in lines) else 0


if __name__ == "__main__":
    sys.exit(main())
