"""Running the command line as a person does: through `main`, the one place that sets exit codes."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from partsbin.cli.main import main

NOWHERE = Path("no-such-folder") / "none.sqlite"
"""The catalogue of commands that name none: never the user's own."""


class Ran(NamedTuple):
    """How a command ended, and what it printed."""

    code: int
    out: str
    err: str

    def json(self) -> Any:
        """Return what stands on stdout as the one JSON document that it must be."""
        return json.loads(self.out)


def partsbin(*words: str, db: Path = NOWHERE, rules: Path | None = None, columns: int = 110) -> Ran:
    """Run a command.

    Parameters
    ----------
    words : str
        What stands after ``partsbin``.
    db : Path
        The catalogue, as ``PARTSBIN_DB`` names it.
    rules : Path, optional
        The workshop's overrides, as ``PARTSBIN_RULES`` names them.
    columns : int
        Width of the terminal [-].
    """
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="", write_through=True) for _ in range(2))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["partsbin", *words])
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        patch.setenv("PARTSBIN_DB", str(db))
        patch.setenv("PARTSBIN_RULES", str(rules or ""))
        patch.setenv("COLUMNS", str(columns))
        code = _exit_code()
    return Ran(code, *(stream.buffer.getvalue().decode() for stream in (out, err)))


def _exit_code() -> int:
    try:
        main()
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0 if end.code is None else 1
    return 0
