"""A price list being taken in: the first different lines are read, all others kept as they are written until they may serve."""

from __future__ import annotations

import hashlib
from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import replace

from partsbin.errors import NotationError, Problem
from partsbin.jobs.price_lists import Sold, columns_text, saying, sold
from partsbin.stock.accounts import NOT_OURS, REFUSED, RowAccount
from partsbin.stock.intake import Intake
from partsbin.stock.price_columns import PriceColumns, find_columns
from partsbin.stock.price_reader import Breaks, Cells, Pieces, Price, PriceReader, together
from partsbin.stock.sections import Section
from partsbin.stock.sieve import Sieve, Sieved

AT_ONCE = 300
"""Different lines of a list that are read when it is taken in; the others are when they may serve something [-]."""


Line = tuple[str, str, str, Breaks, Pieces, Sold | None]
"""A line of the list: how it is read, its cells, its article and price, and what it sells if it was read."""


_Found = tuple[RowAccount, Sold | None]
"""What became of a line that was read, and what it sells."""

_RUN = 512
"""Lines that are looked over together: of a list with many tables little is looked over in vain [-]."""

_NOWHERE = Section()


class PriceIntake:
    """The offers of a list: the first different lines are read, all others kept as they are written until they may serve."""

    def __init__(
        self, intake: Intake, columns: PriceColumns, given: Mapping[str, str], condition: str, at_once: int
    ) -> None:
        self.intake, self.given, self.condition, self.at_once = intake, given, condition, at_once
        self.columns: dict[str, str] = {}
        self.lines: list[Line] = []
        self.sieved: list[Sieved] = []
        self.kept: list[tuple[Cells, Section]] = []
        self.read = self.before = 0
        self._begin(columns)

    def sieve_on(self) -> None:
        """Sieve the lines that were kept unread since the last time: in their order."""
        if self.kept:
            self.sieved += self.sieve.look_all(*zip(*self.kept, strict=True))
            self.kept.clear()

    def _begin(self, columns: PriceColumns) -> None:
        """Begin a table."""
        rows = self.intake.rows
        self.rows = rows
        self.prices = PriceReader(columns, rows.headings, comma=self.intake.cells.decimal_comma)
        self.say, self.sieve = saying(rows.mapping), Sieve(rows.mapping, rows.reader.usual)
        self.wide, self.counted = len(rows.headings), "count" in rows.mapping.where
        self.known: dict[Section, dict[str, _Found]] = {}
        self.keys: dict[Section, str] = {}
        self.section, self.key = _NOWHERE, ""
        self.own: dict[str, _Found] = {}

    def take(self, rows: Sequence[tuple[int, Cells]]) -> Iterator[tuple[int, RowAccount]]:
        """Take rows in, and yield what became of them, with their lines; not of those that are kept unread."""
        start = 0
        while start < len(rows):
            start += yield from self._take(rows[start : start + _RUN])

    def _take(self, rows: Sequence[tuple[int, Cells]]) -> Generator[tuple[int, RowAccount], None, int]:
        """Take in those of the rows that are of the same table, and return how many they are."""
        intake, lines = self.intake, [line for line, _ in rows]
        cells = [values if len(values) >= self.wide else intake.filled(values) for _, values in rows]
        each = zip(
            (self.before, *lines[:-1]), lines, cells, intake.surely_parts(cells), self.say(cells),
            self.prices.each(cells), strict=True,
        )  # fmt: skip
        own = self._known()
        for before, line, values, sure, said, (article, breaks, pieces) in each:
            if not sure:
                other, own = intake.no_part(line, values, before), self._known()
                if other is not None:
                    yield line, other
                    if intake.rows is not self.rows:
                        self.before = line
                        self.sieve_on()
                        self._begin(find_columns(intake.headings, self.given))
                        return lines.index(line) + 1
                    continue
            found = own.get(said)
            if found is None and self.read < self.at_once:
                found = self._read(line, values, said)
            one = found[1] if found is not None else None
            if found is not None and one is None:
                yield line, found[0]  # no part: nobody asks what it costs
            elif isinstance(breaks, NotationError) or isinstance(pieces, NotationError):
                fault = breaks if isinstance(breaks, NotationError) else pieces
                yield line, self._no_price(line, values, said, fault)
            elif found is None or one is None:
                self.kept.append((values, self.section))
                self.lines.append((self.key, said, article, breaks, pieces, None))
            else:
                yield line, found[0]
                if one.together > 1:
                    price = together(Price(article, breaks, *pieces), one.together)
                    breaks, pieces = price.breaks, price[2:]
                self.lines.append((self.key, said, article, breaks, pieces, one))
        self.before = lines[-1]
        return len(rows)

    def _known(self) -> dict[str, _Found]:
        """Return what lines say that were read under the headings that hold now."""
        section = self.intake.sections.now
        if section is not self.section:
            self.section, self.own = section, self.known.setdefault(section, {})
            self.key = self.keys.get(section) or self._key(section)
        return self.own

    def _read(self, line: int, values: Sequence[str], said: str) -> _Found:
        self.read += 1
        row = self.rows.part(line, values, self.section)
        found = (row, sold(row, self.condition, counted=self.counted))
        if row.draft is not None or (row.status == NOT_OURS and not row.family):
            self.own[said] = found  # what is wrong with a row is said with its own line
        return found

    def _no_price(self, line: int, values: Sequence[str], said: str, fault: NotationError) -> RowAccount:
        """A line without a price is refused, if it is one of a part at all."""
        row, _ = self.own.get(said) or self._read(line, values, said)
        if row.draft is None:
            return row
        problem = Problem("CSV-PRICE", fault.message, self.intake.cells.name, line)
        return replace(row, line=line, status=REFUSED, draft=None, problems=[*row.problems, problem])

    def _key(self, section: Section) -> str:
        told = columns_text(self.rows, section, self.condition)
        key = self.keys[section] = hashlib.sha256(told.encode()).hexdigest()[:32]
        self.columns[key] = told
        return key
