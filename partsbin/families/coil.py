"""Coil: IF transformers by frequency, RF and oscillator coils by inductance, tuning gangs and trimmers by their largest capacitance.

What counts is whether the tuned circuit can be brought back to its frequency: inside the reach of the cores, or with care and a
realignment. A coil of another kind is no substitute.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any, Literal

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, one_of, outcomes, within
from partsbin.families._declare import (
    CONDITIONS,
    Card,
    Example,
    Facts,
    Family,
    Item,
    Keys,
    Measured,
    Option,
    Reading,
    Search,
    fact,
)
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import Draft
from partsbin.needs import Need, Request
from partsbin.notation.coil import read_coil
from partsbin.notation.reading import Reading as Understood
from partsbin.rules import load_rules
from partsbin.words import say, span

KINDS = ("", "IF", "RF", "oscillator", "tuning-gang", "trimmer")
FIGURE = {
    "IF": "frequency",
    "RF": "inductance",
    "oscillator": "inductance",
    "tuning-gang": "capacitance_high",
    "trimmer": "capacitance_high",
}
"""What each kind is chosen by."""
UNITS = {"frequency": "Hz", "inductance": "H", "capacitance_high": "F"}
Row = Mapping[str, Any]


class CoilFacts(Facts):
    """What is marked on a coil, a gang or a trimmer."""

    kind: Literal["IF", "RF", "oscillator", "tuning-gang", "trimmer"] | None = fact("what it is")
    frequency: float | None = fact("frequency it is made for", unit="Hz", gt=0, le=1e10)
    inductance: float | None = fact("inductance", unit="H", gt=0, le=10)
    capacitance_low: float | None = fact("least capacitance", unit="F", gt=0, le=1e-6)
    capacitance_high: float | None = fact("largest capacitance, one section", unit="F", gt=0, le=1e-6)
    sections: int | None = fact("sections of a gang", ge=1, le=8)
    former: Literal["air", "dust core"] | None = fact("what it is wound on")


def title(facts: CoilFacts) -> str:
    """Return the part in trade notation."""
    noun = {"IF": "IF transformer", "RF": "RF coil", "oscillator": "oscillator coil", "tuning-gang": "tuning gang",
            "trimmer": "trimmer capacitor"}.get(facts.kind or "", "coil")  # fmt: skip
    sections = f"{facts.sections}-gang" if facts.sections else ""
    known = ((facts.frequency, "Hz"), (facts.inductance, "H"), (facts.capacitance_high, "F"))
    figures = [say(value, unit) for value, unit in known if value]
    return " ".join(word for word in (noun, sections, *figures) if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using it: the figure that its kind is chosen by."""
    facts: CoilFacts = item.facts
    figure = FIGURE.get(facts.kind or "RF", "inductance")
    read = item.readings.get(figure) or item.readings.get("capacitance" if figure == "capacitance_high" else figure)
    winding = item.readings.get("resistance")
    value = read.value if read else getattr(facts, figure)
    spread = read.uncertainty if read else 0.0
    offers = {
        "figure": value, "figure_low": None if value is None else max(value - spread, value * 1e-3),
        "figure_high": None if value is None else value + spread, "measured": float(read is not None),
        "kind": facts.kind or "", "sections": None if facts.sections is None else float(facts.sections),
        "winding": winding.value if winding else None, "condition": item.condition,
    }  # fmt: skip
    return [Option("", offers)]


@cache
def _reader(position: str) -> Callable[[str], list[Understood]]:
    """Return a reader of the dead part's marking: where its words do not name it (``2x500pF``), the position does."""
    word = {"IF": "if", "RF": "rf", "tuning-gang": "gang"}.get(position, position)
    return lambda text: read_coil(text) or read_coil(f"{word} {text}")


