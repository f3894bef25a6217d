"""What a person said of the columns of a list, kept for the next file of the same shape."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence

from sqlalchemy import Connection, delete, insert

from partsbin.stock.columns import told_apart
from partsbin.store.statements import Statement
from partsbin.store.tables import ListShape, table_of

_RECALLED = Statement("SELECT roles FROM list_shape WHERE shape = :shape")


def recall(connection: Connection, header: Sequence[str]) -> dict[str, str]:
    """Return the roles by heading that were said of a file of this shape, {} where nobody said any."""
    rows = _RECALLED.rows(connection, {"shape": _shape(header)})
    if not rows:
        return {}
    roles = json.loads(rows[0][0]) if isinstance(rows[0][0], str) else rows[0][0]
    return {str(name): str(role) for name, role in roles.items()}


def remember(connection: Connection, header: Sequence[str], roles: Mapping[str, str]) -> None:
    """Keep what was said of the columns; what was kept before of other columns stays."""
    if not roles:
        return
    table = table_of(ListShape)
    kept = {**recall(connection, header), **roles}
    connection.execute(delete(table).where(table.c.shape == _shape(header)))
    connection.execute(insert(table), [{"shape": _shape(header), "roles": kept}])


def _shape(header: Sequence[str]) -> str:
    """Files have one shape that have the same headings in the same order."""
    return hashlib.sha256(json.dumps(told_apart(header), ensure_ascii=False).encode()).hexdigest()
