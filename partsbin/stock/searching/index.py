"""Writing what is searched: the words of each part, and for each word the parts that have it.

Every function works inside the caller's transaction. Whoever changes a text of a part, its place or its donor calls `index_parts`
with its id after the change: the words follow in the same transaction.
"""

from __future__ import annotations

import struct
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Engine, delete, select

from partsbin.stock.searching.meanings import FAMILY
from partsbin.stock.searching.texts import FIELDS, ids_of, is_complete, texts_of, word_ids
from partsbin.stock.searching.words import NUMBER, words_of
from partsbin.store.bulk import insert_new, insert_rows
from partsbin.store.engine import reading, writing
from partsbin.store.statements import Change, Statement
from partsbin.store.tables import Part, SearchPosting, SearchText, SearchWord, table_of

AT_ONCE = 4_096
"""Parts that are written together: their postings share rows."""

SPAN = 1 << 16
"""Ids that one row of postings can reach."""

_PLACES = ("place", "donor", "donor_name")
_OWN, _AROUND = itemgetter("family", *(field for field in FIELDS if field not in _PLACES)), itemgetter(*_PLACES)
_ROWS = Statement("""
SELECT first, offsets FROM search_posting
WHERE word_id = :word AND first BETWEEN :lowest AND :highest AND (first >= :from OR length(offsets) > 2)
""")  # a row that begins before them holds them only if it holds more than its first
_DROP_ROW = Change("DELETE FROM search_posting WHERE word_id = :word AND first = :first")
_DROP_TEXT = Change("DELETE FROM search_text WHERE part_id = :part")


def index_parts(connection: Connection, part_ids: Sequence[int]) -> None:
    """Write the words of parts anew, as their rows stand now; a part that is gone loses its words.

    Parameters
    ----------
    connection : Connection
        Inside the transaction that wrote or changed the parts.
    part_ids : sequence of int
        Which; new ones in rising order share rows.
    """
    for start in range(0, len(part_ids), AT_ONCE):
        _index(connection, part_ids[start : start + AT_ONCE])


def _index(connection: Connection, part_ids: Sequence[int]) -> None:
    before = word_ids(connection, part_ids)
    now = _words(connection, part_ids)
    gone: dict[int, list[int]] = defaultdict(list)
    fresh: dict[int, list[int]] = defaultdict(list)
    for ident in sorted(set(part_ids)):
        old, new = before.get(ident, ()), now.get(ident, ())
        for word in set(old).difference(new):
            gone[word].append(ident)
        for word in set(new).difference(old) if old else new:
            fresh[word].append(ident)
    for word, some in gone.items():
        _take_out(connection, word, some)
    insert_rows(connection, table_of(SearchPosting), [row for word, some in fresh.items() for row in _rows(word, some)])
    changed = {ident for ident in {*before, *now} if before.get(ident) != now.get(ident)}
    for ident in sorted(changed.intersection(before)):
        _DROP_TEXT.run(connection, {"part": ident})
    texts = [
        {"part_id": ident, "words": struct.pack(f"<{len(words)}I", *words)}
        for ident, words in now.items()
        if ident in changed
    ]
    insert_rows(connection, table_of(SearchText), texts)


def words_said(connection: Connection, part_ids: Sequence[int]) -> dict[int, set[str]]:
    """Return the words that parts ought to be found by, as their rows stand now."""
    said = {}
    for ident, row in texts_of(connection, part_ids).items():
        texts = (*_OWN(row), *_AROUND(row))
        said[ident] = {FAMILY + row["family"]}.union(*(words_of(str(text)) for text in texts if text))
    return said


def _words(connection: Connection, part_ids: Sequence[int]) -> dict[int, tuple[int, ...]]:
    """The words of parts as ids in rising order. Shelves repeat themselves: what is the same of many parts is cut once."""
    rows = texts_of(connection, part_ids)
    own, around = ({ident: pick(row) for ident, row in rows.items()} for pick in (_OWN, _AROUND))
    distinct = {*own.values(), *around.values()}
    cut = {text: words_of(str(text)) for some in distinct for text in some if text}
    families = {FAMILY + row["family"] for row in rows.values()}
    ids = _ids(connection, families.union(*cut.values()))
    held = {some: {ids[word] for text in some if text for word in cut[text]} for some in distinct}
    for some in set(own.values()):
        held[some].add(ids[FAMILY + some[0]])
    return {ident: tuple(sorted(held[own[ident]] | held[around[ident]])) for ident in rows}


def _rows(word: int, part_ids: Sequence[int]) -> Iterator[dict[str, Any]]:
    """Rows of postings for ids in rising order."""
    start = 0
    while start < len(part_ids):
        first = part_ids[start]
        stop = bisect_left(part_ids, first + SPAN, start)
        offsets = [ident - first for ident in part_ids[start:stop]]
        yield {"word_id": word, "first": first, "offsets": struct.pack(f"<{len(offsets)}H", *offsets)}
        start = stop


def _take_out(connection: Connection, word: int, part_ids: Sequence[int]) -> None:
    """Remove parts from the postings of a word, by writing the rows that hold them anew."""
    table, gone = table_of(SearchPosting), frozenset(part_ids)
    between = {"word": word, "lowest": part_ids[0] - SPAN + 1, "from": part_ids[0], "highest": part_ids[-1]}
    for first, packed in _ROWS.rows(connection, between):
        held = [first + offset for offset in struct.unpack(f"<{len(packed) // 2}H", packed)]
        kept = [ident for ident in held if ident not in gone]
        if len(kept) < len(held):
            _DROP_ROW.run(connection, {"word": word, "first": first})
            insert_rows(connection, table, list(_rows(word, kept)))


def _ids(connection: Connection, words: Iterable[str]) -> dict[str, int]:
    """Return ids of words, adding those that are new."""
    wanted = sorted(words)
    found = ids_of(connection, wanted)
    fresh = [word for word in wanted if word not in found]
    if fresh:
        insert_new(connection, table_of(SearchWord), [_word_row(word) for word in fresh])
        found |= ids_of(connection, fresh)
    return found


def _word_row(word: str) -> dict[str, Any]:
    return {"word": word, "backwards": None if word[0] in (NUMBER, FAMILY) else word[::-1]}


def rebuild(connection: Connection) -> int:
    """Write the words of every part anew and return how many parts there are; words that no part has any more go."""
    for table in (SearchPosting, SearchText, SearchWord):
        connection.execute(delete(table))
    ids = list(connection.execute(select(table_of(Part).c.id).order_by(table_of(Part).c.id)).scalars())
    index_parts(connection, ids)
    return len(ids)


def complete(engine: Engine) -> None:
    """Give a catalogue of an earlier version its words; one that has them is left alone."""
    with reading(engine) as connection:
        if is_complete(connection):
            return
    from partsbin.store import schema

    schema.complete(engine)
    with writing(engine) as connection:
        rebuild(connection)
