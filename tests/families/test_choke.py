"""Chokes: what would cook, leak or let the rail soar never passes, over random parts; everyday ones fit."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Item, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.notation.choke import read_choke
from partsbin.sets import read_facts

N = 1000
CHOKE = load("choke")
DEAD = "10H 60mA 300 ohm choke"


def good(rng: np.random.Generator) -> dict[str, Any]:
    """Return a thousand chokes that do for the dead one."""
    henries = rng.uniform(10, 25, N)
    return {
        "inductance": henries, "inductance_low": henries * 0.95, "inductance_high": henries * 1.05,
        "measured": np.ones(N), "dc_current": rng.uniform(0.08, 0.3, N), "resistance": rng.uniform(240, 360, N),
        "insulation": np.full(N, 1e9), "insulation_volts": np.full(N, 500.0), "insulation_rated": np.full(N, np.nan),
        "condition": rng.choice(["new", "salvaged", ""], N).astype(object),
    }  # fmt: skip


def verdicts(position: str, columns: dict[str, Any], *facts: str) -> set[Verdict]:
    """Return the verdicts that occur."""
    need = CHOKE.need(Request("choke", DEAD, position, {}, read_facts(facts)))
    return {Verdict(int(v)) for v in judge(CHOKE, need, CHOKE.search(need), columns).verdict}


SPOILS = [
    ("rated for less", "smoothing", ("secondary=250-0-250",), {"dc_current": 0.05}),
    ("rated for less than flows", "smoothing", ("current=120mA",), {"dc_current": 0.1}),
    ("leaks to the core", "smoothing", ("secondary=250-0-250",), {"insulation": 5e6}),
    ("insulation tested at less than the peak", "smoothing", ("secondary=350-0-350",), {"insulation_rated": 400.0}),
    ("under the critical inductance", "input", ("rail=250", "current=20mA"), {"inductance_low": 10.0}),
]


@pytest.mark.parametrize(("why", "position", "facts", "spoil"), SPOILS, ids=[s[0] for s in SPOILS])
def test_an_unsafe_choke_is_unfit_whatever_else_it_has(
    why: str, position: str, facts: tuple[str, ...], spoil: dict[str, float]
) -> None:
    """A thousand otherwise good ones, each spoilt in one respect."""
    columns = good(np.random.default_rng(len(why)))
    columns |= {name: np.full(N, value) for name, value in spoil.items()}
    assert verdicts(position, columns, *facts) == {Verdict.UNFIT}


def test_a_used_choke_whose_insulation_nobody_read_is_measured_first() -> None:
    """A burnt one sits at HT on an earthed core."""
    columns = good(np.random.default_rng(3))
    columns |= {"condition": np.full(N, "salvaged", object), "insulation": np.full(N, np.nan)}
    assert verdicts("smoothing", columns, "secondary=250-0-250") == {Verdict.MEASURE}


@pytest.mark.parametrize("text", ["10H 80mA 250 ohm choke", "choke 12H 100mA 300R", "Drossel 14 H/70 mA 330 Ohm"])
def test_an_everyday_choke_fits(text: str) -> None:
    """New, enough henries, enough current, copper near the old (common practice, no source)."""
    (reading,) = read_choke(text)
    (option,) = CHOKE.options(Item(CHOKE.facts.model_validate(reading.fields), "new"))
    need = CHOKE.need(Request("choke", DEAD, "smoothing", {}, read_facts(("secondary=250-0-250",))))
    result = judge(CHOKE, need, CHOKE.search(need), columns_of([option], CHOKE.quantities, CHOKE.words))
    assert Verdict(int(result.verdict[0])) is Verdict.FITS


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("10H 60mA 300 ohm choke", {"inductance": 10.0, "dc_current": 0.06, "resistance": 300.0}),
        ("14 H/60 mA", {"inductance": 14.0, "dc_current": 0.06}),
        ("Netzdrossel 5 H 0,12 A 150R", {"inductance": 5.0, "dc_current": 0.12, "resistance": 150.0}),
        ("22n 400V", None), ("10H", None), ("EL84", None),
    ],
)  # fmt: skip
def test_henries_current_and_copper_are_read(text: str, fields: dict[str, float] | None) -> None:
    """Henries alone may be a coil's."""
    assert [reading.fields for reading in read_choke(text) if not reading.bare] == ([] if fields is None else [fields])


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("10H 80mA 300 ohm choke", Verdict.CARE),
        ("10H 80mA choke", Verdict.MEASURE),
        ("10H 80mA 1400 ohm choke", Verdict.FITS),
    ],
)
def test_a_choke_in_place_of_a_field_coil_needs_its_ohms(text: str, verdict: Verdict) -> None:
    """A field coil drops tens of volts: with less copper the rail rises, and a resistor restores it (common practice, no source)."""
    (reading,) = read_choke(text)
    (option,) = CHOKE.options(Item(CHOKE.facts.model_validate(reading.fields), "new"))
    need = CHOKE.need(Request("choke", "field coil 1500 ohm 60mA", "smoothing", {}, read_facts(("current=60mA",))))
    result = judge(CHOKE, need, CHOKE.search(need), columns_of([option], CHOKE.quantities, CHOKE.words))
    assert Verdict(int(result.verdict[0])) is verdict


@pytest.mark.parametrize("text", ["swinging choke 5/20H 150mA", "swinging choke 5-20 H 150 mA"])
def test_a_swinging_choke_has_its_lesser_henries_at_its_full_current(text: str) -> None:
    """Two figures with a stroke are no fraction of a henry (common practice, no source)."""
    (reading,) = read_choke(text)
    assert reading.fields == {"inductance": 5.0, "dc_current": 0.15}
