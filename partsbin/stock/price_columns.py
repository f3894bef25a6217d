"""Which columns of a supplier's list say article number, prices by quantity, pack, minimum and stock."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from partsbin.stock.mapping import told_apart

ARTICLE, PRICE, PACK, MINIMUM, SUPPLY = "article", "price", "pack", "minimum", "supply"
ROLES = (ARTICLE, PRICE, PACK, MINIMUM, SUPPLY)
"""What ``--column HEADING=ROLE`` may say beside the columns of a part; ``price@10`` is the price from ten pieces."""

_WORDS = {
    ARTICLE: r"(?:article|art|order|item|stock|catalogue|cat|product|sku|bestell|artikel)?[ -]{0,2}(?:no|nr|number|nummer|code)|sku"
    r"|artikel-?n(?:umme)?r|bestell-?n(?:umme)?r|order code|article|artikel",
    PACK: r"pack|pack(?:age)? (?:size|qty|quantity|of)|sold in|multiples?|order multiple|vpe|verpackungseinheit|packungsgröße|packung",
    MINIMUM: r"moq|min(?:imum)?(?: order)?(?: (?:qty|quantity))?|mindest(?:bestell)?menge|mindestabnahme|min\.? ?menge",
    SUPPLY: r"stock|in stock|on stock|available|availability|supply|bestand|lagerbestand|verfügbar|(?:auf )?lager|vorrat|qty available",
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
PER_WORDS = {"1k": 1000, "thousand": 1000, "tausend": 1000, "hundred": 100, "hundert": 100}
BY_PACK = 0
"""In the place of the pieces that a price is for: as many as are in a pack [-]."""


@dataclass
class PriceColumns:
    """Columns of a list by heading; `prices` holds (from, column of the from, column of the price, pieces that it is for)."""

    one: dict[str, str] = field(default_factory=dict)
    prices: list[tuple[int, str, str, int]] = field(default_factory=list)

    @property
    def headings(self) -> tuple[str, ...]:
        """All columns that are about buying."""
        return (*self.one.values(), *(c for _, start, price, _ in self.prices for c in (start, price) if c))


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
    pieces = 1 if match is None else PER_WORDS.get(match[1].lower(), 0) or int(match[1])
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
