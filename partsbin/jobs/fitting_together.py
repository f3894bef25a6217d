"""Fitting a make-up: several parts to one need, judged as one, booked out in one act with a line for each place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection

from partsbin.errors import RefusedError
from partsbin.jobs.fitting import Fitted, Spot, booked, each_place, lines_for, usable
from partsbin.jobs.record import still_open
from partsbin.matching.make_ups.one import judge_make_up
from partsbin.stock.acts import Who, part_of
from partsbin.stock.ledger import Line
from partsbin.stock.shelf import number_of


def fit_together(
    connection: Connection,
    spot: Spot,
    part_ids: Sequence[int],
    how: str,
    who: Who,
    *,
    pieces: int = 1,
    found: bool = False,
    change: str = "",
) -> Fitted:
    """Fit several parts joined into one.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    spot : Spot
        Where they go; the job must be open.
    part_ids : sequence of int
        The part of each place; the same one twice is two pieces of it.
    how : str
        ``in series`` or ``in parallel``.
    who : Who
        When, by whom, why.
    pieces : int
        How many times [-].
    found : bool
        Whether pieces that the ledger did not know of are counted in.
    change : str
        The change that was made, in one's own words.

    Returns
    -------
    Fitted
        What was booked; the need is served once for each time, however many parts that takes.

    Raises
    ------
    RefusedError
        If the make-up is unfit, owes a reading, or not as many pieces are free.
    """
    job = still_open(spot.job)
    parts = {ident: part_of(connection, ident) for ident in part_ids}
    counted: list[Line] = []
    places: dict[int, list[Line]] = {}
    for ident, number in Counter(part_ids).items():
        *more, out = lines_for(connection, job, parts[ident], number * pieces, found)
        counted += more
        places[ident] = each_place(out, number)
    answer = judge_make_up(spot.request, [parts[ident] for ident in part_ids], how)
    entry = usable(answer, "joined so they are unfit here", _owing)
    lines = [*counted, *(places[ident].pop() for ident in part_ids)]
    names = tuple(number_of(ident) for ident in part_ids)
    said = "; ".join(filter(None, (f"{' + '.join(names)} {how}", change)))
    done = booked(connection, replace(spot, job=job), lines, pieces, answer, entry, who, said)
    return replace(done, part_id=part_ids[0], title=f"{entry['title']}, {how}", make_up=names)


def _owing(cards: Sequence[Mapping[str, Any]], reasons: Sequence[str]) -> RefusedError:
    owed = [card["title"] for card in cards] or reasons
    return RefusedError(
        f"still owed: {'; '.join(owed)}", hint="partsbin measure writes down what was read of each part"
    )
