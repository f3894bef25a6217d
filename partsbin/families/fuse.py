"""Fuse: current, speed, what it can break, and at which volts. A slower, larger or weaker one is never a substitute.

An IEC fuse carries one and a half times its rating for an hour, a UL one opens at 1.35: two of one figure are not equal.
A fuse without a rating for direct current goes on burning in an HT line.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Literal

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, outcomes, within
from partsbin.families._afterwards import of_fuse
from partsbin.families._dangers import CLIP_ON
from partsbin.families._declare import CONDITIONS, Card, Example, Facts, Family, Item, Keys, Option, Search, fact
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import Draft, ht_stress
from partsbin.needs import Need, Request
from partsbin.notation.fuse import BREAKING, SPEEDS, read_fuse
from partsbin.rules import load_rules
from partsbin.sets import follow
from partsbin.words import say, span, volts

UNKNOWN_RANK = -1.0
Row = Mapping[str, Any]


class FuseFacts(Facts):
    """What is marked on a fuse."""

    current: float | None = fact("rated current", unit="A", gt=0, le=100)
    speed: Literal["FF", "F", "M", "T", "TT"] | None = fact("speed: FF, F, M, T or TT")
    breaking: Literal["L", "E", "H"] | None = fact("breaking capacity: L, E or H")
    voltage_ac: float | None = fact("volts of alternating current it can break, RMS", unit="V", gt=0, le=2000)
    voltage_dc: float | None = fact("volts of direct current it can break", unit="V", gt=0, le=2000)
    size: Literal["5x20", "6.3x32", "6.3x25"] | None = fact("size in millimetres")
    standard: Literal["IEC", "UL"] | None = fact("standard it was made to")


def title(facts: FuseFacts) -> str:
    """Return the part in trade notation."""
    code = (
        f"{facts.speed or ''}{say(facts.current, 'A').replace(' ', '') if facts.current else ''}{facts.breaking or ''}"
    )
    rated = [
        f"{say(facts.voltage_ac, 'V')} AC" if facts.voltage_ac else "",
        f"{say(facts.voltage_dc, 'V')} DC" if facts.voltage_dc else "",
    ]
    words = ("fuse", code, *rated, f"{facts.size} mm" if facts.size else "", facts.standard or "")
    return " ".join(word for word in words if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a fuse."""
    facts: FuseFacts = item.facts
    current = facts.current
    return [
        Option(
            "",
            {
                "current": current, "current_low": current, "current_high": current,
                "speed": facts.speed or "", "breaking": facts.breaking or "", "voltage_ac": facts.voltage_ac,
                "voltage_dc": facts.voltage_dc, "size": facts.size or "", "standard": facts.standard or "",
                "condition": item.condition,
            },
        )
    ]  # fmt: skip


def need(request: Request) -> Need:
    """Build the need from the dead fuse's marking, else from what is usual, which then must be read on the set."""
    rules, position, facts = load_rules("fuse"), request.position, request.facts
    draft = Draft()
    marked = marking(request, draft, read_fuse, sentence(FuseFacts))
    if "current" in marked:
        draft.put("current", float(marked["current"]), "A", "the dead one: see that it is what the set's label asks")
    else:
        draft.put("current", float(rules.of(position, "usual")), "A", "usual; the set's label decides")
        draft.put("assumed", True, "", "the set's label was not given")
        draft.assume("the fuse's current and speed are not known: the label beside the holder says them")
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        draft.put(
            name, (low * draft.number("current"), high * draft.number("current")), "A", f"{low:g} to {high:g} times"
        )
    draft.put(
        "speed", str(marked.get("speed", rules.of(position, "speed"))), "", "dead one" if "speed" in marked else "usual"
    )
    if "speed" not in marked and "current" in marked:
        draft.put("speed_assumed", True, "", "not marked on the dead one")
    for name in ("breaking", "size", "standard"):
        if name in marked:
            draft.put(name, str(marked[name]), "", "the dead one")
    if rules.of(position, "stress") == "ht":
        ht_stress(draft, facts, math.nan)
    else:
        nominal, assumed = follow.mains(facts)
        draft.put("mains", nominal, "V", "nominal mains")
        draft.assume(*assumed)
    built = Need("fuse", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions))
    return Need(
        "fuse", position, draft.fields, request, rules, built.assumptions, built.questions,
        (f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
         f"{built.word('speed')}{say(built.number('current'), 'A')} ({draft.fields['current'].origin}){dead_part(request)}"),
    )  # fmt: skip


