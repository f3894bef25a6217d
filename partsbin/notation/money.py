"""Money as people write it, in whole thousandths of the currency's unit: exact, whatever the currency."""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.errors import NotationError

THOUSANDTHS = 1000
_MONEY = re.compile(r"(\d{1,12})(?:[.,](\d{1,3}))?")
_SIGNS = re.compile(r"[\s£$€]|\b(?:eur|gbp|usd|chf)\b", re.IGNORECASE)


def read_money(text: str) -> int:
    """Return an amount in thousandths of the currency's unit.

    Parameters
    ----------
    text : str
        Such as ``4.50``, ``4,50 €``, ``0.125``; the currency's sign is not looked at: a workshop has one.

    Raises
    ------
    NotationError
        If it is no amount, or finer than a thousandth.

    Examples
    --------
    >>> read_money("4,50 €"), read_money("0.125"), read_money("12")
    (4500, 125, 12000)
    """
    match = _MONEY.fullmatch(_SIGNS.sub("", text))
    if match is None:
        raise NotationError(f"{text!r} is not an amount of money", hint="such as 4.50")
    return int(Decimal(f"{match[1]}.{match[2] or 0}") * THOUSANDTHS)


def say_money(thousandths: int) -> str:
    """Return an amount as it is written: two places, three where it has them.

    Examples
    --------
    >>> say_money(4500), say_money(125), say_money(-12000)
    ('4.50', '0.125', '-12.00')
    """
    value = Decimal(thousandths) / THOUSANDTHS
    return f"{value:.3f}" if thousandths % 10 else f"{value:.2f}"
