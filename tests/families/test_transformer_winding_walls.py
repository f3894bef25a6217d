"""Iron on the mains, interstage and driver iron: what must never pass, over a thousand random parts a wall."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from partsbin.checks import Columns, Verdict
from partsbin.families import load
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.sets import read_facts

N = 1000
TRANSFORMER = load("transformer")
EL84 = ("lineup=ECH81 EBF89 EABC80 EL84 EZ80", "secondary=250-0-250")
FIVE = ("lineup=6K8 6K7 6Q7 6V6 5Y3GT", "secondary=250-0-250")
EZ41 = ("lineup=ECH42 EF41 EBC41 EL41 EZ41", "secondary=300-0-300", "rail=340")
FACTS = {
    "mains": EL84,
    "heater": ("lineup=ECH81 EF89 EL84",),
    "isolating": ("current=0.3",),
    "interstage": ("valve=6J5GT",),
    "driver": ("valve=6J5GT", "topology=push-pull"),
}
VALUE = {"mains": 230 / 250, "heater": 230 / 6.3, "isolating": 1.0, "interstage": 1 / 3, "driver": 2.0}


def good(rng: np.random.Generator, position: str, volts: float = 250.0) -> dict[str, Any]:
    """Return a thousand parts that are good in every respect at a position: a test spoils one."""
    columns: dict[str, Any] = {name: np.full(N, np.nan) for name in TRANSFORMER.quantities}
    value = VALUE[position] * 250.0 / volts if position == "mains" else VALUE[position]
    ratio = value * rng.uniform(0.98, 1.02, N)
    columns |= {
        "ratio": ratio, "ratio_low": ratio * 0.99, "ratio_high": ratio * 1.01, "measured": rng.integers(0, 2, N).astype(float),
        "dc_current": rng.uniform(0.1, 0.3, N), "gapped": np.ones(N), "carried": np.zeros(N), "centre_tapped": np.ones(N),
        "whole": np.ones(N), "kind": np.full(N, position, object), "condition": rng.choice(np.array(["new", "salvaged"], object), N),
        "tap": np.full(N, 230.0), "tap_known": np.ones(N), "frequency": rng.choice(np.array([40.0, 50.0]), N), "listed": np.ones(N),
        "heater_volts": 6.3 * rng.uniform(0.97, 1.03, N), "heater_current": rng.uniform(3.2, 4.0, N), "power": rng.uniform(120, 300, N),
        "rect_volts": 5.0 * rng.uniform(0.95, 1.05, N), "rect_current": rng.uniform(2.1, 3.0, N), "rect_own": np.ones(N),
        "insulation": rng.uniform(1e8, 1e10, N), "insulation_volts": np.full(N, 500.0),
        "rect_insulation": rng.uniform(1e8, 1e10, N), "rect_insulation_high": np.full(N, 2e10),
        "rect_insulation_volts": np.full(N, 500.0),
        "insulation_voltage": rng.uniform(1000, 3000, N), "secondary_resistance": rng.uniform(50, 400, N),
        "primary_inductance": rng.uniform(20, 60, N),
    }  # fmt: skip
    return columns | {"insulation_high": columns["insulation"] * 1.1}


def verdicts(position: str, columns: Columns, *facts: str) -> set[Verdict]:
    """Return the verdicts that occur."""
    need = TRANSFORMER.need(Request("transformer", "", position, {}, read_facts(facts)))
    judged = judge(TRANSFORMER, need, TRANSFORMER.search(need), columns)
    return {Verdict(int(value)) for value in judged.verdict}


def unsafe(rng: np.random.Generator, spoil: dict[str, Any]) -> dict[str, Any]:
    """Return the spoilt columns: a pair of numbers is a span, anything else stands for every part."""
    made: dict[str, Any] = {}
    for name, value in spoil.items():
        if isinstance(value, tuple):
            made[name] = rng.uniform(value[0], value[1], N)
        else:
            made[name] = np.full(N, value, object if isinstance(value, str) else float)
    return made


LEAK = {"insulation": (0.0, 1e7), "insulation_high": (1e7, 1.9e7)}
SPOILS = [
    ("HT winding too thin for the current", "mains", EL84, {"dc_current": (0.005, 0.066)}),
    ("HT winding too thin for a bridge", "mains", EL84, {"dc_current": (0.005, 0.10), "centre_tapped": 0.0}),
    ("HT winding too thin half-wave", "mains", ("secondary=230", "current=60mA", *EL84[:1]), {"dc_current": (0.005, 0.15)}),
    ("heater winding too thin", "mains", EL84, {"heater_current": (0.1, 1.8), "rect_volts": 6.3}),
    ("heater winding too thin with the rectifier on it", "mains", EL84, {"heater_current": (1.82, 2.4), "rect_volts": np.nan}),
    ("heaters of another voltage", "mains", EL84, {"heater_volts": (7.2, 30.0)}),
    ("heaters starved", "mains", EL84, {"heater_volts": (1.0, 5.3)}),
    ("no winding for the rectifier", "mains", FIVE, {"rect_volts": np.nan, "rect_current": np.nan}),
    ("another winding for the rectifier", "mains", FIVE, {"rect_volts": (5.6, 12.6)}),
    ("rectifier winding too thin", "mains", FIVE, {"rect_current": (0.1, 1.99)}),
    ("rectifier winding leaks", "mains", FIVE, {"rect_insulation": (0.0, 1e7), "rect_insulation_high": (1e7, 1.9e7)}),
    ("rectifier winding not insulated", "mains", FIVE, {"insulation_voltage": (10.0, 400.0)}),
    ("60 Hz iron on 50 Hz", "mains", EL84, {"frequency": (56.0, 400.0)}),
    ("60 Hz iron on 50 Hz, isolating", "isolating", FACTS["isolating"], {"frequency": (56.0, 400.0)}),
    ("60 Hz iron on 50 Hz, heaters", "heater", FACTS["heater"], {"frequency": (56.0, 400.0)}),
    ("a primary for less mains", "isolating", FACTS["isolating"], {"tap": (90.0, 160.0)}),
    ("auto-transformer as isolation", "isolating", FACTS["isolating"], {"kind": "auto"}),
    ("auto-transformer in the set", "mains", EL84, {"kind": "auto"}),
    ("auto-transformer for heaters", "heater", FACTS["heater"], {"kind": "auto"}),
    ("too few volt-amperes", "isolating", FACTS["isolating"], {"power": (1.0, 68.0)}),
    ("too little iron", "mains", EL84, {"power": (1.0, 33.0)}),
    ("heater transformer too thin", "heater", FACTS["heater"], {"heater_current": (0.1, 1.25)}),
    *((f"leaks, {position}", position, FACTS[position], LEAK) for position in FACTS),
    ("no iron for the standing current, interstage", "interstage", FACTS["interstage"], {"dc_current": (0.0005, 0.0089)}),
    ("no iron for the standing current, driver", "driver", FACTS["driver"], {"dc_current": (0.0005, 0.0089)}),
    ("output iron for mains", "mains", EL84, {"kind": "output"}),
]  # fmt: skip


@pytest.mark.parametrize(("why", "position", "facts", "spoil"), SPOILS, ids=[s[0] for s in SPOILS])
def test_an_unsafe_transformer_is_unfit_whatever_else_it_has(
    why: str, position: str, facts: tuple[str, ...], spoil: dict[str, Any]
) -> None:
    """A thousand otherwise good ones, each spoilt in one respect."""
    rng = np.random.default_rng(len(why))
    columns = good(rng, position, 230.0 if "half-wave" in why else 250.0)
    if "half-wave" in why:
        columns["centre_tapped"], columns["dc_current"] = np.zeros(N), np.full(N, 0.3)
    assert verdicts(position, columns, *facts) <= {Verdict.FITS, Verdict.CARE}
    assert verdicts(position, columns | unsafe(rng, spoil), *facts) == {Verdict.UNFIT}


def test_a_rectifier_above_its_heater_to_cathode_limit_is_unfit_on_the_common_winding() -> None:
    """EZ41, 350 V, at a running rail of 340 V and 374 V with the mains high: only a winding of its own will do."""
    rng = np.random.default_rng(5)
    own = good(rng, "mains", 300.0) | {"rect_volts": np.full(N, 6.3)}
    assert verdicts("mains", own, *EZ41) <= {Verdict.FITS, Verdict.CARE}
    assert verdicts("mains", own | {"rect_volts": np.full(N, np.nan)}, *EZ41) == {Verdict.UNFIT}


@pytest.mark.parametrize(
    ("why", "position", "facts", "unknown"),
    [
        ("HT current", "mains", EL84, ("dc_current",)),
        ("heater current", "mains", EL84, ("heater_current",)),
        ("rectifier winding's current", "mains", FIVE, ("rect_current",)),
        ("volt-amperes of an isolating one", "isolating", FACTS["isolating"], ("power",)),
        ("standing current", "interstage", FACTS["interstage"], ("dc_current",)),
    ],
)
def test_an_unknown_rating_never_passes_a_wall(
    why: str, position: str, facts: tuple[str, ...], unknown: tuple[str, ...]
) -> None:
    """Otherwise good, one rating not known: something must be read first."""
    columns = good(np.random.default_rng(len(why)), position)
    assert verdicts(position, columns | {name: np.full(N, np.nan) for name in unknown}, *facts) == {Verdict.MEASURE}


@pytest.mark.parametrize("position", list(FACTS))
def test_used_iron_without_an_insulation_test_is_measured_first(position: str) -> None:
    """Wherever it stands, mains or HT is on the other side."""
    columns = good(np.random.default_rng(1), position)
    untested = {name: np.full(N, np.nan) for name in ("insulation", "insulation_high", "insulation_volts")}
    used = {"condition": np.full(N, "salvaged", object)}
    assert verdicts(position, columns | untested | used, *FACTS[position]) == {Verdict.MEASURE}


def test_small_iron_of_unmarked_frequency_is_looked_at_first() -> None:
    """A 117 V primary on 117 V 50 Hz mains: made for 50 Hz it does, made for 60 Hz it saturates."""
    columns = good(np.random.default_rng(2), "isolating") | {"tap": np.full(N, 117.0), "frequency": np.full(N, np.nan)}
    assert verdicts("isolating", columns, "current=0.3", "mains=117") == {Verdict.MEASURE}
