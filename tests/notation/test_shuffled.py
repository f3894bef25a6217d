"""Fragments of the trade in any order: no reader of any family raises, and no volts are read that stand nowhere in the text."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin import families

FRAGMENTS = """
100n|0.1uF|.05|470K|47|250|8uF|32+32uF|16-16-8|40-60|2x|x2|X2|Y2|X1/Y2|450V|350V|1kV|275V~|250VAC|630VDC|400 V|450/500V|450V/350V
|450V+25V|63|500 V DC|test|tested at|Prüfspannung|surge|working|ripple 120mA|±20%|+80-20%|K|Z5U|X7R|NP0|film|polyester|paper|waxed
|moulded|mica|ceramic|ceramic-2|disc|tubular|can|elko|electrolytic|tantalum|NP|in series|in parallel|axial|used|ex scrap|NOS|new|old
|pcs|(count)|18 x 35 mm|RM 10 mm|OPT|mains transformer|line transformer|100V line|45:1|5k2:3|8k a-a|pri|sec|Rp 380|DCR|EL84|pair of
|PP|SE|250-0-250|6.3V 3A|0-110-230V|5W|10/5/2.5W|15 ohm|to|insulation|gapped|1M|4k7|1/2W|log|pot|1A|T2A|250mA|6.3V 0.3A|lamp|fuse
|choke 10H|relay|switch|rectifier|ECC83|loudspeaker|-|/|,|+|:
"""
PIECES = [piece.strip() for piece in FRAGMENTS.replace("\n", "").split("|")]
COLOURS = """
black brown red orange yellow green blue violet grey white gold silver pink gr bl / upper lower mica moulded paper
"""
COLOUR_WORDS = ["dots", "bands", "tantalum", "ceramic tubular", "capacitor", "body", "tip", "450V", "100pF"]

texts = st.lists(st.sampled_from(PIECES), min_size=1, max_size=10).map(" ".join)
painted = st.lists(st.sampled_from(COLOURS.split() + COLOUR_WORDS), min_size=1, max_size=12).map(" ".join)


def volts_in(fields: object, name: str = "") -> Iterator[float]:
    """Every figure of a field of volts, those of sections and windings included."""
    if isinstance(fields, dict):
        for key, value in fields.items():
            yield from volts_in(value, key)
    elif isinstance(fields, list):
        for value in fields:
            yield from volts_in(value, name)
    elif isinstance(fields, float) and "volt" in name:
        yield fields


@pytest.mark.parametrize("family", families.names())
@given(texts | painted)
def test_no_text_makes_a_reader_raise(family: str, text: str) -> None:
    """And what comes out can be written as JSON."""
    readings = families.load(family).read(text)
    json.dumps([reading.as_json() for reading in readings], allow_nan=False)
    assert len(readings) < 2 or not any(reading.sure for reading in readings)


@pytest.mark.parametrize("family", ["capacitor", "transformer"])
@given(texts)
def test_no_volts_are_read_that_stand_nowhere_in_the_text(family: str, text: str) -> None:
    """A rating comes from a number of the text, or from that of several parts in series."""
    written = {float(number) for number in re.findall(r"[0-9]*\.?[0-9]+", text)}
    written |= {1000 * number for number in written}
    for reading in families.load(family).read(text):
        times = reading.fields.get("series", 1)
        assert isinstance(times, int)
        for volts in volts_in(reading.fields):
            assert any(volts == pytest.approx(number * times) for number in written), (reading.fields, text)
