"""The HT winding as people write it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import UsageError
from partsbin.sets import read_facts
from partsbin.sets.winding import read_winding

SECONDARIES: list[tuple[str, float, bool, bool, float | None]] = [
    ("250-0-250", 250.0, True, False, None),
    ("250-0-250 V", 250.0, True, False, None),
    ("250V-0-250V rms loaded", 250.0, True, False, None),
    ("250 – 0 – 250", 250.0, True, False, None),
    ("2×250 V", 250.0, True, False, None),
    ("230", 230.0, False, False, None),
    ("230 V half-wave", 230.0, False, False, None),
    ("286-0-286 off-load", 286.0, True, True, None),
    ("286-0-286 off load", 286.0, True, True, None),
    ("286-0-286 off-load±1%", 286.0, True, True, 0.01),
    ("286-0-286 ± 1 % off-load", 286.0, True, True, 0.01),
    ("286-0-286 +/-1% offload", 286.0, True, True, 0.01),
    ("250-0-250 ±5 V", 250.0, True, False, 0.02),
    ("250-0-260", 260.0, True, False, None),
    ("250 0 250", 250.0, True, False, None),
    ("250/0/250 V", 250.0, True, False, None),
    ("0.25-0-0.25 kV", 250.0, True, False, None),
    ("2x250", 250.0, True, False, None),
    ("250+250 V", 250.0, True, False, None),
    ("500 V CT", 250.0, True, False, None),
    ("500VCT", 250.0, True, False, None),
    ("500 V centre-tapped, off load", 250.0, True, True, None),
    ("250-0-250 CT", 250.0, True, False, None),
    ("250-0-250 unloaded", 250.0, True, True, None),
    ("250-0-250 (no load)", 250.0, True, True, None),
    ("250-0-250 V Leerlauf", 250.0, True, True, None),
    ("250-0-250 V unbelastet", 250.0, True, True, None),
    ("250-0-250 V under load", 250.0, True, False, None),
    ("0.25kV", 250.0, False, False, None),
    ("0,25 kV", 250.0, False, False, None),
    ("250VAC", 250.0, False, False, None),
    ("250 bridge", 250.0, True, False, None),
    ("250 V bridge rectifier unloaded", 250.0, True, True, None),
    ("230 half wave", 230.0, False, False, None),
    ("2 x 250 ±1% open-circuit", 250.0, True, True, 0.01),
]


@pytest.mark.parametrize(("text", "volts", "full_wave", "off_load", "spread"), SECONDARIES)
def test_the_winding_is_read(text: str, volts: float, full_wave: bool, off_load: bool, spread: float | None) -> None:
    """Volts a side (the higher one), full-wave or not, loaded unless it says off-load, the meter's spread as a fraction."""
    facts = read_facts([f"secondary={text}"])
    assert facts.number("secondary_volts") == volts
    assert facts.values["secondary_full_wave"] is full_wave
    assert facts.values["secondary_off_load"] is off_load
    assert facts.uncertainty.get("secondary") == (None if spread is None else pytest.approx(spread))


REFUSED = [
    ("secondary=250-0-", "secondary='250-0-': expected volts a side such as 250-0-250"),
    ("secondary=250-0-150", "secondary='250-0-150': the two sides differ by more than a fifth"),
    ("secondary=0-0-0", "secondary='0-0-0': expected between 1 and 2000 V a side"),
    ("secondary=tall", "secondary='tall': expected volts a side"),
    ("secondary=2 50", "secondary='2 50': expected volts a side"),
    ("secondary=250 red", "secondary='250 red': expected volts a side"),
    ("secondary=250 CT", "secondary='250 CT' could mean 125-0-125 or 250-0-250"),
    ("secondary=250-0-250 bridge", "secondary='250-0-250 bridge': a bridge has no use for the centre tap"),
    ("secondary=500 CT half-wave", "secondary='500 CT half-wave': a half-wave has no use for the centre tap"),
    ("secondary=250 half-wave bridge", "secondary='250 half-wave bridge' contradicts itself"),
    ("secondary=250 loaded, no load", "secondary='250 loaded, no load' contradicts itself"),
]


@pytest.mark.parametrize(("text", "fault"), REFUSED)
def test_a_winding_that_cannot_be_is_refused(text: str, fault: str) -> None:
    """Quoted, with what was expected; what could mean two things gets both."""
    with pytest.raises(UsageError, match=f"^{fault}"):
        read_facts([text])


def test_a_winding_that_cannot_be_read_gets_examples() -> None:
    """The forms that are understood, in the fault itself."""
    with pytest.raises(UsageError, match="250-0-250, 2x250 or 500 V CT, or 250 bridge, or 230 half-wave"):
        read_facts(["secondary=about 250"])


FORMS = (
    "{0:g}-0-{0:g}",
    "{0:g} V",
    "2x{0:g}",
    "{0:g}+{0:g} off load",
    "{1:g} V CT",
    "{0:g} bridge",
    "{0:g}V half-wave",
)


@given(st.integers(200, 900), st.sampled_from(FORMS))
def test_every_form_gives_the_volts_that_were_meant(side: int, form: str) -> None:
    """Never fewer: a figure is halved only where it is said to be that of both sides."""
    assert read_winding(form.format(side, 2 * side)).volts == side
