"""Every wall of the design, a thousand unsafe parts each: none gets anything but unfit, and the wall's own check says so."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from partsbin.checks import Outcome
from partsbin.families import load
from partsbin.stock.describe import TRADE_FAMILIES
from tests.families.unsafe import Wall, good_and_spoilt, overrides, slips
from tests.families.unsafe_iron import IRON
from tests.families.unsafe_passives import PASSIVE
from tests.families.unsafe_switched import CARRYING

WALLS = (*PASSIVE, *CARRYING, *IRON)
IDS = [f"{wall.family}: {wall.why}" for wall in WALLS]
BLANK = {
    "CAP02": ("voltage_dc",), "CAP06": ("safety_class",), "CAP07": ("voltage_ac",), "CAP08": ("condition",),
    "CAP09": ("capacitance", "capacitance_low", "capacitance_high"), "RES03": ("power",), "RES19": ("power",), "RES06": ("voltage",),
    "RES09": ("technology",), "RES12": ("fusible",), "RES13": ("bridging",), "RES14": ("condition",),
    "RES15": ("resistance", "resistance_low", "resistance_high"), "POT11": ("switch_poles",), "POT12": ("switch_ac", "switch_dc"),
    "POT13": ("switch_current",), "SWI01": ("poles", "poles_low", "poles_high"), "SWI02": ("voltage_ac",), "SWI03": ("voltage_dc",),
    "SWI04": ("current", "current_dc"),
    "FUS01": ("current", "current_low", "current_high"), "FUS02": ("speed",), "FUS03": ("breaking",),
    "FUS04": ("voltage_ac",), "FUS05": ("voltage_dc",), "LMP02": ("current",), "TRF03": ("dc_current", "gapped"),
    "TRF12": ("dc_current",), "TRF16": ("heater_current",), "CHK02": ("dc_current",), "LSP06": ("field_current",),
    "VAL01": ("type",), "REC01": ("inverse", "inverse_low", "inverse_high"), "REC02": ("current",), "REC03": ("surge",),
    "REC04": ("technology",),
}  # fmt: skip
"""What nobody knows of a part that must not pass a wall for all that. Walls of the need alone and of tests made are not here."""


THERE: dict[str, dict[str, Any]] = {
    "POT11": {"switched": 1.0}, "POT12": {"switched": 1.0}, "POT13": {"switched": 1.0}, "REC03": {"technology": "silicon"},
    "LSP06": {"field": 1140.0},
}  # fmt: skip
"""What must be there for the figure to matter: a switch, a diode, a field."""


def blank(wall: Wall) -> Wall:
    """Return the same wall, run against parts of which the figure that it judges is not known."""
    return replace(
        wall,
        spoil=lambda draw: dict.fromkeys(BLANK[wall.check]) | THERE.get(wall.check, {}),
        words=None,
        outcome=Outcome.UNKNOWN,
    )


UNKNOWNS = [blank(wall) for wall in {wall.check: wall for wall in reversed(WALLS)}.values() if wall.check in BLANK]


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


@pytest.mark.parametrize("wall", UNKNOWNS, ids=lambda wall: wall.check)
def test_what_nobody_knows_never_passes_a_wall(wall: Wall) -> None:
    """A thousand parts, whatever else they have: at best something is read first."""
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
