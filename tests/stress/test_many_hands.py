"""Eight processes at one catalogue for some seconds; `tests.stress.run` does it for as long as is wanted."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.engines import ENGINES, drop_database, new_database, shown
from tests.stress.run import HANDS, run

SECONDS = 4.0


@pytest.mark.parametrize("kind", ENGINES)
def test_many_hands_lose_nothing_and_sell_nothing_twice(kind: str, tmp_path: Path) -> None:
    """The ledger holds just what each hand was told; no one was turned away; every look saw one state; all is clean."""
    url = new_database() if kind == "postgresql" else None
    outcome = run(shown(url) if url else str(tmp_path / "catalogue.sqlite"), SECONDS)
    if url:
        drop_database(url)
    assert outcome.wrong == ()
    assert [bool(hand.acts) for hand in outcome.hands] == [True] * HANDS
    assert outcome.eye.waits
