"""Ratings, poles and safety classes that a description denies or doubts count for nothing."""

from __future__ import annotations

import pytest

from partsbin.errors import PartsbinError
from partsbin.matching.hand import try_text
from partsbin.needs import Request
from partsbin.notation.doubts import without_doubts
from partsbin.sets import read_facts
from partsbin.stock.describe import readings_of

LIVE = ("chassis=live",)
UNSAFE = [
    *(
        ("capacitor", "mains-across", (), f"100n {text}")
        for text in (
            "275V~ X2 not approved", "like X2 275V", "275V~ kein X2", "X2? 275V~", "fake X2 275V~", "275V~? X2", "X2 (?) 275V~",
        )
    ),
    *(
        ("capacitor", "aerial-isolation", LIVE, f"2.2n {text}")
        for text in (
            "not Y2 250V~", "Y2 250V~ X1 only", "Y2 replaced by X2 250V~", "ohne Y2 Zulassung 250V~", "class Y without approval 250V~",
        )
    ),
    *(
        ("potentiometer", "volume", (*LIVE, "original=1M log with switch"), f"1M log {text}")
        for text in ("DP? switch 2A 250V~", "not DP switch 2A 250V~", "DP switch 2A 250V~ contacts welded", "DP switch? 2A 250V~")
    ),
    *(
        ("switch", "mains", LIVE, text)
        for text in (
            "not DPST toggle 6A 250V~", "nicht zweipolig Kippschalter 6A 250V~", "DPST? toggle 6A 250V~", "DPST toggle 6A? 250V~",
            "DPST toggle 6A not 250V~", "DPST toggle 6A 250V~ stuck",
        )
    ),
    ("capacitor", "coupling", ("rail=240",), "22n maybe 630V film"),
    ("capacitor", "coupling", ("rail=240",), "22n ?630V film"),
    ("capacitor", "coupling", ("rail=240",), "22n 630V film leaks"),
    ("resistor", "anode-load", ("rail=250", "original=100k 1W"), "100k 1W? carbon film"),
    ("valve", "as-plugged", ("original=EL84",), "EL84?"),
    ("valve", "as-plugged", ("original=EL84",), "not EL84"),
]  # fmt: skip


@pytest.mark.parametrize(("family", "position", "facts", "part"), UNSAFE)
def test_what_is_denied_or_doubted_passes_nothing(
    family: str, position: str, facts: tuple[str, ...], part: str
) -> None:
    """A mark that the words take back is no mark: refused, unfit or to be measured, never fitted."""
    try:
        answer = try_text(Request(family, "", position, {}, read_facts(list(facts))), part, "", [])
    except PartsbinError:
        return
    assert {candidate["verdict"] for candidate in answer["candidates"]} <= {"measure", "unfit"}


@pytest.mark.parametrize(
    ("family", "text"),
    [
        ("capacitor", "100n X2 275V~ not used, no leads cut"),
        ("capacitor", "22n 630V film, like new"),
        ("capacitor", "0.1uF 630V, not electrolytic"),
        ("potentiometer", "470k log no switch"),
        ("switch", "DPST toggle 6A 250V~, no nut"),
        ("resistor", "100k 1W, not fusible"),
        ("valve", "EL84 no emission test yet"),
    ],
)
def test_a_denial_of_something_else_takes_no_rating(family: str, text: str) -> None:
    """What is denied is not a rating: nothing is taken out."""
    assert without_doubts(text, family) == (text, ())


def test_a_doubted_rating_is_named_and_makes_the_reading_unsure() -> None:
    """The repairer sees what was not counted."""
    (reading,) = readings_of("100n 630V? film", "capacitor")
    assert not reading.sure
    assert "voltage_dc" not in reading.fields
    assert any("'630V?'" in note for note in reading.notes)
