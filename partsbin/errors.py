"""Faults: what stops the work (exceptions) and what is reported about data (problems as values).

Wording: state the fault, quote the text given, say what was expected; the hint is a field of its own. Lower case, no full stop.
"""

from __future__ import annotations

from dataclasses import dataclass


class PartsbinError(Exception):
    """The work cannot be done. The command line prints `message` and `hint` and ends with `exit_code`.

    Parameters
    ----------
    message : str
        The fault, with the text given in quotes and what was expected.
    hint : str, optional
        What to do about it.
    """

    code = "PB-ERROR"
    exit_code = 2

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class NotationError(PartsbinError):
    """A text that should be a value in trade notation is not one."""

    code = "PB-NOTATION"


class RulesError(PartsbinError):
    """The rules, or the workshop's overrides of them, break their own form or loosen a wall."""

    code = "PB-RULES"


class DeclarationError(PartsbinError):
    """A family's declaration breaks the contract; the program refuses to start with it."""

    code = "PB-FAMILY"


class UsageError(PartsbinError):
    """The command's words are off: an unknown family, position, fact or part."""

    code = "PB-USAGE"


class StoreError(PartsbinError):
    """The catalogue cannot be opened, read or written."""

    code = "PB-STORE"


class RefusedError(PartsbinError):
    """An act on the stock that the ledger does not allow, such as fitting more than there is."""

    code = "PB-ACT"
    exit_code = 1


@dataclass(frozen=True)
class Problem:
    """One fault found in data: batch work collects these and reports them all.

    Parameters
    ----------
    code : str
        Stable name of the kind of fault, such as ``CSV-VALUE``.
    message : str
        The fault, quoting what was given and saying what was expected.
    file, line, column : str, int, str
        Where it stands; line counts from 1, column is the heading's own text.
    hint : str
        What to do about it.
    fatal : bool
        True if the row cannot be taken; False if it was taken with something left out.
    """

    code: str
    message: str
    file: str = ""
    line: int = 0
    column: str = ""
    hint: str = ""
    fatal: bool = True

    def text(self) -> str:
        """Return the problem as ``file:line: column: message`` with the hint on its own line."""
        place = ":".join(str(item) for item in (self.file, self.line or "") if item)
        parts = [item for item in (place, self.column, self.message) if item]
        line = ": ".join(parts)
        return f"{line}\n    hint: {self.hint}" if self.hint else line
