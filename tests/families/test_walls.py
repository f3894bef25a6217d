"""Walls hold over random parts and sets: nothing turns one off, and an unknown never passes one."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partsbin.checks import Verdict
from partsbin.errors import RulesError
from partsbin.families import load
from partsbin.families._declare import Option, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.rules import load_rules
from partsbin.sets import follow, read_facts
from tests.families.random_parts import MAKERS, facts_of_set, item, request

MAINS = ("mains-across", "mains-to-chassis", "aerial-isolation", "earth-isolation", "pickup-isolation")
TOUCHED = MAINS[1:]
HT = (
    "coupling",
    "decoupling",
    "reservoir",
    "smoothing",
    "screen-bypass",
    "tone",
    "output-tone",
    "rf-bypass",
    "feedback",
)
TRIALS = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])

seeds = st.integers(0, 2**32)


def verdicts(family: str, need: Need, options: list[Option]) -> list[Verdict]:
    """Judge options of a family."""
    declared = load(family)
    result = judge(declared, need, declared.search(need), columns_of(options, declared.quantities, declared.words))
    return [Verdict(int(value)) for value in result.verdict]


def options_of(
    family: str, source: random.Random, n: int, spoil: Callable[[dict[str, Any], random.Random], None]
) -> list[Option]:
    """Return options of random parts, spoilt so that a wall must refuse them."""
    made: list[Option] = []
    while len(made) < n:
        for option in load(family).options(item(MAKERS[family](source))):
            offers = dict(option.offers)
            spoil(offers, source)
            made.append(Option(option.label, offers))
    return made[:n]


def need_at(source: random.Random, position: str, *facts: str) -> Need:
    """Return a random capacitor need at a position, with facts that are certain."""
    given = [
        f for f in facts_of_set(source, "capacitor") if f.partition("=")[0] not in {g.partition("=")[0] for g in facts}
    ]
    text = source.choice(("", "0.02uF 350V", "0.1uF", "32uF 350V", "4.7nF"))
    return load("capacitor").need(Request("capacitor", text, position, {}, read_facts([*given, *facts])))


def on_live(source: random.Random, position: str) -> Need:
    """A need on the mains side of a live chassis; the sockets of an isolated one are no mains positions."""
    return need_at(source, position, "chassis=live")


@TRIALS
@given(seeds, st.sampled_from(MAINS))
def test_a_part_without_safety_class_is_unfit_on_the_mains(seed: int, position: str) -> None:
    """DC volts do not count across the mains or on a touchable socket, whatever they are."""
    source = random.Random(seed)
    parts = options_of(
        "capacitor", source, 5, lambda o, s: o.update(safety_class=None, voltage_dc=10 ** s.uniform(2, 5))
    )
    assert set(verdicts("capacitor", on_live(source, position), parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(MAINS))
def test_a_used_part_is_unfit_on_the_mains(seed: int, position: str) -> None:
    """Used parts never go across the mains or on a touchable socket."""
    source = random.Random(seed)
    parts = options_of(
        "capacitor", source, 5, lambda o, s: o.update(safety_class="Y1", voltage_ac=400.0, condition="salvaged")
    )
    assert set(verdicts("capacitor", on_live(source, position), parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(TOUCHED), st.sampled_from(("X1", "X2", "X3", "Y3", "Y4")))
def test_x_never_replaces_y(seed: int, position: str, safety_class: str) -> None:
    """Between the mains and something touchable only Y1 and Y2 will do."""
    source = random.Random(seed)
    parts = options_of(
        "capacitor", source, 5, lambda o, s: o.update(safety_class=safety_class, voltage_ac=400.0, condition="new")
    )
    assert set(verdicts("capacitor", on_live(source, position), parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(TOUCHED), st.floats(1.0, 50.0))
def test_touch_current_above_the_limit_is_unfit_and_a_doubtful_one_never_passes(
    seed: int, position: str, over: float
) -> None:
    """The best end over the limit is unfit; only the worst end over it is to be measured, never thin."""
    source = random.Random(seed)
    need = on_live(source, position)
    most = need.number("largest")
    surely = Option(
        "",
        {
            "capacitance": most * over * 1.2,
            "capacitance_low": most * over * 1.01,
            "capacitance_high": most * over * 1.3,
            "safety_class": "Y1",
            "voltage_ac": 400.0,
            "condition": "new",
            "dielectric": "ceramic-2",
            "polarised": 0.0,
        },
    )
    maybe = Option(
        "",
        {**surely.offers, "capacitance": most * 0.99, "capacitance_low": most * 0.9, "capacitance_high": most * 1.01},
    )
    said = verdicts("capacitor", need, [surely, maybe])
    assert said[0] is Verdict.UNFIT
    assert said[1] in (Verdict.MEASURE, Verdict.UNFIT)


@TRIALS
@given(seeds, st.sampled_from(HT), st.floats(0.01, 0.9999))
def test_a_capacitor_below_the_off_load_peak_is_unfit(seed: int, position: str, share: float) -> None:
    """The off-load peak is a wall, whatever the running rail is."""
    source = random.Random(seed)
    need = need_at(source, position, "secondary=286-0-286 off-load", "mains_now=231")
    peak = follow.off_load(need.facts).volts
    parts = options_of("capacitor", source, 5, lambda o, s: o.update(voltage_dc=peak * share))
    assert set(verdicts("capacitor", need, parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(("paper", "paper-waxed", "paper-moulded", "paper-metallised")))
def test_old_paper_is_unfit_everywhere(seed: int, dielectric: str) -> None:
    """Waxed and moulded paper is never re-used, in any position."""
    source = random.Random(seed)
    parts = options_of(
        "capacitor",
        source,
        5,
        lambda o, s: o.update(dielectric=dielectric, condition=s.choice(("salvaged", "unused-old", ""))),
    )
    assert set(verdicts("capacitor", load("capacitor").need(request(source, "capacitor")), parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds)
def test_an_old_tubular_of_unknown_dielectric_is_presumed_paper(seed: int) -> None:
    """From 1 nF to 2 µF an old axial part that says nothing is paper until looked at."""
    source = random.Random(seed)

    def spoil(offers: dict[str, Any], s: random.Random) -> None:
        value = 10 ** s.uniform(-9, math.log10(2e-6))
        offers.update(
            dielectric="",
            condition="salvaged",
            mounting="axial",
            capacitance=value,
            capacitance_low=value,
            capacitance_high=value,
        )

    parts = options_of("capacitor", source, 5, spoil)
    assert set(verdicts("capacitor", load("capacitor").need(request(source, "capacitor")), parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(HT))
def test_an_unknown_never_passes_a_stress(seed: int, position: str) -> None:
    """Without its rated volts no part is fit at HT, with care or without; nor any part where the volts are not known."""
    source = random.Random(seed)
    known = need_at(source, position, "rail=250")
    parts = options_of("capacitor", source, 5, lambda o, s: o.update(voltage_dc=None))
    assert not {Verdict.FITS, Verdict.CARE} & set(verdicts("capacitor", known, parts))
    blind = load("capacitor").need(Request("capacitor", "0.1uF", position))
    assert not {Verdict.FITS, Verdict.CARE} & set(
        verdicts("capacitor", blind, options_of("capacitor", source, 5, lambda o, s: None))
    )


@TRIALS
@given(seeds, st.sampled_from(MAINS))
def test_an_unknown_condition_never_passes_on_the_mains(seed: int, position: str) -> None:
    """New or used must be known there."""
    source = random.Random(seed)
    parts = options_of("capacitor", source, 5, lambda o, s: o.update(safety_class="Y1", voltage_ac=400.0, condition=""))
    assert not {Verdict.FITS, Verdict.CARE} & set(verdicts("capacitor", on_live(source, position), parts))


def output(*facts: str) -> Need:
    """Return an output transformer's need."""
    return load("transformer").need(Request("transformer", "", "output", {}, read_facts(facts)))


