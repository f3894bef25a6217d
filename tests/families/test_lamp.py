"""Lamps: less than the chain's current never passes, nor an LED in the chain; everyday ones fit."""

from __future__ import annotations

import numpy as np
import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Item, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.notation.lamp import read_lamp
from partsbin.sets import read_facts

N = 1000
LAMP = load("lamp")
CHAINS = [
    ("lineup=UCH81 UF89 UABC80 UL84 UY85", 0.1),
    ("current=0.3A", 0.3),
    ("lineup=12BE6 12BA6 12AT6 50B5 35W4", 0.15),
]


def judged(position: str, text: str, facts: str, current: np.ndarray, kind: str) -> set[Verdict]:
    """Return the verdicts of a thousand lamps of that current, volts and all else as the dead one's."""
    need = LAMP.need(Request("lamp", text, position, {}, read_facts((facts,))))
    volts = np.full(len(current), need.number("voltage"))
    columns = {
        "voltage": volts, "voltage_low": volts, "voltage_high": volts, "current": current,
        "base": np.full(len(current), "E10", object), "kind": np.full(len(current), kind, object),
        "condition": np.full(len(current), "new", object),
    }  # fmt: skip
    return {Verdict(int(v)) for v in judge(LAMP, need, LAMP.search(need), columns).verdict}


@pytest.mark.parametrize(("facts", "chain"), CHAINS)
def test_a_lamp_of_less_than_the_chain_is_unfit_and_one_of_its_current_fits(facts: str, chain: float) -> None:
    """It would burn out and break the chain (heater currents of the type: published in the valve table)."""
    rng = np.random.default_rng(7)
    assert judged("chain", "6.5V lamp", facts, rng.uniform(0.01, 0.89, N) * chain, "filament") == {Verdict.UNFIT}
    assert judged("chain", "6.5V lamp", facts, rng.uniform(0.91, 1.09, N) * chain, "filament") == {Verdict.FITS}


def test_an_led_in_the_chain_is_unfit_whatever_its_current() -> None:
    """It does not carry what the valves need."""
    assert judged("chain", "6.5V lamp", "current=0.1A", np.full(N, 0.1), "LED") == {Verdict.UNFIT}


@pytest.mark.parametrize(
    ("text", "dead", "position", "facts"),
    [
        ("6.3V 0.3A E10 lamp", "6.5V 0.3A MES lamp", "parallel", "mains=230"),
        ("6.3V 0.15A BA9s lamp", "6.3V 0.15A BA9s lamp", "parallel", "mains=230"),
        ("6.3V 0.3A E10 lamp", "", "parallel", "lineup=ECH81 EBF89 EABC80 EL84 EZ80"),
        ("8V 0.1A E10 lamp", "6.5V lamp", "chain", "lineup=UCH81 UF89 UABC80 UL84 UY85"),
    ],
)
def test_an_everyday_lamp_fits(text: str, dead: str, position: str, facts: str) -> None:
    """Like for like (common practice, no source)."""
    (reading,) = read_lamp(text)
    (option,) = LAMP.options(Item(LAMP.facts.model_validate(reading.fields), "new"))
    need = LAMP.need(Request("lamp", dead, position, {}, read_facts((facts,))))
    result = judge(LAMP, need, LAMP.search(need), columns_of([option], LAMP.quantities, LAMP.words))
    assert Verdict(int(result.verdict[0])) is Verdict.FITS
