"""What follows from the facts of a set: off-load and running peaks, with where each comes from."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.supply import off_load_from_running, off_load_peak
from partsbin.sets import follow, read_facts
from tests.expected import Expected, by_hand, published


def _peak(*pairs: str) -> follow.Peak:
    return follow.off_load(read_facts(pairs))


def _worked(value: float, how: str, *, rel: float = 1e-3) -> Expected:
    return by_hand(value, how, of=follow.off_load, rel=rel)


COLD_START = [
    ("250-0-250 off-load", "1.00", _worked(353.6, "1.41421 · 250")),
    ("250-0-250 off-load", "1.10", _worked(388.9, "1.41421 · 250 · 1.1")),
    ("250-0-250", "1.10", _worked(408.4, "1.41421 · 250 · 1.1 · 1.05")),
    ("275-0-275 off-load", "1.10", _worked(427.8, "1.41421 · 275 · 1.1")),
    ("275-0-275", "1.10", _worked(449.2, "1.41421 · 275 · 1.1 · 1.05")),
    ("300-0-300 off-load", "1.10", _worked(466.7, "1.41421 · 300 · 1.1")),
    ("300-0-300", "1.10", _worked(490.0, "1.41421 · 300 · 1.1 · 1.05")),
    ("350-0-350 off-load", "1.10", _worked(544.5, "1.41421 · 350 · 1.1")),
    ("350-0-350", "1.10", _worked(572.0, "1.41421 · 350 · 1.1 · 1.05: 571.7, printed 572")),
    ("230 half-wave off-load", "1.10", _worked(357.8, "1.41421 · 230 · 1.1")),
    ("240 half-wave off-load", "1.06", _worked(359.8, "1.41421 · 240 · 1.06")),
    ("117 half-wave off-load", "1.10", _worked(182.0, "1.41421 · 117 · 1.1")),
]


@pytest.mark.parametrize(("secondary", "high", "expected"), COLD_START)
def test_cold_start_peak_of_a_winding(secondary: str, high: str, expected: Expected) -> None:
    """Square root of two, mains at its upper limit, and 5 % where the winding was rated loaded."""
    assert _peak(f"secondary={secondary}", f"mains_high={high}").volts == expected


def test_the_peak_of_a_winding_read_today_is_scaled_to_the_highest_mains() -> None:
    """286 V a side at 231 V mains: 1.41421 · 286 · 253 / 231 = 443 V at 253 V."""
    peak = _peak("secondary=286-0-286 off-load", "mains_now=231")
    assert peak.volts == _worked(443.0, "1.41421 · 286 · 253 / 231")


METER = [
    ("low", _worked(438.6, "443.0 · 0.99")),
    ("high", _worked(447.4, "443.0 · 1.01")),
    ("volts", _worked(447.4, "443.0 · 1.01: the worst end decides")),
]


@pytest.mark.parametrize(("end", "expected"), METER)
def test_a_meters_uncertainty_spans_the_peak(end: str, expected: Expected) -> None:
    """With a 1 % meter the 443 V lie between 439 and 447, and the upper end is reckoned with."""
    assert getattr(_peak("secondary=286-0-286 off-load±1%", "mains_now=231"), end) == expected


def test_a_winding_read_without_uncertainty_has_no_span() -> None:
    """Both ends are the figure itself."""
    peak = _peak("secondary=286-0-286 off-load", "mains_now=231")
    assert peak.low == peak.volts == peak.high


def test_a_tap_below_the_mains_lifts_the_winding() -> None:
    """250 V at the 220 V tap on a 230 V mains: 1.41421 · 250 · 253 / 220 = 406.6 V."""
    assert _peak("secondary=250-0-250 off-load", "tap=220").volts == _worked(406.6, "1.41421 · 250 · 253 / 220")


def test_a_tap_above_the_mains_lowers_the_winding() -> None:
    """250 V at the 245 V tap: 1.41421 · 250 · 253 / 245 = 365.1 V."""
    assert _peak("secondary=250-0-250 off-load", "tap=245").volts == _worked(365.1, "1.41421 · 250 · 253 / 245")


def test_a_mains_read_above_the_upper_limit_is_the_limit() -> None:
    """Read at 258 V, more than 253: the winding's 280 V stand as they were read, 1.41421 · 280 = 396.0 V."""
    peak = _peak("secondary=280-0-280 off-load", "mains_now=258")
    assert peak.volts == _worked(396.0, "1.41421 · 280 · 258 / 258")


