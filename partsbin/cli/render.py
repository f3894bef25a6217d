"""The answer as text: dense, numbers first, plain words. The same object that --json prints."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from partsbin.matching.said import came_from, first_said, more_said
from partsbin.notation.reading import NOT_UNDERSTOOD
from partsbin.stock.describe import reading_said

INDENT = 9
_UNIT_AFTER = re.compile(r"(?<=[0-9]) (?=(?:[pnµmkM]?(?:F|V|A|W|Ω|H|Hz|J|m|s)|%|°C)(?![A-Za-z]))")
"""The blank between a number and its unit, where a line is not broken."""

_NAME = {"fits": "FITS", "care": "CARE", "measure": "MEASURE", "unfit": "UNFIT"}


def answer_text(answer: Mapping[str, Any], width: int) -> str:
    """Return an answer as lines for a terminal.

    Parameters
    ----------
    answer : mapping
        The object of schemas/answer.json.
    width : int
        Columns to wrap at.
    """
    lines: list[str] = []
    for block in (
        _need(answer),
        _candidates(answer),
        _beside(answer),
        _first(answer),
        _near(answer),
        _more(answer),
        _around(answer),
    ):
        for head, text in block:
            lines.extend(_wrap(head, text, width))
    return "\n".join(lines)


def _wrap(head: str, text: str, width: int) -> list[str]:
    first = f"{head:<{INDENT}}"
    wrapped = textwrap.wrap(
        _UNIT_AFTER.sub("\N{NO-BREAK SPACE}", text),
        width,
        initial_indent=first,
        subsequent_indent=" " * INDENT,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in wrapped] or [first.rstrip()]


Lines = Iterator[tuple[str, str]]


def _need(answer: Mapping[str, Any]) -> Lines:
    need = answer["need"]
    for index, line in enumerate(need["headline"]):
        yield ("NEED" if index == 0 else ""), line
    for line in need["rules"]:
        yield "RULES", f"workshop's own: {line}"
    unread = [line for line in need["assumptions"] if NOT_UNDERSTOOD in line]
    for line in unread:
        yield "UNREAD", f"{line}: nothing was judged by it"
    assumed = [line for line in need["assumptions"] if line not in unread]
    if assumed:
        yield "ASSUMED", "; ".join(assumed)
    if need["unused"]:
        yield "UNUSED", f"not used here: {'; '.join(need['unused'])}"
    for question in need["questions"]:
        yield "ASK", f"{question['text']} (--with {question['fact']}=…)"


def _lies(candidate: Mapping[str, Any]) -> str:
    count = f"about {candidate['count']}" if candidate["rough"] else str(candidate["count"])
    where = f"{count} in {candidate['place']}" if candidate["place"] else f"{count} on hand"
    if candidate["origin"] == "offered":
        where = "not on the shelf"
    came = f", from {came_from(candidate)}" if came_from(candidate) else ""
    condition = f", {candidate['condition']}" if candidate["condition"] else ""
    option = f", {candidate['option']}" if candidate["option"] else ""
    if candidate["origin"] == "in the hand":
        return f"{candidate['title']}{option}{condition}"
    return f"{candidate['title']}{option}{condition}, {where}{came}"


def _headed(candidate: Mapping[str, Any]) -> str:
    """The part and where it lies; of several parts what they make together, then where each lies."""
    if not candidate["make_up"]:
        return f"{candidate['part']}  {_lies(candidate)}".strip()
    from partsbin.matching.make_ups.said import said_parts

    parts = " · ".join(f"{each['part']}: {_lies(each)}" for each in candidate["make_up"])
    return f"{said_parts(candidate['make_up'], candidate['option'])}  {candidate['title']} · {parts}"


def _candidates(answer: Mapping[str, Any]) -> Lines:
    told: set[str] = set()
    for candidate in answer["candidates"]:
        yield _NAME[candidate["verdict"]], _headed(candidate)
        yield from _reasons(candidate)
        for change in candidate["changes"]:
            yield "", f"change: {change}"
        for number, card in enumerate(candidate["tests"], 1):
            text = _card(card)
            yield f"     {number}", f"{card['title']}: as above" if text in told else text
            told.add(text)
        if candidate["beyond"]:
            yield "", f"no instrument here for: {'; '.join(candidate['beyond'])}"


def _card(card: Mapping[str, str]) -> str:
    extra = "".join(f"; {card[name]}" for name in ("correction", "danger") if card[name])
    return f"{card['title']}: {card['connect']}: {card['passes']}{extra}"


def _reasons(candidate: Mapping[str, Any]) -> Lines:
    """What is not plain first, then the figures that pass, on as few lines as they need; changes have lines of their own."""
    checks = candidate["checks"]
    loud = [
        check
        for check in checks
        if check["verdict"] in ("fail", "unknown", "thin") and check["reason"] not in candidate["changes"]
    ]
    quiet = [
        check["reason"]
        for check in checks
        if check["verdict"] == "pass" and isinstance(check["offered"], (int, float, dict))
    ]
    if loud:
        yield "", " · ".join(_once(loud))
    if quiet:
        yield "", " · ".join(dict.fromkeys(quiet))
    if candidate["assumed"] and candidate["verdict"] != "unfit":
        yield "", f"taken for the part: {'; '.join(candidate['assumed'])}"


def _once(checks: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return the reasons, one for each reading that is owed: several checks may want the same."""
    said: dict[str, str] = {}
    for check in checks:
        key = f"unknown {check['reading']}" if check["verdict"] == "unknown" else check["check"]
        said.setdefault(key, check["reason"])
    return list(said.values())


