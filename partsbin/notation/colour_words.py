"""Colours named in a description: bands in their order, or body, tip and dot with the word of each."""

from __future__ import annotations

import re
from itertools import islice, product

from partsbin.errors import NotationError
from partsbin.notation.colour import AMBIGUOUS, COLOURS, Coded, bands, body_tip_dot
from partsbin.notation.scan import Token, phrase_key

_PAINTED = frozenset({"body", "tip", "dot", "end"})
_WORDS = frozenset(phrase_key(word) for word in (*COLOURS, *AMBIGUOUS))
_JOINED = re.compile(r"[^\W\d_]+(?:[-/&'][^\W\d_]+){1,5}")
_MOST_WAYS = 8


def set_apart(plain: str) -> str:
    """Return a text in which colours joined by dashes or strokes are words of their own.

    Examples
    --------
    >>> set_apart("brown-black-orange 1/2W")
    'brown black orange 1/2W'
    """

    def apart(found: re.Match[str]) -> str:
        words = re.split(r"[-/&']", found[0])
        return " ".join(words) if all(phrase_key(word) in _WORDS for word in words) else found[0]

    return _JOINED.sub(apart, plain)


def read_colours(pieces: list[Token]) -> tuple[list[Coded], str]:
    """Return what the colours of a description may mean.

    Parameters
    ----------
    pieces : list of Token
        The description, scanned with words whose meanings are ``colour`` and ``part``.

    Returns
    -------
    tuple of (list of Coded, str)
        The readings, the likelier first; with none of them, what is wrong with the colours.
    """
    told = [piece for piece in pieces if piece.means("colour") or piece.means("part")]
    colours = [piece for piece in told if piece.means("colour")]
    options = [_options(piece) for piece in colours]
    found: list[Coded] = []
    fault = ""
    for names in islice(product(*options), _MOST_WAYS):
        try:
            found += _painted(told, names) if _parts(told) & _PAINTED else bands(names)
        except NotationError as wrong:
            fault = fault or wrong.message
    if len({len(one) for one in options} - {1}):
        doubtful = " and ".join(f"'{piece.text}'" for piece in colours if len(_options(piece)) > 1)
        found = [way.doubted(f"{doubtful} is used for more than one colour") for way in found]
    elif strange := _between(pieces):
        found = [way.doubted(f"'{strange}' among the colours is not understood") for way in found]
    return list(dict.fromkeys(found)), fault


def _options(piece: Token) -> tuple[str, ...]:
    meaning = piece.meaning[1] if piece.meaning else ()
    return meaning if isinstance(meaning, tuple) else ()


def _parts(told: list[Token]) -> set[str]:
    return {str(piece.meaning[1]) for piece in told if piece.meaning is not None and piece.means("part")}


def _between(pieces: list[Token]) -> str:
    """The first word that nothing explains, between the first colour and the last."""
    at = [index for index, piece in enumerate(pieces) if piece.means("colour")]
    return next(
        (piece.text for piece in pieces[at[0] : at[-1]] if piece.kind in ("word", "code") and piece.meaning is None), ""
    )


def _painted(told: list[Token], names: tuple[str, ...]) -> list[Coded]:
    """Body, tip and dot: each word with the colour before it or behind it, as the first one has it."""
    part_first = told[0].means("part")
    named: dict[str, str] = {}
    left = iter(names)
    part = colour = ""
    for piece in told:
        if piece.means("colour"):
            colour = next(left)
        elif piece.meaning is not None and piece.meaning[1] in _PAINTED:
            part = str(piece.meaning[1])
        if part and colour:
            if part in named:
                part = "end" if part == "tip" else part
            if part in named:
                raise NotationError(f"two colours for one {part}: expected one")
            named[part], part, colour = colour, "", ""
        elif part_first and piece.means("colour"):
            raise NotationError(f"{colour} of no part: expected body, tip, dot or end before it")
    if "tip" not in named and "end" in named and named["end"] not in ("gold", "silver"):
        named["tip"] = named.pop("end")
    if "body" not in named:
        raise NotationError(
            f"no colour of the body in '{' '.join(piece.text for piece in told)}': expected body, tip and dot"
        )
    return body_tip_dot(named["body"], named.get("tip", ""), named.get("dot", ""), named.get("end", ""))
