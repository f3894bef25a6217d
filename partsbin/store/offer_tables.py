"""The tables of buying: suppliers, what they offer at which price, and the stock that the workshop wants to keep."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint, Column
from sqlmodel import Field, SQLModel


class Supplier(SQLModel, table=True):
    """Where parts are bought. Shipping is that of one order, free from an order of so much; in thousandths."""

    __table_args__ = (CheckConstraint("shipping >= 0", name="supplier_shipping"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, index=True)
    shipping: int = 0
    free_from: int | None = None


class Offer(SQLModel, table=True):
    """What a supplier wants for a part of origin "offered".

    `breaks` is ``[[from how many pieces, price of a piece in thousandths], …]``, rising; `pack` how many are sold together,
    `minimum` the fewest that are sold, `supply` how many the supplier has, None where the list does not say.
    `here_id` is the part on the shelf that deliveries of it go to. `key` tells a second import of the same article.
    """

    __table_args__ = (
        CheckConstraint("pack > 0", name="offer_pack"),
        CheckConstraint("minimum > 0", name="offer_minimum"),
        CheckConstraint("supply >= 0", name="offer_supply"),
    )

    part_id: int = Field(foreign_key="part.id", primary_key=True, sa_column_kwargs={"autoincrement": False})
    supplier_id: int = Field(foreign_key="supplier.id", index=True)
    key: str
    article: str = ""
    breaks: Any = Field(sa_column=Column(JSON, nullable=False))
    pack: int = 1
    minimum: int = 1
    supply: int | None = None
    here_id: int | None = Field(default=None, foreign_key="part.id", index=True)
    at: datetime


class StockRule(SQLModel, table=True):
    """A need of which so many pieces are to be there, whatever they are: whatever serves it counts.

    Without `service` the level is the point as well. With it the point follows from usage: at this chance stock lasts
    through the days of `lead`.
    """

    __tablename__ = "stock_rule"
    __table_args__ = (
        CheckConstraint("level > 0", name="stock_rule_level"),
        CheckConstraint("service > 0 AND service < 1", name="stock_rule_service"),
    )

    id: int | None = Field(default=None, primary_key=True)
    family: str
    text: str = ""
    position: str
    facts: Any = Field(default_factory=dict, sa_column=Column(JSON, nullable=False))
    level: int
    service: float | None = None
    lead: int | None = None
    dropped: bool = False
