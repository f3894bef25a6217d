"""One donor: what it gave, what is left, what was tested or bad, in whose sets it sits, and what the stripping was worth."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from partsbin.jobs.trace import siblings
from partsbin.notation.money import say_money
from partsbin.reports.frames import report
from partsbin.reports.writing import plain_rows
from partsbin.stock.donors import Chassis, parts_of


def donor_portrait(connection: Connection, donor: Chassis, now: datetime) -> dict[str, Any]:
    """Return a donor with its sums, its parts by family, and the sets in which they sit."""
    rows = plain_rows(report(connection, "donors", now))
    sums = next((row for row in rows if row["donor"] == donor.code), {})
    given = parts_of(connection, donor)
    sets = {each["part"]: each["sets"] for each in siblings(connection, donor=donor.code)}
    families: dict[str, dict[str, int]] = {}
    for part in given:
        family = families.setdefault(part["family"], {"parts": 0, "left": 0})
        family["parts"] += 1
        family["left"] += part["on_hand"]
    return {
        **donor.as_json(),
        **{name: value for name, value in sums.items() if name not in ("donor", "name")},
        "families": families,
        "given": [
            {
                "part": part["part"],
                "family": part["family"],
                "title": part["title"],
                "on_hand": part["on_hand"],
                "sets": sets.get(part["part"], []),
            }
            for part in given
        ],
    }


def donor_lines(found: Mapping[str, Any]) -> list[str]:
    """Return a donor's portrait as lines."""
    valves = f": {found['lineup']}" if found["lineup"] else ""
    came = f", came {found['came']}" if found["came"] else ""
    cost = f", cost {say_money(found['cost'])}" if found["cost"] is not None else ""
    lines = [f"{found['donor']}  {found['name'] or 'a donor'}{valves}{came}{cost}"]
    lines += [f"    {found['note']}"] if found["note"] else []
    if "left" in found:
        lines.append(
            f"    {found['parts']} parts: {found['left']} pieces left, {found['tested']} of them tested; {found['used']} used, "
            f"{found['bad']} bad"
        )
        worth = f"    worth {say_money(found['value_left'])} left, {say_money(found['value_used'])} used"
        hour = found["value_an_hour"]
        spent = f"; {found['minutes']:g} minutes of stripping" if found["minutes"] else ""
        lines.append(worth + spent + (f", {say_money(round(hour))} an hour" if hour is not None else ""))
    for family, sums in found["families"].items():
        lines.append(f"    {family}: {sums['parts']} parts, {sums['left']} left")
    for part in found["given"]:
        lines += [
            f"    {part['part']} {part['title']}: {each['pieces']} in the set of {each['job']}"
            + (f" ({each['reference']})" if each["reference"] else "")
            for each in part["sets"]
        ]
    return lines
