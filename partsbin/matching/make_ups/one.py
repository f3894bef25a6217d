"""Parts named by the repairer, joined as he says: judged as the search would."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Any

from partsbin.checks import Verdict
from partsbin.errors import RefusedError, UsageError
from partsbin.matching.answer import answer_of, build
from partsbin.matching.make_ups.search import MakeUp, Member, together
from partsbin.matching.search import Found
from partsbin.needs import Request
from partsbin.stock.shelf import Shelved


def judge_make_up(request: Request, parts: Sequence[Shelved], how: str) -> dict[str, Any]:
    """Judge parts joined into one.

    Parameters
    ----------
    request : Request
        The need.
    parts : sequence of Shelved
        The part of each place, two or more; the same part twice is two pieces of it.
    how : str
        ``in series`` or ``in parallel``.

    Returns
    -------
    dict
        An answer of schemas/answer.json with that make-up alone, by the best way of using its parts.

    Raises
    ------
    UsageError
        If the parts are not of the family asked for.
    RefusedError
        If nothing may be joined so in that position.
    """
    family, need = build(request)
    for part in parts:
        if part.family != family.name:
            raise UsageError(f"{part.number} is a {part.family}, the need is a {family.name}")
    joins = [join for join in family.joins(need) if join.how == how]
    if not joins:
        raise RefusedError(
            f"as {need.position} a {family.name} is not made of several {how}",
            hint=f"to fit instead: {family.buy(need)}",
        )
    places = [
        [Member(part, option, number) for number, option in enumerate(family.options(part.item))] for part in parts
    ]
    combos = list(product(*places))
    made = min(together(family, need, joins[0], combos), key=lambda one: one.rank)
    found: dict[Verdict, list[MakeUp]] = {verdict: [] for verdict in Verdict}
    found[made.verdict].append(made)
    usable = [*found[Verdict.FITS], *found[Verdict.CARE], *found[Verdict.MEASURE]]
    return answer_of(family, need, Found([], [], [], make_ups=usable, make_up_misses=found[Verdict.UNFIT]))
