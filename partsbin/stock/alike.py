"""Rows of a long list that say the same of the part, whatever they cost: understood once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import itemgetter

from partsbin.stock.accounts import NOT_OURS, RowAccount
from partsbin.stock.intake import Intake
from partsbin.stock.sections import Section


class Alike:
    """Tells what became of the rows of a list.

    Parameters
    ----------
    intake : Intake
        The list. Columns without a role say nothing of the part: rows that differ in these alone are alike.
    """

    def __init__(self, intake: Intake) -> None:
        self.intake = intake
        self._begin()

    def _begin(self) -> None:
        columns = self.intake.mapping.columns
        self.headings = self.intake.headings
        self.wide = len(columns)
        self.known: dict[tuple[Section, str | tuple[str, ...]], RowAccount] = {}
        places = [at for at, column in enumerate(columns) if column.role]
        self.said: Callable[[Sequence[str]], str | tuple[str, ...]] = itemgetter(*places) if places else lambda row: ""

    def row(self, line: int, values: Sequence[str]) -> RowAccount:
        """Return what became of a row: the same object for rows that are alike, with the line of the first of them."""
        intake = self.intake
        if len(values) < self.wide:
            values = intake.filled(values)
        if (other := intake.no_part(line, values)) is not None:
            if intake.headings is not self.headings:
                self._begin()  # another table begins
            return other
        said = (intake.sections.now, self.said(values))
        if (found := self.known.get(said)) is None:
            found = intake.part(line, values)
            if found.draft is not None or (found.status == NOT_OURS and not found.family):
                self.known[said] = found  # what is wrong with a row is said with its own line
        return found
