"""Fitting a part into a set: judged first, what it still owes read and written down, booked out in one act, and back again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from sqlalchemy import Connection

from partsbin.errors import RefusedError, UsageError
from partsbin.families import load
from partsbin.families._declare import EYES
from partsbin.jobs.fitted import fitted_in, serving
from partsbin.jobs.needs import Wanted
from partsbin.jobs.record import Opened, still_open
from partsbin.jobs.standing_in import pieces_for
from partsbin.matching.one import judged
from partsbin.needs import Request
from partsbin.sets import FACTS
from partsbin.stock.acts import Who, part_of, part_off
from partsbin.stock.history import job_code
from partsbin.stock.ledger import Line, add_lines, claims_on, open_act, set_aside_for
from partsbin.stock.shelf import Shelved, number_of
from partsbin.store.bulk import insert_rows
from partsbin.store.job_tables import Fitting
from partsbin.store.statements import Statement
from partsbin.store.tables import table_of
from partsbin.words import listed

_WORST = {"fail": 0, "unknown": 1, "thin": 2, "pass": 3}


@dataclass(frozen=True)
class Spot:
    """Where a part is to go: the job, what it has to do there, the need that it serves."""

    job: Opened
    request: Request
    wanted: Wanted | None = None
    designator: str = ""


@dataclass(frozen=True)
class Fitted:
    """A part as it went into a set, by which act: the first in this job or not, how many its need wants and how many serve it now."""

    part_id: int
    title: str
    pieces: int
    verdict: str
    reason: str
    changes: tuple[str, ...]
    answer: Mapping[str, Any]
    found: int = 0
    first: bool = True
    wanted: int = 0
    there: int = 0
    make_up: tuple[str, ...] = ()
    act_id: int = 0
    others: tuple[Fitted, ...] = ()
    """Of a can that serves several needs: how each of them is served, the first as well; nothing of any other part."""
    designator: str = ""

    @property
    def number(self) -> str:
        """``P-0042``."""
        return number_of(self.part_id)


class OwingError(RefusedError):
    """The part may do once something is read or looked at.

    Parameters
    ----------
    part : Shelved
        The part.
    cards : sequence of mapping
        What to do, as test cards of the answer.
    reasons : sequence of str
        What is not known, in the words of the checks.
    """

    def __init__(self, part: Shelved, cards: Sequence[Mapping[str, Any]], reasons: Sequence[str]) -> None:
        owed = "; ".join(card["title"] for card in cards) or "; ".join(reasons)
        super().__init__(f"{part.number} still owes: {owed}", hint="; ".join(_ways(part, cards)))
        self.part, self.cards, self.reasons = part, tuple(cards), tuple(reasons)


def owed_as(part: Shelved, card: Mapping[str, Any]) -> str:
    """Return what the answer to a card is: a ``reading`` of the part, a ``fact`` of the set, a ``mark`` read off it, or ``any``."""
    family, name = load(part.family), card["reading"]
    if name in {reading.name for reading in family.readings}:
        return "reading"
    if name in FACTS:
        return "fact"
    return "mark" if card["instrument"] == EYES and name in family.facts.model_fields else "any"


def _ways(part: Shelved, cards: Sequence[Mapping[str, Any]]) -> list[str]:
    """How each kind of answer is given."""
    owed = {owed_as(part, card): card["reading"] for card in reversed(cards)} or {"any": ""}
    if "any" in owed:
        owed["mark"] = ""
    how = {
        "fact": "--with {}=… says it of the set",
        "reading": "--reading {}=… says it of the part",
        "any": "--with KEY=VALUE says what was learnt of the set; of the dead part: partsbin job drop, then job need with it",
        "mark": f'partsbin mark {part.number} "…" writes down what can be seen on it',
    }
    return [words.format(owed[kind]) for kind, words in how.items() if kind in owed]


def fit(
    connection: Connection,
    spot: Spot,
    part_id: int,
    who: Who,
    *,
    pieces: int = 1,
    found: bool = False,
    change: str = "",
) -> Fitted:
    """Fit a part.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    spot : Spot
        Where it goes; the job must be open.
    part_id : int
        The part.
    who : Who
        When, by whom, why.
    pieces : int
        How many [-].
    found : bool
        Whether pieces that the ledger did not know of were found on the shelf; they are counted in, in the same act.
    change : str
        The change that was made, in one's own words.

    Returns
    -------
    Fitted
        What was booked.

    Raises
    ------
    RefusedError
        If the part is unfit for this need, or not as many are free.
    OwingError
        If something must be read or looked at first.
    """
    job, wanted = still_open(spot.job), spot.wanted
    part = part_of(connection, part_id)
    lines = lines_for(connection, job, part, pieces, found)  # what is not there owes no reading
    answer, one = judged(spot.request, part)
    entry = usable(answer, f"{part.number} is unfit here", partial(OwingError, part))
    number = pieces_for(one.family, one.need, one.option, wanted.family, wanted.quantity) if wanted else 1
    if number > 1:  # two diodes serve for one valve: a place of each, and each must be filled
        pieces = _whole(part, pieces, number)
        *counted, out = lines_for(connection, job, part, pieces, found)
        lines = [*counted, *each_place(out, number)]
    done = booked(connection, replace(spot, job=job), lines, pieces, answer, entry, who, change)
    return replace(done, part_id=part_id, title=part.title)


def booked(
    connection: Connection,
    spot: Spot,
    lines: Sequence[Line],
    pieces: int,
    answer: Mapping[str, Any],
    entry: Mapping[str, Any],
    who: Who,
    change: str,
) -> Fitted:
    """Write down what was fitted and why, as one act: pieces counted in first, then a line for each place that a part takes."""
    job, wanted = spot.job, spot.wanted
    first = not fitted_before(connection, job)
    act_id = open_act(connection, "fitted", **who.said())
    moved = add_lines(connection, act_id, lines)
    out = [ident for ident, line in zip(moved, lines, strict=True) if line.word == "fitted"]
    reason, changes = why_fitted(connection, spot, out, answer, entry, change)
    more = sum(line.quantity for line in lines if line.word == "counted")
    there = serving(connection, job.id).get(wanted.id, 0) if wanted else 0
    quantity = wanted.quantity if wanted else 0
    return Fitted(0, "", pieces, entry["verdict"], reason, changes, answer, more, first, quantity, there, act_id=act_id)


def why_fitted(
    connection: Connection,
    spot: Spot,
    moved: Sequence[int],
    answer: Mapping[str, Any],
    entry: Mapping[str, Any],
    change: str,
) -> tuple[str, tuple[str, ...]]:
    """Write down why lines of the ledger booked a part out; return what decided, and the changes made for it."""
    worst, wanted = _decisive(entry), spot.wanted
    changes = tuple(filter(None, (*entry["changes"], change)))
    why = {
        "need_id": wanted.id if wanted else None,
        "designator": spot.designator or (wanted.designator if wanted else ""),
        "position": answer["need"]["position"],
        "verdict": entry["verdict"],
        "check_code": worst["check"],
        "margin": worst["margin"],
        "reason": worst["reason"],
        "change": "; ".join(changes),
    }
    insert_rows(connection, table_of(Fitting), [{"movement_id": ident, **why} for ident in moved])
    return str(worst["reason"]), changes


_FITTED = Statement("SELECT id FROM movement WHERE job_id = :job AND word = 'fitted' LIMIT 1")


def fitted_before(connection: Connection, job: Opened) -> bool:
    """Whether anything was ever fitted for a job."""
    return bool(_FITTED.rows(connection, {"job": job.id}))


def usable(
    answer: Mapping[str, Any],
    unfit: str,
    owing: Callable[[Sequence[Mapping[str, Any]], Sequence[str]], RefusedError],
) -> Mapping[str, Any]:
    """Return the one entry of an answer, if it may be fitted.

    Parameters
    ----------
    answer : mapping
        Of one part, or of several joined.
    unfit : str
        What is said of it where it is unfit, before the reasons.
    owing : callable
        ``owing(cards, reasons)`` is what is raised where something must be read or looked at first.

    Raises
    ------
    RefusedError
        If it is unfit, or owes something.
    """
    if answer["near_misses"]:
        failed = [check["reason"] for check in answer["near_misses"][0]["checks"] if check["verdict"] == "fail"]
        raise RefusedError(f"{unfit}: {'; '.join(failed)}", hint=f"to fit instead: {answer['buy']}")
    entry: Mapping[str, Any] = answer["candidates"][0]
    if entry["verdict"] == "measure":
        raise owing(entry["tests"], [check["reason"] for check in entry["checks"] if check["verdict"] == "unknown"])
    return entry


def _decisive(entry: Mapping[str, Any]) -> Mapping[str, Any]:
    """The check that decided: the worst outcome, among equals the smallest margin."""
    checks: Sequence[Mapping[str, Any]] = entry["checks"]
    return min(checks, key=lambda c: (_WORST[c["verdict"]], c["margin"] is None, c["margin"] or 0.0))


def lines_for(connection: Connection, job: Opened, part: Shelved, pieces: int, found: bool) -> list[Line]:
    """Return what fitting does to the part: pieces set aside for this job go first, found ones are counted in before.

    Raises
    ------
    RefusedError
        If not as many are free.
    """
    if pieces < 1:
        raise UsageError(f"{pieces} pieces to be fitted, expected 1 or more")
    own = set_aside_for(connection, job.id, [part.id]).get(part.id, 0)
    short = pieces - (part.available + own)
    if short > 0 and part.reserved > own and not found:
        free, others = part.available + own, _others(connection, job, part)
        raise RefusedError(
            f"{part.number}: {pieces} wanted, {free} free, {part.reserved - own} set aside for {others}",
            hint="partsbin job release lets go what another job does not need",
        )
    if short > 0 and not (found or part.rough):
        lying = f"{part.on_hand} on hand" if part.on_hand else "none on hand"
        raise RefusedError(f"{part.number}: {pieces} wanted, {lying}", hint="--found counts in what the shelf has more")
    counted = [Line(part.id, "counted", short)] if short > 0 else []
    out = Line(part.id, "fitted", -pieces, -min(own, pieces), part.row["price"], job_id=job.id)
    return [*counted, out]


def _whole(part: Shelved, pieces: int, number: int) -> int:
    """How many pieces are meant where several make one: one says what it is to serve, more are counted singly."""
    if pieces == 1:
        return number
    if pieces % number:
        raise UsageError(f"{pieces} pieces of {part.number}: {number} of them make one here", hint=f"--pieces {number}")
    return pieces


def each_place(out: Line, number: int) -> list[Line]:
    """One line for each place: what is set aside goes first."""
    pieces, lines, aside = -out.quantity // number, [], -out.aside
    for _ in range(number):
        lines.append(replace(out, quantity=-pieces, aside=-min(pieces, aside)))
        aside -= min(pieces, aside)
    return lines


def _others(connection: Connection, job: Opened, part: Shelved) -> str:
    """Who else has pieces of a part set aside."""
    claims = [code for code in claims_on(connection, part.id) if code != job.id]
    return listed([job_code(code) if code else "no job" for code in claims], "and")


def bring_back(
    connection: Connection, job: Opened, part_id: int, pieces: int, who: Who, *, unused: bool = False
) -> tuple[int, int]:
    """Take a part out of a set and put it back on the shelf; what was in use is salvaged from now on, a part of its own.

    Returns
    -------
    (int, int)
        The part on the shelf, and the act.

    Raises
    ------
    RefusedError
        If not as many of it are fitted in that job.
    """
    inside = fitted_in(connection, job.id, part_id)
    if pieces < 1 or pieces > inside:
        raise RefusedError(f"{number_of(part_id)}: {pieces} to come back, {inside} fitted in {job.code}")
    part = part_of(connection, part_id)
    act_id = open_act(connection, "returned", **who.said())
    add_lines(connection, act_id, [Line(part_id, "returned", pieces, job_id=job.id)])
    if unused or part.item.condition == "salvaged":
        return part_id, act_id
    back = replace(part, on_hand=part.on_hand + pieces)
    return part_off(connection, back, pieces, act_id, {"condition": "salvaged"}), act_id
