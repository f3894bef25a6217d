"""Coils, gangs and trimmers as people write them."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.coil import read_coil


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("IFT 465 kHz", {"kind": "IF", "frequency": 465e3}),
        ("2 gang 500pF", {"kind": "tuning-gang", "sections": 2, "capacitance_high": pytest.approx(500e-12)}),
        ("Trimmer 4-20p", {"kind": "trimmer", "capacitance_low": 4e-12, "capacitance_high": pytest.approx(20e-12)}),
        ("500pF single gang", {"kind": "tuning-gang", "sections": 1, "capacitance_high": pytest.approx(500e-12)}),
        ("twin-gang 365pF", {"kind": "tuning-gang", "sections": 2, "capacitance_high": pytest.approx(365e-12)}),
        ("500+500pF gang", {"kind": "tuning-gang", "sections": 2, "capacitance_high": 500e-12}),
        ("air spaced variable 25pF", {"kind": "tuning-gang", "capacitance_high": pytest.approx(25e-12)}),
    ],
)
def test_kind_and_figures_are_read(text: str, fields: dict[str, Any]) -> None:
    """A range without its unit is in picofarads where the letter says so."""
    (reading,) = read_coil(text)
    assert (reading.fields, reading.sure) == (fields, True)
