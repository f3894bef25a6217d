"""Which columns of a supplier's list say article number, prices by quantity, pack, minimum and stock; and what a row says in them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_UP, Decimal
from operator import itemgetter
from typing import NamedTuple

from partsbin.errors import NotationError
from partsbin.stock.mapping import told_apart

ARTICLE, PRICE, PACK, MINIMUM, SUPPLY = "article", "price", "pack", "minimum", "supply"
ROLES = (ARTICLE, PRICE, PACK, MINIMUM, SUPPLY)
"""What ``--column HEADING=ROLE`` may say beside the columns of a part; ``price@10`` is the price from ten pieces."""

_WORDS = {
    ARTICLE: r"(?:article|art|order|item|stock|catalogue|cat|product|sku|bestell|artikel)?[ -]?(?:no|nr|number|nummer|code)|sku"
    r"|artikel-?n(?:umme)?r|bestell-?n(?:umme)?r|order code|article|artikel",
    PACK: r"pack|pack(?:age)? (?:size|qty|quantity|of)|sold in|multiples?|order multiple|vpe|verpackungseinheit|packungsgröße|packung",
    MINIMUM: r"moq|min(?:imum)?(?: order)?(?: (?:qty|quantity))?|mindest(?:bestell)?menge|mindestabnahme|min\.? ?menge",
    SUPPLY: r"stock|in stock|on stock|available|availability|supply|bestand|lagerbestand|verfügbar|auf lager|vorrat|qty available",
}  # fmt: skip
_PRICED = re.compile(
    r"(?i)(?<![a-zäöüß])(?:unit ?price|price|prices|preis|stückpreis|einzelpreis|staffelpreis|ep|vk|net|netto)"
    r"(?![a-zäöüß])|[€£$]"
)
_FROM = re.compile(r"(?:(?:qty|quantity|menge|break|from|ab|staffel)[ .]*)+([1-9])\Z", re.IGNORECASE)
_BARE = re.compile(
    r"(?:(?:from|ab|at|bei|je)\s*)?([1-9]\d{0,5})\s*(?:\+|pcs|pieces|stk\.?|stück|off)(?:\s.*)?\Z"
    r"|(?:from|ab)\s*([1-9]\d{0,5})\Z",
    re.IGNORECASE,
)
_BY_PACK = re.compile(r"(?i)(?:per|je|pro|/)\s*(?:pack(?:age|ung)?|pk|vpe|reel|box|bag|beutel|rolle)\b")
_HUNDREDTHS = re.compile(r"(?i)\((?:p|pence|ct|cents?)\)|\bin (?:pence|cents?)\b")
_PER = re.compile(r"(?i)(?:per|je|pro|/)\s*(100|1000|1k|hundred|hundert|thousand|tausend)\b")
_PER_WORDS = {"1k": 1000, "thousand": 1000, "tausend": 1000, "hundred": 100, "hundert": 100}
_AMOUNT = re.compile(
    r"(?i)\s*(?:[€£$]|eur|gbp|usd|chf)?\s*([\d.,' ]*\d)(?:[.,][-–—])?\s*(?:(p|pence|ct|cents?)(?!\w)|[€£$]|eur|gbp|usd|chf)?"
    r"\s*(?:each|ea\.?|(?:(?:/|per|je)\s*(\w+)))?\s*"
)
_ONE = frozenset({"each", "ea", "pc", "piece", "st", "stk", "stück", "unit"})
_GONE = re.compile(
    r"(?i)(?:temporarily |currently )?(?:out of stock|sold out|no(?:ne|t)?\b(?: in stock| available)?|nil|unavailable|discontinued"
    r"|obsolete|back ?order(?:ed)?|nein|keine?|ausverkauft|vergriffen|nicht (?:lieferbar|verfügbar|auf lager))[ .!]*"
)
_LATER = re.compile(
    r"(?i)\b(?:due|expected|eta|weeks?|wks?|days?|months?|wochen?|tagen?|monate?n?|erwartet|lieferbar ab)\b"
)
BY_PACK = 0
"""In the place of the pieces that a price is for: as many as are in a pack [-]."""


class Price(NamedTuple):
    """What a row says of buying: breaks as (from how many, thousandths a piece), rising."""

    article: str
    breaks: tuple[tuple[int, int], ...]
    pack: int
    minimum: int
    supply: int | None


@dataclass
class PriceColumns:
    """Columns of a list by heading; `prices` holds (from, column of the from, column of the price, pieces that it is for)."""

    one: dict[str, str] = field(default_factory=dict)
    prices: list[tuple[int, str, str, int]] = field(default_factory=list)

    @property
    def headings(self) -> tuple[str, ...]:
        """All columns that are about buying."""
        return (*self.one.values(), *(c for _, start, price, _ in self.prices for c in (start, price) if c))


class PriceReader:
    """Reads what the rows of a list say of buying; a cell that comes again is read once.

    Parameters
    ----------
    columns : PriceColumns
        Which columns say it.
    headings : sequence of str
        The headings of the rows, in their order.
    comma : bool
        Whether the list writes 0,1 for a tenth.
    """

    def __init__(self, columns: PriceColumns, headings: Sequence[str], *, comma: bool) -> None:
        at = {heading: place for place, heading in enumerate(headings)}
        self.comma = comma
        self.steps = [
            (start, at.get(begins, -1), begins, at[heading], per)
            for start, begins, heading, per in columns.prices
            if heading in at
        ]
        self.article, self.pack, self.minimum, self.supply = (
            at.get(columns.one.get(role, ""), -1) for role in (ARTICLE, PACK, MINIMUM, SUPPLY)
        )
        paid = [place for _, begins, _, price, _ in self.steps for place in (begins, price) if place >= 0]
        if any(per == BY_PACK for *_, per in self.steps):
            paid += [self.pack] if self.pack >= 0 else []
        self.paid: Callable[[Sequence[str]], str | tuple[str, ...]] = itemgetter(*paid) if paid else lambda row: ""
        self.breaks: dict[str | tuple[str, ...], tuple[tuple[int, int], ...]] = {}
        rest = [place for place in (self.pack, self.minimum, self.supply) if place >= 0]
        self.rest: Callable[[Sequence[str]], str | tuple[str, ...]] = itemgetter(*rest) if rest else lambda row: ""
        self.pieces: dict[str | tuple[str, ...], tuple[int, int, int | None]] = {}

    def read(self, values: Sequence[str]) -> Price:
        """Return what a row says; it is as wide as the headings.

        Raises
        ------
        NotationError
            If it has no price, or a cell holds no number.
        """
        paid = self.paid(values)
        if (breaks := self.breaks.get(paid)) is None:
            breaks = self.breaks[paid] = self._breaks(values)
        rest = self.rest(values)
        if (pieces := self.pieces.get(rest)) is None:
            pieces = self.pieces[rest] = self._pieces(values)
        return Price(values[self.article].strip() if self.article >= 0 else "", breaks, *pieces)

    def _pieces(self, values: Sequence[str]) -> tuple[int, int, int | None]:
        """Return how many are in a pack, the fewest that are sold, and how many there are."""
        pack = 1 if self.pack < 0 else _whole(values[self.pack], PACK, 1)
        minimum = 1 if self.minimum < 0 else _whole(values[self.minimum], MINIMUM, 1)
        return pack, minimum, None if self.supply < 0 else _supply(values[self.supply])

    def _breaks(self, values: Sequence[str]) -> tuple[tuple[int, int], ...]:
        breaks: dict[int, int] = {}
        for start, begins, heading, at, per in self.steps:
            cell = values[at].strip()
            if not cell or (begins >= 0 and not values[begins].strip()):
                continue
            first = _whole(values[begins], heading, 1) if begins >= 0 else start
            if per == BY_PACK:
                if self.pack < 0 or not values[self.pack].strip():
                    raise NotationError(f"{heading}: how many are in a pack is not said", hint="--column HEADING=pack")
                per = _whole(values[self.pack], PACK, 1)
                first = first * per if first > 1 else 1
            breaks[first] = max(read_price(cell, comma=self.comma, per=per), breaks.get(first, 0))
        if not breaks:
            raise NotationError("no price is given", hint="say which column it is: --column HEADING=price")
        return tuple(sorted(breaks.items()))


def together(price: Price, pieces: int) -> Price:
    """Return the price of a piece where so many are sold as one: a matched pair, ten in a bag.

    Examples
    --------
    >>> together(Price("A", ((1, 30_000), (5, 28_000)), 1, 1, 6), 2)
    Price(article='A', breaks=((2, 15000), (10, 14000)), pack=2, minimum=2, supply=12)
    """
    return Price(
        price.article,
        tuple((start * pieces, -(-paid // pieces)) for start, paid in price.breaks),
        price.pack * pieces,
        price.minimum * pieces,
        None if price.supply is None else price.supply * pieces,
    )


def _supply(cell: str) -> int | None:
    """How many a supplier has now; None where no number says it."""
    said = cell.strip()
    if _GONE.fullmatch(said) or _LATER.search(said) or re.fullmatch(r"[-–—−]\s*\d+", said):
        return 0
    return _whole(cell, SUPPLY, 0) if re.search(r"\d", cell) else None


def read_price(text: str, *, comma: bool = False, per: int = 1) -> int:
    """Return the price of a piece in thousandths, rounded up: an order costs no more than it says.

    Parameters
    ----------
    text : str
        The cell.
    comma : bool
        Whether the list writes 0,1 for a tenth: what three figures behind a sign mean follows from it.
    per : int
        Pieces that the price is for [-].

    Raises
    ------
    NotationError
        If it is no amount, or none above 0: a list that has no price writes 0 as well.

    Examples
    --------
    >>> read_price("0,125 €", comma=True), read_price("€ 1,234.50"), read_price("12.50", per=100), read_price("0.0121")
    (125, 1234500, 125, 13)
    >>> read_price("1.234 €", comma=True), read_price("1.234"), read_price("1,234"), read_price("0,125")
    (1234000, 1234, 1234000, 125)
    >>> read_price("45p"), read_price("0.45 each"), read_price("16,-")
    (450, 450, 16000)
    """
    match = _AMOUNT.fullmatch(text)
    figures = re.sub(r"[' ]", "", match[1]) if match else ""
    if re.search(r"[.,]\d+[.,]", figures):  # two kinds of sign: the last one is the decimal's
        last = max(figures.rfind("."), figures.rfind(","))
        behind = "" if len(set(re.findall(r"[.,]", figures))) == 1 else "."  # 1.234.567 has no decimals
        figures = re.sub(r"[.,]", "", figures[:last]) + behind + figures[last + 1 :]
    elif re.fullmatch(rf"[1-9]\d{{0,2}}[{'.' if comma else ','}]\d{{3}}", figures):
        figures = re.sub(r"[.,]", "", figures)
    figures = figures.replace(",", ".")
    if match is None or not re.fullmatch(r"\d{1,9}(\.\d{1,9})?|\.\d{1,9}", figures):
        raise NotationError(f"price: {text!r} is not an amount of money", hint="such as 4.50")
    if match[2]:
        per *= 100  # pence, cents
    if match[3] and match[3].lower() not in _ONE:
        per = _PER_WORDS.get(match[3].lower(), int(match[3]) if match[3].isdecimal() and int(match[3]) else per)
    price = int((Decimal(figures) * 1000 / per).to_integral_value(ROUND_UP))
    if price <= 0:
        raise NotationError(f"price: {text!r} is no price", hint="leave out what is sold on request only")
    return price


def _whole(cell: str, name: str, least: int) -> int:
    match = re.fullmatch(r"[^\d]*(\d{1,3}(?:[.,' ]\d{3})+|\d{1,9})\D*", cell.strip()) if cell.strip() else None
    if not cell.strip():
        return least
    value = int(re.sub(r"\D", "", match[1])) if match and not cell.strip().startswith("-") else -1
    if value < least:
        raise NotationError(f"{name}: {cell!r} is no number of pieces")
    return value


def find_columns(header: Sequence[str], given: Mapping[str, str]) -> PriceColumns:
    """Say which columns are about buying: as told, then by their headings."""
    found, names = PriceColumns(), told_apart(header)
    starts = {
        m[1]: name
        for name in names
        if name not in given and (m := _FROM.fullmatch(name.strip())) and any(_of_break(each, m[1]) for each in names)
    }
    for name in names:
        role = given.get(name)
        if role is not None:
            kind, _, start = role.partition("@")
            if kind == PRICE:
                found.prices.append((int(start) if start.isdecimal() and int(start) else 1, "", name, _per(name)))
            elif kind in ROLES:
                found.one[kind] = name
            continue
        word = re.sub(r"[\s_.]+", " ", name.strip().lower()).rstrip(" :")
        told = next(
            (kind for kind, words in _WORDS.items() if kind not in found.one and re.fullmatch(words, word)), None
        )
        if told and told not in (given.values()):
            found.one[told] = name
        elif name not in starts.values() and (price := _price(name, starts)):
            found.prices.append(price)
    if not found.prices and (numbers := [name for name in names if re.fullmatch(r"[1-9]\d{0,5}", name)])[:1] == ["1"]:
        found.prices = [(int(name), "", name, 1) for name in numbers]  # a column for each quantity, headed by it alone
    return found


def _of_break(name: str, number: str) -> bool:
    """Whether a column holds the price of a break that has a column of its own for how many."""
    return bool(_PRICED.search(name)) and number in re.findall(r"(?<![\d.,])[1-9]\d{0,5}(?![\d.,])", name)


def _per(name: str) -> int:
    if _BY_PACK.search(name):
        return BY_PACK
    match = _PER.search(name)
    pieces = 1 if match is None else _PER_WORDS.get(match[1].lower(), 0) or int(match[1])
    return pieces * 100 if _HUNDREDTHS.search(name) else pieces


def _price(name: str, starts: Mapping[str, str]) -> tuple[int, str, str, int] | None:
    per, rest = _per(name), _PER.sub("", name).strip()
    if bare := _BARE.fullmatch(rest):
        return (int(bare[1] or bare[2]), "", name, per)
    if not _PRICED.search(rest):
        return None
    number = re.search(r"(?<![\d.,])([1-9]\d{0,5})(?![\d.,])", rest)
    if number and number[1] in starts:
        return (1, starts[number[1]], name, per)
    return (int(number[1]) if number else 1, "", name, per)
