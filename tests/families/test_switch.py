"""Switches: what must never pass on the mains or at HT, over random parts and sets; and everyday ones that must."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from partsbin.checks import Columns, Verdict
from partsbin.families import load
from partsbin.families._declare import Item, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.notation.switch import read_switch
from partsbin.sets import read_facts

N = 1000
SWITCH = load("switch")


def good(rng: np.random.Generator) -> dict[str, Any]:
    """Return a thousand switches that are good in every respect: a test spoils one."""
    return {
        "poles": rng.integers(2, 5, N).astype(float), "poles_low": np.full(N, 2.0), "poles_high": np.full(N, 4.0),
        "voltage_ac": rng.uniform(250, 500, N), "voltage_dc": rng.uniform(500, 800, N), "current": rng.uniform(2, 16, N),
        "current_dc": np.full(N, np.nan),
        "action": np.full(N, "toggle", object), "condition": np.full(N, "new", object),
        "contact": np.full(N, np.nan), "insulation": np.full(N, np.nan), "insulation_volts": np.full(N, np.nan),
    }  # fmt: skip


def verdicts(position: str, columns: Columns, *facts: str) -> set[Verdict]:
    """Return the verdicts that occur."""
    need = SWITCH.need(Request("switch", "", position, {}, read_facts(facts)))
    return {Verdict(int(v)) for v in judge(SWITCH, need, SWITCH.search(need), columns).verdict}


SPOILS = [
    ("one pole", "mains", ("chassis=live",), {"poles": 1.0}),
    ("one pole, chassis not known", "mains", (), {"poles": 1.0}),
    ("one pole, auto-transformer", "mains", ("chassis=auto",), {"poles": 1.0}),
    ("sixteen volts", "mains", ("chassis=floating",), {"voltage_ac": 16.0}),
    ("no AC rating", "mains", ("chassis=floating",), {"voltage_ac": np.nan}),
    ("no current marked", "mains", ("chassis=floating",), {"current": np.nan}),
    ("too small", "mains", ("chassis=floating", "current=1.5A"), {"current": 1.0}),
    ("too small, the HT's current given", "mains", ("chassis=floating", "current=40mA"), {"current": 0.3}),
    ("too small, a little current given", "mains", ("chassis=live", "current=0.4"), {"current": 0.45}),
    ("momentary", "mains", ("chassis=floating",), {"action": "momentary"}),
    ("momentary at HT", "ht", ("rail=250",), {"action": "momentary"}),
    ("no DC rating at HT", "ht", ("secondary=250-0-250",), {"voltage_dc": np.nan}),
    ("DC rating under the cold start", "ht", ("rail=250",), {"voltage_dc": 380.0}),
    ("AC amperes at HT", "ht", ("rail=250", "current=1"), {"current_dc": 0.5}),
    ("leaking", "mains", ("chassis=floating",), {"insulation": 1e6, "insulation_volts": 500.0}),
]


@pytest.mark.parametrize(("why", "position", "facts", "spoil"), SPOILS, ids=[s[0] for s in SPOILS])
def test_an_unsafe_switch_is_unfit_whatever_else_it_has(
    why: str, position: str, facts: tuple[str, ...], spoil: dict[str, float]
) -> None:
    """A thousand otherwise good ones, each spoilt in one respect."""
    columns = good(np.random.default_rng(len(why)))
    assert verdicts(position, columns, *facts) <= {Verdict.FITS, Verdict.CARE}
    for name, value in spoil.items():
        columns[name] = np.full(N, value)
    assert verdicts(position, columns, *facts) == {Verdict.UNFIT}


EVERYDAY = [
    ("DPST toggle 3 A 250 V~", "mains", ("chassis=live", "current=0.3")),
    ("double pole rocker switch 6A 250VAC", "mains", ("chassis=live",)),
    ("SPST toggle 3 A 250 V~", "mains", ("chassis=earthed", "current=0.4")),
    ("4 pole 3 way rotary switch 0.3 A", "selector", ()),
    ("DPDT slide switch 1 A", "selector", ("chassis=earthed",)),
    ("SPST toggle 10 A 600 V DC", "ht", ("secondary=250-0-250", "current=60mA")),
]


@pytest.mark.parametrize(("text", "position", "facts"), EVERYDAY)
def test_an_everyday_switch_fits(text: str, position: str, facts: tuple[str, ...]) -> None:
    """New, marked, large enough: nothing to measure, nothing to care about (common practice, no source)."""
    (reading,) = read_switch(text)
    (option,) = SWITCH.options(Item(SWITCH.facts.model_validate(reading.fields), "new"))
    need = SWITCH.need(Request("switch", "", position, {}, read_facts(facts)))
    judged = judge(SWITCH, need, SWITCH.search(need), columns_of([option], SWITCH.quantities, SWITCH.words))
    assert Verdict(int(judged.verdict[0])) is Verdict.FITS


@pytest.mark.parametrize(
    "text", ["DPST push 6A 250V~ momentary", "DPST taster 6A 250V~", "DPDT toggle 6A 250V~ (on)-off"]
)
def test_a_switch_that_springs_back_is_read_as_momentary(text: str) -> None:
    """In words of both languages, and in the brackets of catalogues."""
    assert {reading.fields["action"] for reading in read_switch(text)} == {"momentary"}


@pytest.mark.parametrize(
    ("position", "facts", "verdict"),
    [
        ("mains", ("chassis=live", "current=2"), Verdict.FITS),
        ("ht", ("secondary=120-0-120", "current=100mA"), Verdict.FITS),
        ("ht", ("secondary=120-0-120", "current=800mA"), Verdict.UNFIT),
        ("selector", ("current=1",), Verdict.UNFIT),
    ],
)
def test_each_kind_of_current_is_held_against_its_own_rating(
    position: str, facts: tuple[str, ...], verdict: Verdict
) -> None:
    """6 A of alternating current say nothing of the arc of direct current; where the kind is not known the less counts."""
    (reading,) = read_switch("DPST toggle 6A 250VAC / 0.5A 220VDC")
    (option,) = SWITCH.options(Item(SWITCH.facts.model_validate(reading.fields), "new"))
    columns = columns_of([option], SWITCH.quantities, SWITCH.words)
    assert verdicts(position, columns, *facts) == {verdict}


def test_a_title_is_read_as_the_switch_that_it_is_of() -> None:
    """Both ratings stand in it, each with its current."""
    (reading,) = read_switch("DPST toggle 6A 250VAC / 0.5A 220VDC")
    (again,) = read_switch(SWITCH.title(SWITCH.facts.model_validate(reading.fields)))
    assert {name: again.fields.get(name) for name in ("voltage_ac", "voltage_dc", "current", "current_dc")} == {
        "voltage_ac": 250.0,
        "voltage_dc": 220.0,
        "current": 6.0,
        "current_dc": 0.5,
    }
