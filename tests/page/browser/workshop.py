"""A workshop in one of eight views: a catalogue that is served, and the browser of somebody who has said their name."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from tests.command import partsbin
from tests.page.browser.chromium import Tab


class View(NamedTuple):
    """How a page is looked at."""

    width: int
    scripts: bool
    dark: bool

    def __str__(self) -> str:
        """Return it in words."""
        return f"{self.width} px{'' if self.scripts else ' no scripts'}{' dark' if self.dark else ''}"


EIGHT = tuple(View(*each) for each in itertools.product((390, 1280), (True, False), (False, True)))
"""Both widths, with scripts and without, both schemes."""


@dataclass
class Workshop:
    """One view of a workshop that is shared by tests: each opens jobs of its own and touches parts of its own.

    Parameters
    ----------
    view : View
        How its pages are looked at.
    file : Path
        Its catalogue.
    site : str
        Where it is served.
    tab : Tab
        Whose name is said.
    """

    view: View
    file: Path
    site: str
    tab: Tab

    def told(self, *words: str) -> str:
        """Return what the command line says over the same catalogue."""
        ran = partsbin(*words, db=self.file)
        assert ran.code == 0, (words, ran.err)
        return ran.out

    def job(self, what: str, *facts: str) -> str:
        """Open a job and return its number."""
        return self.told("job", "open", what, *(word for fact in facts for word in ("--with", fact))).split()[0]
