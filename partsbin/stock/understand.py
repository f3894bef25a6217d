"""What one row of a list means: its family, its facts, what is doubtful. The same cells mean the same, so each are read once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from operator import itemgetter
from typing import Any

from partsbin import families
from partsbin.families import Family, load
from partsbin.families._declare import Facts, unit_of
from partsbin.notation.condition import state_of
from partsbin.notation.reading import Reading
from partsbin.reference.valves import valve
from partsbin.stock.columns import DESIGNATOR, VALUE
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.counted import count_in
from partsbin.stock.describe import (
    TRADE_FAMILIES,
    broken,
    facts_from,
    family_by_designator,
    family_by_words,
    named_family,
    part_fields,
    read_as,
    readings_of,
)
from partsbin.stock.designators import designated
from partsbin.stock.lists import Cells
from partsbin.stock.lying import LYING
from partsbin.stock.row import Fault, Row, fields_of, spoken, with_unit
from partsbin.stock.sections import NONE, Section, shared
from partsbin.stock.where_used import value_alone

KEPT = 16_384
"""Rows of different meaning that are remembered while a list is read [-]."""

ALIKE = 0.95
"""Share of the rows whose family is known that must be of one, before the list is taken for a list of that family [-]."""


@dataclass(frozen=True, slots=True)
class Understood:
    """What the cells of a row that speak of the part itself say.

    Parameters
    ----------
    family : str
        "" where none was recognised.
    text : str
        What the row says in trade notation.
    fields, lying : mapping
        Marked facts by name, and what the text says of the part as it lies.
    facts : Facts or None
        The same, validated; None where the row is not of a family kept here, or a fact cannot be.
    title : str
        In trade notation.
    notes : tuple of str
        What was assumed, contradicts or was not understood.
    sure : bool
        False where something was assumed that could well be otherwise.
    faults : tuple of Fault
        What is wrong with cells.
    """

    family: str
    text: str
    fields: Mapping[str, Any]
    lying: Mapping[str, Any]
    facts: Facts | None
    title: str
    notes: tuple[str, ...]
    sure: bool
    faults: tuple[Fault, ...]


class Reader:
    """Understands the rows of one list.

    Parameters
    ----------
    cells : Cells
        The list.
    mapping : Mapping
        What its columns are.
    """

    def __init__(self, cells: Cells, mapping: ColumnMap) -> None:
        self.cells, self.mapping = cells, mapping
        self.kept = frozenset(families.names())
        self.units = {name: unit_of(info) for kept in self.kept for name, info in load(kept).facts.model_fields.items()}
        self.filled = [role for role in mapping.where if role in self.units]
        speaking = [index for index, column in enumerate(mapping.columns) if column.role and column.role not in LYING]
        self.speaking: Callable[[Sequence[str]], tuple[str, ...]] = _picker(speaking)
        self.places = speaking
        self.usual = ""
        self.readings: Callable[[str, str], list[Reading]] = lru_cache(KEPT)(_readings)
        self.family_of: Callable[[str], str] = lru_cache(KEPT)(_family_of)
        self.meaning: Callable[[tuple[str, ...], Section], Understood] = lru_cache(KEPT)(self._meaning)

    def look_at(self, rows: Sequence[Sequence[str]]) -> None:
        """Learn from the first rows whether the list is one of a single family: of what says nothing else, it is one more."""
        if DESIGNATOR in self.mapping.where or "family" in self.mapping.where:
            return
        found = Counter(self.understand([*row, *[""] * len(self.mapping.columns)]).family for row in rows)
        named = sum(found.values()) - found.pop("", 0)
        family, most = found.most_common(1)[0] if found else ("", 0)
        if most >= ALIKE * named and most >= len(rows) / 2:
            self.usual = family
            self.meaning = lru_cache(KEPT)(self._meaning)

    def understand(self, values: Sequence[str], section: Section = NONE) -> Understood:
        """Return what the cells of a row mean, under what headings; they are as many as the headings, or more."""
        return self.meaning(self.speaking(values), section)

    def _meaning(self, said: tuple[str, ...], section: Section) -> Understood:
        values = [""] * len(self.mapping.columns)
        for index, cell in zip(self.places, said, strict=True):
            values[index] = cell
        row = Row(self.cells, self.mapping, 0, values)
        if bullet := _BULLET.match(row.cell("description")):
            values[row.where["description"]] = row.cell("description")[bullet.end() :]
            for index in self.mapping.descriptions[1:]:
                values[index] = ""
        if DESIGNATOR not in row.where and (labelled := _LABEL.match(row.cell("description"))):
            row.label = labelled[1]
            values[row.where["description"]] = row.cell("description")[labelled.end() :]
            for index in self.mapping.descriptions[1:]:
                values[index] = ""  # all of them are in the first now
        name, text = self._family(row, section.family)
        if not name and self.usual and _CODE.match(text):
            return self._like_the_rest(row, section)
        if name not in self.kept:
            if name and name not in TRADE_FAMILIES:
                fault = Fault("CSV-FAMILY", "family", f"{name!r} is no family", f"one of {', '.join(TRADE_FAMILIES)}")
                return Understood("", text, {}, {}, None, "", (), False, (fault,))
            note = f"{name}: not a family of this version" if name else "no family recognised"
            return Understood(name, text, {}, {}, None, "", (note,), False, ())
        return self._of_family(load(name), row, section)

    def _of_family(self, family: Family, row: Row, section: Section, called: str = "") -> Understood:
        parts = spoken(row, self._foreign(family))
        text = " ".join(parts.values())
        beside = " ".join(filter(None, (with_unit(row, role, unit) for role, unit in self._own(family))))
        marked = family_by_designator(row.cell(DESIGNATOR)) == family.name
        fields, notes, sure = self._described(family, text, beside, called, designated=marked)
        notes += self._between(family, parts)
        own_columns, doubts, faults = fields_of(row, family, text)
        notes += [*doubts, *_against(family, fields, own_columns)]
        above = shared(section, family.name) if fields or own_columns else {}
        if above or (section.place and not row.cell("place")):
            notes.append(f"under {', '.join(filter(None, (*section.texts, section.place)))!r}")
        if "count" not in fields and "count" not in row.where and (group := designated(row.cell(DESIGNATOR))) > 1:
            fields["count"] = group
        own, lying = part_fields({**above, "place": section.place, **fields, **own_columns}, family)
        facts, wrong = facts_from(family, own)
        for said in wrong:
            column, _, why = said.partition(": ")
            faults.append(Fault("CSV-VALUE", column, f"{row.cell(column) or text!r}: {why}"))
        state = state_of(text, family.name)
        if state.wear:
            lying["worn"] = True
        if damage := ", ".join(state.damage):
            faults.append(
                Fault("CSV-BROKEN", "description", f"{text!r}: {broken(damage)}", "leave the word out if it is whole")
            )
        title = family.title(facts) if facts is not None else ""
        doubted = any(note.startswith(_DOUBT) for note in notes)
        return Understood(
            family.name, text, own, lying, facts, title, tuple(notes), sure and not (doubted or doubts), tuple(faults)
        )

    def _like_the_rest(self, row: Row, section: Section) -> Understood:
        found = self._of_family(load(self.usual), row, section, self.usual)
        return replace(found, notes=(*found.notes, f"taken for a {self.usual}, like the rest of the list"), sure=False)

    def _foreign(self, family: Family) -> list[tuple[str, str]]:
        """Field columns that are none of this family's: what stands in them is said of the part all the same."""
        return [(role, self.units[role]) for role in self.filled if role not in family.facts.model_fields]

    def _own(self, family: Family) -> list[tuple[str, str]]:
        """Columns of numbers that are fields of the family, and their units; a size says nothing of a value."""
        own = family.facts.model_fields
        return [(role, self.units[role]) for role in self.filled if self.units[role] not in ("", "m") and role in own]

    def _family(self, row: Row, above: str) -> tuple[str, str]:
        """The family that the row names; else by its designator, its words, the heading above, its columns, what it says."""
        text = " ".join(spoken(row, [(role, self.units[role]) for role in self.filled]).values())
        if (called := row.cell("family")) and (self.mapping.own or named_family(called)):
            return named_family(called) or called.lower(), text
        designated = family_by_designator(row.cell(DESIGNATOR))
        worded = family_by_words(" ".join((row.cell("description"), row.cell(VALUE), row.cell("family"))))
        if (
            designated
            and worded
            and designated != worded
            and (designated in _LOOSE_LETTERS or _called_otherwise(designated, worded, text))
        ):
            return worded, text  # letters that lists use for several things give way to the words beside them
        if designated or worded:
            return designated or worded, text
        fields = {role for role in self.filled if row.cell(role)}
        if above and (
            (text and self.readings(above, text)) or self._telling(fields) & {*load(above).facts.model_fields}
        ):
            return above, text
        if self._telling(fields):
            having = [name for name in self.kept if fields <= set(load(name).facts.model_fields)]
            if len(having) == 1:
                return having[0], text
        called = row.cell(VALUE) or row.cell("description")
        if row.cell(DESIGNATOR) and (_EUROPEAN.fullmatch(called) or valve(called) is not None):
            return "valve", text  # whatever letter it stands under
        if row.cell(DESIGNATOR) or not re.search(r"[^\W\d_]", text):
            return "", text  # a bare number may be anything: a price, a date, a stock number
        return self.family_of(count_in(text)[0]) or self.family_of(text), text

    def _telling(self, fields: set[str]) -> set[str]:
        """Columns that tell of which family a part is: volts, amperes and watts many have."""
        return {role for role in fields if self.units[role] not in ("V", "A", "W")}

    def _described(
        self, family: Family, text: str, beside: str, called: str, *, designated: bool = False
    ) -> tuple[dict[str, Any], list[str], bool]:
        """Read the text; a rating alone is understood beside the value that has a column of its own."""
        if not text:
            return {}, [], True
        found = self.readings(family.name, text) or (self.readings(family.name, f"{beside} {text}") if beside else [])
        if not found and "inductance" in family.facts.model_fields and _HENRYS.fullmatch(text):
            found = self.readings(family.name, f"{text}H")
        if not found and designated:
            found = value_alone(family.name, text, lambda said: self.readings(family.name, said))
        scanned = self._scanned(family, text, found)
        found, counted, many = self._counted(family, text, found) if scanned is None else (scanned, {}, [])
        if not found and called:
            beside_name = self.readings(family.name, f"{called} {text}")
            found = [reading for reading in beside_name if not reading.rest]  # half a designation is another type
        if not found:
            return {}, [f"{text!r}: not understood"], False
        first = found[0]
        notes = [*first.told(), *many]
        if len(found) > 1:
            notes.append(f"{len(found)} readings, the first is taken: look at the part")
        return {**first.fields, **counted}, notes, first.sure and len(found) == 1 and not (many and not counted)

    def _scanned(self, family: Family, text: str, found: list[Reading]) -> list[Reading] | None:
        """Read 1OOK and 4OOV as a scanner or a typist meant them, where they are not understood as they stand."""
        if (found and not found[0].rest) or family.name not in _OF_FIGURES:
            return None
        mended = _LIKE_ONE.sub("1", _LIKE_NOUGHT.sub(lambda letters: "0" * len(letters[0]), text))
        again = self.readings(family.name, mended) if mended != text else []
        if not again or (found and len(again[0].rest) >= len(found[0].rest)):
            return None
        note = f"{text!r}: letters between figures read as 0 and 1"
        return [replace(reading, sure=False, notes=(*reading.notes, note)) for reading in again]

    def _counted(
        self, family: Family, text: str, found: list[Reading]
    ) -> tuple[list[Reading], dict[str, Any], list[str]]:
        """Take a count that the family does not read out of the text, where it reads the rest as well or better."""
        clean = len(found) == 1 and not found[0].rest and found[0].sure
        if clean and ("count" in found[0].fields or "count" in self.mapping.where):
            return found, {}, []
        bare, said = count_in(text)
        if said.many:
            again = self.readings(family.name, bare)
            better = again and (not found or (len(again), len(again[0].rest)) < (len(found), len(found[0].rest)))
            if better or (clean and again and again[0].fields == found[0].fields):
                return again, {"count": said.many}, [said.note] if said.note else []
        return found, {}, [said.note] if said.note else []

    def _between(self, family: Family, parts: Mapping[str, str]) -> list[str]:
        """Cells of one row that say different things, in words."""
        said: dict[str, tuple[str, Any]] = {}
        notes = []
        for role, text in parts.items() if len(parts) > 1 else ():
            found = self.readings(family.name, text) or self.readings(family.name, f"{parts.get(VALUE, '')} {text}")
            for name, value in found[0].fields.items() if len(found) == 1 else ():
                other, before = said.setdefault(name, (text, value))
                if name in family.facts.model_fields and _differs(before, value):
                    notes.append(f"{_DOUBT} of {name}: {other!r}, but {text!r} as {role}")
        return notes


