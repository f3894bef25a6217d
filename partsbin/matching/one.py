"""One part of the shelf judged for one need: what `find` would say of it, whatever else there is."""

from __future__ import annotations

from typing import Any

from partsbin.checks import Verdict
from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.matching.answer import answer_of, build
from partsbin.matching.candidates import Candidate, brute
from partsbin.matching.search import Found
from partsbin.needs import Request
from partsbin.rules.serving import servers
from partsbin.stock.shelf import Shelved


def judge_part(request: Request, part: Shelved) -> dict[str, Any]:
    """Judge a part that lies on the shelf.

    Parameters
    ----------
    request : Request
        The need.
    part : Shelved
        The part, of the family asked for or of one that may serve it.

    Returns
    -------
    dict
        An answer of schemas/answer.json with that part alone, by its best option.

    Raises
    ------
    UsageError
        If no part of that family can do this job.
    """
    return judged(request, part)[0]


def judged(request: Request, part: Shelved) -> tuple[dict[str, Any], Candidate]:
    """Judge a part as `judge_part` does; return the answer, and the part as it was judged."""
    family, need = build(request)
    own = (family, need)
    if part.family != family.name:
        serving = dict(servers(family.name, need.position))
        if part.family not in serving:
            raise UsageError(
                f"{part.number} is a {part.family}, the need is a {family.name} as {need.position}",
                hint="name what it is to stand in for",
            )
        own = build(Request(load(part.family).name, request.text, serving[part.family], {}, request.facts))
    (one,) = brute(own[0], own[1], [part])
    chosen = {verdict: [one] if one.verdict is verdict else [] for verdict in Verdict}
    usable = [*chosen[Verdict.FITS], *chosen[Verdict.CARE]]
    return answer_of(family, need, Found(usable, chosen[Verdict.MEASURE], chosen[Verdict.UNFIT])), one
