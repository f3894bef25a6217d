"""The demonstration: a railway workshop's shelf in a file of its own, and repairs played on it."""

from __future__ import annotations

import tempfile
import textwrap
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine

from partsbin.cli.account import account_text
from partsbin.cli.common import now, tell, user
from partsbin.cli.render import answer_text
from partsbin.errors import UsageError
from partsbin.matching.answer import find
from partsbin.needs import Request
from partsbin.resources import resource
from partsbin.sets import read_facts
from partsbin.stock.catalogue import shelve
from partsbin.stock.intake import REFUSED, take_in
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, reading, writing


@dataclass(frozen=True)
class Repair:
    """One repair of the demonstration."""

    story: str
    family: str
    text: str
    position: str
    facts: tuple[str, ...]

    def command(self, file: Path) -> str:
        """Return the command that asks the same."""
        given = " ".join(f'--with "{fact}"' if " " in fact else f"--with {fact}" for fact in self.facts)
        text = f' "{self.text}"' if self.text else ""
        return f"partsbin find {self.family}{text} --position {self.position} {given} --db {file}"


REPAIRS = (
    Repair(
        "A station announcement amplifier is silent on one half: its push-pull output transformer has an open half-primary. "
        "Valves and loudspeaker line are known, nothing else.",
        "transformer", "", "output",
        ("lineup=EF86 ECC83 2xEL84 EZ81", "speaker=100 V 20 W", "chassis=floating"),
    ),
    Repair(
        "A signal-box intercom hums; its reservoir is dry. The label of the spare says enough for the running rail, and the "
        "cold start says no.",
        "capacitor", "32uF 350V", "reservoir",
        ("lineup=ECC83 2xECL86 EZ81", "secondary=286-0-286 off-load±1%", "mains_now=231", "current=80mA", "winding_resistance=200"),
    ),
    Repair(
        "A carriage receiver crackles and will not switch off: its worn volume control carries the mains switch, and the chassis "
        "is joined to the mains.",
        "potentiometer", "1M log with double pole switch", "volume",
        ("lineup=UCH81 UF89 UABC80 UL84 UY85", "chassis=live"),
    ),
)  # fmt: skip


def play(db: str | None, width: int) -> None:
    """Build the demonstration catalogue and play its repairs.

    Raises
    ------
    UsageError
        If the file named already exists.
    """
    file = Path(db) if db else Path(tempfile.mkdtemp(prefix="partsbin-demo-")) / "demo.sqlite"
    if file.exists():
        raise UsageError(
            f"{str(file)!r} exists", hint="the demonstration builds a file of its own: name one that is not there"
        )
    engine = open_store(file)
    try:
        _repairs(engine, file, width)
    finally:
        engine.dispose()


def _repairs(engine: Engine, file: Path, width: int) -> None:
    tell(f"DEMONSTRATION  the shelf of an invented railway's workshop, in {file}\n")
    _fill(engine, width)
    for number, repair in enumerate(REPAIRS, 1):
        tell("\n" + textwrap.fill(f"REPAIR {number}  {repair.story}", width, subsequent_indent=" " * 10))
        tell(f"$ {repair.command(file)}\n")
        request = Request(repair.family, repair.text, repair.position, {}, read_facts(repair.facts))
        with reading(engine) as connection:
            tell(answer_text(find(connection, request), width))


def _fill(engine: Engine, width: int) -> None:
    """Take in the inventory as a user would: the impossible rows are reported and left out."""
    account = take_in(read_cells(resource("demo_inventory.csv")))
    with writing(engine) as connection:
        written = shelve(connection, account.drafts, at=now(), by=user(), why="demonstration")
    tell(account_text(account, written, width, shown=(REFUSED,)))