_LOOSE_LETTERS = ("valve", "transformer", "rectifier", "coil")
_OF_FIGURES = frozenset({"capacitor", "resistor", "potentiometer", "choke", "coil", "fuse", "lamp"})
_LIKE_NOUGHT = re.compile(r"(?<=[0-9])[Oo]+(?=[0-9.,KkMVvRWuµnp\s]|$)|(?<![^\s/])[Oo](?=[.,][0-9])")
_LIKE_ONE = re.compile(r"(?<![^\s/])[lI](?=[0-9.,]*[0-9])")
"""Letters that stand for figures in texts that were scanned or typed on old machines; common practice, no source."""

_NAMED = {
    ("resistor", "potentiometer"): re.compile(
        r"(?i)potentiomet|\bpot\b|\bpoti\b|preset|\b(?:anti)?log\b|\blin\b|drehpot|(?:dreh|regel|einstell)widerst|variable resistor"
        r"|(?<!\bto )(?<!\bthe )(?<!\bfrom )(?<!\bof )\b(?:volume|tone|gain) control"
    ),
    ("capacitor", "coil"): re.compile(r"(?i)\bgang\b|drehko|trimmer|trimmkond|tuning (?:cond|cap)"),
    ("potentiometer", "lamp"): re.compile(r"(?i)\b(?:lamp|bulb)s?\b"),
}
"""Words that say what a part is whatever letter it stands under: controls are drawn as R, gangs as C, pilot lamps as P."""