def _first(answer: Mapping[str, Any]) -> Lines:
    """Which reading to take first: the one that decides about most parts."""
    if said := first_said(answer):
        yield "FIRST", said


def _near(answer: Mapping[str, Any]) -> Lines:
    for candidate in answer["near_misses"]:
        failing = [check["reason"] for check in candidate["checks"] if check["verdict"] == "fail"]
        yield "UNFIT", f"{_headed(candidate)}: {' · '.join(failing)}"


def _more(answer: Mapping[str, Any]) -> Lines:
    if said := more_said(answer):
        yield "+", said
    if not answer["candidates"]:
        yield (
            "NOTHING",
            "on the shelf fits, with care or without"
            if not answer["near_misses"] or answer["near_misses"][0]["part"] or answer["near_misses"][0]["make_up"]
            else "it does not fit",
        )


def _beside(answer: Mapping[str, Any]) -> Lines:
    """What goes with a change, or does instead of a part, by the part of the shelf."""
    before = ""
    for entry in answer["beside"]:
        where = f"{entry['count']} in {entry['place']}" if entry["place"] else f"{entry['count']} on hand"
        found = (
            f"{entry['part']}  {entry['title']}, {where} ({entry['verdict']})" if entry["part"] else "none on the shelf"
        )
        head = entry["how"].upper()
        yield (head if head != before else ""), f"{entry['what']}: {found}"
        before = head


def _around(answer: Mapping[str, Any]) -> Lines:
    if answer["buy"]:
        yield "BUY", answer["buy"]
    for head, key in (("ALSO", "also"), ("AFTER", "after")):
        for index, line in enumerate(answer[key]):
            yield (head if index == 0 else ""), line
    for index, line in enumerate(answer["cautions"]):
        yield ("CAUTION" if index == 0 else ""), line


def readings_text(readings: Sequence[Mapping[str, Any]]) -> str:
    """Return how a description was understood, as lines."""
    if not readings:
        return "none: nothing in it was understood"
    lines = []
    for reading in readings:
        lines.append(reading_said(reading["family"], reading["fields"], sure=reading["sure"]))
        lines.extend(f"    {note}" for note in reading["notes"])
    if len(readings) > 1:
        lines.append(f"{len(readings)} readings: the text alone does not tell which")
    return "\n".join(lines)
