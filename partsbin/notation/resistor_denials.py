"""A no beside a mark: not fusible, not approved for bridging, nicht induktionsfrei."""

from __future__ import annotations

from collections.abc import Sequence

from partsbin.notation.scan import Token

FLAGS = frozenset({"fusible", "flameproof", "non_inductive", "pulse_rated", "bridging"})
"""Marks that a no can deny; each is one that a part must have before it may take a place."""

MAY_BE = "may be"
"""Of the fusible mark: said in words that may mean it and may not, such as FR, or denied by a no that may mean something else."""

_NO = frozenset({("negation", True), ("part", "none")})
_LAST = frozenset({"no", "not", "nein", "nicht"})
_BETWEEN = frozenset(
    {"a", "an", "any", "the", "of", "as", "is", "be", "to", "for", "made", "marked", "approved", "rated", "really"}
    | {"ein", "eine", "als", "für", "zur"}
)
_WORDS_APART = 4


def meanings(pieces: Sequence[Token]) -> list[tuple[str, object]]:
    """Return what the words of the vocabulary say, a denied mark as its contrary.

    Parameters
    ----------
    pieces : sequence of Token
        The description, scanned with the words for resistors.

    Returns
    -------
    list of (str, object)
        Name and value of each word, in the order of the text.

    Notes
    -----
    A no denies a mark where only words such as *a* or *marked* stand between, or where it follows as the last word. With another
    word between it may speak of that one, as in *not ceramic fusible*, and behind the mark it may leave it open, as a question
    mark does: whether such a part is fusible stays open, since the mark of a dead part is a wall; any other mark is not counted.
    """
    return [_meaning(pieces, at, *piece.meaning) for at, piece in enumerate(pieces) if piece.meaning is not None]


def _meaning(pieces: Sequence[Token], at: int, name: str, value: object) -> tuple[str, object]:
    if name not in FLAGS or value is False:
        return name, value
    others = False
    for before in reversed(pieces[max(0, at - _WORDS_APART) : at]):
        if before.meaning in _NO:
            return name, MAY_BE if others and name == "fusible" else False
        if before.kind != "word" and before.text != "-":
            break
        others = others or (before.kind == "word" and before.text.lower() not in _BETWEEN)
    behind = pieces[at + 1 :]
    words = [one for one in behind if one.kind != "mark"]
    if len(words) == 1 and words[0].text.lower() in _LAST:
        return name, False
    return name, (MAY_BE if name == "fusible" else False) if _questioned(behind) else value


def _questioned(behind: Sequence[Token]) -> bool:
    """Whether a question mark or a no follows in the same breath: fusible?, bridging not known."""
    for one in behind[:_WORDS_APART]:
        if one.meaning in _NO or one.text == "?":
            return True
        if one.kind != "word":
            return False
    return False


def fusible(said: Sequence[object]) -> tuple[list[list[object]], str]:
    """Return what the words say of a fuse, once for each way of reading them, and why there are two.

    Parameters
    ----------
    said : sequence
        What each word says: True, False or `MAY_BE`.

    Returns
    -------
    tuple of (list of list, str)
        Nothing or one thing, and no reason; two ways, the fusible one first, where the words leave it open or disagree.

    Examples
    --------
    >>> fusible([True, MAY_BE])
    ([[True]], '')
    >>> fusible([True, False])[0], fusible([MAY_BE])[0]
    ([[True], [False]], [[True], [False]])
    """
    told = [word for word in said if word != MAY_BE]
    if len(told) > 1:
        return [[True], [False]], "the words on fusible disagree: look at the part"
    if told or not said:
        return [told], ""
    return [[True], [False]], "the words may say fusible, or no more than slow to burn: look at the part"
