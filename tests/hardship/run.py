"""The long form of the bad days: each command killed many times, and inputs without end; prints the figures.

``python -m tests.hardship.run --kills 200 --inputs 1000000``

Inputs are shared out evenly over what reads them, each in a process of its own, and are led by atheris where it is installed
(``pip install atheris``); what it found useful stays in ``--keep``, and leads the next run from there.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.hardship.commands import COMMANDS, lay_out
from tests.hardship.fuzz import MEMORY
from tests.hardship.kill import kill
from tests.hardship.targets import TARGETS

HERE = Path(__file__).parents[2]


def fuzz(name: str, inputs: int, seed: int, keep: Path) -> dict[str, Any]:
    """Try one target in a process of its own; return the figures."""
    words = [sys.executable, "-m", "tests.hardship.fuzz", name, "--inputs", str(inputs), "--seed", str(seed)]
    if importlib.util.find_spec("atheris") is None:
        ended = subprocess.run(words, cwd=HERE, capture_output=True, text=True)
        lines = ended.stdout.splitlines()
        return json.loads(lines[-1]) if lines else {"target": name, "wrong": ended.stderr[-2000:]}  # type: ignore[no-any-return]
    folder = keep / name
    folder.mkdir(parents=True, exist_ok=True)
    ended = subprocess.run([*words, "--led", str(folder)], cwd=HERE, capture_output=True, text=True)
    said = dict(re.findall(r"stat::(\w+):\s+(\d+)", ended.stderr))
    memory = int(said.get("peak_rss_mb", 0))
    wrong = ended.stderr[-2000:] if ended.returncode or memory > MEMORY or not said else ""
    return {
        "target": name,
        "led by": "atheris",
        "inputs": int(said.get("number_of_executed_units", 0)),
        "a second": int(said.get("average_exec_per_sec", 0)),
        "slowest s": int(said.get("slowest_unit_time_sec", 0)),
        "memory MB": memory,
        "kept": len([*folder.iterdir()]),
        "wrong": wrong,
    }


def main() -> int:
    """Run it and print the figures."""
    words = argparse.ArgumentParser(prog="python -m tests.hardship.run")
    words.add_argument("--kills", type=int, default=200, help="of each command")
    words.add_argument("--inputs", type=int, default=1_000_000, help="of all targets together")
    words.add_argument("--command", action="append", choices=COMMANDS, help="kill only these")
    words.add_argument("--target", action="append", choices=TARGETS, help="try only these")
    words.add_argument("--seed", type=int, default=7, help="what moments and inputs are drawn with")
    words.add_argument("--keep", type=Path, help="a folder for inputs that led further")
    given = words.parse_args()
    wrong = False
    with tempfile.TemporaryDirectory() as folder:
        template = Path(folder) / "template"
        template.mkdir()
        lay_out(template)
        for name in given.command or COMMANDS if given.kills else ():
            tally = kill(name, given.kills, template, Path(folder), given.seed)
            wrong |= bool(tally.wrong)
            print(json.dumps(tally.figures), flush=True)
        targets = given.target or [*TARGETS]
        for name in targets if given.inputs else ():
            figures = fuzz(name, given.inputs // len(targets), given.seed, given.keep or Path(folder) / "kept")
            wrong |= bool(figures["wrong"])
            print(json.dumps(figures, ensure_ascii=False), flush=True)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
