"""What a description denies or doubts of a rating: not DP, kein X2, 630V?, maybe 6A. Nothing may pass a wall on the strength of it."""

from __future__ import annotations

import re

_CLASS = r"(?:X[1-3]|Y[1-4])"
_POLES = r"(?:DPST|DPDT|DPCO|DPSW|DP|2P(?:ST|DT)|(?:double|two|2)[- ]?poles?|(?:2|zwei|doppel)[- ]?polig(?:e[rs]?)?)"
_RATING = r"[0-9][0-9.,]*[ ]?[mkµu]?[VAW](?:[ ]?(?:AC|DC)\b|~|=)?"
_GAP = r"(?:isolating|isolation|trenntrafo|trenntransformator)"
_MARK = rf"(?:{_CLASS}+(?:/?{_CLASS})*\b|\bclass [XY]\b|\b{_POLES}\b|\b{_GAP}\b|(?<![0-9.,]){_RATING}(?![^\W_]))"
_TYPE = r"\b(?:[A-Z]{1,4}[0-9]{1,5}[A-Z]{0,4}|[0-9]{1,2}[A-Z]{1,3}[0-9]{1,4}[A-Z]{0,3})\b"
"""A type designation: of a valve or a rectifier it is all that is known of the part."""

_NO = (
    r"(?:not|no|non|without|never|isn't|kein\w*|nicht|ohne|statt|maybe|perhaps|possibly|probably|presumably|vielleicht|vermutlich"
    r"|angeblich|allegedly|supposedly|like|similar to|instead of)"
)
_FILL = (
    r"(?:an?|any|the|it|is|be|to|really|sure|quite|genuine|approved|approval|marked|rated|for|as|of|safety|ein\w*|echte?[rns]?|als|für|class"
    r"|klasse|zulassung)"
)
_UNSURE = (
    r"(?:\(?\?|\(?(?:unsure|uncertain|illegible|unreadable|not (?:sure|certain|legible|readable)|fraglich|unleserlich|unsicher)\b"
    r"|\(?(?:replaced by|ersetzt durch)\b)"
)
_DISOWNED = re.compile(
    r"\b(?:(?:not|no|non|without|lacks|nicht|kein\w*|ohne)[\s-]+(?:an?|any|safety|ein\w*)?\s*"
    r"(?:approv\w*|certif\w*|genuine|zulassung|zugelassen|zertifi\w*)|unapproved|uncertified)\b",
    re.IGNORECASE,
)
_ONLY = re.compile(rf"\b(?P<one>{_CLASS}+)\s+only\b|\b(?:only|nur|just)\s+(?P<two>{_CLASS}+)\b", re.IGNORECASE)
_ANY_CLASS = re.compile(rf"\b{_CLASS}+(?:/?{_CLASS})*\b|\bclass [XY]\b", re.IGNORECASE)
_HINT = re.compile(rf"\?|\b{_NO}\b|{_UNSURE}|\b(?:only|nur|just|un\w*ed|lacks)\b", re.IGNORECASE)
_OF_TYPES = frozenset({"valve", "rectifier"})


def _patterns(mark: str) -> tuple[re.Pattern[str], ...]:
    denied = rf"(?<![\w'])(?:{_NO}[\s:-]+(?:{_FILL}\s+){{0,3}}|\?(?=\S)){mark}"
    doubted = rf"{mark}(?:\s*(?:switch|sw|toggle|schalter))?\s*{_UNSURE}"
    return re.compile(denied, re.IGNORECASE), re.compile(doubted, re.IGNORECASE)


_RATED, _TYPED = _patterns(_MARK), _patterns(f"(?:{_MARK}|{_TYPE})")


def without_doubts(text: str, family: str) -> tuple[str, tuple[str, ...]]:
    """Take ratings, poles and safety classes out of a description that denies or doubts them.

    Parameters
    ----------
    text : str
        A description.
    family : str
        What the part is: the type of a valve or a rectifier may be denied too.

    Returns
    -------
    tuple of (str, tuple of str)
        The text without them, and what was taken out, in its own words.

    Notes
    -----
    What is taken out is not known of the part: it is then asked for, or fails the wall that needs it. A value is left as it is.

    Examples
    --------
    >>> without_doubts("100n 275V~ kein X2", "capacitor")
    ('100n 275V~  ', ('kein X2',))
    >>> without_doubts("1M log DP? switch 2A 250V~", "potentiometer")
    ('1M log   switch 2A 250V~', ('DP?',))
    >>> without_doubts("X2 275V~ not used, no leads", "capacitor")
    ('X2 275V~ not used, no leads', ())
    """
    if not _HINT.search(text):
        return text, ()
    taken: list[str] = []

    def take(found: re.Match[str]) -> str:
        taken.append(found[0].strip())
        return "  "

    only = _ONLY.search(text)
    kept = (only["one"] or only["two"]).upper() if only else ""
    if family == "capacitor" and (_DISOWNED.search(text) or kept):
        text = _ANY_CLASS.sub(lambda found: found[0] if found[0].upper() == kept else take(found), text)
    for pattern in _TYPED if family in _OF_TYPES else _RATED:
        text = pattern.sub(take, text)
    return text, tuple(taken)
