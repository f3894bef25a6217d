"""The shared tables: parts, places, donors, readings, options, words, the ledger, the origin of rows from files.

Jobs and what belongs to them lie in `partsbin.store.job_tables`.

What is marked on a part lies in its family's own typed table (`partsbin.store.family_tables`). Money, sessions and clocks come
in as arguments; nothing here opens a database.
"""

from datetime import datetime
from typing import Any, cast

from sqlalchemy import DDL, JSON, BigInteger, CheckConstraint, Column, Index, Integer, String, Table, event, text
from sqlmodel import Field, SQLModel

ACTS = (
    "shelved",
    "bought",
    "reserved",
    "released",
    "fitted",
    "returned",
    "scrapped",
    "counted",
    "moved",
    "parted",
    "measured",
    "marked",
)
"""What a movement may say; `parted` splits a part of which some pieces are moved, measured or come back, `marked` writes down
more of what is printed on it."""

UNDONE = "undone"
"""The act that takes another one back."""

_BYTEWISE = String().with_variant(String(collation="C"), "postgresql")
"""Text in the order of its bytes on every engine: a range of it is a beginning."""

_WIDE = BigInteger().with_variant(Integer, "sqlite")
"""A whole number of 63 bits on every engine."""


class Meta(SQLModel, table=True):
    """One fact about the file itself."""

    name: str = Field(primary_key=True)
    value: str


class Place(SQLModel, table=True):
    """Where parts lie: a drawer, a box, a shelf."""

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, index=True)


class Donor(SQLModel, table=True):
    """A chassis stripped for parts. What it cost is in thousandths of the currency's unit."""

    id: int | None = Field(default=None, primary_key=True)
    code: str = Field(unique=True, index=True)
    name: str = ""
    lineup: str = ""
    note: str = ""
    cost: int | None = None
    came: str = ""


class FileOrigin(SQLModel, table=True):
    """A row of somebody's file as it came in: raw cells and the key that tells a second import of the same row."""

    __tablename__ = "file_origin"

    id: int | None = Field(default=None, primary_key=True)
    file: str
    line: int
    key: str = Field(unique=True, index=True)
    cells: Any = Field(sa_column=Column(JSON, nullable=False))


class ListShape(SQLModel, table=True):
    """What a person said of the columns of a list, by the shape of its headings."""

    __tablename__ = "list_shape"

    shape: str = Field(primary_key=True)
    roles: Any = Field(sa_column=Column(JSON, nullable=False))


class Part(SQLModel, table=True):
    """Like items of one origin and condition in one place, with a count."""

    __table_args__ = (
        CheckConstraint("on_hand >= 0", name="part_on_hand_not_negative"),
        CheckConstraint("reserved >= 0 AND reserved <= on_hand", name="part_reserved_within_stock"),
        CheckConstraint("condition IN ('', 'new', 'unused-old', 'salvaged')", name="part_condition_word"),
        CheckConstraint("origin IN ('shelf', 'offered')", name="part_origin_word"),
    )

    id: int | None = Field(default=None, primary_key=True)
    family: str
    title: str
    marking: str = ""
    condition: str = ""
    origin: str = "shelf"
    on_hand: int = 0
    reserved: int = 0
    rough: bool = False
    place_id: int | None = Field(default=None, foreign_key="place.id", index=True)
    donor_id: int | None = Field(default=None, foreign_key="donor.id", index=True)
    file_origin_id: int | None = Field(default=None, foreign_key="file_origin.id", unique=True)
    maker: str = ""
    date_code: str = ""
    year: int | None = None
    lead_style: str = ""
    note: str = ""
    price: int | None = None
    parted_from_id: int | None = Field(default=None, foreign_key="part.id", index=True)


class Act(SQLModel, table=True):
    """One thing done at the bench, whole or not at all: who, when, why. Its movements and readings name it.

    An act is taken back by another one that reverses it; no line is ever changed.
    """

    __table_args__ = (CheckConstraint(f"word IN {(*ACTS, UNDONE)}", name="act_word"),)

    id: int | None = Field(default=None, primary_key=True)
    word: str
    at: datetime
    by: str = ""
    why: str = ""
    reverses_id: int | None = Field(default=None, foreign_key="act.id", unique=True)


class Reading(SQLModel, table=True):
    """One measurement with its uncertainty, conditions and date; never overwritten."""

    id: int | None = Field(default=None, primary_key=True)
    part_id: int = Field(foreign_key="part.id", index=True)
    quantity: str
    value: float
    uncertainty: float = 0.0
    unit: str
    conditions: Any = Field(default_factory=dict, sa_column=Column(JSON, nullable=False))
    instrument: str = ""
    taken_at: datetime
    taken_by: str = ""
    act_id: int | None = Field(default=None, foreign_key="act.id", index=True)


_FOR_A_JOB = text("job_id IS NOT NULL")  # most movements are for no job: the index stays small


