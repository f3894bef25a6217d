"""What a line-up draws: the sum of the tables, and no less than it with the screens that they do not list."""

from __future__ import annotations

import pytest

from partsbin.sets.drawing import drawn_by
from tests.expected import by_hand


@pytest.mark.parametrize(
    ("lineup", "listed", "most"),
    [
        (
            "ECH81 EBF89 EABC80 EL84 EZ80",
            by_hand(0.06675, "3.25 + 9 + 1 + 53.5 mA", of=drawn_by),
            by_hand(0.08335, "5 × 3.25 + 1.4 × 9 + 1 + 53.5 mA: the screen of EL84 is listed", of=drawn_by),
        ),
        (
            "ECC83 2xEL34 5U4",
            by_hand(0.2012, "1.2 + 2 × 100 mA", of=drawn_by),
            by_hand(0.2512, "1.2 + 2 × 1.25 × 100 mA", of=drawn_by),
        ),
    ],
)
def test_screens_that_no_table_lists_are_reckoned_with(lineup: str, listed: object, most: object) -> None:
    """A choke that bears the anodes alone is too small."""
    found = drawn_by(lineup)
    assert (found.amperes, found.most) == (listed, most)
