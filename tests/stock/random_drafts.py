"""Random parts of any family, made from nothing but its declaration."""

from __future__ import annotations

from typing import Any

from annotated_types import Ge, Gt, Le
from hypothesis import strategies as st
from pydantic.fields import FieldInfo

from partsbin.families import load, names
from partsbin.families._declare import CONDITIONS, Facts, Item, Measured, child_type, plain_type
from partsbin.stock.catalogue import Draft, NewReading

TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20)


def _bound(info: FieldInfo, kind: type, name: str) -> Any:
    return next((getattr(mark, name) for mark in info.metadata if isinstance(mark, kind)), None)


def _number(info: FieldInfo) -> st.SearchStrategy[float]:
    above, least, most = _bound(info, Gt, "gt"), _bound(info, Ge, "ge"), _bound(info, Le, "le")
    bottom = least if above is None else above
    return st.floats(bottom, most, exclude_min=above is not None, allow_nan=False, allow_subnormal=False)


def _whole_number(info: FieldInfo) -> st.SearchStrategy[int]:
    above, least, most = _bound(info, Gt, "gt"), _bound(info, Ge, "ge"), _bound(info, Le, "le")
    return st.integers(least if above is None else int(above) + 1, most)


def _field(info: FieldInfo) -> st.SearchStrategy[Any]:
    child = child_type(info.annotation)
    if child is not None:
        return st.lists(facts_of(child), max_size=3).map(tuple)
    kind, words = plain_type(info.annotation)
    if words:
        return st.none() | st.sampled_from(words)
    made: dict[type, st.SearchStrategy[Any]] = {
        bool: st.booleans(),
        str: TEXTS,
        int: _whole_number(info) if kind is int else st.nothing(),
        float: _number(info) if kind is float else st.nothing(),
    }
    return st.none() | made[kind]


def facts_of(model: type[Facts]) -> st.SearchStrategy[Facts]:
    """Return facts of a model: any field unknown, or anything that its bounds allow."""
    fields = {name: _field(info) for name, info in model.model_fields.items()}
    return st.fixed_dictionaries(fields).map(model.model_validate)


@st.composite
def readings_of(draw: st.DrawFn, name: str) -> tuple[NewReading, ...]:
    """Return measurements of a family's quantities, of the part or of one of its sections or pairs."""
    quantities = load(name).readings
    made = []
    for known in draw(st.lists(st.sampled_from(quantities), max_size=3)) if quantities else ():
        value = draw(st.floats(1e-12, 1e9))
        subject = draw(st.sampled_from(["", "@1", "@2"]))
        volts = draw(st.none() | st.floats(1, 1000))
        share = draw(st.floats(0, 0.5))
        conditions = {} if volts is None else {"volts": volts}
        made.append(NewReading(known.name + subject, value, known.unit, value * share, conditions))
    return tuple(made)


@st.composite
def drafts(draw: st.DrawFn) -> Draft:
    """Return a part of any family, with anything that may stand beside its facts."""
    name = draw(st.sampled_from(names()))
    return Draft(
        name,
        draw(facts_of(load(name).facts)),
        title=draw(st.just("") | TEXTS),
        condition=draw(st.sampled_from(["", *CONDITIONS])),
        count=draw(st.integers(0, 2_000_000)),
        rough=draw(st.booleans()),
        marking=draw(st.just("") | TEXTS),
        place=draw(st.sampled_from(["", "drawer E4", "box T2"])),
        donor=draw(st.sampled_from(["", "D-001", "D-002"])),
        maker=draw(st.just("") | TEXTS),
        date_code=draw(st.sampled_from(["", "57/3"])),
        year=draw(st.none() | st.integers(1900, 2100)),
        lead_style=draw(st.sampled_from(["", "axial"])),
        note=draw(st.just("") | TEXTS),
        donor_lineup=draw(st.sampled_from(["", "ECH81 EL84 EZ80", "2xEL84"])),
        readings=draw(readings_of(name)),
    )


SAID = TEXTS | st.sampled_from(
    ("22 nF 630 V film-polypropylene", "16-16-8 µF/450 V can", "ECC83 EL84", "Übertrager, groß", "N.O.S. 57/3", "0.5W, 700W ±10%",
     "from P-0042", "3 in drawer R7", "6V6GT 45:1", "18 x 35 mm", "TB009-508-05BE")
)  # fmt: skip
"""What may be written on a part or about it."""


@st.composite
def said_drafts(draw: st.DrawFn) -> Draft:
    """Return a capacitor of which nothing is known but what is said of it."""
    said: dict[str, Any] = {
        name: draw(st.just("") | SAID) for name in ("marking", "place", "donor", "maker", "note", "date_code")
    }
    return Draft("capacitor", load("capacitor").facts.model_validate({"capacitance": 1e-9}), title=draw(SAID), **said)


def item_of(draft: Draft, lineup: str) -> Item:
    """Return a draft as its family sees it, with the valves of its donor."""
    measured = {r.quantity: Measured(r.value, r.uncertainty, r.conditions) for r in draft.readings}
    return Item(draft.facts, draft.condition, measured, lineup, draft.marking, draft.year)
