"""Limits of a resistor that were taken for want of a mark spare nothing: random parts over them never come out as usable."""

from __future__ import annotations

import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families.resistor.options import BY_STYLE, FLOOR, MARKED, PRESUMED
from partsbin.needs import Request
from partsbin.sets import read_facts
from tests.families.test_resistor_walls import BODIES, USABLE, need_at, parts, seeds, verdicts, wanted

TRIALS = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
FAMILY = load("resistor")
WAYS = st.sampled_from((MARKED, BY_STYLE, PRESUMED, FLOOR))


@TRIALS
@given(seeds, st.sampled_from(BODIES), WAYS, st.floats(0.01, 0.999))
def test_a_body_below_the_volts_at_the_mains_as_read_is_never_usable(
    seed: int, position: str, taken: float, share: float
) -> None:
    """However its limit was come by: only what mains high adds is spared, and only where the limit is not marked."""
    need = need_at(random.Random(seed), position, "rail=250", "chassis=floating")
    stress = need.number("element_nominal") if need.has("element_nominal") else need.number("element_volts")
    spoilt = {"voltage": share * stress, "limit_taken": taken, "power": 2.0}
    assert not USABLE & set(verdicts(need, [*parts(random.Random(seed), **spoilt), wanted(need, **spoilt)]))


@TRIALS
@given(seeds, st.sampled_from(("x-discharge", "isolation-bridging")), WAYS, st.floats(0.01, 0.999))
def test_a_body_below_the_mains_is_never_usable_across_them(
    seed: int, position: str, taken: float, share: float
) -> None:
    """Nothing is spared there, mains high included."""
    need = need_at(random.Random(seed), position, "chassis=live")
    spoilt = {"voltage": share * need.number("element_volts"), "limit_taken": taken}
    glaze = wanted(need, **spoilt, technology="metal-glaze")
    assert not USABLE & set(verdicts(need, [*parts(random.Random(seed), **spoilt), glaze]))


@TRIALS
@given(seeds, st.floats(260.0, 1e4))
def test_a_presumed_make_is_never_usable_across_the_mains(seed: int, limit: float) -> None:
    """Whatever its presumed limit: a wall rests on no presumption."""
    need = need_at(random.Random(seed), "x-discharge")
    spoilt = {"voltage": limit, "limit_taken": PRESUMED}
    glaze = wanted(need, **spoilt, technology="metal-glaze")
    assert not USABLE & set(verdicts(need, [*parts(random.Random(seed), **spoilt), glaze]))


@TRIALS
@given(seeds, st.sampled_from(("rail=250", "secondary=260-0-260 off-load")), st.floats(0.01, 0.98))
def test_a_bleeder_that_burns_with_a_dead_output_valve_is_never_usable(seed: int, fact: str, share: float) -> None:
    """The off-load volts count in full: read, they refuse; not read, they are read first, the dead part's like included."""
    need = FAMILY.need(Request("resistor", "47k 1W", "bleeder", {}, read_facts((fact, "chassis=floating"))))
    full = need.number("off_load_peak") ** 2 / need.number("ideal")
    said = set(
        verdicts(need, [wanted(need, power=share * full, technology=word) for word in ("metal-film", "wirewound")])
    )
    assert not USABLE & said
    assert need.has("off_load_guess") or said == {Verdict.UNFIT}
