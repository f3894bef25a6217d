"""Writing search keys: the rows of options and the rungs that they stand on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection

from partsbin.families import Family, load
from partsbin.families._declare import Facts, Item, Measured
from partsbin.stock.keys import OPTIONS_A_PART, SPREADS, keys_of, listed, promise, without_name
from partsbin.stock.parts import Draft
from partsbin.store.bulk import insert_new, insert_rows
from partsbin.store.statements import Change, Statement
from partsbin.store.tables import KeyName, OptionKeys, Rung, table_of

_REMEMBERED = 32_768  # markings whose keys are kept at a time

_COLUMNS = tuple(table_of(OptionKeys).c.keys())
_PLAIN = itemgetter(*_COLUMNS)


class KeyMaker:
    """Makes key rows of drafts; of those that differ only in count, place and number they are worked out once."""

    def __init__(self) -> None:
        self.made: dict[tuple[Any, ...], tuple[Facts, list[dict[str, Any]]]] = {}

    def of_draft(self, part_id: int, draft: Draft, lineups: Mapping[str, str]) -> list[dict[str, Any]]:
        """Return the key rows of a part that is being shelved; one of which there is none has no keys.

        Parameters
        ----------
        part_id : int
            The part's id.
        draft : Draft
            The part.
        lineups : mapping of str to str
            Valves of donors by code.
        """
        if draft.count <= 0 and draft.origin == "shelf":
            return []
        order = promise(draft.condition, draft.count, draft.origin)
        first = part_id * OPTIONS_A_PART
        return [
            {**row, "id": first + row["id"], "promise": order, "family": listed(draft.family, draft.origin)}
            for row in self._rows(draft, lineups.get(draft.donor, ""))
        ]

    def _rows(self, draft: Draft, lineup: str) -> list[dict[str, Any]]:
        if draft.readings:
            return self._worked_out(draft, lineup)
        same = (id(draft.facts), draft.condition, lineup, draft.marking, draft.year)
        if same not in self.made:
            if len(self.made) >= _REMEMBERED:
                self.made.clear()
            self.made[same] = (
                draft.facts,
                self._worked_out(draft, lineup),
            )  # the facts are kept, so that their id stays theirs
        return self.made[same][1]

    @staticmethod
    def _worked_out(draft: Draft, lineup: str) -> list[dict[str, Any]]:
        measured = {r.quantity: Measured(r.value, r.uncertainty, r.conditions) for r in draft.readings}
        family = load(draft.family)
        item = Item(draft.facts, draft.condition, measured, lineup, draft.marking, draft.year)
        return keys_of(family, 0, family.options(item), 0)


def write_keys(connection: Connection, rows: Sequence[dict[str, Any]]) -> None:
    """Write key rows, the rungs that they stand on and the names whose numbers they hold."""
    if not rows:
        return
    insert_rows(connection, table_of(OptionKeys), [without_name(row) for row in rows])
    rungs = {(row["family"], row["missing"], row["limit_class"], row["spread"]) for row in rows}
    insert_new(
        connection,
        table_of(Rung),
        [
            {"family": family, "missing": missing, "limit_class": rung, "spread": spread, "ratio": SPREADS[spread]}
            for family, missing, rung, spread in sorted(rungs)
        ],
    )
    names = {(row["family"], row["value"]): row["name"] for row in rows if "name" in row}
    insert_new(
        connection,
        table_of(KeyName),
        [{"family": family, "number": int(number), "name": name} for (family, number), name in names.items()],
    )


_OF_PART = "WHERE id >= :first AND id < :end"
_STANDING = Statement(f"SELECT {', '.join(_COLUMNS)} FROM option_keys {_OF_PART} ORDER BY id")
_DROP = Change(f"DELETE FROM option_keys {_OF_PART}")
_ORDER = Change(f"UPDATE option_keys SET promise = :promise {_OF_PART}")


def _of_part(part_id: int) -> dict[str, int]:
    first = part_id * OPTIONS_A_PART
    return {"first": first, "end": first + OPTIONS_A_PART}


def drop_keys(connection: Connection, part_id: int) -> None:
    """Remove a part's key rows: it is not available, or they are about to be written anew."""
    _DROP.run(connection, _of_part(part_id))


def recount(connection: Connection, part_id: int, condition: str, available: int) -> bool:
    """Let the keys of a part on the shelf follow its count, where nothing else of it has changed.

    Returns
    -------
    bool
        Whether that was all: a part that had none available has no keys yet, which are to be made.
    """
    if available <= 0:
        drop_keys(connection, part_id)
        return True
    return _ORDER.run(connection, {"promise": promise(condition, available), **_of_part(part_id)}).rowcount > 0


def rebuild(connection: Connection, family: Family, parts: Iterable[tuple[int, Item, int, str]]) -> None:
    """Make the keys of parts anew: (id, item, available, origin). A part with none available has none; what stands so already stays."""
    rows: list[dict[str, Any]] = []
    for part_id, item, available, origin in parts:
        made: list[dict[str, Any]] = []
        if available > 0 or origin == "offered":
            order = promise(item.condition, available, origin)
            made = [
                {**row, "family": listed(family.name, origin)}
                for row in keys_of(family, part_id, family.options(item), order)
            ]
        standing = _STANDING.rows(connection, _of_part(part_id))
        if standing != [_PLAIN(row) for row in made]:
            if standing:
                drop_keys(connection, part_id)
            rows.extend(made)
    write_keys(connection, rows)
