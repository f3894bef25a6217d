"""What a capacitor is made of, put together from the words that describe it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple


class Made(NamedTuple):
    """The dielectric ("" if the words do not say), what to note, and whether it is sure."""

    dielectric: str
    note: str = ""
    sure: bool = True


_MORE_EXACT = {
    "film": ("film-polyester", "film-polypropylene", "polystyrene"),
    "electrolytic": ("tantalum",),
    "paper": ("paper-metallised", "paper-waxed", "paper-moulded"),
    "ceramic": ("ceramic-1", "ceramic-2"),
}


_CERAMIC_CLASS = re.compile(r"(?i)\bceramic[- ](?:class[- ])?(1|2|ii?)\b|\bclass[- ](1|2|ii?) ceramic\b")


_FILM_TYPE = re.compile(r"(?i)\b(MK[CPST]|FK[CPST])-?[0-9]{1,4}(?![\w.,])")


def name_film(text: str) -> str:
    """Return a text with the number of a film type taken off, so that the letters are a word: what MKP10 is made of, MKP says.

    Examples
    --------
    >>> name_film("10n 1600V FKP1"), name_film("MKP10 0.01 1600")
    ('10n 1600V FKP', 'MKP 0.01 1600')
    """
    return _FILM_TYPE.sub(r"\1", text)


def spell_ceramic_class(text: str) -> str:
    """Return a text with the class of a ceramic as a word, so that it is no number.

    Examples
    --------
    >>> spell_ceramic_class("10n ceramic-2"), spell_ceramic_class("47p class I ceramic")
    ('10n ceramic two', '47p ceramic one')
    """
    return _CERAMIC_CLASS.sub(
        lambda found: "ceramic one" if (found[1] or found[2]).lower() in ("1", "i") else "ceramic two", text
    )


def dielectric_of(
    materials: Iterable[object], treatments: Iterable[object], shapes: Iterable[object], coefficient: str
) -> Made:
    """Put the words for material, treatment and shape together.

    Parameters
    ----------
    materials : iterable of words
        ``paper``, ``mica``, ``film-polyester`` …
    treatments : iterable of words
        ``waxed``, ``moulded``, ``metallised``, ``oil``.
    shapes : iterable of words
        ``disc``, ``tubular``, ``can``.
    coefficient : str
        ``ceramic-1`` or ``ceramic-2`` where a code says so, else "".

    Returns
    -------
    Made
        The dielectric in the words of the capacitor family.

    Examples
    --------
    >>> dielectric_of(["paper"], ["waxed"], [], "").dielectric
    'paper-waxed'
    """
    named, treated = {str(word) for word in materials}, {str(word) for word in treatments}
    for general, kinds in _MORE_EXACT.items():
        if named & set(kinds):
            named.discard(general)
    if coefficient:
        named.discard("ceramic")
        named.add(coefficient)
    if len(named) > 1:
        return Made("", f"the words name several dielectrics: {', '.join(sorted(named))}", False)
    if named - {"paper"}:
        return Made(next(iter(named)))
    return _paper(treated, bool(named)) or _by_shape("disc" in set(shapes))


def _paper(treated: set[str], named: bool) -> Made | None:
    """Paper and how it was treated; oil and wax say paper by themselves, moulding only probably."""
    if "oil" in treated:
        return Made("paper-oil")
    if "waxed" in treated:
        return Made("paper-waxed")
    if named and "metallised" in treated:
        return Made("paper-metallised")
    if "moulded" in treated:
        return Made(
            "paper-moulded",
            "" if named else "moulded, and no material named: paper assumed; mica was moulded too",
            named,
        )
    return Made("paper") if named else None


def _by_shape(disc: bool) -> Made:
    if disc:
        return Made("ceramic", "a disc is taken to be ceramic")
    return Made("")
