"""Do ours and the others find the same? Checked before anything is timed; a benchmark of different answers means nothing.

Compared are: how many parts pass the hard filter, counted by DuckDB and by SQLite in partsbin's own family table; the first
rows of DuckDB (both files) and pandas; and partsbin's answer against its own judgement of every part that DuckDB's filter lets
through. The first rows of partsbin and DuckDB themselves differ on purpose: partsbin ranks by verdict, margin, thrift and
condition as well as distance, and counts an old part whose leakage nobody has read among those to be measured.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from sqlalchemy import Connection, text

from partsbin.checks import Verdict
from partsbin.matching.answer import build, find
from partsbin.matching.search import MEASURE_SHOWN, Candidate, brute
from partsbin.stock.catalogue import get, id_of
from tests.bench.catalogue import Files
from tests.bench.rivals import KNOWN, LIMIT, Duck, hard_filter, pandas_script
from tests.bench.rows import request

CHUNK = 5_000


class DisagreementError(Exception):
    """Ours and the others do not find the same."""


def compare(connection: Connection, where: Files) -> str:
    """Compare everything that can be compared on one catalogue.

    Returns
    -------
    str
        What agrees, in a line.

    Raises
    ------
    DisagreementError
        At the first difference.
    """
    duck = Duck(where.parquet)
    matches, unknowns = duck.every()
    _same("parts that pass the hard filter, SQLite against DuckDB", _counted(connection), (len(matches), len(unknowns)))
    first = duck.first()
    _same("first rows, DuckDB sorted against unsorted", Duck(where.by_value).first(), first)
    _same("first rows, pandas against DuckDB", pandas_script(where.csv), first)
    usable, measure = _found(find(connection, request(), limit=LIMIT))
    judged = list(_judged(connection, [*matches, *unknowns]))
    _same("first that fit, answer against all judged", usable, _best(judged, lambda v: v <= Verdict.CARE, LIMIT))
    _same(
        "first to be measured, answer against all judged",
        measure,
        _best(judged, lambda v: v is Verdict.MEASURE, MEASURE_SHOWN),
    )
    tally = {verdict.word: sum(1 for c in judged if c.verdict is verdict) for verdict in Verdict}
    return (
        f"{len(matches):,} pass the hard filter, {len(unknowns):,} may (a mark unknown): SQLite, DuckDB and pandas agree; "
        f"all judged: {', '.join(f'{n:,} {word}' for word, n in tally.items())}; "
        f"the answer's {len(usable)} and {len(measure)} are their first"
    )


def _same(what: str, ours: object, theirs: object) -> None:
    if ours != theirs:
        raise DisagreementError(f"{what}: {ours} against {theirs}")


def _counted(connection: Connection) -> tuple[int, int]:
    """Count both kinds in partsbin's own table, which its owner may read with any SQL tool."""
    query = text(f"SELECT coalesce(sum({KNOWN}), 0), count(*) FROM family_capacitor WHERE {hard_filter()}")
    known, every = connection.execute(query).one()
    return known, every - known


def _found(answer: dict[str, Any]) -> tuple[list[int], list[int]]:
    """Return the parts of an answer that fit, with or without care, and those to be measured."""
    pairs = [(entry["verdict"], id_of(entry["part"])) for entry in answer["candidates"]]
    return [part for verdict, part in pairs if verdict != "measure"], [
        part for verdict, part in pairs if verdict == "measure"
    ]


def _judged(connection: Connection, part_ids: Sequence[int]) -> Iterator[Candidate]:
    """Judge parts in full, one by one in chunks: the slow way that needs no search keys."""
    family, need = build(request())
    for start in range(0, len(part_ids), CHUNK):
        yield from brute(family, need, list(get(connection, family, part_ids[start : start + CHUNK]).values()))


def _best(judged: Sequence[Candidate], wanted: Callable[[Verdict], bool], k: int) -> list[int]:
    return [c.part.id for c in heapq.nsmallest(k, (c for c in judged if wanted(c.verdict)), key=lambda c: c.rank)]
