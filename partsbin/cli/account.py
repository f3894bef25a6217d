"""The account of an import as text: columns, every row that was not plainly taken, totals that add up to the list."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sized
from dataclasses import replace

from partsbin.cli.common import plain
from partsbin.errors import Problem
from partsbin.stock.accounts import (
    AGAIN,
    CHANGED,
    HEADING,
    LATER,
    NOT_OURS,
    NOT_READ,
    REFUSED,
    TAKEN,
    UNREAD,
    UNSURE,
    Account,
    RowAccount,
)
from partsbin.stock.columns import NAME, OWN, TOLD

_SAID = {
    TAKEN: "understood",
    UNSURE: "understood with a doubt",
    NOT_OURS: "left out: of no family kept here",
    UNREAD: "left out: not understood",
    REFUSED: "refused: a problem",
    AGAIN: "already in the catalogue",
    CHANGED: "already in the catalogue, the row has changed since",
    HEADING: "no parts: headings and totals",
    LATER: "kept as they are written: read when something is wanted that they may serve",
}


ALL = (TAKEN, UNSURE, AGAIN, CHANGED, HEADING, NOT_OURS, UNREAD, REFUSED)


def account_text(account: Account, written: Sized | None, width: int, *, shown: Collection[str] = ALL) -> str:
    """Return the account of an import.

    Parameters
    ----------
    account : Account
        What became of each row.
    written : sized, optional
        The parts shelved, None if nothing was written.
    width : int
        Columns to wrap at.
    shown : collection of str
        Which fates are shown row by row; the totals always cover every row.
    """
    lines = [plain(f"{account.file}: {'; '.join(account.notes)}")]
    lines += textwrap.wrap(f"columns: {_columns(account)}", width, subsequent_indent="    ")
    for status in ALL:
        rows = [row for row in account.rows if row.status == status and status in shown]
        if rows:
            lines += ["", f"{_SAID[status].upper()}  {account.count[status]:,}"]
            for row in rows:
                lines += _row(row, width)
            if account.count[status] > len(rows):
                lines.append(f"  and {account.count[status] - len(rows):,} more")
    totals = account.totals()
    lines += [
        "",
        f"{sum(totals.values()):,} rows: "
        + ", ".join(
            f"{count:,} {_SAID[status]}{_of_families(account, status)}" for status, count in totals.items() if count
        ),
    ]
    if account.count[AGAIN] and TOLD in account.why.values():
        lines.append("rows that are here stay as they were read: what is said of the columns holds for new ones")
    if account.count[CHANGED]:
        lines.append("what has changed is written down with partsbin count and partsbin move")
    lines.append(_fate(account, written))
    return "\n".join(lines)


def _columns(account: Account) -> str:
    """Say what each column was taken for; those that bear our own names need no line of their own."""
    own = [name for name, role in account.columns.items() if name == role]
    unread = [name for name, role in account.columns.items() if role == NOT_READ]
    taken = [
        f"{name} → {role}{_doubt(account.why.get(name, ''))}"
        for name, role in account.columns.items()
        if role not in (name, NOT_READ)
    ]
    said = ([f"{len(own)} under our own names"] if own else []) + taken
    return "; ".join(said + ([f"{NOT_READ}: {', '.join(unread)}"] if unread else []))


def _of_families(account: Account, status: str) -> str:
    """Name the families of what was left out."""
    if status != NOT_OURS:
        return ""
    named = [f"{count:,} {family}" for family, count in account.left_out.most_common() if family]
    return f" ({', '.join(named)})" if named else ""


def _doubt(why: str) -> str:
    """Say why a column was taken for what it is, where its own name does not say it."""
    return "" if why in ("", NAME, OWN) else f" ({why})"


def _row(row: RowAccount, width: int) -> list[str]:
    if row.problems:
        return [line for problem in row.problems for line in _problem(problem)]
    said = f"  {row.line:>4}  {plain(row.text) or '(columns)'}"
    if row.title:
        said += f"  →  {row.family}: {plain(row.title)}" + (f", {plain(row.how_many)}" if row.how_many != "1" else "")
    if row.notes:
        said += f"  ({plain('; '.join(row.notes))})"
    return textwrap.wrap(said, width, subsequent_indent=" " * 8) or [f"  {row.line:>4}"]


def _problem(problem: Problem) -> list[str]:
    """One line, and the hint on another; neither can be made into more by what stood in the cell."""
    said = plain(replace(problem, hint="").text())
    return [said, f"    hint: {plain(problem.hint)}"] if problem.hint else [said]


def _fate(account: Account, written: Sized | None) -> str:
    if written is None:
        if account.problems:
            return "nothing was written: mend the rows above, or take the good ones with --keep-good"
        return "nothing was written (dry run)"
    return f"{len(written):,} parts shelved"