def test_the_uncertainty_of_todays_mains_counts_at_its_worst_end() -> None:
    """231 ± 1 V may have been 230: 1.41421 · 286 · 253 / 230 = 444.9 V."""
    peak = _peak("secondary=286-0-286 off-load", "mains_now=231±1V")
    assert peak.volts == _worked(444.9, "1.41421 · 286 · 253 / 230")


def test_on_a_live_chassis_the_mains_peak_is_the_off_load_peak() -> None:
    """230 V at ten per cent over: 357.8 V, and it rests on the mains, not on a rule of thumb."""
    peak = _peak("chassis=live")
    assert peak.volts == by_hand(357.8, "1.41421 · 253", of=off_load_peak)
    assert peak.measured


def test_a_live_chassis_that_runs_below_the_mains_peak_keeps_it() -> None:
    """A rail of 200 V says nothing about the cold start."""
    assert _peak("chassis=live", "rail=200").volts == _worked(357.8, "1.41421 · 253")


def test_a_rail_above_the_mains_peak_is_not_bounded_by_it() -> None:
    """A doubler runs at 480 V: 1.6 · 480 = 768 V."""
    assert _peak("chassis=live", "rail=480").volts == _worked(768.0, "1.6 · 480")


def test_an_auto_transformer_is_not_bounded_by_the_mains() -> None:
    """It may step the mains up: only its winding or the rail tells."""
    assert math.isnan(_peak("chassis=auto").volts)
    assert _peak("chassis=auto", "rail=300").volts == _worked(480.0, "1.6 · 300")


RULES_OF_THUMB = [
    ("capacitor-input", published(400.0, "practice", of=off_load_from_running, where="1.6 · 250")),
    ("choke-input", published(500.0, "practice", of=off_load_from_running, where="2 · 250")),
]


@pytest.mark.parametrize(("filter_", "expected"), RULES_OF_THUMB)
def test_the_running_rail_alone_is_multiplied(filter_: str, expected: Expected) -> None:
    """Common practice where the winding is not known."""
    assert _peak("rail=250", f"filter={filter_}").volts == expected


def test_a_rule_of_thumb_is_said_to_be_one() -> None:
    """It is not measured, and the answer tells what would replace it."""
    peak = _peak("rail=250")
    assert not peak.measured
    assert peak.assumed == ("off-load peak taken as 1.6 × the rail: read the HT winding off load to know it",)


def test_a_rail_with_an_uncertainty_counts_at_its_upper_end() -> None:
    """250 ± 5 V: 1.6 · 255 = 408 V."""
    assert _peak("rail=250±5").volts == _worked(408.0, "1.6 · 255")


BRIDGES = [
    (("secondary=250", "rectifier=bridge"), _worked(408.4, "1.41421 · 250 · 1.1 · 1.05")),
    (("secondary=250 bridge",), _worked(408.4, "1.41421 · 250 · 1.1 · 1.05")),
    (("secondary=250-0-250", "rectifier=bridge"), _worked(816.8, "1.41421 · 500 · 1.1 · 1.05: the whole winding")),
    (("secondary=250-0-250", "rectifier=silicon"), _worked(408.4, "1.41421 · 250 · 1.1 · 1.05: one side at a time")),
]


@pytest.mark.parametrize(("pairs", "expected"), BRIDGES)
def test_a_bridge_takes_the_whole_winding(pairs: tuple[str, ...], expected: Expected) -> None:
    """Where its centre tap serves all the same, the worse of the two is reckoned with."""
    assert _peak(*pairs).volts == expected


