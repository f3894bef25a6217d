"""One word out of a list, as a person types it: any case, blanks or dashes, a plural, the beginning of a long word."""

from __future__ import annotations

import re
from collections.abc import Iterable

from partsbin.errors import UsageError

LEAST = 3
"""Letters from which the beginning of a word stands for it, where no other begins so."""


def folded(text: str) -> str:
    """Return a word in small letters, with one dash for whatever stands between its parts.

    Examples
    --------
    >>> folded(" Cathode_Bypass ")
    'cathode-bypass'
    """
    return re.sub(r"[\s_/-]+", "-", text.strip().lower()).strip("-")


def exactly(text: str, words: Iterable[str]) -> str:
    """Return the word of the list that the text is, spelling and a plural s apart, "" where there is none.

    Examples
    --------
    >>> exactly("Capacitors", ("capacitor", "transformer"))
    'capacitor'
    """
    known = {folded(word): word for word in words}
    key = folded(text)
    return known.get(key) or known.get(key.removesuffix("s"), "")


def chosen(text: str, words: Iterable[str], what: str, of: str = "") -> str:
    """Return the word of a list that is meant.

    Parameters
    ----------
    text : str
        As typed.
    words : iterable of str
        The words there are.
    what, of : str
        What they are, and whose, for the fault: ``position``, ``of a capacitor``.

    Returns
    -------
    str
        The word itself, or the only one that begins so.

    Raises
    ------
    UsageError
        If there is no such word, or several begin so. Nothing like it is guessed: the hint names it.

    Examples
    --------
    >>> chosen("mains across", ("mains-across", "mains-to-chassis"), "position")
    'mains-across'
    """
    listed = tuple(words)
    if word := exactly(text, listed):
        return word
    key, whose = folded(text), f" {of}" if of else ""
    begun = [word for word in listed if len(key) >= LEAST and folded(word).startswith(key)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        raise UsageError(f"{what} {text!r}{whose} may be {' or '.join(begun)}", hint="write more of it")
    near = _near(key, listed)
    raise UsageError(
        f"unknown {what} {text!r}{whose}", hint=f"{near}{'Known' if near else 'known'}: {', '.join(listed)}"
    )


def _near(key: str, words: tuple[str, ...]) -> str:
    from rapidfuzz import process

    close = process.extractOne(key, {word: folded(word) for word in words}, score_cutoff=60)
    return f"did you mean {close[2]!r}? " if close else ""
