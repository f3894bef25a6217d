"""A price list being taken in: the first different lines are read, all others kept as they are written until they may serve."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace

from partsbin.errors import NotationError, Problem
from partsbin.jobs.price_lists import Sold, columns_text, saying, sold
from partsbin.stock.accounts import LATER, NOT_OURS, REFUSED, RowAccount
from partsbin.stock.intake import Intake
from partsbin.stock.price_columns import Price, PriceColumns, PriceReader, find_columns, together
from partsbin.stock.sections import Section
from partsbin.stock.sieve import Sieve, Sieved

AT_ONCE = 300
"""Different lines of a list that are read when it is taken in; the others are when they may serve something [-]."""


Line = tuple[str, str, Price, Sold | None]
"""A line of the list: how it is read, its cells, its price, and what it sells if it was read."""


READ = Sieved(0, 0.0, 0.0, 0.0)
"""What is kept of a line that is read."""

UNTOLD = RowAccount(0, "", LATER)


class PriceIntake:
    """The offers of a list: the first different lines are read, all others kept as they are written until they may serve."""

    def __init__(
        self, intake: Intake, columns: PriceColumns, given: Mapping[str, str], condition: str, at_once: int
    ) -> None:
        self.intake, self.given, self.condition, self.at_once = intake, given, condition, at_once
        self.columns: dict[str, str] = {}
        self.lines: list[Line] = []
        self.sieved: dict[int, Sieved] = {}
        self.kept: list[tuple[int, Sequence[str], Section]] = []
        self.read = self.unread = 0
        self._begin(columns)

    def sieve_on(self) -> None:
        """Sieve the lines that were kept unread since the last time."""
        found = self.sieve.look_all([values for _, values, _ in self.kept], [section for *_, section in self.kept])
        for (at, _, _), sieved in zip(self.kept, found, strict=True):
            self.sieved[at] = sieved
        self.kept.clear()

    def _begin(self, columns: PriceColumns) -> None:
        """Begin a table."""
        rows = self.intake.rows
        self.rows = rows
        self.prices = PriceReader(columns, rows.headings, comma=self.intake.cells.decimal_comma)
        self.say, self.sieve = saying(rows.mapping), Sieve(rows.mapping, rows.reader.usual)
        self.wide, self.counted = len(rows.headings), "count" in rows.mapping.where
        self.known: dict[Section, dict[str, tuple[RowAccount, Sold | None]]] = {}
        self.section: Section | None = None
        self.own: dict[str, tuple[RowAccount, Sold | None]] = {}
        self.key = ""
        self.keys: dict[Section, str] = {}

    def row(self, line: int, values: Sequence[str]) -> RowAccount:
        """Take a row in, and return what became of it."""
        intake = self.intake
        if len(values) < self.wide:
            values = intake.filled(values)
        if (other := intake.no_part(line, values)) is not None:
            if intake.rows is not self.rows:  # another table begins
                self.sieve_on()
                self._begin(find_columns(intake.headings, self.given))
            return other
        section, said = intake.sections.now, self.say(values)
        if section is not self.section:
            self.section, self.own = section, self.known.setdefault(section, {})
            self.key = self.keys.get(section) or self._key(section)
        found = self.own.get(said)
        if found is None and self.read < self.at_once:
            found = self._read(line, values, section, said)
        if found is not None and found[1] is None:
            return found[0]
        try:
            price = self.prices.read(values)
        except NotationError as fault:
            return self._no_price(line, values, section, said, fault)
        row, one = found or (UNTOLD, None)
        if one is None:
            self.unread += 1
            self.kept.append((len(self.lines), values, section))
        elif one.together > 1:
            price = together(price, one.together)
        self.lines.append((self.key, said, price, one))
        return row

    def _read(self, line: int, values: Sequence[str], section: Section, said: str) -> tuple[RowAccount, Sold | None]:
        self.read += 1
        row = self.rows.part(line, values, section)
        found = (row, sold(row, self.condition, counted=self.counted))
        if row.draft is not None or (row.status == NOT_OURS and not row.family):
            self.own[said] = found  # what is wrong with a row is said with its own line
        return found

    def _no_price(
        self, line: int, values: Sequence[str], section: Section, said: str, fault: NotationError
    ) -> RowAccount:
        """A line without a price is refused, if it is one of a part at all."""
        row, _ = self.own.get(said) or self._read(line, values, section, said)
        if row.draft is None:
            return row
        problem = Problem("CSV-PRICE", fault.message, self.intake.cells.name, line)
        return replace(row, line=line, status=REFUSED, draft=None, problems=[*row.problems, problem])

    def _key(self, section: Section) -> str:
        told = columns_text(self.rows, section, self.condition)
        key = self.keys[section] = hashlib.sha256(told.encode()).hexdigest()[:32]
        self.columns[key] = told
        return key
