"""Every wall of the design, a thousand unsafe parts each: none gets anything but unfit, and the wall's own check says so."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from partsbin.checks import Outcome
from partsbin.families import load
from partsbin.stock.describe import TRADE_FAMILIES
from tests.families.unsafe import Wall, good_and_spoilt, overrides, slips
from tests.families.unsafe_iron import IRON
from tests.families.unsafe_passives import PASSIVE

WALLS = (*PASSIVE, *IRON)
IDS = [f"{wall.family}: {wall.why}" for wall in WALLS]


@pytest.mark.parametrize("wall", WALLS, ids=IDS)
def test_none_of_a_thousand_passes(wall: Wall) -> None:
    """Fields and words, sets at random, the rules as they are."""
    assert slips(wall) == []


@pytest.mark.parametrize("wall", WALLS, ids=IDS)
def test_no_override_lets_one_through(wall: Wall, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same thousand under a workshop's own windows, and its limits drawn tighter."""
    file = overrides(wall.family, tmp_path, random.Random(wall.why).randrange(8))
    monkeypatch.setenv("PARTSBIN_RULES", str(file))
    assert load(wall.family).rules().overridden
    assert slips(wall) == []


@pytest.mark.parametrize("wall", WALLS, ids=IDS)
def test_the_wall_refuses_what_is_good_but_for_it(wall: Wall) -> None:
    """The everyday part passes the check, and spoilt in that one respect it does not: the wall can fail."""
    good, spoilt = good_and_spoilt(wall)
    assert min(good) < wall.outcome
    assert min(spoilt) >= wall.outcome


def test_every_wall_of_every_family_has_its_thousand() -> None:
    """A check that is a wall and stands in no row is a wall that nobody runs against."""
    tried = {code for wall in WALLS for code in wall.check.split()}
    assert [c.code for name in TRADE_FAMILIES for c in load(name).checks if c.wall and c.code not in tried] == []


def test_every_wall_of_the_design_is_run_against() -> None:
    """Named in the words of the design."""
    assert len({wall.design for wall in WALLS if wall.design}) == 18


def test_what_may_be_measured_is_only_what_a_reading_decides() -> None:
    """Wiring nobody saw, insulation nobody read, ratings nobody looked at."""
    assert {wall.check for wall in WALLS if wall.outcome is Outcome.UNKNOWN} == {"POT18", "TRF06", "LSP07", "HRD04"}
