"""Fitting a can whose sections serve several needs: judged for each, booked out once, written down for every one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.errors import UsageError
from partsbin.jobs.cans import Use, best_uses, said, sharing_all
from partsbin.jobs.fitted import serving
from partsbin.jobs.fitting import Fitted, OwingError, Spot, fitted_before, lines_for, usable, why_fitted
from partsbin.jobs.plan_ask import Asked, asked
from partsbin.jobs.record import still_open
from partsbin.matching.answer import answer_of, build
from partsbin.matching.one import judge_part
from partsbin.matching.search import Found
from partsbin.stock.acts import Who, part_of
from partsbin.stock.ledger import Line, add_lines, open_act
from partsbin.stock.shelf import Shelved
from partsbin.words import listed


def judge_sections(
    connection: Connection, spots: Sequence[Spot], part: Shelved
) -> tuple[list[tuple[Spot, Use, dict[str, Any]]], str]:
    """Judge a can for several needs at once.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    spots : sequence of Spot
        Needs of one job, two or more.
    part : Shelved
        The can.

    Returns
    -------
    (list of (Spot, Use, dict), str)
        For each need the sections that serve it and an answer of schemas/answer.json; which section goes where, in words.

    Raises
    ------
    RefusedError
        If the needs do not share their negative, or the can has not sections for all of them.
    """
    needs = [_asked(spot) for spot in spots]
    own = sharing_all(connection, needs)
    for spot in spots:
        usable(judge_part(spot.request, part), f"{part.number} is unfit at {_name(spot)}", partial(OwingError, part))
    uses = best_uses(needs, own, part)
    judged = []
    for spot, use in zip(spots, uses, strict=True):
        one = use.candidate
        found = Found([], [one], []) if one.verdict is Verdict.MEASURE else Found([one], [], [])
        judged.append((spot, use, answer_of(one.family, one.need, found)))
    return judged, said(needs, own, part, uses)


def _asked(spot: Spot) -> Asked:
    if spot.wanted is None:
        raise UsageError("a part that serves several needs is fitted for needs of the job", hint="--for C1a --for C1b")
    return replace(asked(spot.job, spot.wanted, 1), need=build(spot.request)[1])


def _name(spot: Spot) -> str:
    wanted = spot.wanted
    return (wanted.designator or wanted.position) if wanted else spot.designator


def fit_sections(
    connection: Connection,
    spots: Sequence[Spot],
    part_id: int,
    who: Who,
    *,
    pieces: int = 1,
    found: bool = False,
    change: str = "",
) -> Fitted:
    """Fit a can for several needs.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    spots : sequence of Spot
        Where its sections go: needs of one job, each once; the job must be open.
    part_id : int
        The can.
    who : Who
        When, by whom, why.
    pieces : int
        How many cans; each serves every one of the needs [-].
    found : bool
        Whether pieces that the ledger did not know of are counted in.
    change : str
        The change that was made, in one's own words.

    Returns
    -------
    Fitted
        What was booked, with how each need is served.

    Raises
    ------
    RefusedError
        If the needs share no can, a section is unfit, or not as many pieces are free.
    OwingError
        If something must be read or looked at first.
    """
    job = still_open(spots[0].job)
    if len({spot.wanted.id for spot in spots if spot.wanted}) < len(spots):
        raise UsageError(f"{listed([_name(spot) for spot in spots], 'and')}: each need once")
    part = part_of(connection, part_id)
    lines = lines_for(connection, job, part, pieces, found)
    judged, where = judge_sections(connection, spots, part)
    judged.sort(key=lambda each: -len(each[2]["cautions"]))  # the piece is told with what is to be taken most care of
    entries = [
        usable(answer, f"{part.number} is unfit at {_name(spot)}", partial(OwingError, part))
        for spot, _, answer in judged
    ]
    first = not fitted_before(connection, job)
    act_id = open_act(connection, "fitted", **who.said())
    lines += [Line(part.id, "fitted", job_id=job.id) for _ in judged[1:]]
    booked = add_lines(connection, act_id, lines)[-len(judged) :]  # pieces counted in come before
    done: list[Fitted] = []
    for (spot, use, answer), entry, ident in zip(judged, entries, booked, strict=True):
        text = "; ".join(filter(None, (where, change)))
        reason, changes = why_fitted(connection, replace(spot, job=job), [ident], answer, entry, text)
        title = f"{part.title}, {use.candidate.option.label}"
        done.append(
            Fitted(
                part.id, title, pieces, entry["verdict"], reason, changes, answer, act_id=act_id, designator=_name(spot)
            )
        )
    whole = _whole(connection, part, [(each, spot) for each, (spot, _, _) in zip(done, judged, strict=True)])
    return replace(whole, found=sum(line.quantity for line in lines if line.word == "counted"), first=first)


def _whole(connection: Connection, part: Shelved, done: Sequence[tuple[Fitted, Spot]]) -> Fitted:
    """What was fitted as one: the worst verdict of its sections, everything to be seen to, and each of them."""
    there = serving(connection, done[0][1].job.id)
    each = [
        replace(one, wanted=spot.wanted.quantity, there=there.get(spot.wanted.id, 0))
        for one, spot in done
        if spot.wanted is not None
    ]
    worst = max(each, key=lambda one: Verdict[one.verdict.upper()])
    changes = tuple(dict.fromkeys(line for one in each for line in one.changes))
    return replace(
        worst, title=part.title, answer=_together([one.answer for one in each]), changes=changes, others=tuple(each)
    )


def _together(answers: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """What is to be checked and read of all the needs, each line once."""
    joined = {
        name: list(dict.fromkeys(line for answer in answers for line in answer[name]))
        for name in ("also", "after", "cautions")
    }
    return {**answers[0], **joined}