def test_a_bridge_across_a_tapped_winding_is_said() -> None:
    """With the way out, if the tap is in use."""
    assert _peak("secondary=250-0-250", "rectifier=bridge").assumed[1] == (
        "a bridge takes the whole winding, 500 V: say rectifier=silicon if the centre tap is in use"
    )


@given(st.sampled_from(["rail=250", "rail=40", "rail=480 V"]), st.sampled_from(["", "chassis=live", "mains_now=240"]))
def test_the_sign_of_a_rail_moves_no_wall(rail: str, beside: str) -> None:
    """A negative line is reckoned with like a positive one of its size."""
    below = rail.replace("=", "=-")
    assert _peak(below, beside or "tap=").volts == _peak(rail, beside or "tap=").volts
    assert follow.running(read_facts([below])).volts == follow.running(read_facts([rail])).volts


def test_what_is_taken_for_granted_of_a_winding_is_said() -> None:
    """Mains, regulation and tap, each a line."""
    assert _peak("secondary=250-0-250").assumed == (
        "mains 230 V",
        "winding volts taken as loaded: 5 % more off load",
        "primary tap taken as set for the mains",
    )


def test_nothing_known_gives_no_peak() -> None:
    """Not a number, and certainly not zero."""
    assert _peak("mains=230") == follow.UNKNOWN
    assert math.isnan(follow.UNKNOWN.volts)


SUPPLIES = st.sampled_from(
    [
        ("secondary=250-0-250",),
        ("secondary=286-0-286 off-load±1%", "mains_now=231"),
        ("secondary=250-0-250 off-load", "tap=220"),
        ("secondary=230 half-wave", "mains_now=262"),
        ("chassis=live",),
        ("chassis=live", "rail=480"),
        ("rail=250",),
    ]
)


@given(SUPPLIES, st.floats(1, 1.25), st.floats(1, 1.25))
def test_the_off_load_peak_never_falls_when_the_mains_may_be_higher(
    supply: tuple[str, ...], one: float, other: float
) -> None:
    """Whatever the supply is known by."""
    low, high = sorted((one, other))
    assert _peak(*supply, f"mains_high={low:.6f}").volts <= _peak(*supply, f"mains_high={high:.6f}").volts


@given(st.floats(20, 700), st.floats(200, 260), st.floats(1, 1.25))
def test_regulation_never_lowers_the_off_load_peak(side: float, today: float, high: float) -> None:
    """A winding rated loaded gives at least what the same volts read off load would."""
    given_ = (f"mains_now={today:.3f}", f"mains_high={high:.4f}")
    winding = f"secondary={side:.3f}-0-{side:.3f}"
    assert _peak(winding, *given_).volts >= _peak(f"{winding} off-load", *given_).volts


def _rail(value: float, how: str) -> Expected:
    return by_hand(value, f"closed form, sin t - t cos t = k pi I R / V: {how}", of=follow.running_rail)


RAILS = [
    ("250-0-250", "50", "60mA", "230", "50", _rail(332.1, "full-wave, 50 ohm")),
    ("250-0-250", "100", "60mA", "230", "50", _rail(320.1, "full-wave, 100 ohm")),
    ("250-0-250", "200", "60mA", "230", "50", _rail(301.0, "full-wave, 200 ohm")),
    ("250-0-250", "400", "60mA", "230", "50", _rail(270.8, "full-wave, 400 ohm")),
    ("230", "47", "60mA", "230", "50", _rail(294.0, "half-wave, 47 ohm")),
    ("230", "175", "60mA", "230", "50", _rail(251.5, "half-wave, 175 ohm")),
    ("117", "150", "60mA", "117", "60", _rail(112.3, "half-wave 117 V, 150 ohm")),
]


@pytest.mark.parametrize(("secondary", "resistance", "current", "volts", "hertz", "expected"), RAILS)
def test_running_rail_from_winding_resistance_and_current(
    secondary: str, resistance: str, current: str, volts: str, hertz: str, expected: Expected
) -> None:
    """Behind silicon, at the mains that gives the winding its volts."""
    facts = read_facts(
        [
            f"secondary={secondary}",
            f"winding_resistance={resistance}",
            f"current={current}",
            f"mains={volts}",
            f"frequency={hertz}",
            "rectifier=silicon",
        ]
    )
    assert follow.running_rail(facts).volts == expected


