"""The helper of expected numbers must be able to fail."""

from __future__ import annotations

import math

from tests.expected import by_hand


def test_a_wrong_number_differs_and_a_right_one_agrees() -> None:
    """The comparison works both ways round and refuses a value outside the tolerance."""
    expected = by_hand(2.0, "sqrt 4", of=math.sqrt, rel=1e-3)
    assert math.sqrt(4) == expected
    assert math.sqrt(4.1) != expected