def search(need: Need) -> Search:
    """Say what is asked of the search keys; where the current is only usual, every current is looked at."""
    low, high = need.window("care")
    ideal = need.number("current")
    if need.has("assumed"):
        low, high = 1e-6, 1e3
    least = need.number("mains") if need.has("mains") else math.nan
    return Search(low, high, ideal, least, 1.05 * least)


# ---- checks


def _current(need: Need, c: Columns) -> Ruling:
    alone = np.zeros(len(c["current"]), dtype=bool)
    ruling = within(c["current"], c["current_low"], c["current_high"], alone, need.window("fits"), need.window("care"))
    if need.has("assumed"):  # nobody knows what the set should have: the label is read first, whatever the part
        ruling.outcome[:] = Outcome.UNKNOWN
    return ruling


def _say_current(need: Need, f: Finding, row: Row) -> str:
    has, wanted = say(row["current"], "A"), say(need.number("current"), "A")
    if need.has("assumed"):
        return f"{has}; what the set should have is not known"
    if f.verdict == "unknown":
        return f"current not known, {wanted} wanted"
    if f.verdict == "fail" and row["current"] > need.number("current"):
        return f"{has} for {wanted}: a larger fuse never replaces a smaller"
    early = ": may blow at switch-on" if f.verdict in ("thin", "fail") else ""
    return f"{has}, {span(*need.window('fits'), 'A')} wanted{early}"


def _ranks(texts: Any, order: Sequence[str]) -> Any:
    return np.array([order.index(word) if word else UNKNOWN_RANK for word in texts], dtype=np.float64)


def _speed(need: Need, c: Columns) -> Ruling:
    has, wanted = _ranks(c["speed"], SPEEDS), float(SPEEDS.index(need.word("speed")))
    fail, unknown = has > wanted, has < 0
    if need.has("speed_assumed"):  # the dead one may have been quick: only a quick one is safe for both
        unknown, fail = unknown | (has > SPEEDS.index("F")), has > len(SPEEDS)
    result = outcomes(len(has), fail=fail, thin=(has >= 0) & (has < wanted), unknown=unknown)
    return Ruling(result, c["speed"], np.full(len(has), need.word("speed"), object))


def _say_speed(need: Need, f: Finding, row: Row) -> str:
    wanted = need.word("speed")
    if need.has("speed_assumed") and f.verdict == "unknown" and row["speed"]:
        return f"{row['speed']}; how quick the dead one was is not known: read its cap or the set's label"
    return {
        "pass": f"{row['speed']}, {wanted} wanted",
        "thin": f"{row['speed']}, {wanted} wanted: quicker, it may blow at switch-on",
        "unknown": f"speed not known, {wanted} wanted",
        "fail": f"{row['speed']} for {wanted}: slower, the set burns before it blows",
    }[f.verdict]


def _break(need: Need, c: Columns) -> Ruling | None:
    has, wanted = _ranks(c["breaking"], BREAKING), need.word("breaking")
    if not need.has("mains") and not wanted:
        return None  # at HT the DC rating decides, where the dead one's class is not known
    n = len(has)
    least = float(BREAKING.index(wanted)) if wanted else 0.0
    low = np.zeros(n, bool) if wanted else has == 0
    return Ruling(
        outcomes(n, fail=has < least, thin=low & (has >= least)), c["breaking"], np.full(n, wanted or "H", object)
    )


def _say_break(need: Need, f: Finding, row: Row) -> str:
    wanted = need.word("breaking")
    if not row["breaking"]:
        return f"breaking capacity not marked, {wanted or 'L, E or H'} needed: nothing but the mark tells"
    if f.verdict == "thin":
        return "L breaks 35 A or ten times its current: H is better where the old mark is not known"
    return f"{row['breaking']}, {wanted or 'not known what the old one had'}" + (
        " needed: weaker" if f.verdict == "fail" else ""
    )


def _ac(need: Need, c: Columns) -> Ruling | None:
    return at_most(need.number("mains"), c["voltage_ac"], missing=Outcome.FAIL) if need.has("mains") else None


def _say_ac(need: Need, f: Finding, row: Row) -> str:
    if math.isnan(row["voltage_ac"]):
        return f"no volts marked, {volts(need.number('mains'))} mains: nothing but the mark tells"
    return f"{volts(row['voltage_ac'])} AC, {volts(need.number('mains'))} mains"