def need(request: Request) -> Need:
    """Build the need from the dead part's marking, else from what is usual; the set's IF is on its data or dial."""
    rules, position = load_rules("coil"), request.position
    draft = Draft()
    marked = marking(request, draft, _reader(position), sentence(CoilFacts))
    figure = FIGURE[position]
    unit = UNITS[figure]
    wanted = float(marked.get(figure, rules.of(position, "usual")))
    draft.put("figure", wanted, unit, "the dead one" if figure in marked else "usual")
    if figure not in marked:
        draft.put("assumed", True, "", "not known")
        draft.assume(f"{say(wanted, unit)} is only usual: the dead part's mark, the set's data or a reading says it")
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        draft.put(name, (low * wanted, high * wanted), unit, f"{low:g} to {high:g} times")
    if "sections" in marked:
        draft.put("sections", float(marked["sections"]), "-", "the dead one")
    origin = draft.fields["figure"].origin
    headline = (
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{say(wanted, unit)} ({origin}){dead_part(request)}",
    )
    return Need(
        "coil", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions), headline
    )


def search(need: Need) -> Search:
    """Say what is asked of the search keys: the figure of the kind; where it is only usual, any."""
    low, high = need.window("care")
    ideal = need.number("figure")
    return Search(1e-15, 1e12, ideal) if need.has("assumed") else Search(low, high, ideal)


def _unit(need: Need) -> str:
    return UNITS[FIGURE[need.position]]


# ---- checks


def _figure(need: Need, c: Columns) -> Ruling:
    whole = (c["measured"] == 1.0) & bool(need.rules.of(need.position, "critical"))
    ruling = within(c["figure"], c["figure_low"], c["figure_high"], whole, need.window("fits"), need.window("care"))
    if need.has("assumed"):
        ruling.outcome[:] = Outcome.UNKNOWN
    return ruling


def _say_figure(need: Need, f: Finding, row: Row) -> str:
    unit = _unit(need)
    has, wanted = say(row["figure"], unit), span(*need.window("fits"), unit)
    if need.has("assumed"):
        has = "figure not known" if f.verdict == "unknown" and math.isnan(row["figure"]) else has
        return f"{has}; {wanted} is usual, what the set wants is not known"
    if f.verdict == "unknown":
        return f"figure not known, {wanted} wanted"
    again = (
        ": realign" if f.verdict == "thin" else ": out of reach of cores and trimmers" if f.verdict == "fail" else ""
    )
    return f"{has}, {wanted} wanted{again}"


def _same_kind(need: Need, c: Columns) -> Ruling:
    return one_of(c["kind"], good=frozenset({need.position}), needed=need.position)


def _say_kind(need: Need, f: Finding, row: Row) -> str:
    return (
        f"kind not known, {need.position} wanted"
        if f.verdict == "unknown"
        else f"{row['kind']}, {need.position} wanted"
    )


def _sections(need: Need, c: Columns) -> Ruling | None:
    if not need.has("sections"):
        return None
    wanted = np.full(len(c["sections"]), need.number("sections"))
    with np.errstate(invalid="ignore"):
        return Ruling(
            outcomes(len(wanted), fail=c["sections"] < wanted, unknown=np.isnan(c["sections"])), c["sections"], wanted
        )


def _say_sections(need: Need, f: Finding, row: Row) -> str:
    wanted = f"{need.number('sections'):.0f}"
    return (
        f"sections not known, {wanted} wanted"
        if math.isnan(row["sections"])
        else f"{row['sections']:.0f} sections, {wanted} wanted"
    )


def _whole(need: Need, c: Columns) -> Ruling | None:
    """A used winding is read: open ones look sound."""
    if need.position in ("tuning-gang", "trimmer"):
        return None
    used = np.array([word != "new" for word in c["condition"]], dtype=bool)
    most = float(need.rules.general("winding_open"))
    with np.errstate(invalid="ignore"):
        open_ = c["winding"] > most
    return Ruling(
        outcomes(len(used), fail=open_, unknown=used & np.isnan(c["winding"])), c["winding"], np.full(len(used), most)
    )


def _say_whole(need: Need, f: Finding, row: Row) -> str:
    most = say(need.rules.general("winding_open"), "ohm")
    if f.verdict == "unknown":
        return "used: windings not read"
    if math.isnan(row["winding"]):
        return "new"
    return f"winding {say(row['winding'], 'ohm')}, up to {most} is whole" + (
        ": open or corroded" if f.verdict == "fail" else ""
    )


