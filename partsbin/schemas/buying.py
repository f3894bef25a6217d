"""What is to be kept, what is short, what to order and what came."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from partsbin.schemas.base import Strict, VerdictWord
from partsbin.schemas.shelf import WouldServe


class RulePoint(Strict):
    """A reorder point and what it rests on: the demand until a delivery comes."""

    pieces: int
    law: Literal["poisson", "negative binomial"]
    mean: float
    variance: float
    service: float
    reached: float
    lead_days: int
    months: list[int]


class RuleStands(Strict):
    """How a stock rule stands: pieces here and ordered already, how many to order; `point` is null where the level is fixed."""

    rule: int
    family: str
    text: str
    position: str
    set: dict[str, str]
    level: int
    here: int
    coming: int
    order: int
    point: RulePoint | None
    why: str


class RulesListed(Strict):
    """The answer of ``rule add``, ``rule list`` and ``rule drop``."""

    rules: list[RuleStands]


class OrderedFor(Strict):
    """What pieces of an order are for."""

    name: str = Field(alias="for")
    pieces: int
    verdict: VerdictWord


class OrderLine(Strict):
    """A line of an order; money in thousandths of the currency's unit."""

    supplier: str
    article: str
    offer: str
    part: str
    title: str
    pieces: int
    price: int
    sum: int
    note: str
    uses: list[OrderedFor]


class WantedPieces(Strict):
    """What is short, and why."""

    name: str = Field(alias="for")
    family: str
    pieces: int
    coming: int
    why: str


class OrderedLine(Strict):
    """A line of an order that was sent, as it stands; money in thousandths of the currency's unit."""

    order: int
    supplier: str
    at: str
    offer: str
    article: str
    title: str
    pieces: int
    came: int
    cancelled: int
    coming: int
    price: int
    uses: list[str]


class ComingLine(OrderedLine):
    """A line that is under way, and what it serves now."""

    uses: list[OrderedFor]  # type: ignore[assignment]


class OrdersListed(Strict):
    """The answer of ``order list``, ``order show`` and ``order cancel``."""

    orders: list[OrderedLine]


class MissingPieces(Strict):
    """What nobody offers."""

    name: str = Field(alias="for")
    pieces: int


class OrderAnswer(Strict):
    """The answer of ``reorder``; money in thousandths of the currency's unit."""

    wanted: list[WantedPieces]
    coming: list[ComingLine]
    lines: list[OrderLine]
    missing: list[MissingPieces]
    unsaid: list[str]
    rules: list[RuleStands]
    goods: int
    shipping: int
    total: int
    over: int
    unread: int
    sent: list[int]
    files: list[str]


class BoughtPart(Strict):
    """A part on the shelf that pieces of a delivery were booked to; the price is a piece's, in thousandths."""

    part: str
    title: str
    pieces: int
    price: int
    orders: list[int]


class BoughtAnswer(Strict):
    """The answer of ``bought``."""

    bought: list[BoughtPart]
    serves: list[WouldServe]


class SupplierSending(Strict):
    """A supplier and what sending costs, in thousandths; `free_from` is null where it is never free."""

    name: str
    shipping: int
    free_from: int | None


class SuppliersListed(Strict):
    """The answer of ``supplier list`` and ``supplier sending``."""

    suppliers: list[SupplierSending]


class OffersTaken(Strict):
    """What a price list changed."""

    fresh: int
    repriced: int
    gone: int


class OffersImported(Strict):
    """The answer of ``import --as offers``; `taken` is null where nothing was written."""

    file: str
    supplier: str
    columns: dict[str, str]
    totals: dict[str, int]
    taken: OffersTaken | None
    rows: list[dict[str, Any]]
