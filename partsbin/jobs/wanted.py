"""Parts that have just come in against everything that jobs still want: what a part would serve is said at once."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.label import label, weaker
from partsbin.jobs.needs import Wanted
from partsbin.jobs.record import Opened, jobs
from partsbin.matching.answer import build_each
from partsbin.matching.candidates import judge_parts
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
    if not named:
        return []
    parts = {family: list(get(connection, load(family), ids).values()) for family, ids in named.items()}
    judged: dict[Hashable, list[tuple[int, Verdict]]] = {}
    found = []
    for job in jobs(connection, open_only=True):
        for wanted, _ in open_needs(connection, job):
            if not wanted.position or parts.keys().isdisjoint(_families(wanted)):
                continue
            alike = (job.id, wanted.family, wanted.text, wanted.position, tuple(wanted.texts.items()), bool(wanted.why))
            if alike not in judged:
                judged[alike] = list(_verdicts(job, wanted, parts))
            name = wanted.designator or f"{wanted.position} {wanted.family}"
            found += [Match(ident, job.code, name, verdict) for ident, verdict in judged[alike]]
    return sorted(found, key=lambda match: (match.part_id, match.verdict))


_CAME = Statement("""
SELECT DISTINCT part.id FROM (SELECT id, part_id, act_id, word, quantity FROM movement ORDER BY id DESC LIMIT :last) AS came
JOIN part ON part.id = came.part_id
WHERE came.word IN ('shelved', 'bought', 'returned', 'parted') AND came.quantity > 0 AND part.on_hand > part.reserved
  AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = came.act_id)
ORDER BY part.id DESC LIMIT :most
""")
LAST = 500
"""Movements among which is looked for what has just come in [-]."""


def just_come(connection: Connection, most: int) -> list[int]:
    """Return the newest of the parts that came onto the shelf lately and lie there still."""
    return [row[0] for row in _CAME.rows(connection, {"last": LAST, "most": most})]


def _families(wanted: Wanted) -> set[str]:
    """The families that a need may be served from."""
    return {wanted.family, *(name for name, _ in servers(wanted.family, wanted.position))}


def _verdicts(job: Opened, wanted: Wanted, parts: Mapping[str, list[Shelved]]) -> Iterator[tuple[int, Verdict]]:
    """Which parts would serve a need; under a guessed position none that is marked with less than the dead part."""
    least = label(load(wanted.family), wanted.text) if wanted.why else {}
    for family, need in build_each(wanted.request(job)):
        if family.name in parts:
            for each in judge_parts(family, need, family.search(need), parts[family.name]):
                if each.verdict is not Verdict.UNFIT and not weaker(each.option.offers, least):
                    yield each.part.id, each.verdict
