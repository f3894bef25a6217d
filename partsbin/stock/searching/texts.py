"""What of a part is searched, and reading it. Neither the table models nor the ORM are loaded here: a search starts quickly."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, inspect

from partsbin.store.statements import Statement

FIELDS = (
    *("title", "marking", "maker", "place", "donor", "donor_name", "note"),
    *("condition", "family", "date_code", "lead_style", "year"),
)
"""What of a part is searched, as `texts_of` names it; an earlier one stands before a later one that has the same word."""

_TEXTS = Statement("""
SELECT part.id, part.family, part.title, part.marking, part.maker, part.note, part.condition, part.date_code, part.lead_style,
  part.year, part.on_hand, part.rough, place.name AS place, donor.code AS donor, donor.name AS donor_name
FROM part LEFT JOIN place ON place.id = part.place_id LEFT JOIN donor ON donor.id = part.donor_id
WHERE part.id IN :ids
""")
_WORDS = Statement("SELECT part_id, words FROM search_text WHERE part_id IN :ids")
_IDS = Statement("SELECT word, id FROM search_word WHERE word IN :ids")
_ENDS = Statement("""
SELECT (SELECT min(id) FROM part WHERE origin = 'shelf'), (SELECT max(id) FROM part WHERE origin = 'shelf'),
  (SELECT min(part_id) FROM search_text), (SELECT max(part_id) FROM search_text)
""")


def texts_of(connection: Connection, part_ids: Sequence[int]) -> dict[int, dict[str, Any]]:
    """Return the texts of parts by id, with what a list of parts shows beside them."""
    return {row["id"]: row for row in _TEXTS.of_ids(connection, part_ids)}


def word_ids(connection: Connection, part_ids: Sequence[int]) -> dict[int, tuple[int, ...]]:
    """Return the words of parts by id, as ids of words in rising order."""
    rows = _WORDS.of_ids(connection, part_ids)
    return {row["part_id"]: struct.unpack(f"<{len(row['words']) // 4}I", row["words"]) for row in rows}


def ids_of(connection: Connection, words: Sequence[str]) -> dict[str, int]:
    """Return the ids of those words that the index has."""
    return dict(_IDS.tuples_of_ids(connection, words))


def is_complete(connection: Connection) -> bool:
    """Return whether every part has its words: in a catalogue that an earlier version began the first parts have none."""
    if not inspect(connection).has_table("search_text"):
        return False
    first, last, first_text, last_text = _ENDS.rows(connection, {})[0]
    return (first, last) == (first_text, last_text)
