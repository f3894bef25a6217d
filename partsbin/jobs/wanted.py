"""Parts that have just come in against everything that jobs still want: what a part would serve is said at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import Family
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.record import jobs
from partsbin.matching.answer import build
from partsbin.matching.candidates import judge_parts
from partsbin.needs import Need, Request
from partsbin.rules.serving import servers
from partsbin.stock.shelf import Shelved, get
from partsbin.store.statements import Statement

_FAMILIES = Statement("SELECT id, family FROM part WHERE id IN :ids")


@dataclass(frozen=True)
class Match:
    """A part that would serve a need that is still open.

    Parameters
    ----------
    part_id : int
        The part.
    job, name : str
        ``J-0012``, and the designator of its need or what it is.
    verdict : Verdict
        What judging says.
    """

    part_id: int
    job: str
    name: str
    verdict: Verdict

    @property
    def said(self) -> str:
        """In words."""
        first = ", once measured" if self.verdict is Verdict.MEASURE else f" ({self.verdict.word})"
        return f"would serve {self.name} of {self.job}{first}"


def would_serve(connection: Connection, part_ids: Sequence[int]) -> list[Match]:
    """Return which open needs of open jobs some parts would serve, the best verdict of each part first.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    part_ids : sequence of int
        Parts that have just come in.

    Notes
    -----
    A need whose position is not said yet is not asked. What is served by another part already is named all the same: until it
    is fitted the choice is open.
    """
    named: dict[str, list[int]] = {}
    for row in _FAMILIES.of_ids(connection, list(part_ids)):
        named.setdefault(row["family"], []).append(row["id"])
    parts: dict[str, list[Shelved]] = {}
    found = []
    for job in jobs(connection, open_only=True) if named else []:
        for wanted, _ in open_needs(connection, job):
            if not wanted.position:
                continue
            for family, need in asked(wanted.request(job)):
                if family.name not in named:
                    continue
                if family.name not in parts:
                    parts[family.name] = list(get(connection, family, named[family.name]).values())
                name = wanted.designator or f"{wanted.position} {wanted.family}"
                judged = judge_parts(family, need, family.search(need), parts[family.name])
                found += [Match(c.part.id, job.code, name, c.verdict) for c in judged if c.verdict is not Verdict.UNFIT]
    return sorted(found, key=lambda match: (match.part_id, match.verdict))


def asked(request: Request) -> list[tuple[Family, Need]]:
    """The need, and what other families it may be served by."""
    family, need = build(request)
    own = [(family, need)]
    for name, position in servers(family.name, need.position):
        own.append(build(Request(name, request.text, position, {}, request.facts)))
    return own