@TRIALS
@given(seeds, st.sampled_from(("EL84", "UL84", "EL41")))
def test_ungapped_iron_under_standing_current_is_unfit(seed: int, valve: str) -> None:
    """A centre tap proves nothing: without a gap and without a rating the core saturates."""
    source = random.Random(seed)
    parts = options_of(
        "transformer", source, 5, lambda o, s: o.update(gapped=0.0, dc_current=10 ** s.uniform(-4, -2), carried=0.0)
    )
    need = output(f"valve={valve}", "topology=single-ended", "speaker=3")
    assert set(verdicts("transformer", need, parts)) == {Verdict.UNFIT}


@TRIALS
@given(seeds, st.sampled_from(("live", "live-behind-capacitor", "auto")))
def test_iron_that_is_the_isolation_is_never_better_than_care_and_untested_never_better_than_measure(
    seed: int, chassis: str
) -> None:
    """On a chassis that may be live the output transformer keeps the mains from the loudspeaker leads."""
    source = random.Random(seed)
    need = output("lineup=UCH81 UF89 UABC80 UL84 UY85", "speaker=3", f"chassis={chassis}")
    tested = options_of(
        "transformer", source, 5, lambda o, s: o.update(insulation=10 ** s.uniform(7.4, 10), insulation_volts=500.0)
    )
    assert Verdict.FITS not in verdicts("transformer", need, tested)
    untested = options_of(
        "transformer",
        source,
        5,
        lambda o, s: o.update(insulation=s.choice((None, 1e9)), insulation_volts=s.choice((None, 50.0))),
    )
    assert not {Verdict.FITS, Verdict.CARE} & set(verdicts("transformer", need, untested))


