"""A catalogue for hostile tests, with something on every page, and what may be asked of every route."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, inspect, text
from starlette.routing import Route

from partsbin.jobs.needs import add_need
from partsbin.jobs.record import open_job
from partsbin.page.desk import FOLDER
from partsbin.page.devices import let_in
from partsbin.page.pages import MODULES, routes_of
from partsbin.stock.acts import Who, measure, reserve
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.parts import NewReading
from partsbin.store.engine import open_store, writing
from tests.engines import unguard

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
TEXTS = (
    ("capacitor", "22n 630V polypropylene"),
    ("capacitor", "16+16uF 450V can"),
    ("resistor", "470k 1/2W"),
    ("potentiometer", "1M log 2 pole switch"),
)

KNOWN = {
    "part": ("P-0001", "P-0002", "P-0004", "P-0099"),
    "donor": ("D-001", "D-999"),
    "place": ("box 1", "nowhere"),
    "code": ("J-0001", "J-0009"),
    "number": ("1", "99"),
    "act": ("1", "99"),
}
"""What stands for the names in addresses: what is there and what is not."""


def filled(path: Path) -> Engine:
    """Make a catalogue with parts of a donor, readings, a job with a need, pieces set aside, a device."""
    engine = open_store(path)
    who = Who(NOON, "ann", "why")
    with writing(engine) as connection:
        drafts = [draft_from_text(said, family=name, count=3, place="box 1", donor="D-001")[0] for name, said in TEXTS]
        shelve(connection, drafts, at=NOON, by="ann")
        measure(connection, 1, [NewReading("capacitance", 21.6e-9, "F", 1e-10)], who)
        job = open_job(connection, who, what="amplifier", reference="17")
        add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31")
        reserve(connection, 1, 1, who, job_id=job.id)
        let_in(connection, "tablet", NOON)
    return engine


SCRIPT = "\"'><script>alert(1)</script>"
NOT_FREE = {"meta", "search_word", "schema", "rung", "option_keys", "list_shape"}
WORDS = {
    "word", "family", "condition", "origin", "quantity", "unit", "kind", "position", "code", "token_hash", "key", "verdict",
    "check_code", "facts", "text", "state", "shape",
}  # fmt: skip
"""Columns whose words are ours, or by which something is found."""


def with_script(engine: Engine) -> int:
    """Put script into every text of the catalogue that somebody may have typed; return into how many columns."""
    done = 0
    with writing(engine) as connection:
        unguard(connection)
        found = inspect(connection)
        for table in found.get_table_names():
            checked = " ".join(each["sqltext"] for each in found.get_check_constraints(table))
            for column in found.get_columns(table):
                name = column["name"]
                free = str(column["type"]).startswith("VARCHAR") and name not in WORDS and table not in NOT_FREE
                if free and not table.startswith("family_") and not re.search(rf"\b{name}\b", checked):
                    apart = f" || {table}.id" if "id" in {each["name"] for each in found.get_columns(table)} else ""
                    connection.execute(text(f'UPDATE {table} SET "{name}" = :script{apart}'), {"script": SCRIPT})
                    done += 1
    return done


def names_of_fields() -> list[str]:
    """Return the names of all fields that a form of the pages has."""
    said = "".join(path.read_text() for path in sorted((FOLDER / "templates").rglob("*.html")))
    return sorted(set(re.findall(r'name="([a-z_.]+)"', said)) | {"set.rail", "to", "secret", "code", "page"})


def templates(app: Any) -> list[tuple[str, set[str]]]:
    """Return every address with its methods."""
    names = dict.fromkeys(name for names in MODULES.values() for name in names)
    routes = [*app.routes, *(route for name in names for route in routes_of(name))]
    return [(route.path, set(route.methods or ())) for route in routes if isinstance(route, Route)]


def address(template: str, values: dict[str, str]) -> str:
    """Return an address with its names filled in."""
    return re.sub(r"\{(\w+)(?::\w+)?\}", lambda name: values[name[1]], template)
