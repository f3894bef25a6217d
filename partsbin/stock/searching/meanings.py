"""What words of the trade mean in the words of titles: ``Elko`` is electrolytic, ``Netztrafo`` mains, ``NOS`` unused."""

from __future__ import annotations

from functools import cache

from partsbin.notation.vocabulary import CAPACITOR, CONDITION, TRANSFORMER

FAMILY = "/"
"""Begins the word of a family in the index."""

_FAMILIES = {
    "capacitor": "cap condenser condensator kondensator kondensatoren",
    "resistor": "widerstand widerstaende",
    "potentiometer": "pot poti drehpoti",
    "transformer": "trafo transformator uebertrager",
    "choke": "drossel",
    "coil": "spule",
    "valve": "tube roehre roehren",
    "rectifier": "gleichrichter",
    "lamp": "bulb lampe birne",
    "fuse": "sicherung",
    "loudspeaker": "speaker lautsprecher",
    "switch": "schalter",
}
_TAKEN = (("material", CAPACITOR), ("condition", CONDITION), ("kind", TRANSFORMER))
_OTHERS: dict[str, tuple[str, ...]] = {
    "schichtwiderstand": ("film",),
    "drahtwiderstand": ("wirewound",),
    "kohle": ("carbon",),
    "selen": ("selenium",),
}
_TOO_PLAIN = frozenset(
    ("poly", "plastic", "pet", "old", "ex", "pull", "removed", "stripped", "cer", "glas", "electro", "elect")
)
"""Words that stand in notes about anything, or begin a word of several meanings."""


@cache
def meanings() -> dict[str, tuple[str, ...]]:
    """Return words of the index for each word of the trade that is none itself, folded.

    Examples
    --------
    >>> meanings()["elko"], meanings()["nos"], meanings()["poti"]
    (('electrolytic',), ('unused',), ('/potentiometer',))
    """
    from partsbin.stock.searching.words import fold

    found = dict(_OTHERS)
    for family, words in _FAMILIES.items():
        found |= dict.fromkeys(words.split(), (FAMILY + family,))
    for field, vocabulary in _TAKEN:
        for phrase, (name, value) in vocabulary.items():
            word, meant = fold(phrase), _plainest(str(value))
            if name == field and word.isalpha() and word != meant and word not in _TOO_PLAIN:
                found[word] = tuple(dict.fromkeys((*found.get(word, ()), meant)))
    return found


def _plainest(value: str) -> str:
    """The word of a value that says most: polypropylene of film-polypropylene, unused of unused-old."""
    first, _, last = value.partition("-")
    return last if first in ("film", "paper") and last else first
