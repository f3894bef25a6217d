"""Writing what is searched: the words of each part, and for each word the parts that have it.

Every function works inside the caller's transaction. Whoever changes a text of a part, its place or its donor calls `index_parts`
with its id after the change: the words follow in the same transaction.
"""

from __future__ import annotations

import struct
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, delete, func, inspect, select
from sqlalchemy.dialects import postgresql, sqlite

from partsbin.stock.searching.words import FAMILY, NUMBER, words_of
from partsbin.store.bulk import insert_rows
from partsbin.store.engine import reading, writing
from partsbin.store.statements import Statement
from partsbin.store.tables import Part, SearchPosting, SearchText, SearchWord, table_of

_T = TypeVar("_T")

AT_ONCE = 16_384
"""Parts that are written together: their postings share rows."""

SPAN = 1 << 16
"""Ids that one row of postings can reach."""

_NAMES = 4_000  # in one question: databases allow a limited number of parameters

FIELDS = ("title", "marking", "maker", "place", "donor", "donor_name", "note", "condition", "family", "date_code",
          "lead_style", "year")  # fmt: skip
"""What of a part is searched, as `texts_of` names it, its family apart; an earlier one stands before a later one that has the same word."""

_TEXTS = Statement("""
SELECT part.id, part.family, part.title, part.marking, part.maker, part.note, part.condition, part.date_code, part.lead_style,
  part.year, part.on_hand, part.rough, place.name AS place, donor.code AS donor, donor.name AS donor_name
FROM part LEFT JOIN place ON place.id = part.place_id LEFT JOIN donor ON donor.id = part.donor_id
WHERE part.id IN :ids
""")
_WORDS = Statement("SELECT part_id, words FROM search_text WHERE part_id IN :ids")
_ROWS = Statement("SELECT first, offsets FROM search_posting WHERE word_id = :word AND first BETWEEN :lowest AND :highest")


def texts_of(connection: Connection, part_ids: Sequence[int]) -> dict[int, dict[str, Any]]:
    """Return the texts of parts by id, with what a list of parts shows beside them."""
    return {row["id"]: row for row in _TEXTS.of_ids(connection, part_ids)}


def word_ids(connection: Connection, part_ids: Sequence[int]) -> dict[int, tuple[int, ...]]:
    """Return the words of parts by id, as ids of words in rising order."""
    rows = _WORDS.of_ids(connection, part_ids)
    return {row["part_id"]: struct.unpack(f"<{len(row['words']) // 4}I", row["words"]) for row in rows}


def _texts(row: Mapping[str, Any]) -> list[str]:
    return [str(row[field]) for field in FIELDS if row[field]]


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
    for some in _chunks(sorted(before)):
        connection.execute(delete(SearchText).where(table_of(SearchText).c.part_id.in_(some)))
    texts = [{"part_id": ident, "words": struct.pack(f"<{len(some)}I", *some)} for ident, some in now.items()]
    insert_rows(connection, table_of(SearchText), texts)


def _words(connection: Connection, part_ids: Sequence[int]) -> dict[int, list[int]]:
    """The words of parts, each distinct text cut once: ids of words in rising order."""
    rows = texts_of(connection, part_ids)
    texts = {ident: _texts(row) for ident, row in rows.items()}
    cut = {text: words_of(text) for text in {text for some in texts.values() for text in some}}
    families = {row["family"] for row in rows.values()}
    ids = _ids(connection, {word for words in cut.values() for word in words} | {FAMILY + name for name in families})
    held = {text: [ids[word] for word in words] for text, words in cut.items()}
    own = {name: ids[FAMILY + name] for name in families}
    return {
        ident: sorted({own[rows[ident]["family"]]}.union(*[held[text] for text in some])) for ident, some in texts.items()
    }


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
    between = {"word": word, "lowest": part_ids[0] - SPAN + 1, "highest": part_ids[-1]}
    for first, packed in _ROWS.rows(connection, between):
        held = [first + offset for offset in struct.unpack(f"<{len(packed) // 2}H", packed)]
        kept = [ident for ident in held if ident not in gone]
        if len(kept) < len(held):
            connection.execute(delete(table).where(table.c.word_id == word, table.c.first == first))
            insert_rows(connection, table, list(_rows(word, kept)))


def _ids(connection: Connection, words: Iterable[str]) -> dict[str, int]:
    """Return ids of words, adding those that are new."""
    wanted = sorted(words)
    found = _known(connection, wanted)
    fresh = [word for word in wanted if word not in found]
    if fresh:
        maker = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
        connection.execute(maker(SearchWord).on_conflict_do_nothing(), [_word_row(word) for word in fresh])
        found |= _known(connection, fresh)
    return found


def _known(connection: Connection, words: Sequence[str]) -> dict[str, int]:
    column = table_of(SearchWord).c
    return {
        word: ident
        for some in _chunks(words)
        for word, ident in connection.execute(select(column.word, column.id).where(column.word.in_(some))).all()
    }


def _word_row(word: str) -> dict[str, Any]:
    return {"word": word, "backwards": None if word[0] in (NUMBER, FAMILY) else word[::-1]}


def _chunks(listed: Sequence[_T]) -> Iterator[Sequence[_T]]:
    return (listed[start : start + _NAMES] for start in range(0, len(listed), _NAMES))


def rebuild(connection: Connection) -> int:
    """Write the words of every part anew and return how many parts there are; words that no part has any more go."""
    for table in (SearchPosting, SearchText, SearchWord):
        connection.execute(delete(table))
    ids = list(connection.execute(select(table_of(Part).c.id).order_by(table_of(Part).c.id)).scalars())
    index_parts(connection, ids)
    return len(ids)


def is_complete(connection: Connection) -> bool:
    """Return whether every part has its words: a catalogue that an earlier version began has them from its first part or not."""
    if not inspect(connection).has_table("search_text"):
        return False
    part, text = table_of(Part).c.id, table_of(SearchText).c.part_id
    ends = (
        connection.execute(select(func.min(column), func.max(column))).one() for column in (part, text)
    )
    return next(ends) == next(ends)


def complete(engine: Engine) -> None:
    """Give a catalogue of an earlier version its words; one that has them is left alone."""
    with reading(engine) as connection:
        if is_complete(connection):
            return
    from partsbin.store import schema

    schema.complete(engine)
    with writing(engine) as connection:
        rebuild(connection)
