"""What a part is called is read back as the part: the family's title and the reader agree."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, get_args

from hypothesis import assume, given
from hypothesis import strategies as st

from partsbin.families.capacitor.facts import CapacitorFacts, Dielectric, title
from partsbin.notation.bare import RATED_VOLTS, WET
from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.preferred import series

VALUES = st.builds(
    lambda step, power: float(step.scaleb(power)),
    st.sampled_from(series("E24")),
    st.integers(min_value=-12, max_value=-3),
)
VOLTS = st.sampled_from(sorted(RATED_VOLTS)).map(float)
TOLERANCES = st.none() | st.sampled_from([0.005, 0.01, 0.02, 0.025, 0.05, 0.1, 0.2])
MATERIALS = st.none() | st.sampled_from(get_args(Dielectric))


def read_back(facts: CapacitorFacts) -> CapacitorFacts:
    """The facts of the one sure reading of a part's title."""
    (reading,) = read_capacitor(title(facts))
    assert reading.sure, (title(facts), reading.notes)
    assert reading.rest == ""
    return CapacitorFacts.model_validate(reading.fields)


@given(VALUES, TOLERANCES, st.none() | VOLTS, MATERIALS)
def test_a_capacitor_is_read_back_from_its_title(
    value: float, tolerance: float | None, volts: float | None, dielectric: Any
) -> None:
    """Value, tolerance, volts and dielectric are the same to the last digit."""
    facts = CapacitorFacts(
        capacitance=value,
        tolerance=tolerance,
        voltage_dc=volts,
        dielectric=dielectric,
        polarised=True if dielectric in WET else None,
    )
    assert read_back(facts) == facts


CLASSES = get_args(get_args(CapacitorFacts.model_fields["safety_class"].annotation)[0])


@given(
    VALUES,
    TOLERANCES,
    st.none() | VOLTS,
    st.sampled_from([125.0, 250.0, 275.0, 305.0, 400.0]),
    st.sampled_from(CLASSES),
)
def test_a_safety_class_is_read_back_with_its_ac_volts(
    value: float, tolerance: float | None, volts: float | None, alternating: float, safety_class: Any
) -> None:
    """DC and AC volts stay apart, and the class is no number of pieces."""
    assume(value < 10e-6)
    facts = CapacitorFacts(
        capacitance=value, tolerance=tolerance, voltage_dc=volts, voltage_ac=alternating, safety_class=safety_class
    )
    assert read_back(facts) == facts


SECTIONS = st.lists(
    st.sampled_from([0.1, 4.0, 8.0, 10.0, 16.0, 22.0, 32.0, 50.0, 100.0, 220.0]), min_size=2, max_size=4
)


@given(SECTIONS, VOLTS)
def test_a_can_is_read_back_from_its_title(microfarads: list[float], volts: float) -> None:
    """Every section with the rating that they share, in order."""
    sections = [{"capacitance": float(Decimal(str(value)).scaleb(-6)), "voltage_dc": volts} for value in microfarads]
    facts = CapacitorFacts.model_validate({"sections": sections, "dielectric": "electrolytic", "polarised": True})
    assert read_back(facts) == facts


@given(st.lists(st.sampled_from([4.0, 8.0, 16.0, 32.0, 50.0]), min_size=2, max_size=4), st.data())
def test_sections_of_unlike_ratings_are_read_back(microfarads: list[float], data: st.DataObject) -> None:
    """One rating to each, in order."""
    count = len(microfarads)
    drawn = data.draw(st.lists(VOLTS, min_size=count, max_size=count, unique=True))
    sections = [
        {"capacitance": float(Decimal(str(value)).scaleb(-6)), "voltage_dc": volts}
        for value, volts in zip(microfarads, drawn, strict=True)
    ]
    facts = CapacitorFacts.model_validate({"sections": sections, "dielectric": "electrolytic", "polarised": True})
    assert read_back(facts) == facts