def _called_otherwise(designated: str, worded: str, text: str) -> bool:
    words = _NAMED.get((designated, worded))
    return words is not None and words.search(text) is not None


_EUROPEAN = re.compile(r"[DEPU][ABCDEFHKLMYZ]{1,3}\d{1,3}")
"""Heater, systems, base and number: the type of a receiving valve."""

_CODE = re.compile(r"[^=+\-@]*\d")
"""What may be the type of a part that is known by its type only: ``Total`` is none."""

_HENRYS = re.compile(r"\d+(?:[.,]\d+)?\s?[munµ]")
"""The value of a coil as drawing programs write it, its unit left out."""

_BULLET = re.compile(r"(?:[-*•–]|\d{1,3}[.)])\s+")
_LABEL = re.compile(
    r"((?:C|R|RV|VR|L|D|V|T|TR|Q|U|F|S|SW|LS|CH|P)\d{1,4}[a-z]?(?:\s*[,;/&+–-]\s*[A-Z]{0,3}\d{1,4}[a-z]?)*)\s*[:=]\s+"
)
"""A designator before a description: ``R2, R3: 1M``."""

_DOUBT = "the row contradicts itself"


def _against(family: Family, described: Mapping[str, Any], columns: Mapping[str, Any]) -> list[str]:
    """Columns of our own against the text beside them: the column stands, the difference is said."""
    return [
        f"{_DOUBT} of {name}: its column stands against the text"
        for name, value in columns.items()
        if name in described and _differs(described[name], value)
    ]


def _differs(first: Any, second: Any) -> bool:
    if isinstance(first, (int, float)) and isinstance(second, (int, float)):
        return abs(first - second) > 1e-6 * max(abs(first), abs(second))
    return (
        isinstance(first, str)
        and isinstance(second, str)
        and not (second.startswith(first) or first.startswith(second))
    )


def _readings(name: str, text: str) -> list[Reading]:
    return read_as(load(name), text)


def _family_of(text: str) -> str:
    found = readings_of(text)
    return found[0].family if found else ""


def _picker(places: Sequence[int]) -> Any:
    """Pick cells as a tuple, as `itemgetter` does with several only."""
    return itemgetter(*places) if len(places) > 1 else lambda values: tuple(values[index] for index in places)
