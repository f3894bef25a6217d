"""The dangers of a reading: wherever it is asked for, with a need in mind or without one, the same warning stands by it."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

import pytest

from partsbin import families
from partsbin.families import load
from partsbin.families._declare import Card, columns_of
from partsbin.matching.explain import row_of
from partsbin.stock.readings import AT_VOLTS
from tests.families.random_parts import MAKERS, item, request

OF_THE_SET = ("rail", "load", "off_load", "inverse", "current", "surge", "primary", "heater_volts", "rect_winding")
VOLTS_THERE = re.compile(
    r"500 V|\bset running|HT off load|HT winding off load|HT line|volts across the dead|DC through"
)


def cards(name: str) -> Iterator[Card]:
    """Yield the test cards of random parts under random needs: of each reading, of each check, of the set."""
    family, source = load(name), random.Random(name)
    asked = {*OF_THE_SET, *(check.reading for check in family.checks), *(each.name for each in family.readings)}
    for _ in range(60):
        need = family.need(request(source, name))
        option = family.options(item(MAKERS[name](source)))[0]
        row = row_of(columns_of([option], family.quantities, family.words), 0)
        yield from filter(None, (family.cards(reading, need, row) for reading in sorted(asked)))


@pytest.mark.parametrize("name", families.names())
def test_a_reading_warns_of_what_its_test_card_warns_of(name: str) -> None:
    """Word for word, but for a figure that only a need can give."""
    warned = {each.name: each.danger for each in load(name).readings}
    for card in cards(name):
        if card.reading in warned and card.danger:
            same = card.danger.split()[:2] if re.search(r"\d+ V on", card.danger) else card.danger
            assert same in (warned[card.reading], warned[card.reading].split()[:2]), card


@pytest.mark.parametrize("name", families.names())
def test_a_reading_at_test_volts_warns_of_them(name: str) -> None:
    """Leakage and insulation, of every family that has them read."""
    bare = [each.name for each in load(name).readings if each.name in AT_VOLTS and not each.danger]
    assert bare == []


@pytest.mark.parametrize("name", families.names())
def test_a_card_that_has_volts_connected_warns_of_them(name: str) -> None:
    """Those of a tester, and those of the set."""
    assert [card for card in cards(name) if VOLTS_THERE.search(card.connect) and not card.danger] == []
