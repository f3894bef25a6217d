"""Everything known of a job: its set, what it needs, what was fitted and set aside, what was read and written down."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection

from partsbin.jobs.fitted import fittings_of, open_needs
from partsbin.jobs.lines import lines_of
from partsbin.jobs.needs import numbered
from partsbin.jobs.record import Opened, jobs
from partsbin.stock.ledger import set_aside_for
from partsbin.stock.shelf import number_of


def brief(job: Opened) -> dict[str, Any]:
    """Return what a list of jobs shows of one."""
    return {
        "job": job.code,
        "what": job.what,
        "reference": job.reference,
        "set": dict(job.texts),
        "opened": job.opened_at.isoformat(),
        "closed": job.closed_at.isoformat() if job.closed_at else None,
    }


def portrait(connection: Connection, job: Opened) -> dict[str, Any]:
    """Return a job with its needs, fittings, claims, lines, and what was fitted when this set was here before."""
    numbers = {wanted.id: number for number, wanted in numbered(connection, job).items()}
    before = [earlier for earlier in jobs(connection, reference=job.reference) if earlier.id < job.id]
    return {
        **brief(job),
        "open_needs": [
            {
                "number": numbers[wanted.id],
                "designator": wanted.designator,
                "family": wanted.family,
                "text": wanted.text,
                "position": wanted.position,
                "set": dict(wanted.texts),
                "pieces": left,
                "why": wanted.why,
            }
            for wanted, left in open_needs(connection, job)
        ],
        "fitted": fittings_of(connection, job.id),
        "set_aside": [{"part": number_of(i), "pieces": n} for i, n in set_aside_for(connection, job.id).items()],
        "lines": lines_of(connection, job),
        "earlier": [{**brief(j), "fitted": fittings_of(connection, j.id)} for j in before] if job.reference else [],
    }


def headline(found: Mapping[str, Any]) -> str:
    """Return a job in one line."""
    what = found["what"] or "nothing said of what it is"
    reference = f" ({found['reference']})" if found["reference"] else ""
    closed = f", closed {found['closed'][:10]}" if found["closed"] else ""
    return f"{found['job']}  {what}{reference}, opened {found['opened'][:10]}{closed}"


def portrait_text(found: Mapping[str, Any]) -> str:
    """Return a job's portrait as lines."""
    lines = [headline(found)]
    if found["set"]:
        lines.append(f"    set: {', '.join(f'{name}={text}' for name, text in found['set'].items())}")
    lines += [f"    wanted {need['number']}: {need_said(need)}" for need in found["open_needs"]]
    lines += [f"    fitted {fitting_said(fitted)}" for fitted in found["fitted"]]
    lines += [f"    set aside: {entry['pieces']} of {entry['part']}" for entry in found["set_aside"]]
    lines += [f"    {_line_said(line)}" for line in found["lines"]]
    for earlier in found["earlier"]:
        lines.append(f"    was here as {headline(earlier)}")
        lines += [f"        {fitting_said(fitted)}" for fitted in earlier["fitted"]]
    return "\n".join(lines)


def need_said(need: Mapping[str, Any]) -> str:
    """Return an open need in words."""
    where = " ".join(filter(None, (need["designator"], need["position"], need["family"])))
    count = f"{need['pieces']} × " if need["pieces"] > 1 else ""
    why = f" ({'' if need['position'] else 'position to be said: '}{need['why']})" if need.get("why") else ""
    return f"{where}: {count}{need['text'] or 'nothing known of the dead part'}{why}"


def fitting_said(fitted: Mapping[str, Any]) -> str:
    """Return something fitted in words."""
    where = " ".join(filter(None, (fitted["designator"], fitted["position"])))
    count = f"{fitted['pieces']} × " if fitted["pieces"] > 1 else ""
    change = f" · change: {fitted['change']}" if fitted["change"] else ""
    return f"{fitted['at'][:10]}  {where}: {count}{fitted['part']} {fitted['title']}, {fitted['verdict']}{change}"


def _line_said(line: Mapping[str, Any]) -> str:
    said = f": {line['said']}" if line["said"] else ""
    with_what = f", {line['instrument']}" if line["instrument"] else ""
    return f"{line['at'][:10]} {line['kind']}: {line['what']}{said}{with_what}"
