"""The tables of buying: suppliers, what they offer at which price, what is ordered, and the stock that the workshop wants to keep."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint, Column, Index, text
from sqlmodel import Field, SQLModel


class Supplier(SQLModel, table=True):
    """Where parts are bought. Shipping is that of one order, free from an order of so much; in thousandths."""

    __table_args__ = (CheckConstraint("shipping >= 0", name="supplier_shipping"),)

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(unique=True, index=True)
    shipping: int = 0
    free_from: int | None = None
    listed_at: datetime | None = None


class OfferedKind(SQLModel, table=True):
    """A part of origin "offered": all that price lists say alike, whoever sells it at which price. `key` tells it again."""

    __tablename__ = "offered_kind"

    part_id: int = Field(foreign_key="part.id", primary_key=True, sa_column_kwargs={"autoincrement": False})
    key: str = Field(unique=True, index=True)


class PriceList(SQLModel, table=True):
    """How lines of a price list are to be read: its columns, the headings above them; a JSON text, told again by its hash."""

    __tablename__ = "price_list"

    id: int | None = Field(default=None, primary_key=True)
    key: str = Field(unique=True, index=True)
    columns: str


class Offer(SQLModel, table=True):
    """A line of a supplier's list: what is wanted for a kind of part, or for what the line says where it is not read yet.

    `breaks` is the text of ``[[from how many pieces, price of a piece in thousandths], …]``, rising, and `least` the lowest of
    these prices; `pack` how many are sold together, `minimum` the fewest that are sold, `supply` how many the supplier has, None
    where the list does not say. `here_id` is the part on the shelf that deliveries of it go to. A number is never given again.

    `said` are the cells that speak of the part, `list_id` how they are read. Of a line without a part, `sieve` are the families
    that it may be of, as bits, `low` and `high` the values between which it lies, `most` what it bears; with no bit it was read,
    and is of no use.
    `together` is of how many pieces the list's own price is: ten in a bag.
    """

    __table_args__ = (
        CheckConstraint("pack > 0", name="offer_pack"),
        CheckConstraint("minimum > 0", name="offer_minimum"),
        CheckConstraint("supply >= 0", name="offer_supply"),
        *(
            Index(
                f"ix_offer_{name}",
                name,
                sqlite_where=text(f"{name} IS NOT NULL"),
                postgresql_where=text(f"{name} IS NOT NULL"),
            )
            for name in ("part_id", "here_id")  # most lines of a long list are of no part yet
        ),
        {"sqlite_autoincrement": True},
    )

    id: int | None = Field(default=None, primary_key=True)
    part_id: int | None = Field(default=None, foreign_key="part.id")
    supplier_id: int = Field(foreign_key="supplier.id")
    article: str = ""
    breaks: str
    least: int
    pack: int = 1
    minimum: int = 1
    supply: int | None = None
    here_id: int | None = Field(default=None, foreign_key="part.id")
    list_id: int | None = Field(default=None, foreign_key="price_list.id")
    said: str = ""
    sieve: int = 0
    low: float = 0.0
    high: float = 0.0
    most: float = 0.0
    together: int = 1


class Purchase(SQLModel, table=True):
    """An order that was sent to a supplier: order 3."""

    id: int | None = Field(default=None, primary_key=True)
    supplier_id: int = Field(foreign_key="supplier.id")
    at: datetime
    by: str = ""


class PurchaseLine(SQLModel, table=True):
    """A line of an order: the article as it was called and what it is, however the price list changes.

    `offer_id` is the number that the offer had; `uses` is what the pieces were ordered for, in words.
    """

    __tablename__ = "purchase_line"
    __table_args__ = (
        CheckConstraint("pieces > 0", name="purchase_line_pieces"),
        CheckConstraint("cancelled >= 0 AND cancelled <= pieces", name="purchase_line_cancelled"),
    )

    id: int | None = Field(default=None, primary_key=True)
    purchase_id: int = Field(foreign_key="purchase.id", index=True)
    offer_id: int
    part_id: int = Field(foreign_key="part.id", index=True)
    article: str = ""
    pieces: int
    price: int
    cancelled: int = 0
    uses: Any = Field(default_factory=list, sa_column=Column(JSON, nullable=False))


class Arrival(SQLModel, table=True):
    """Pieces of a line that came, booked by an act; they count no more once it is taken back."""

    id: int | None = Field(default=None, primary_key=True)
    act_id: int = Field(foreign_key="act.id", index=True)
    line_id: int = Field(foreign_key="purchase_line.id", index=True)
    here_id: int = Field(foreign_key="part.id", index=True)
    pieces: int


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
