"""A list of needs taken whole: read, noted all or nothing, and held against the shelf at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection

from partsbin.jobs.as_tables import own_cells, read_own
from partsbin.jobs.listing import Entry, read_needs
from partsbin.jobs.noting import Sums, note, weigh
from partsbin.jobs.plan import Served
from partsbin.jobs.record import Opened
from partsbin.jobs.typed import cells_of
from partsbin.stock.lists import Cells


@dataclass(frozen=True)
class NeedsTaken:
    """What became of a list.

    Parameters
    ----------
    file : str
        Its name.
    entries : tuple of Entry
        Every row that names a part.
    served : tuple of Served
        The job's plan with them.
    sums : Sums
        What became of every piece.
    problems : tuple of str
        What is wrong with cells.
    written : bool
        Whether the needs were noted.
    """

    file: str
    entries: tuple[Entry, ...]
    served: tuple[Served, ...]
    sums: Sums
    problems: tuple[str, ...]
    written: bool


@dataclass(frozen=True)
class NeedsFile:
    """A list as it was read: its cells, and whether its columns are ours."""

    cells: Cells
    own: bool
    given: Mapping[str, str] | None = None


def open_list(
    path: Path, *, given: Mapping[str, str] | None = None, encoding: str | None = None, sheet: str = ""
) -> NeedsFile:
    """Read a list of needs, ours or anybody's.

    Parameters
    ----------
    path : Path
        The file.
    given : mapping of str to str, optional
        Roles of columns by heading, as the person said.
    encoding : str, optional
        Its encoding, where the guess is wrong.
    sheet : str
        Which sheet of a workbook.

    Raises
    ------
    ListError
        If it cannot be read.
    """
    own = own_cells(path, encoding=encoding, sheet=sheet) if not given else None
    return NeedsFile(own or cells_of(path, encoding=encoding, sheet=sheet, given=given), own is not None, given)


def take_needs(
    connection: Connection, job: Opened, file: NeedsFile, *, dry_run: bool = False, keep_good: bool = False
) -> NeedsTaken:
    """Note the needs of a list, all or nothing, and say what the shelf serves of them now.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    job : Opened
        Whose set it is of; open.
    file : NeedsFile
        The list.
    dry_run : bool
        Whether nothing is to be written.
    keep_good : bool
        Whether the good rows are noted although others have problems.
    """
    entries, problems = read_own(file.cells) if file.own else read_needs(file.cells, job, given=file.given)
    write = not dry_run and (keep_good or not problems)
    trial = connection.begin_nested()
    entries = note(connection, job, entries)
    sums, made = weigh(connection, job, entries)
    if write:
        trial.commit()
    else:
        trial.rollback()
    told = tuple(problem.text() for problem in problems)
    return NeedsTaken(file.cells.name, tuple(entries), tuple(made), sums, told, write)
