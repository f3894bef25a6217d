"""What headings of lists mean: our own names, the words of other people's lists, English and German, and slips of them."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import NamedTuple

from rapidfuzz import fuzz, process

PART_COLUMNS = (
    "part",
    "family",
    "title",
    "description",
    "count",
    "condition",
    "place",
    "donor",
    "donor_lineup",
    "marking",
    "maker",
    "date_code",
    "year",
    "lead_style",
    "note",
    "readings",
)
"""Columns of our own that every family has."""

DESIGNATOR, VALUE, RATING, UNIT = "designator", "value", "rating", "unit"

NEAR = 88.0
"""Likeness from which a heading is a slip of a known one, of 100: one letter in eight [-]."""

_WORDS: dict[str, str] = {
    DESIGNATOR: "designator, designators, designation, reference, references, ref, refs, ref no, refdes, ref des, part ref,"
    " circuit ref, symbol, symbol no, symbol number, symbol designation, schematic, schematic no, schematic symbol, circuit symbol,"
    " ref symbol, schem no, bauteilnummer, referenz, bezeichner",
    VALUE: "value, values, val, wert, werte, nennwert, nominal, nominal value, bauteilwert",
    RATING: "rating, ratings, rated, characteristic, characteristics, kennwerte, daten, technical data, nenndaten, specs",
    "voltage": "voltage, volts, volt, v, vdc, working voltage, wv, wvdc, rated voltage, spannung, nennspannung,"
    " spannungsfestigkeit, betriebsspannung, wkg, u, un",
    "power": "power, watts, watt, wattage, w, rated power, leistung, belastbarkeit, belastung, nennleistung",
    "current": "current, amps, strom, nennstrom",
    "capacitance": "capacitance, capacity, kapazität, kap, kapaz, mfd, cap",
    "resistance": "resistance, ohms, ohm, widerstandswert",
    "inductance": "inductance, henries, induktivität",
    "tolerance": "tolerance, tol, toleranz",
    "dielectric": "dielectric, dielektrikum",
    "description": "description, desc, descr, bezeichnung, beschreibung, kennlinie, law, type description, item description,"
    " text, artikel, artikelbezeichnung, name, part name, marking and value, benennung, what, valve, tube, röhre, contents, content,"
    " inhalt, was, details, colours, colors, farben, bands, colour bands, farbringe, ringe",
    "count": "count, qty, qnty, quantity, quantities, quant, anzahl, menge, stück, stk, stückzahl, amount, no off, number off, pcs,"
    " pieces, in stock, stock, on hand, bestand, vorrat, how many, anz, n, st, holding, lagerbestand, wieviel, wie viele",
    "place": "place, location, storage, storage location, drawer, box, bin, shelf, cabinet, ort, lagerort, lagerplatz, schublade,"
    " fach, kiste, regal, where, wo",
    "condition": "condition, zustand, state, new or used",
    "maker": "maker, manufacturer, make, mfr, mfg, hersteller, vendor, mfn, brand, marke, fabrikat",
    "note": "note, notes, remark, remarks, bemerkung, bemerkungen, anmerkung, anmerkungen, hinweis, notiz, notizen",
    "donor": "donor, chassis, spender, from set, from chassis, source set, herkunft, woher, aus gerät, spendergerät",
    "marking": "marking, marked, printed, aufdruck, beschriftung",
    "date_code": "date code, datecode, datumscode",
    "year": "year, jahr, baujahr",
    "readings": "readings, measured, messwerte, gemessen",
    "lead_style": "lead style, leads, anschlüsse",
    "family": "family",
}
_ROLE_OF = {word.strip(): role for role, words in _WORDS.items() for word in words.split(",")}
_LONG = tuple(word for word in _ROLE_OF if len(word) > 3)
"""Words long enough that a slip of one is still no other."""

OPEN = {
    "type": ("family", VALUE, "description"), "typ": ("family", VALUE, "description"), "comment": (VALUE, "description"),
    "comments": (VALUE, "description"), "kommentar": (VALUE, "description"), "part": ("part", DESIGNATOR, VALUE, "description"),
    "parts": (DESIGNATOR, VALUE, "description"), "teil": (DESIGNATOR, VALUE, "description"), "device": ("description",),
    "item": (DESIGNATOR, VALUE, "description"), "bauform": ("description",), "pos": (DESIGNATOR,), "position": (DESIGNATOR,),
    "component": (DESIGNATOR, VALUE, "description"), "bauteil": (DESIGNATOR, VALUE, "description"),
    "number": ("count",), "unit": (UNIT, "count"), "units": (UNIT, "count"), "einheit": (UNIT, "count"),
    "specification": (RATING, VALUE, "description"), "spec": (RATING, VALUE, "description"),
    **dict.fromkeys(
        ("kind", "kind of part", "category", "kategorie", "class", "klasse", "bauteilart", "gruppe", "group", "art", "part type",
         "component type", "subcategory", "style"),
        ("family", "safety_class", VALUE, "description"),
    ),
}  # fmt: skip
"""Headings that lists use for several things: the contents decide, else the last of these where nothing else has that role."""

OURS_ALONE = frozenset({"part", "kind", "size", "standard", "base", "thread", "action", "ways", "position"})
"""Our own names that other people's lists use for other things: ours in a list only that names the family as well."""

