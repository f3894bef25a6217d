"""Fuses: larger, slower, weaker or without a DC rating is unfit over random parts; everyday ones fit."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from partsbin.checks import Columns, Verdict
from partsbin.families import load
from partsbin.families._declare import Item, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.notation.fuse import read_fuse
from partsbin.sets import read_facts

N = 1000
FUSE = load("fuse")


def good(rng: np.random.Generator) -> dict[str, Any]:
    """Return a thousand fuses that do for T500mA: a test spoils one respect."""
    current = rng.uniform(0.4, 0.5, N)
    return {
        "current": current, "current_low": current, "current_high": current, "speed": rng.choice(["M", "T"], N).astype(object),
        "breaking": rng.choice(["E", "H"], N).astype(object), "voltage_ac": rng.uniform(250, 500, N),
        "voltage_dc": rng.uniform(500, 900, N), "size": np.full(N, "5x20", object), "standard": np.full(N, "IEC", object),
        "condition": np.full(N, "new", object),
    }  # fmt: skip


def verdicts(position: str, text: str, columns: Columns, *facts: str) -> set[Verdict]:
    """Return the verdicts that occur."""
    need = FUSE.need(Request("fuse", text, position, {}, read_facts(facts)))
    return {Verdict(int(v)) for v in judge(FUSE, need, FUSE.search(need), columns).verdict}


SPOILS = [
    ("larger", "primary", "T500mAE250V", (), ("current", 0.63)),
    ("slower", "primary", "T500mAE250V", (), ("speed", "TT")),
    ("slower than quick", "primary", "F500mAE250V", (), ("speed", "M")),
    ("weaker", "primary", "T500mAE250V", (), ("breaking", "L")),
    ("breaking not marked", "primary", "T500mAE250V", (), ("breaking", "")),
    ("volts not marked", "primary", "T500mAE250V", (), ("voltage_ac", np.nan)),
    ("125 V on 230 V", "primary", "T500mAE250V", (), ("voltage_ac", 125.0)),
    ("no DC rating", "ht", "T500mA", ("secondary=250-0-250",), ("voltage_dc", np.nan)),
    ("DC rating under the cold start", "ht", "T500mA", ("secondary=250-0-250",), ("voltage_dc", 350.0)),
    ("DC rating missing, HT not known", "ht", "T500mA", (), ("voltage_dc", np.nan)),
]


@pytest.mark.parametrize(("why", "position", "text", "facts", "spoil"), SPOILS, ids=[s[0] for s in SPOILS])
def test_an_unsafe_fuse_is_unfit_whatever_else_it_has(
    why: str, position: str, text: str, facts: tuple[str, ...], spoil: tuple[str, Any]
) -> None:
    """A thousand otherwise good ones, each spoilt in one respect."""
    columns = good(np.random.default_rng(len(why)))
    columns[spoil[0]] = np.full(N, spoil[1], dtype=columns[spoil[0]].dtype)
    if spoil[0] == "current":
        columns["current_low"] = columns["current_high"] = columns["current"]
    assert verdicts(position, text, columns, *facts) == {Verdict.UNFIT}


def test_a_quicker_one_is_care_and_without_the_label_nothing_fits() -> None:
    """It may blow at switch-on; and what the set should have is read first."""
    columns = good(np.random.default_rng(1))
    columns["speed"] = np.full(N, "F", object)
    assert verdicts("primary", "T500mAE250V", columns) == {Verdict.CARE}
    assert verdicts("primary", "", columns) == {Verdict.MEASURE}


@pytest.mark.parametrize(
    ("text", "dead"), [("T500mAL250V", "T500mAL250V"), ("T2AH250V 5x20", "T2AL250V 5x20"), ("F1AL250V", "F1A L 250V")]
)
def test_an_everyday_fuse_fits(text: str, dead: str) -> None:
    """Like for like, or with more breaking capacity (common practice, no source)."""
    (reading,) = read_fuse(text)
    (option,) = FUSE.options(Item(FUSE.facts.model_validate(reading.fields), "new"))
    need = FUSE.need(Request("fuse", dead, "primary", {}, read_facts(())))
    judged = judge(FUSE, need, FUSE.search(need), columns_of([option], FUSE.quantities, FUSE.words))
    assert Verdict(int(judged.verdict[0])) is Verdict.FITS


@pytest.mark.parametrize(("dead", "words"), [("3AG 1A", "F1AH 250 V"), ("3AG 1A slow-blow", "T1AH 250 V")])
def test_no_slower_fuse_is_bought_than_the_dead_one_was_marked(dead: str, words: str) -> None:
    """Where nothing says how quick it was, a quick one is safe in its place, a slow one is not (common practice, no source)."""
    fuse = load("fuse")
    assert words in fuse.buy(fuse.need(Request("fuse", dead, "primary", {}, read_facts(("mains=117",)))))
