"""The tables of the work: jobs with their needs, what was fitted and why, what was read on a set; the hours of stripping."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint, Column
from sqlmodel import Field, SQLModel

from partsbin.store.tables import append_only, table_of

LINES = ("reading", "test", "kept", "note")
"""What may be written down of a job: a reading on the set, a test before it goes home, a part kept for the customer, a remark."""


class Job(SQLModel, table=True):
    """A repair on the bench, with its set. The customer is a reference of their own choosing and nothing more."""

    id: int | None = Field(default=None, primary_key=True)
    reference: str = ""
    what: str = ""
    facts: Any = Field(default_factory=dict, sa_column=Column(JSON, nullable=False))
    opened_at: datetime
    closed_at: datetime | None = None


class JobNeed(SQLModel, table=True):
    """Something that a set needs: what a repairer says of the failed part, and how many of it.

    `position` is "" where it has to be said yet; `why` is what says so, where a list said nothing of it.
    """

    __tablename__ = "job_need"
    __table_args__ = (CheckConstraint("quantity > 0", name="job_need_quantity"),)

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id", index=True)
    designator: str = ""
    family: str
    text: str = ""
    position: str = ""
    facts: Any = Field(default_factory=dict, sa_column=Column(JSON, nullable=False))
    quantity: int = 1
    dropped: bool = False
    why: str = Field(default="", sa_column_kwargs={"server_default": ""})


class JobLine(SQLModel, table=True):
    """One line of a job's record, never overwritten."""

    __tablename__ = "job_line"
    __table_args__ = (CheckConstraint(f"kind IN {LINES}", name="job_line_kind"),)

    id: int | None = Field(default=None, primary_key=True)
    job_id: int = Field(foreign_key="job.id", index=True)
    kind: str
    what: str
    said: str = ""
    instrument: str = ""
    at: datetime
    by: str = ""


class Fitting(SQLModel, table=True):
    """Why a part went into a set: the need, the verdict and the number behind it, the change that was made. Never overwritten.

    `movement_id` is the line that booked the part out; `margin` is that of the check that decided, as a fraction.
    """

    __table_args__ = (CheckConstraint("verdict IN ('fits', 'care', 'measure', 'unfit', '')", name="fitting_verdict"),)

    movement_id: int = Field(foreign_key="movement.id", primary_key=True, sa_column_kwargs={"autoincrement": False})
    need_id: int | None = Field(default=None, foreign_key="job_need.id", index=True)
    designator: str = ""
    position: str = ""
    verdict: str = ""
    check_code: str = ""
    margin: float | None = None
    reason: str = ""
    change: str = ""


class Stripping(SQLModel, table=True):
    """One sitting over a donor: how long it took and what it gave. Never overwritten."""

    id: int | None = Field(default=None, primary_key=True)
    donor_id: int = Field(foreign_key="donor.id", index=True)
    at: datetime
    by: str = ""
    minutes: float
    parts: int = 0


for _model in (JobLine, Fitting, Stripping):
    append_only(table_of(_model), table_of(_model).name)