CHECKS = (
    Check("COI01", "figure", "practice", ("figure", "figure_low", "figure_high", "measured"), _figure, _say_figure,
          missing=Missing.MEASURE, reading="figure"),
    Check("COI02", "kind", "practice", ("kind",), _same_kind, _say_kind, missing=Missing.LOOK, reading="kind",
          may=("pass", "unknown", "fail")),
    Check("COI03", "sections", "practice", ("sections",), _sections, _say_sections, missing=Missing.LOOK, reading="kind",
          may=("pass", "unknown", "fail")),
    Check("COI04", "winding", "practice", ("winding", "condition"), _whole, _say_whole, unit="ohm", missing=Missing.MEASURE,
          reading="winding", may=("pass", "unknown", "fail")),
)  # fmt: skip


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to read."""
    window, most = span(*need.window("fits"), _unit(need)), say(need.rules.general("winding_open"), "ohm")
    how = {
        "frequency": "signal generator through 10 pF, meter across the secondary: peak with the cores at half",
        "inductance": "LCR meter, leads short, the core where it was",
        "capacitance_high": "LCR meter, vanes fully in, leads short",
    }[FIGURE[need.position]]
    table = {
        "figure": ("the figure", how, window, "LCR"),
        "kind": ("what it is", "leads, can, vanes: look", need.rules.of(need.position, "title"), "eyes"),
        "winding": ("windings", "meter across each, wires off", f"under {most} each", "meter"),
    }
    if reading not in table:
        return None
    name, connect, passes, instrument = table[reading]
    return Card(reading, name, connect, passes, instrument=instrument)


def buy(need: Need) -> str:
    """Return what to look for: new ones are hardly made."""
    return f"{need.rules.of(need.position, 'title')} {say(need.number('figure'), _unit(need))}, from a donor"


_IF = {"position": "IF", "text": "IFT 465 kHz", "facts": ()}
_GANG = {"position": "tuning-gang", "text": "2 gang 500pF", "facts": ()}
EXAMPLES = (
    Example("as the dead one", {"kind": "IF", "frequency": 465e3}, _IF, {"COI01": "pass", "COI02": "pass", "COI04": "pass"}),
    Example("455 for 465", {"kind": "IF", "frequency": 450e3}, _IF, {"COI01": "thin"}),
    Example("another kind, another frequency", {"kind": "oscillator", "inductance": 1e-4}, _IF, {"COI01": "fail", "COI02": "fail"}),
    Example("nothing known", {}, _IF, {"COI01": "unknown", "COI02": "unknown", "COI04": "unknown"}, condition="salvaged"),
    Example("open", {"kind": "IF", "frequency": 465e3}, _IF, {"COI04": "fail"}, condition="salvaged",
            readings={"resistance": Measured(2e3)}),
    Example("two sections", {"kind": "tuning-gang", "capacitance_high": 500e-12, "sections": 2}, _GANG, {"COI03": "pass"}),
    Example("one section", {"kind": "tuning-gang", "capacitance_high": 500e-12, "sections": 1}, _GANG, {"COI03": "fail"}),
    Example("sections not known", {"kind": "tuning-gang", "capacitance_high": 500e-12}, _GANG, {"COI03": "unknown"}),
)  # fmt: skip

FAMILY = Family(
    "coil",
    CoilFacts,
    Keys("figure", "figure_low", "figure_high", "sections",
         (("kind", KINDS), ("measured", (math.nan, 0.0, 1.0)), ("condition", ("", *CONDITIONS)))),
    options,
    need,
    search,
    CHECKS,
    title,
    read_coil,
    readings=(Reading("frequency", "Hz", "frequency of the peak"), Reading("inductance", "H", "inductance"),
              Reading("capacitance", "F", "largest capacitance"), Reading("resistance", "ohm", "worst winding")),
    cards=cards,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"kind", "condition"}),
)  # fmt: skip