@TRIALS
@given(seeds)
def test_an_auto_transformer_never_stands_for_output_iron(seed: int) -> None:
    """An auto-transformer isolates nothing."""
    source = random.Random(seed)
    parts = options_of("transformer", source, 5, lambda o, s: o.update(kind="auto"))
    assert set(verdicts("transformer", load("transformer").need(request(source, "transformer")), parts)) == {
        Verdict.UNFIT
    }


LOOSENED = (
    ("capacitor.general", "touch_limit_peak", "0.01"), ("capacitor.general", "thin_above", "1.5"),
    ("capacitor.derating", "film", "1.2"), ("capacitor.position.mains-across", "classes", '["X1", "X2", "Y1", "Y2", "none"]'),
    ("capacitor.position.aerial-isolation", "safety", '"none"'), ("capacitor.position.aerial-isolation", "classes", '["X2", "Y1"]'),
    ("capacitor.position.coupling", "stress", '"low"'), ("capacitor.position.coupling", "dielectrics", '["paper-waxed"]'),
    ("transformer.general", "insulation_least", "1.0"), ("transformer.general", "gap_current_ungapped", "1.0"),
    ("capacitor.general", "grid_shift_care", "50.0"), ("capacitor.position.coupling", "leakage", '"none"'),
)  # fmt: skip


@pytest.mark.parametrize(("section", "name", "value"), LOOSENED)
def test_no_override_turns_a_wall_off(section: str, name: str, value: str, tmp_path: Path) -> None:
    """Whatever holds a wall may only be tightened; the file that tries is refused, not ignored."""
    file = tmp_path / "own.toml"
    file.write_text(f"[{section}]\n{name} = {value}\n", encoding="utf-8")
    with pytest.raises(RulesError, match=name):
        load_rules(section.partition(".")[0], file)


def test_a_wider_window_leaves_the_walls_standing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The workshop may take any value for a coupling; it still cannot take a 250 V part at 384 V."""
    file = tmp_path / "own.toml"
    file.write_text("[capacitor.position.coupling]\nfits = [0.01, 100.0]\ncare = [0.001, 1000.0]\n", encoding="utf-8")
    monkeypatch.setenv("PARTSBIN_RULES", str(file))
    need = load("capacitor").need(Request("capacitor", "0.02uF", "coupling", {}, read_facts(["rail=240"])))
    assert need.rules.overridden
    source = random.Random(3)
    low = options_of("capacitor", source, 50, lambda o, s: o.update(voltage_dc=250.0))
    assert set(verdicts("capacitor", need, low)) == {Verdict.UNFIT}