SILICON = ("secondary=250-0-250", "winding_resistance=100", "current=60mA")


def test_a_rectifier_valve_costs_volts() -> None:
    """The same winding gives less through a valve of the line-up than through silicon, and says what it rests on."""
    valve = follow.running_rail(read_facts([*SILICON, "lineup=ECC83 EL84 EZ80"]))
    assert valve.volts < follow.running_rail(read_facts([*SILICON, "rectifier=silicon"])).volts
    assert "fitted, not from its sheet" in valve.assumed[0]


@pytest.mark.parametrize("rectifier", ["silicon", "BY127", "bridge", "selenium", "metal rectifier"])
def test_no_word_for_a_dry_rectifier_costs_what_a_valve_does(rectifier: str) -> None:
    """Nothing is added to the resistance of the winding."""
    facts = read_facts(["secondary=250", "winding_resistance=100", f"rectifier={rectifier}"])
    assert (follow.supply(facts).has_valve, follow.supply(facts).of_the_rectifier()) == (False, "")


def test_behind_a_choke_the_rail_is_not_worked_out() -> None:
    """The closed form is that of a capacitor."""
    assert follow.running_rail(read_facts([*SILICON, "filter=choke-input"])) == follow.UNKNOWN


def test_a_rail_that_was_read_is_not_worked_out_again() -> None:
    """The meter knows better."""
    rail = follow.running_rail(read_facts([*SILICON, "rail=250"]))
    assert (rail.volts, rail.measured) == (250.0, True)


def test_the_running_peak_is_the_rail_at_the_highest_mains_and_half_the_ripple() -> None:
    """250 V read at 231 V, 20 V of ripple: 250 · 253 / 231 + 10 = 283.8 V."""
    peak = follow.running(read_facts(["rail=250", "mains_now=231"]), ripple=20.0)
    assert peak.volts == by_hand(283.8, "250 · 253 / 231 + 10", of=follow.running)


def test_a_rail_worked_out_of_a_winding_follows_the_tap() -> None:
    """At the 220 V tap the winding gives more than it is rated for: the rail is scaled by 253 / 220."""
    facts = read_facts([*SILICON, "rectifier=silicon", "tap=220"])
    assert follow.running(facts).volts == by_hand(368.1, "320.07 · 253 / 220", of=follow.running)


def test_no_rail_no_running_peak() -> None:
    """A winding alone does not tell what runs."""
    assert follow.running(read_facts(["secondary=250-0-250"])) == follow.UNKNOWN


def test_the_ripple_of_a_reservoir() -> None:
    """78 mA on 32 µF behind 100 Ω, 250-0-250 at 50 Hz: a simulator gives 17.4 V peak to peak."""
    facts = read_facts(["secondary=250-0-250", "winding_resistance=100", "current=78mA", "rectifier=silicon"])
    assert follow.ripple(facts, 32e-6) == pytest.approx(17.4, rel=0.02)


def test_ripple_without_the_current_is_not_known() -> None:
    """NaN, never zero."""
    assert math.isnan(follow.ripple(read_facts(["secondary=250-0-250"]), 32e-6))


RECTIFIERS = [
    (("rectifier=Silicon", "lineup=ECC83 EL84 EZ81"), "silicon"),
    (("rectifier=1N4007", "lineup=ECC83 EL84 EZ81"), "silicon"),
    (("lineup=ECC83 2xECL86 EZ81",), "EZ81"),
    (("lineup=ECC83 EL84",), ""),
    ((), ""),
]


@pytest.mark.parametrize(("pairs", "rectifier"), RECTIFIERS)
def test_the_rectifier_is_the_one_given_else_that_of_the_line_up(pairs: tuple[str, ...], rectifier: str) -> None:
    """A change of rectifier is stated beside the line-up that the set was made with."""
    assert follow.rectifier(read_facts(pairs)) == rectifier
