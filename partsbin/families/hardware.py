"""Hardware: kind, size, thread. Nothing electrical is judged, so nothing here may carry the mains or HT by this verdict alone."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Ruling, outcomes, within
from partsbin.families._declare import CONDITIONS, Card, Example, Facts, Family, Item, Keys, Option, Search, fact
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import Draft
from partsbin.needs import Need, Request
from partsbin.notation.hardware import read_hardware
from partsbin.rules import load_rules
from partsbin.sets import follow

ELECTRICAL = ("valveholder", "fuseholder", "lampholder", "terminal", "plug", "socket", "cable", "tag strip")
TOUCHED = ("knob", "spindle coupler", "screw")
Row = Mapping[str, Any]


class HardwareFacts(Facts):
    """What hardware is."""

    kind: str | None = fact("what it is: knob, grommet, valveholder, …")
    size: float | None = fact("the size that matters", unit="m", gt=0, le=100)
    thread: str | None = fact("thread, or base of a holder")


def title(facts: HardwareFacts) -> str:
    """Return the part in trade notation."""
    size = f"{facts.size * 1000:.3g} mm" if facts.size else ""
    return " ".join(word for word in (facts.kind or "hardware", facts.thread or "", size) if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using it; without a size it is of any size."""
    facts: HardwareFacts = item.facts
    size = facts.size
    return [
        Option("", {"size": size, "size_low": size, "size_high": size, "kind": (facts.kind or "").lower(),
                    "thread": (facts.thread or "").lower(), "condition": item.condition})
    ]  # fmt: skip


def need(request: Request) -> Need:
    """Build the need from the dead one's description."""
    rules, position = load_rules("hardware"), request.position
    draft = Draft()
    marked = marking(request, draft, read_hardware, sentence(HardwareFacts))
    size = float(marked.get("size", rules.general("usual_spindle")))
    draft.put("size", size, "m", "as asked" if "size" in marked else "any")
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        draft.put(name, (low * size, high * size), "m", f"{low:g} to {high:g} times")
    for name in ("kind", "thread"):
        if name in marked:
            draft.put(name, str(marked[name]).lower(), "", "as asked")
    if "size" not in marked:
        draft.put("any_size", True, "", "no size asked")
    if follow.is_live(request.facts)[0]:
        draft.put("live", True, "", "live chassis")
    if "kind" not in marked:
        draft.assume("no kind of hardware was named: say knob, grommet, valveholder, …")
    said = [str(draft.fields[name].value) for name in ("kind", "thread") if draft.has(name)]
    words = " ".join(said)
    headline = (
        f"{words or 'hardware'}: {rules.of(position, 'does')}",
        f"{size * 1000:.3g} mm ({draft.fields['size'].origin}){dead_part(request)}",
    )
    return Need("hardware", position, draft.fields, request, rules, tuple(draft.assumptions), (), headline)


def search(need: Need) -> Search:
    """Say what is asked of the search keys: the size, any if none was asked."""
    size = need.number("size")
    return Search(1e-9, 1e3, size, any_value=True) if need.has("any_size") else Search(*need.window("care"), size)


def _size(need: Need, c: Columns) -> Ruling | None:
    if need.has("any_size"):
        return None
    alone = np.zeros(len(c["size"]), dtype=bool)
    return within(c["size"], c["size_low"], c["size_high"], alone, need.window("fits"), need.window("care"))


def _say_size(need: Need, f: Finding, row: Row) -> str:
    wanted = f"{need.number('size') * 1000:.3g} mm wanted"
    if math.isnan(row["size"]):
        return f"size not known, {wanted}"
    return f"{row['size'] * 1000:.3g} mm, {wanted}" + (": sleeve or file it" if f.verdict == "thin" else "")


def _word(name: str, need: Need, c: Columns) -> Ruling | None:
    if not need.has(name):
        return None
    wanted = need.word(name)
    has = c[name]
    other = np.array([word not in ("", wanted) for word in has], dtype=bool)
    unknown = np.array([not word for word in has], dtype=bool)
    return Ruling(outcomes(len(has), fail=other, unknown=unknown), has, np.full(len(has), wanted, object))


def _say_word(name: str, need: Need, f: Finding, row: Row) -> str:
    return f"{name} not known, {need.word(name)} wanted" if not row[name] else f"{row[name]}, {need.word(name)} wanted"