_MONEY = re.compile(r"(?i)[€$£¥]|\b(?:price|cost|preis|eur|usd|gbp|betrag)\b")
"""What a heading about money holds: ``€ value`` is no value of a part."""

_UNIT = re.compile(r"(.*?)(?:\s*[(\[]\s*([^()\[\]]*)\s*[)\]]|\s+in\s+(\S+)|\s*/\s*([^\s/]+))\s*")
_UNITS = {
    "pf": "pF", "nf": "nF", "µf": "µF", "uf": "µF", "mfd": "µF", "ω": "Ω", "ohm": "Ω", "ohms": "Ω", "kω": "kΩ", "kohm": "kΩ",
    "k": "kΩ", "mω": "MΩ", "mohm": "MΩ", "v": "V", "volt": "V", "volts": "V", "vdc": "V DC", "v dc": "V DC", "vac": "V AC",
    "v ac": "V AC", "kv": "kV", "w": "W", "watt": "W", "watts": "W", "a": "A", "ma": "mA", "µa": "µA", "h": "H", "mh": "mH",
    "µh": "µH", "uh": "µH", "mm": "mm", "%": "%", "hz": "Hz", "khz": "kHz", "mhz": "MHz",
}  # fmt: skip
_MEASURED_IN = (
    ("F", "capacitance"), ("Ω", "resistance"), ("H", "inductance"), ("V", "voltage"), ("V DC", "voltage"), ("V AC", "voltage"),
    ("W", "power"), ("mA", "current"), ("%", "tolerance"),
)  # fmt: skip
"""What a unit alone tells of a column, by its end."""
_RATES = frozenset({"voltage", "power", "current", "tolerance", RATING})
_JOINED = re.compile(r"(?i)\s*[/,&+]\s*|\s+(?:or|and|oder|und|bzw\.?)\s+")
"""What joins the names of a column that serves parts of several kinds: ``Volts/Watts``."""
_NO_HEADINGS = frozenset({"k", "h", "a", "%"})
"""Units that as a heading of their own may be anything."""
_COUNTING = frozenset(
    {
        "stock",
        "qty",
        "quantity",
        "quantities",
        "count",
        "anzahl",
        "menge",
        "bestand",
        "pcs",
        "pieces",
        "available",
        "number",
    }
)
_BESIDE_COUNT = frozenset({
    "in", "of", "on", "the", "hand", "shelf", "have", "held", "left", "total", "now", "avail", "level", "approx", "ca", "off", "lager",
    "am", "im", "aktuell", "current", "we", "i",
})  # fmt: skip
"""Words of a heading that all speak of how many there are; ``Min stock``, ``Stock number`` and ``Order qty`` have others."""
_OTHERWISE = frozenset(
    {"min", "minimum", "reorder", "order", "ordered", "target", "mindestbestand", "soll", "bestellt", "bestellen"}
)
"""Words that make something else of the heading beside them."""
REMEMBERED = 1024
"""Headings whose meaning is remembered: any cell may be asked for one, and whoever serves a bench reads lists for years [-]."""

_SLIPS = 6
"""Letters from which a heading may be a slip of another: ``Date`` is no ``Daten`` [-]."""
_SHORT = 4
"""Letters of an abbreviation: with a unit behind it, the unit says what it means [-]."""

_QUALIFIERS = {
    "voltage": "wkg working max maximum rated nominal rating dc",
    "power": "max maximum rated nominal rating",
    "current": "max maximum rated nominal rating",
    "place": "no nr number nummer id",
    "tolerance": "max",
}
"""Words beside a known heading that leave its meaning as it is; ``Min stock`` is none of them."""


class Heading(NamedTuple):
    """What a heading means: a role or "", how like it is to a known one [%], and the unit that it names."""

    role: str
    likeness: float = 100.0
    unit: str = ""


def own_name(name: str) -> str:
    """Return a heading as our own names are written: ``Voltage DC`` is ``voltage_dc``."""
    return name.strip().lower().replace(" ", "_").replace("-", "_")


def plain(name: str) -> str:
    """Return the words of a heading."""
    return re.sub(r"[^a-z0-9äöüß]+", " ", name.lower()).strip()


def meaning(name: str, fields: Collection[str]) -> Heading:
    """Return what a heading means.

    Parameters
    ----------
    name : str
        As written; a unit may stand in brackets.
    fields : collection of str
        Field names of the families.

    Returns
    -------
    Heading
        The role is "" where the heading says nothing, or speaks of money.
    """
    return _meaning(name, _as_set(tuple(fields)))


