"""What the rows of a supplier's list say of buying: what a piece costs, how many there are in a pack, at least, and in all."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from decimal import ROUND_UP, Decimal
from itertools import repeat
from operator import itemgetter
from typing import NamedTuple, TypeVar

from partsbin.errors import NotationError
from partsbin.stock.price_columns import ARTICLE, BY_PACK, MINIMUM, PACK, PER_WORDS, SUPPLY, PriceColumns

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

_T = TypeVar("_T")
Cells = tuple[str, ...]
Breaks = tuple[tuple[int, int], ...]
"""From how many, thousandths a piece; rising."""

Pieces = tuple[int, int, int | None]
"""How many are in a pack, the fewest that are sold, how many there are; None where nobody says."""


class Price(NamedTuple):
    """What a row says of buying."""

    article: str
    breaks: Breaks
    pack: int
    minimum: int
    supply: int | None


class PriceReader:
    """Reads what the rows of a list say of buying; cells that come again are read once.

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
        at = {heading: place for place, heading in enumerate(headings) if heading}
        self.comma = comma
        steps = [step for step in columns.prices if step[2] in at]
        paid = [at[name] for _, begins, price, _ in steps for name in (begins, price) if name in at]
        pieces = {role: at[heading] for role, heading in columns.one.items() if role != ARTICLE and heading in at}
        if PACK in pieces and any(per == BY_PACK for *_, per in steps):
            paid.append(pieces[PACK])
        self.steps = [
            (start, paid.index(at[begins]) if begins in at else -1, begins, paid.index(at[price]), per)
            for start, begins, price, per in steps
        ]
        self.packed = paid.index(pieces[PACK]) if pieces.get(PACK) in paid else -1
        self.told = {role: number for number, role in enumerate(pieces)}
        self.article = at.get(columns.one.get(ARTICLE, ""), -1)
        self.paid, self.rest = picking(paid), picking(list(pieces.values()))
        self.breaks, self.pieces = _Said(self._breaks), _Said(self._pieces)

    def each(self, rows: Sequence[Cells]) -> Iterator[tuple[str, Breaks | NotationError, Pieces | NotationError]]:
        """Yield what rows say, as wide as the headings: article, prices, pieces; a fault where there are none."""
        articles = map(str.strip, map(itemgetter(self.article), rows)) if self.article >= 0 else repeat("")
        return zip(
            articles,
            map(self.breaks.__getitem__, map(self.paid, rows)),
            map(self.pieces.__getitem__, map(self.rest, rows)),
            strict=False,
        )

    def read(self, values: Sequence[str]) -> Price:
        """Return what a row says; it is as wide as the headings.

        Raises
        ------
        NotationError
            If it has no price, or a cell holds no number.
        """
        ((article, breaks, pieces),) = self.each([tuple(values)])
        if isinstance(breaks, NotationError):
            raise breaks.with_traceback(None)
        if isinstance(pieces, NotationError):
            raise pieces.with_traceback(None)
        return Price(article, breaks, *pieces)

    def _pieces(self, cells: Cells) -> Pieces:
        said = {role: cells[at] for role, at in self.told.items()}
        pack, minimum = (_whole(said.get(role, ""), role, 1) for role in (PACK, MINIMUM))
        return pack, minimum, _supply(said[SUPPLY]) if SUPPLY in said else None

    def _breaks(self, cells: Cells) -> Breaks:
        breaks: dict[int, int] = {}
        for start, begins, heading, at, per in self.steps:
            cell = cells[at].strip()
            if not cell or (begins >= 0 and not cells[begins].strip()):
                continue
            first = _whole(cells[begins], heading, 1) if begins >= 0 else start
            if per == BY_PACK:
                if self.packed < 0 or not cells[self.packed].strip():
                    raise NotationError(f"{heading}: how many are in a pack is not said", hint="--column HEADING=pack")
                per = _whole(cells[self.packed], PACK, 1)
                first = first * per if first > 1 else 1
            breaks[first] = max(read_price(cell, comma=self.comma, per=per), breaks.get(first, 0))
        if not breaks:
            raise NotationError("no price is given", hint="say which column it is: --column HEADING=price")
        return tuple(sorted(breaks.items()))


class _Said(dict[Cells, _T | NotationError]):
    """What cells say, by the cells; or what is wrong with them."""

    def __init__(self, read: Callable[[Cells], _T]) -> None:
        super().__init__()
        self.read = read

    def __missing__(self, cells: Cells) -> _T | NotationError:
        said: _T | NotationError
        try:
            said = self.read(cells)
        except NotationError as fault:
            said = fault
        self[cells] = said
        return said


def picking(places: Sequence[int]) -> Callable[[Cells], Cells]:
    """Return what takes the cells of some places out of a row; of one place as well as a row of one."""
    return (
        itemgetter(*places) if len(places) > 1 else itemgetter(slice(places[0], places[0] + 1) if places else slice(0))
    )


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
    if cell.isascii() and cell.isdigit() and len(cell) < 10:
        return int(cell)
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
        per = PER_WORDS.get(match[3].lower(), int(match[3]) if match[3].isdecimal() and int(match[3]) else per)
    price = int((Decimal(figures) * 1000 / per).to_integral_value(ROUND_UP))
    if price <= 0:
        raise NotationError(f"price: {text!r} is no price", hint="leave out what is sold on request only")
    return price


def _whole(cell: str, name: str, least: int) -> int:
    if cell.isascii() and cell.isdigit() and len(cell) < 10 and (plain := int(cell)) >= least:
        return plain
    match = re.fullmatch(r"[^\d]*(\d{1,3}(?:[.,' ]\d{3})+|\d{1,9})\D*", cell.strip()) if cell.strip() else None
    if not cell.strip():
        return least
    value = int(re.sub(r"\D", "", match[1])) if match and not cell.strip().startswith("-") else -1
    if value < least:
        raise NotationError(f"{name}: {cell!r} is no number of pieces")
    return value