class Movement(SQLModel, table=True):
    """A line of the append-only ledger. Stock on hand is the sum of `quantity`, what is set aside the sum of `aside`.

    `job_id` is the job that pieces are fitted or set aside for; `price` is what a piece cost at that moment, in thousandths of
    the currency's unit; `changes` holds what else of the part became different, as ``{column: [before, after]}``: its place,
    whether its count is rough, its marked facts. A line that takes another back has its word and the opposite figures, so that
    sums by word come out right.
    """

    __table_args__ = (
        CheckConstraint(f"word IN {ACTS}", name="movement_word"),
        Index("movement_by_job", "job_id", sqlite_where=_FOR_A_JOB, postgresql_where=_FOR_A_JOB),
    )

    id: int | None = Field(default=None, primary_key=True)
    act_id: int = Field(foreign_key="act.id", index=True)
    part_id: int = Field(foreign_key="part.id", index=True)
    job_id: int | None = Field(default=None, foreign_key="job.id")
    word: str
    quantity: int = 0
    aside: int = 0
    price: int | None = None
    changes: Any = Field(default=None, sa_column=Column(JSON(none_as_null=True), nullable=True))


class OptionKeys(SQLModel, table=True):
    """Search keys of one way of using an available part: derived, rebuildable. `id` is part id × 256 + the option's number.

    ``missing`` is a bit mask: 1 value, 2 limit, 4 something else that a check may want. ``promise`` orders equals without
    looking at any need: condition, then count.
    """

    __tablename__ = "option_keys"
    __table_args__ = (
        Index(
            "option_by_value",
            "family",
            "missing",
            "limit_class",
            "spread",
            "value",
            "low",
            "high",
            "limit_high",
            "kind",
            "promise",
        ),
        Index("option_by_promise", "family", "missing", "promise", "id", "limit_high", "value", "low", "high", "kind"),
    )

    id: int = Field(sa_column=Column(_WIDE, primary_key=True, autoincrement=False))
    family: str
    missing: int
    limit_class: int
    spread: int
    value: float | None = None
    low: float | None = None
    high: float | None = None
    limit_high: float | None = None
    kind: int
    promise: int


class Rung(SQLModel, table=True):
    """Which classes of limit and spread occur: the search probes these and no others."""

    family: str = Field(primary_key=True)
    missing: int = Field(primary_key=True)
    limit_class: int = Field(primary_key=True)
    spread: int = Field(primary_key=True)
    ratio: float


class KeyName(SQLModel, table=True):
    """Which names occur among the options of a family whose keys hold the number of one: the search judges these and no others."""

    __tablename__ = "key_name"

    family: str = Field(primary_key=True)
    number: int = Field(sa_column=Column(_WIDE, primary_key=True, autoincrement=False))
    name: str


class SearchWord(SQLModel, table=True):
    """One distinct word of the texts of parts, as `partsbin.stock.searching.words` writes it: derived, rebuildable.

    A word or a code stands backwards too: where one end of it is mistyped, the other one finds it.
    """

    __tablename__ = "search_word"

    id: int | None = Field(default=None, primary_key=True)
    word: str = Field(sa_column=Column(_BYTEWISE, nullable=False, unique=True))
    backwards: str | None = Field(default=None, sa_column=Column(_BYTEWISE, index=True))


class SearchPosting(SQLModel, table=True):
    """The parts that have a word, many to a row: ``first`` is one of them, ``offsets`` are their ids less it, 16 bits each."""

    __tablename__ = "search_posting"
    __table_args__: Any = {"sqlite_with_rowid": False}  # one tree: a word's rows lie side by side

    word_id: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    first: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    offsets: bytes


class SearchText(SQLModel, table=True):
    """The words of one part, ids of 32 bits each in rising order: what its postings are renewed by."""

    __tablename__ = "search_text"

    part_id: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    words: bytes


def table_of(model: type[SQLModel]) -> Table:
    """Return the table behind a model, for queries that give rows and not objects."""
    return cast(Table, vars(model)["__table__"])


def append_only(table: Table, name: str) -> None:
    """Refuse UPDATE and DELETE in the database itself, on both engines."""

    def after_create(statement: str, dialect: str) -> None:
        ddl = DDL(statement).execute_if(dialect=dialect)  # type: ignore[no-untyped-call]
        event.listen(table, "after_create", ddl)

    refusal = f"{name} is append-only: reverse a mistake by a new line"
    for verb in ("UPDATE", "DELETE"):
        trigger = f"CREATE TRIGGER {name}_no_{verb.lower()} BEFORE {verb} ON {name}"
        after_create(f"{trigger} BEGIN SELECT RAISE(ABORT, '{refusal}'); END", "sqlite")
    function = f"CREATE FUNCTION {name}_append_only() RETURNS trigger LANGUAGE plpgsql"
    after_create(f"{function} AS $$ BEGIN RAISE EXCEPTION '{refusal}' USING ERRCODE = '23000'; END $$", "postgresql")
    trigger = f"CREATE TRIGGER {name}_no_change BEFORE UPDATE OR DELETE ON {name} FOR EACH ROW"
    after_create(f"{trigger} EXECUTE FUNCTION {name}_append_only()", "postgresql")


for _model in (Act, Movement, Reading):
    append_only(table_of(_model), table_of(_model).name)
