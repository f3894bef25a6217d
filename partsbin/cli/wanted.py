"""What parts that have just come in would serve: said below them, wherever they come in."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from partsbin.cli.common import plain, tell

if TYPE_CHECKING:
    from sqlalchemy import Engine

MOST_NAMED = 5
"""Needs that are named for each part [-]."""

MOST_JUDGED = 200
"""Parts of a list that are held against what is wanted; of more, the plan of the job says it [-]."""


def newest(opened: Engine) -> int:
    """Return the id of the part that came in last, 0 if none has."""
    from sqlalchemy import text

    from partsbin.store.engine import reading

    with reading(opened) as connection:
        return int(connection.execute(text("SELECT coalesce(max(id), 0) FROM part")).scalar_one())


def since(opened: Engine, last: int) -> list[str]:
    """Return the numbers of the parts that came in after one, none if they are more than are judged."""
    from sqlalchemy import text

    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import reading

    query = text("SELECT id FROM part WHERE id > :last ORDER BY id LIMIT :most")
    with reading(opened) as connection:
        found = connection.execute(query, {"last": last, "most": MOST_JUDGED + 1}).scalars().all()
    return [number_of(ident) for ident in found] if len(found) <= MOST_JUDGED else []


def wanted_for(opened: Engine, numbers: Iterable[str]) -> list[dict[str, Any]]:
    """Return which open needs of jobs these parts would serve; nothing heavy is loaded where no job is open."""
    from sqlalchemy import text

    from partsbin.stock.shelf import id_of, number_of
    from partsbin.store.engine import reading

    ids = sorted({id_of(number) for number in numbers if number})
    with reading(opened) as connection:
        if not ids or connection.execute(text("SELECT 1 FROM job WHERE closed_at IS NULL LIMIT 1")).first() is None:
            return []
        from partsbin.jobs.wanted import would_serve

        return [
            {
                "part": number_of(match.part_id),
                "job": match.job,
                "need": match.name,
                "verdict": match.verdict.word,
                "said": match.said,
            }
            for match in would_serve(connection, ids)
        ]


def tell_wanted(serves: list[dict[str, Any]], *, named: bool = False) -> None:
    """Print it, each part's number before it where several came in."""
    for part in dict.fromkeys(entry["part"] for entry in serves):
        own = [entry for entry in serves if entry["part"] == part]
        for entry in own[:MOST_NAMED]:
            tell(f"    {f'{part} ' if named else ''}{plain(entry['said'])}")
        if len(own) > MOST_NAMED:
            tell(f"    and {len(own) - MOST_NAMED} more needs")