def _dc(need: Need, c: Columns) -> Ruling | None:
    if need.has("mains"):
        return None
    peak, rated = need.number("off_load_peak"), c["voltage_dc"]
    if math.isnan(peak):
        return Ruling(
            outcomes(len(rated), fail=np.isnan(rated), unknown=~np.isnan(rated)), rated, np.full(len(rated), peak)
        )
    return at_most(peak, rated, thin_above=need.rules.general("thin_volts"), missing=Outcome.FAIL)


def _say_dc(need: Need, f: Finding, row: Row) -> str:
    peak = need.number("off_load_peak")
    wanted = "HT not known" if math.isnan(peak) else f"{volts(peak)} HT off load"
    if math.isnan(row["voltage_dc"]):
        return f"no DC rating, {wanted}: an AC fuse goes on burning"
    return f"{volts(row['voltage_dc'])} DC, {wanted}"


def _standard(need: Need, c: Columns) -> Ruling | None:
    wanted = need.word("standard")
    if not wanted:
        return None
    other = np.array([word not in ("", wanted) for word in c["standard"]], dtype=bool)
    unknown = np.array([not word for word in c["standard"]], dtype=bool)
    none = np.zeros(len(other), bool)
    fail, thin = (other, none) if wanted == "UL" else (none, other)
    return Ruling(
        outcomes(len(other), fail=fail, thin=thin, unknown=unknown), c["standard"], np.full(len(other), wanted, object)
    )


def _say_standard(need: Need, f: Finding, row: Row) -> str:
    wanted = need.word("standard")
    return {
        "pass": f"{wanted}, as the dead one",
        "thin": f"{row['standard']} for {wanted}: opens sooner",
        "unknown": f"standard not known, {wanted} wanted",
        "fail": f"{row['standard']} for {wanted}: carries 1.5 times its rating, where a UL one opens at 1.35",
    }[f.verdict]


def _size(need: Need, c: Columns) -> Ruling | None:
    if not need.has("size"):
        return None
    wanted = need.word("size")
    other = np.array([word not in ("", wanted) for word in c["size"]], dtype=bool)
    return Ruling(
        outcomes(len(other), fail=np.zeros(len(other), bool), thin=other),
        c["size"],
        np.full(len(other), wanted, object),
    )


def _say_size(need: Need, f: Finding, row: Row) -> str:
    was = need.word("size")
    return (
        f"{row['size']} mm for {was}: another holder"
        if f.verdict == "thin"
        else f"{row['size'] or was} mm, as the dead one"
    )


def _used(need: Need, c: Columns) -> Ruling:
    used = np.array([word not in ("new", "unused-old") for word in c["condition"]], dtype=bool)
    return Ruling(
        outcomes(len(used), fail=np.zeros(len(used), bool), thin=used),
        c["condition"],
        np.full(len(used), "new", object),
    )


def _say_used(need: Need, f: Finding, row: Row) -> str:
    return "used: its wire has aged, a new one costs little" if f.verdict == "thin" else str(row["condition"])


