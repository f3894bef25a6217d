"""Colours in a capacitor's description: found, laid out in rows, and read by every scheme that the words allow.

`colour_dots` and `colour_bands` hold the schemes. A list of colours without a word for a capacitor is left to the resistors.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from partsbin.notation.colour import AMBIGUOUS, COLOURS
from partsbin.notation.colour_bands import ceramic_bands, paper_bands, polyester_stripes, tantalum_bead
from partsbin.notation.colour_dots import Painted, aws_dots, rma_dots
from partsbin.notation.preferred import series
from partsbin.notation.scan import scan
from partsbin.notation.vocabulary import CAPACITOR

_COLOUR = "|".join(sorted((re.escape(word) for word in (*COLOURS, *AMBIGUOUS)), key=len, reverse=True))
_ROW = r"(?:upper|top|lower|bottom|oben|unten|row|then)"
_RUN = re.compile(
    rf"(?i)(?<!\w)(?:{_COLOUR})(?!\w)(?:[ ,;|/&:+-]{{1,3}}(?:{_ROW}[ :]{{1,2}}){{0,2}}(?:{_COLOUR})(?!\w)(?! ?mica)){{2,7}}"
)
_BETWEEN_ROWS = re.compile(r"(?i)[/;|]|\b(?:lower|bottom|unten|then)\b")
_ONE_COLOUR = re.compile(rf"(?i)(?<!\w)(?:{_COLOUR})(?!\w)")
_DOTS = re.compile(r"(?i)\b(?:(?:[3-6]|three|four|five|six)[ -]?)?(?:dots|spots|punkte|dot(?= code))(?: code)?\b:?")
_BANDS = re.compile(
    rf"(?i)\b(?:(?:[3-6]|three|four|five|six)[ -]?)?(?:bands|rings|ringe|stripes|streifen|bead|colou?rs|colou?r code)\b:?|\b{_ROW}\b:?"
)
_MOST_WAYS = 4
_TELLING = frozenset({"material", "treatment", "shape", "noun"})
_SURELY = frozenset({"tantalum", "mica", "paper", "capacitor"})
_PERHAPS = frozenset({"moulded", "ceramic", "disc", "tubular", "film", "film-polyester"})
"""Words of other things too: a strange word beside them leaves the text to others."""

_Scheme = Callable[[Sequence[str]], list[Painted]]


@dataclass(frozen=True)
class Colours:
    """What the colours of a description mean: the rest of the text, the readings, or what is wrong with them."""

    rest: str
    ways: tuple[Painted, ...]
    fault: str = ""


def find_colours(plain: str) -> Colours | None:
    """Find and read the colours in the description of a capacitor.

    Parameters
    ----------
    plain : str
        The description in plain signs.

    Returns
    -------
    Colours or None
        None where there are no three colours in a row, or no word says that they are on a capacitor.

    Notes
    -----
    Six dots in two rows of three are read along the arrows; in a single row it is not known whether they go row by row or once
    round the edge, and both are read. Dots that fit no scheme are read upside down.

    Examples
    --------
    >>> found = find_colours("mica dots black green brown / red yellow black")
    >>> [str(way.capacitance) for way in found.ways] if found else []
    ['5.1E-11', '5.1E-11']
    """
    run = _RUN.search(plain)
    if run is None:
        return None
    around = f"{plain[: run.start()]} {plain[run.end() :]}"
    dotted, banded = _DOTS.search(around) is not None, _BANDS.search(around) is not None
    rest = " ".join(_BANDS.sub(" ", _DOTS.sub(" ", around)).split())
    pieces = scan(rest, CAPACITOR)
    words = {str(piece.meaning[1]) for piece in pieces if piece.meaning is not None and piece.meaning[0] in _TELLING}
    strange = any(piece.kind == "word" and piece.meaning is None for piece in pieces)
    if "other" in words or not (dotted or words & _SURELY or (words & _PERHAPS and not strange)):
        return None
    rows = _rows(run[0])
    named = list(product(*(_names(word) for row in rows for word in row)))[:_MOST_WAYS]
    ways: list[Painted] = []
    for colours in named:
        ways += _read(_laid_out(colours, [len(row) for row in rows]), words, dotted=dotted, banded=banded)
    ways = list(dict.fromkeys(ways))
    if len(named) > 1:
        ways = [way.noted(f"'{run[0]}' abbreviates more than one colour") for way in ways]
    if len(ways) > 1:
        ways = [way.noted("the colours can be read in more than one way") for way in ways]
    return Colours(rest, tuple(ways), "" if ways else f"'{run[0]}': no scheme of capacitors has these colours so")


def _rows(run: str) -> list[list[str]]:
    """The colours in the rows in which they are written."""
    rows = [_ONE_COLOUR.findall(row) for row in _BETWEEN_ROWS.split(run)]
    rows = [row for row in rows if row]
    return rows if len(rows) == 2 and len(rows[0]) == 3 else [[colour for row in rows for colour in row]]


def _names(word: str) -> tuple[str, ...]:
    low = word.lower()
    return AMBIGUOUS.get(low) or (COLOURS[low],)


def _laid_out(colours: tuple[str, ...], lengths: list[int]) -> list[tuple[str, ...]]:
    return [colours] if len(lengths) == 1 else [colours[: lengths[0]], colours[lengths[0] :]]


def _read(rows: list[tuple[str, ...]], words: set[str], *, dotted: bool, banded: bool) -> list[Painted]:
    """Every reading of the schemes that the words allow; of all that there are, where no word chooses."""
    flat = tuple(colour for row in rows for colour in row)
    if "tantalum" in words:
        return tantalum_bead(flat)
    if words & {"ceramic", "disc"}:
        return ceramic_bands(flat)
    if words & {"film", "film-polyester"}:
        return polyester_stripes(flat)
    moulded = bool(words & {"mica", "moulded", "paper"})
    if dotted or "mica" in words:
        return _dots(rows, moulded=moulded)
    if moulded:
        return paper_bands(flat) + ([] if banded or "tubular" in words else _dots(rows, moulded=True))
    schemes: tuple[_Scheme, ...] = (
        (ceramic_bands,) if "tubular" in words else (rma_dots, ceramic_bands, polyester_stripes)
    )
    return [way.noted("no word says which scheme it is") for scheme in schemes for way in scheme(flat)]


def _dots(rows: list[tuple[str, ...]], *, moulded: bool) -> list[Painted]:
    """Dots by both schemes, one row or two; upside down if nothing else fits."""
    if len(rows) == 1 and len(rows[0]) == 6:
        upper, lower = rows[0][:3], rows[0][3:]
        why = "six dots in one row: a stroke between two rows of three would say how they lie"
        found = [way.noted(f"{why}; read row by row") for way in _six(upper, lower)]
        found += [way.noted(f"{why}; read once round the edge") for way in _six(upper, lower[::-1])]
    elif len(rows) == 2 and len(rows[1]) == 3:
        found = _six(*rows)
        if not found:
            found = [way.noted("read upside down") for way in _six(rows[1][::-1], rows[0][::-1])]
    else:
        found = rma_dots(tuple(colour for row in rows for colour in row))
    if not moulded:
        found = [
            way if way.dielectric else way.noted("no word says that the part is moulded mica or paper") for way in found
        ]
    return found


def _six(upper: tuple[str, ...], lower: tuple[str, ...]) -> list[Painted]:
    """Two rows of three by AWS and by RMA. The first dot of RMA is a digit: white needs a preferred value to be one."""
    by_aws, by_rma = aws_dots((*upper, *lower)), rma_dots((*upper, *lower[::-1]))
    if upper[0] == "white" and by_aws:
        by_rma = [way for way in by_rma if _preferred(way)]
    return by_aws + by_rma


def _preferred(way: Painted) -> bool:
    digits = way.capacitance.normalize().as_tuple().digits
    return any(step.normalize().as_tuple().digits == digits for step in series("E24"))