def _carries(need: Need, c: Columns) -> Ruling | None:
    """What carries current is looked at: its rating, its cores, its insulation stand in no size."""
    if need.word("kind") not in ELECTRICAL:
        return None
    n = len(c["kind"])
    return Ruling(outcomes(n, fail=np.zeros(n, bool), unknown=np.ones(n, bool)), c["kind"], np.full(n, "rated", object))


def _say_carries(need: Need, f: Finding, row: Row) -> str:
    return "it carries current: volts, amperes, cores and insulation are not judged here"


def _touched(need: Need, c: Columns) -> Ruling | None:
    """What a hand touches on a live chassis is to be of plastic, or its metal out of reach: a change to look after."""
    if not need.has("live") or (need.has("kind") and need.word("kind") not in TOUCHED):
        return None
    n = len(c["kind"])
    touched = np.array([need.has("kind") or word in ("", *TOUCHED) for word in c["kind"]], dtype=bool)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=touched), c["kind"], np.full(n, "insulated", object))


def _say_touched(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "nothing that a hand turns"
    return "live chassis: of plastic, grub screw sunk and sealed, no metal within reach"


CHECKS = (
    Check("HRD01", "kind", "practice", ("kind",), lambda n, c: _word("kind", n, c), lambda n, f, r: _say_word("kind", n, f, r),
          missing=Missing.LOOK, reading="look", may=("pass", "unknown", "fail")),
    Check("HRD02", "size", "practice", ("size", "size_low", "size_high"), _size, _say_size, unit="m", change=True,
          missing=Missing.MEASURE, reading="look"),
    Check("HRD03", "thread or base", "practice", ("thread",), lambda n, c: _word("thread", n, c),
          lambda n, f, r: _say_word("thread", n, f, r), missing=Missing.LOOK, reading="look", may=("pass", "unknown", "fail")),
    Check("HRD04", "what it carries", "practice", ("kind",), _carries, _say_carries, wall=True, missing=Missing.LOOK,
          reading="carries", may=("unknown",)),
    Check("HRD05", "touched", "practice", ("kind",), _touched, _say_touched, change=True, may=("pass", "thin")),
)  # fmt: skip


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to look at."""
    if reading == "carries":
        return Card(
            "carries",
            "what it carries",
            "read its rating; count the cores",
            "as the dead one or more, approved",
            instrument="eyes",
        )
    return Card(
        "look",
        "the thing itself",
        "look, and hold a rule to it",
        f"{need.number('size') * 1000:.3g} mm",
        instrument="eyes",
    )


def buy(need: Need) -> str:
    """Return what to buy."""
    size = f"{need.number('size') * 1000:.3g} mm"
    return " ".join(word for word in (need.word("kind") or "hardware", need.word("thread"), size) if word)


_KNOB = {"position": "fixing", "text": "knob 1/4 in", "facts": ()}
_HOLDER = {"position": "fixing", "text": "valve holder B9A", "facts": ()}
EXAMPLES = (
    Example("a knob of the size", {"kind": "knob", "size": 0.00635}, _KNOB, {"HRD01": "pass", "HRD02": "pass"}),
    Example("six millimetres", {"kind": "knob", "size": 0.006}, _KNOB, {"HRD02": "thin"}),
    Example("a large grommet", {"kind": "grommet", "size": 0.03}, _KNOB, {"HRD01": "fail", "HRD02": "fail"}),
    Example("a knob on a live chassis", {"kind": "knob", "size": 0.00635}, {**_KNOB, "facts": ("chassis=live",)}, {"HRD05": "thin"}),
    Example("a grommet, live, for nobody knows what", {"kind": "grommet"}, {**_KNOB, "text": "", "facts": ("chassis=live",)},
            {"HRD05": "pass"}),
    Example("a holder carries current", {"kind": "valveholder", "thread": "B9A"}, _HOLDER, {"HRD04": "unknown"}),
    Example("nothing known", {}, _KNOB, {"HRD01": "unknown", "HRD02": "unknown"}),
    Example("the base", {"kind": "valveholder", "thread": "B9A"}, _HOLDER, {"HRD03": "pass"}),
    Example("another base", {"kind": "valveholder", "thread": "B8A"}, _HOLDER, {"HRD03": "fail"}),
    Example("base not known", {"kind": "valveholder"}, _HOLDER, {"HRD03": "unknown"}),
)  # fmt: skip

FAMILY = Family(
    "hardware",
    HardwareFacts,
    Keys("size", "size_low", "size_high", "size", (("condition", ("", *CONDITIONS)),)),
    options,
    need,
    search,
    CHECKS,
    title,
    read_hardware,
    cards=cards,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"kind", "thread", "condition"}),
)