CHECKS = (
    Check("FUS01", "current", "practice", ("current", "current_low", "current_high"), _current, _say_current, unit="A", wall=True,
          missing=Missing.LOOK, reading="label"),
    Check("FUS02", "speed", "emissionlabs-5u4g", ("speed",), _speed, _say_speed, wall=True, missing=Missing.LOOK, reading="mark"),
    Check("FUS03", "breaking capacity", "fuse-marking", ("breaking",), _break, _say_break, wall=True, may=("pass", "thin", "fail")),
    Check("FUS04", "AC volts", "fuseology", ("voltage_ac",), _ac, _say_ac, unit="V", wall=True, may=("pass", "thin", "fail")),
    Check("FUS05", "DC volts", "practice", ("voltage_dc",), _dc, _say_dc, unit="V", wall=True, reading="rail"),
    Check("FUS06", "standard", "fuseology", ("standard",), _standard, _say_standard, missing=Missing.LOOK, reading="mark"),
    Check("FUS07", "size", "practice", ("size",), _size, _say_size, change=True, may=("pass", "thin")),
    Check("FUS08", "condition", "practice", ("condition",), _used, _say_used, may=("pass", "thin")),
)  # fmt: skip


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to look at."""
    usual = f"current and speed; {say(need.number('current'), 'A')} is only usual"
    asked = usual if need.has("assumed") else f"{span(*need.window('fits'), 'A')} on the cap"
    table = {
        "label": ("the set's label", "read the plate or the print beside the holder", asked),
        "mark": ("the mark on the cap", "read both caps with a glass", f"{need.word('speed')}{say(need.number('current'), 'A')}"),
        "rail": ("HT", "HT winding off load, or the rail when running", "then the DC rating wanted is known"),
    }  # fmt: skip
    if reading not in table:
        return None
    name, connect, passes = table[reading]
    if reading == "rail":
        return Card(reading, name, connect, passes, danger=CLIP_ON)
    return Card(reading, name, connect, passes, instrument="eyes")


def buy(need: Need) -> str:
    """Return what to buy."""
    assumed = need.has("speed_assumed")  # a slow one in a quick one's place lets the set burn
    code = f"{'F' if assumed else need.word('speed')}{say(need.number('current'), 'A')}".replace(" ", "")
    size = (f" {need.word('size')} mm" if need.has("size") else "") + (
        ", T only where the dead one's cap or the label says so" if assumed else ""
    )
    if need.has("mains"):
        return f"fuse {code}{need.word('breaking') or 'H'} 250 V{size}, ten of them"
    peak = need.number("off_load_peak")
    return f"fuse {code} with a DC rating" + ("" if math.isnan(peak) else f" of {volts(peak)} or more") + size


_PRIMARY = {"position": "primary", "text": "T500mAL250V 5x20", "facts": ()}
_UL = {**_PRIMARY, "text": "T500mAL250V UL"}
_OPEN = {**_PRIMARY, "text": "T500mA"}
_HT = {"position": "ht", "text": "T200mA", "facts": ("secondary=250-0-250",)}
_GOOD = {"current": 0.5, "speed": "T", "breaking": "L", "voltage_ac": 250.0, "size": "5x20", "standard": "IEC"}
EXAMPLES = (
    Example("as the dead one", _GOOD, _PRIMARY, {f"FUS0{n}": "pass" for n in (1, 2, 3, 4, 7, 8)}),
    Example("smaller, quicker, longer, used", {**_GOOD, "current": 0.315, "speed": "F", "size": "6.3x32"}, _PRIMARY,
            {"FUS01": "thin", "FUS02": "thin", "FUS07": "thin", "FUS08": "thin"}, condition="salvaged"),
    Example("larger", {**_GOOD, "current": 1.0}, _PRIMARY, {"FUS01": "fail"}),
    Example("slower", {**_GOOD, "speed": "TT"}, _PRIMARY, {"FUS02": "fail"}),
    Example("nothing marked", {}, _PRIMARY, {"FUS01": "unknown", "FUS02": "unknown", "FUS03": "fail", "FUS04": "fail"}),
    Example("low breaking where nobody knows", _GOOD, _OPEN, {"FUS03": "thin"}),
    Example("just the mains", {**_GOOD, "voltage_ac": 230.0}, _PRIMARY, {"FUS04": "thin"}),
    Example("made to the other standard", _GOOD, _UL, {"FUS06": "fail"}),
    Example("as UL", {**_GOOD, "standard": "UL"}, _UL, {"FUS06": "pass"}),
    Example("standard not known", {**_GOOD, "standard": None}, _UL, {"FUS06": "unknown"}),
    Example("UL for IEC", {**_GOOD, "standard": "UL"}, {**_PRIMARY, "text": "T500mAL250V IEC"}, {"FUS06": "thin"}),
    Example("rated for DC", {**_GOOD, "current": 0.2, "voltage_dc": 500.0}, _HT, {"FUS05": "pass"}),
    Example("just rated for DC", {**_GOOD, "current": 0.2, "voltage_dc": 420.0}, _HT, {"FUS05": "thin"}),
    Example("not rated for DC", {**_GOOD, "current": 0.2}, _HT, {"FUS05": "fail"}),
    Example("HT not known", {**_GOOD, "current": 0.2, "voltage_dc": 500.0}, {**_HT, "facts": ()}, {"FUS05": "unknown"}),
)  # fmt: skip

FAMILY = Family(
    "fuse",
    FuseFacts,
    Keys("current", "current_low", "current_high", "voltage_ac",
         (("speed", ("", *SPEEDS)), ("breaking", ("", *BREAKING)), ("condition", ("", *CONDITIONS)))),
    options,
    need,
    search,
    CHECKS,
    title,
    read_fuse,
    cards=cards,
    after=of_fuse,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"speed", "breaking", "size", "standard", "condition"}),
)  # fmt: skip
