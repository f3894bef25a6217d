"""What is remembered: the same until what it rests on changes, for a while longer where it is dear to reckon."""

from __future__ import annotations

from datetime import timedelta

from partsbin.page import remembered
from partsbin.page.remembered import WHILE, Remembered
from tests.page.visit import NOON


def test_the_same_is_not_reckoned_twice() -> None:
    """While it rests on the same."""
    kept: Remembered[int] = Remembered()
    kept.get(1, NOON, lambda: 10)
    assert kept.get(1, NOON + timedelta(days=1), lambda: 11) == (10, None)


def test_what_rests_on_something_else_is_reckoned_anew() -> None:
    """What is cheap is never out of date."""
    kept: Remembered[int] = Remembered()
    kept.get(1, NOON, lambda: 10)
    assert kept.get(2, NOON, lambda: 11) == (11, None)


def test_what_is_dear_may_be_a_while_old_and_says_so() -> None:
    """And no older; dear is what took longer than the limit, which is put at nothing here."""
    kept: Remembered[int] = Remembered()
    before, remembered.DEAR = remembered.DEAR, -1.0
    try:
        kept.get(1, NOON, lambda: 10)
        assert kept.get(2, NOON + WHILE / 2, lambda: 11) == (10, NOON)
        assert kept.get(2, NOON + WHILE, lambda: 11) == (11, None)
    finally:
        remembered.DEAR = before


def test_a_fault_is_not_remembered() -> None:
    """The next one reckons."""
    kept: Remembered[float] = Remembered()
    for _ in range(2):
        try:
            kept.get(1, NOON, lambda: 1 / 0)
        except ZeroDivisionError:
            continue
    assert kept.get(1, NOON, lambda: 1.0) == (1.0, None)
