"""Whatever is typed: no reader raises, none takes long, every number that comes out is one."""

from __future__ import annotations

import json
import math
import time
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.marks import read_mark
from partsbin.notation.reading import Reading
from partsbin.notation.scan import scan
from partsbin.notation.transformer import read_transformer

READERS: tuple[Callable[[str], list[Reading]], ...] = (read_capacitor, read_transformer)
SCRAPS = """
0 1 47 450 .05 0,1 1,000 100 470K 473 2J473K .1K63 8+8 16-16-8 40-60 2x µF uF pF mf cm n p u k M R V VAC V~ VDC A mA W ohm Ω H
°C mm in % ± ±10% -20+50% + - / : , ( ) x X2 Y2 X7R NP0 paper waxed moulded can Elko NP series parallel in test surge ripple RM
OPT mains transformer line pri sec Rp DCR EL84 6V6 CT PP a-a 250-0-250 45:1 to gapped insulation new NOS ½ ² é 1e+99 00
"""
texts = st.one_of(
    st.text(max_size=80),
    st.lists(st.sampled_from(SCRAPS.split()), max_size=14).map(" ".join),
    st.lists(st.sampled_from(SCRAPS.split()), max_size=14).map("".join),
)


@given(texts)
def test_no_text_makes_a_reader_raise(text: str) -> None:
    """And what comes out can be written as JSON, which has no NaN and no infinity."""
    for reader in READERS:
        json.dumps([reading.as_json() for reading in reader(text)], allow_nan=False)


@given(texts)
def test_several_readings_are_never_sure(text: str) -> None:
    """One sure reading, or several with the reason."""
    for reader in READERS:
        readings = reader(text)
        assert len(readings) < 2 or not any(reading.sure for reading in readings)
        assert all(reading.notes for reading in readings if not reading.sure)


@given(texts)
def test_values_are_positive(text: str) -> None:
    """A capacitance, a rating or a ratio of nought is none."""
    for reader in READERS:
        for reading in reader(text):
            for name in (
                "capacitance",
                "voltage_dc",
                "voltage_ac",
                "ripple_current",
                "power",
                "line_voltage",
                "dc_current",
            ):
                value = reading.fields.get(name, 1.0)
                assert isinstance(value, float)
                assert 0 < value < math.inf


@pytest.mark.parametrize(
    "scrap",
    [
        "8+",
        "1,000 ",
        "1:",
        "45 ",
        "a ",
        "a-",
        "1.",
        "0,1/",
        "2x",
        "±",
        "-10+",
        "1/2 ",
        "(",
        "V.D.C. ",
        "x1x1",
        "9" * 50,
        "aB3-",
        "N.O.S.",
    ],
)
def test_the_longest_texts_are_read_in_no_time(scrap: str) -> None:
    """Repeats that would make a careless pattern try every way: far under a second for all readers together."""
    text = (scrap * 600)[:600]
    begin = time.perf_counter()
    for read in (*READERS, scan, read_mark):
        read(text)
    assert time.perf_counter() - begin < 1.0
