"""Pairs of windings: what stands on either side of a colon, and what it means."""

from __future__ import annotations

from decimal import Decimal

import pytest

from partsbin.notation.pairs import find_joined, pairs_of
from partsbin.notation.scan import scan
from partsbin.notation.vocabulary import TRANSFORMER
from tests.expected import by_hand, published


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("45:1", [("", "")]),
        ("5k:3", [("ohm", "")]),
        ("5k2 to 3 ohm", [("ohm", "ohm")]),
        ("8k a-a : 15 ohm", [("ohm", "ohm")]),
        ("8k CT: 15Ω", [("ohm", "ohm")]),
        ("230V:5.1V", [("V", "V")]),
        ("10/5/2.5W to 15 ohm", [("W", "ohm")]),
        ("5k/3Ω", [("ohm", "ohm")]),
        ("30:1, 45:1", [("", ""), ("", "")]),
        ("230V : 3 ohm", []),
        ("Rp 380 / Rs 0.4", []),
        ("80mA:3", []),
        ("0:1", []),
        (": 3 ohm", []),
        ("5k :", []),
    ],
)
def test_sides_are_found_on_either_side_of_a_colon(text: str, sides: list[tuple[str, str]]) -> None:
    """Words may stand before it, another number may not; sides of different kinds are no pair."""
    assert [(joined.left.kind, joined.right.kind) for joined in find_joined(scan(text, TRANSFORMER))] == sides


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("20V:1V", published(20, "wattkins-20952", of=pairs_of, where="20 V in, 1 V out")),
        ("7200 ohm:8 ohm", published(30, "bitdriven-output", of=pairs_of)),
        ("600 ohm:4 ohm", published(12.2, "us-general-pool", of=pairs_of, where="G5C07", rel=5e-3)),
        ("5k2:4Ω", by_hand(36.06, "sqrt(5200/4)", of=pairs_of)),
    ],
)
def test_sides_give_the_ratio(text: str, ratio: float) -> None:
    """Volts by their quotient, ohms by its root."""
    (joined,) = find_joined(scan(text, TRANSFORMER))
    (pair,), doubt = pairs_of(joined, None)
    assert pair.ratio is not None
    assert float(pair.ratio) == ratio
    assert doubt == ""


def test_watts_need_the_volts_of_the_line() -> None:
    """Without them there is no pair, and the text says what is missing."""
    (joined,) = find_joined(scan("5W to 15 ohm", TRANSFORMER))
    assert pairs_of(joined, None) == ([], "'5W to 15 ohm': watts without the volts of the line")
    (pair,), _ = pairs_of(joined, Decimal(100))
    assert pair.primary_impedance == 2000


def test_taps_on_both_sides_are_bounded() -> None:
    """Seven by seven taps do not become forty-nine rows."""
    (joined,) = find_joined(scan("1/2/3/4/5/6/7 ohm : 1/2/3/4/5/6/7 ohm", TRANSFORMER))
    pairs, _ = pairs_of(joined, None)
    assert len(pairs) == 24
