"""Coils and hardware: everyday ones fit, another kind never does, and descriptions are read."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Item, Measured, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.sets import read_facts


def verdict(family: str, text: str, dead: str, position: str, condition: str = "new", **read: float) -> Verdict:
    """Return the verdict on one part in words."""
    declared = load(family)
    (reading,) = declared.read(text)
    fields = {name: value for name, value in reading.fields.items() if name in declared.facts.model_fields}
    item = Item(
        declared.facts.model_validate(fields), condition, {name: Measured(value) for name, value in read.items()}
    )
    need = declared.need(Request(family, dead, position, {}, read_facts(())))
    columns = columns_of(declared.options(item), declared.quantities, declared.words)
    return Verdict(int(judge(declared, need, declared.search(need), columns).verdict[0]))


@pytest.mark.parametrize(
    ("family", "text", "dead", "position"),
    [
        ("coil", "IFT 465 kHz", "IF transformer 470 kHz", "IF"),
        ("coil", "2 gang 500pF", "Drehko 2x 490pF", "tuning-gang"),
        ("coil", "trimmer capacitor 3-30pF", "trimmer capacitor 30pF", "trimmer"),
        ("coil", "RF coil 180uH", "RF coil 175uH", "RF"),
        ("hardware", "knob 1/4 in", "knob 6.35 mm", "fixing"),
    ],
)
def test_an_everyday_one_fits(family: str, text: str, dead: str, position: str) -> None:
    """Of the kind, within reach (common practice, no source)."""
    assert verdict(family, text, dead, position) is Verdict.FITS


@pytest.mark.parametrize(
    ("family", "text", "dead", "position"),
    [
        ("coil", "IFT 10.7 MHz", "IFT 465 kHz", "IF"), ("coil", "oscillator coil 90uH", "IFT 465 kHz", "IF"),
        ("coil", "1 gang 500pF", "2 gang 500pF", "tuning-gang"), ("hardware", "valveholder B8A", "valveholder B9A", "fixing"),
        ("hardware", "grommet 6 mm", "knob 6 mm", "fixing"),
    ],
)  # fmt: skip
def test_another_kind_is_unfit(family: str, text: str, dead: str, position: str) -> None:
    """No change makes one of it."""
    assert verdict(family, text, dead, position) is Verdict.UNFIT


def test_what_carries_current_is_looked_at_first() -> None:
    """Its rating stands in no size; the same holder under another name is the same holder."""
    assert verdict("hardware", "noval socket", "valve holder B9A", "fixing") is Verdict.MEASURE
    assert verdict("hardware", "mains lead 2 core", "mains lead 3 core", "fixing") is Verdict.MEASURE


def test_a_used_winding_is_read_first_and_an_open_one_is_unfit() -> None:
    """Open ones look sound."""
    used = ("coil", "IFT 465 kHz", "IFT 465 kHz", "IF", "salvaged")
    assert verdict(*used) is Verdict.MEASURE
    assert verdict(*used, resistance=8.0) is Verdict.FITS
    assert verdict(*used, resistance=5000.0) is Verdict.UNFIT


READ: list[tuple[str, str, dict[str, Any]]] = [
    ("coil", "IF transformer 10.7 MHz", {"kind": "IF", "frequency": 10.7e6}),
    (
        "coil",
        "2-gang 12-500pF",
        {"kind": "tuning-gang", "sections": 2, "capacitance_low": 12e-12, "capacitance_high": 500e-12},
    ),
    ("coil", "tuning condenser 2x365pF", {"kind": "tuning-gang", "sections": 2, "capacitance_high": 365e-12}),
    ("coil", "RFC 2.5mH", {"kind": "RF", "inductance": 2.5e-3}),
    ("hardware", "Röhrenfassung B9A", {"kind": "valveholder", "thread": "B9A"}),
    ("hardware", "screw M3 x 10 mm", {"kind": "screw", "thread": "M3", "size": 0.01}),
]


@pytest.mark.parametrize(("family", "text", "fields"), READ)
def test_a_description_is_read(family: str, text: str, fields: dict[str, Any]) -> None:
    """English and German."""
    (reading,) = load(family).read(text)
    assert reading.fields == pytest.approx(fields)


@pytest.mark.parametrize("family", ["coil", "hardware"])
@pytest.mark.parametrize("text", ["", "22n 400V", "EL84", "470k", "1M log"])
def test_what_is_neither_is_not_read_as_one(family: str, text: str) -> None:
    """No word of theirs in it."""
    assert [reading for reading in load(family).read(text) if not reading.bare] == []
