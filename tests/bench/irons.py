"""Invented output, line and mains transformers, seeded: parts with several ways of use each, a tap pair a time.

Shares, loads and loudspeakers are invented; they only have to be of the right order.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from partsbin.families import load
from partsbin.families._declare import child_type
from partsbin.stock.catalogue import Draft
from tests.bench.rows import CONDITION_SHARES, CONDITIONS, PLACES, SEED, UNKNOWN

KINDS = ("output", "line", "mains")
KIND_SHARES = (0.7, 0.1, 0.2)
PRIMARIES = (2500.0, 3000.0, 4500.0, 5200.0, 7000.0, 8000.0, 10_000.0)
SPEAKERS = (3.0, 5.0, 8.0, 15.0)
CURRENTS = (0.024, 0.036, 0.048, 0.06)


@lru_cache(maxsize=1)
def request() -> Any:
    """Return the need: an output transformer for a line-up of valves, the dead one without a marking."""
    from partsbin.needs import Request
    from partsbin.sets import read_facts

    return Request("transformer", "", "output", {}, read_facts(["lineup=ECH81 EBF89 EABC80 EL84 EZ80", "speaker=3"]))


def drafts(first: int, last: int) -> list[Draft]:
    """Return transformers number `first` to `last`, about to be shelved."""
    rng = np.random.default_rng([SEED, first])
    return [_draft(rng) for _ in range(first, last)]


def _draft(rng: np.random.Generator) -> Draft:
    kind = KINDS[rng.choice(len(KINDS), p=KIND_SHARES)]
    condition = CONDITIONS[rng.choice(len(CONDITIONS), p=CONDITION_SHARES)]
    model = load("transformer").facts
    facts = (
        _facts(rng, kind)
        if kind != "mains"
        else model.model_construct(kind="mains", power=float(rng.integers(10, 200)))
    )
    return Draft(
        "transformer", facts, "", condition, int(rng.integers(1, 6)), place=f"box {rng.integers(1, PLACES + 1)}"
    )


def _facts(rng: np.random.Generator, kind: str) -> Any:
    """One primary, one to four loudspeaker taps, the current or the gap known for about half."""
    single = rng.random() < 0.75
    ohms = PRIMARIES[rng.integers(len(PRIMARIES))] * (1.0 if single else 1.5)
    taps = SPEAKERS[: rng.integers(1, len(SPEAKERS) + 1)]
    model = load("transformer").facts
    pair = child_type(model.model_fields["pairs"].annotation)
    assert pair is not None  # the field is a list of winding pairs
    pairs = tuple(pair.model_construct(primary_impedance=ohms, secondary_impedance=tap) for tap in taps)
    return model.model_construct(
        kind=kind,
        topology=None if rng.random() < UNKNOWN else "single-ended" if single else "push-pull",
        pairs=() if rng.random() < UNKNOWN else pairs,
        dc_current=CURRENTS[rng.integers(len(CURRENTS))] if single and rng.random() < 0.5 else None,
        centre_tapped=not single if rng.random() < 0.5 else None,
        primary_resistance=round(ohms * 0.07, 0) if rng.random() < 0.6 else None,
        power=float(rng.integers(3, 20)) if rng.random() < 0.7 else None,
    )