@lru_cache(8)
def _as_set(fields: tuple[str, ...]) -> frozenset[str]:
    """One set for all headings: what is remembered of each holds it."""
    return frozenset(fields)


@lru_cache(REMEMBERED)
def _meaning(name: str, fields: frozenset[str]) -> Heading:
    if (own := _known(own_name(name), fields)) and not _MONEY.search(name):
        return Heading(own)
    if _MONEY.search(name):
        return Heading("", 0.0)
    if (alone := _unit(name)) and plain(name) not in _ROLE_OF and name.strip().lower() not in _NO_HEADINGS:
        return Heading(_measured_in(alone), 100.0 if _measured_in(alone) else 0.0, alone)
    if _rates_several(name):
        return Heading(RATING)
    bracket = _UNIT.fullmatch(name)
    unit = _unit(bracket[2] or bracket[3] or bracket[4] or "") if bracket else ""
    loose = bracket is not None and bracket[2] is None
    bare = bracket[1] if bracket and bracket[1].strip() and (unit or not loose) else name
    role = _known(own_name(bare), fields) or _ROLE_OF.get(plain(bare), "")
    if not role and unit and plain(bare) not in OPEN and (len(plain(bare)) <= _SHORT or unit[-1] in "FΩH"):
        role = _measured_in(unit)
    if role or plain(bare) in OPEN:
        return Heading(role, 100.0 if role else 0.0, unit)
    if role := _qualified(plain(bare).split()):
        return Heading(role, NEAR, unit)
    if len(plain(bare)) < _SLIPS or _OTHERWISE & {*plain(bare).split()}:
        return Heading("", 0.0, unit)
    near = process.extractOne(plain(bare), _LONG, scorer=fuzz.ratio, score_cutoff=NEAR)
    return Heading(_ROLE_OF[near[0]], near[1], unit) if near else Heading("", 0.0, unit)


def _rates_several(name: str) -> bool:
    """Whether a heading joins names of different ratings: ``Belastung/Spannung`` is of resistors and of capacitors."""
    parts = [plain(part) for part in _JOINED.split(re.sub(r"[(\[][^)\]]*[)\]]", "", name))]
    roles = {_ROLE_OF.get(part, "") or _qualified(part.split()) for part in parts}
    return len(roles) > 1 and roles <= _RATES


def _unit(text: str) -> str:
    return _UNITS.get(text.strip().lower().replace("μ", "µ").replace("ω", "ω"), "")


def is_unit(cell: str) -> bool:
    """Return whether a cell is a unit and nothing else."""
    return bool(_unit(cell)) or cell.lower() in ("f", "p", "n", "u", "µ", "m", "r")


def _measured_in(unit: str) -> str:
    return next((role for end, role in _MEASURED_IN if unit.endswith(end)), "")


def _qualified(words: Sequence[str]) -> str:
    """The role of a known heading among words that only qualify it."""
    counting = _COUNTING & {*words}
    if len(words) > 1 and counting and {*words} <= _COUNTING | _BESIDE_COUNT and words[-1] != "number":
        return "count"
    for role, qualifiers in _QUALIFIERS.items():
        rest = " ".join(word for word in words if word not in qualifiers.split())
        if rest and len(rest.split()) < len(words) and _ROLE_OF.get(rest) == role:
            return role
    return ""


def _known(own: str, fields: Collection[str]) -> str:
    return own if own in PART_COLUMNS or own in fields or own in (DESIGNATOR, VALUE, RATING) else ""


def known_in(row: Sequence[str], fields: Collection[str]) -> int:
    """Return how many known headings a row holds; single letters are too many things."""
    return len({cell for cell in row if len(plain(cell)) > 1 and meaning(cell, fields).role})


def is_heading(row: Sequence[str], header: Sequence[str]) -> bool:
    """Return whether a row holds the headings of another table: known ones, one of them the same as above, no figures."""
    filled = [cell for cell in row if cell]
    if len(filled) < 2 or not any(cell in header for cell in filled) or re.search(r"\d", "".join(filled)):
        return False
    if all(cell in header for cell in filled):
        return True  # the same headings in another order
    known = sum(plain(cell) in _ROLE_OF or plain(cell) in OPEN for cell in filled)
    return known > 1 and known > len(filled) / 2


def find_heading(rows: Sequence[Sequence[str]], fields: Collection[str]) -> int:
    """Return which of the first rows holds the headings: the one with the most known ones, else the first that is wide.

    Titles, dates and addresses often stand above them.
    """
    scores = [known_in(row, fields) for row in rows]
    best = max(scores, default=0)
    if best > 1 or (scores and scores[0] == best == 1):
        return scores.index(best)
    widths = [sum(map(bool, row)) for row in rows]
    usual = max(set(widths), key=lambda width: (widths.count(width), width), default=0)
    return next((index for index, width in enumerate(widths) if width >= min(2, usual)), 0)
