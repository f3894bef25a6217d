"""The long form of the bad days: each command killed many times, and inputs without end; prints the figures.

``python -m tests.hardship.run --kills 200 --inputs 1000000``
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from pathlib import Path

from tests.hardship.commands import COMMANDS, lay_out
from tests.hardship.kill import kill


def main() -> int:
    """Run it and print the figures."""
    words = argparse.ArgumentParser(prog="python -m tests.hardship.run")
    words.add_argument("--kills", type=int, default=200, help="of each command")
    words.add_argument("--command", action="append", choices=COMMANDS, help="only these")
    words.add_argument("--seed", type=int, default=7, help="what the moments are drawn with")
    given = words.parse_args()
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        template = Path(folder) / "template"
        template.mkdir()
        lay_out(template)
        for name in given.command or COMMANDS if given.kills else ():
            tally = kill(name, given.kills, template, Path(folder), given.seed)
            wrong += len(tally.wrong)
            print(json.dumps(tally.figures), flush=True)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
