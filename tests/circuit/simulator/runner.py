"""Runs a netlist in ngspice, as a batch of its own with a time limit, and reads its measurements."""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from tests.circuit.simulator.netlist import Netlist

PROGRAM = shutil.which("ngspice")
ABSENT = "ngspice is not installed (apt-get install ngspice): the closed forms are not compared with it"
TIMEOUT = 60.0  # s for one circuit, which takes a fraction of a second

_MEASURED = re.compile(r"^(\w+)\s*=\s*([-+0-9.eE]+)", re.MULTILINE)


class SimulatorError(Exception):
    """The simulator did not answer: what it printed stands in the message."""


def run(netlist: Netlist) -> dict[str, float]:
    """Return the measurements of a circuit by name.

    Raises
    ------
    SimulatorError
        If the simulator is absent, fails, or leaves a measurement out.
    """
    if PROGRAM is None:
        raise SimulatorError(ABSENT)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "circuit.cir"
        path.write_text(netlist.text(), encoding="utf-8")
        done = subprocess.run([PROGRAM, "-b", path], capture_output=True, text=True, timeout=TIMEOUT, check=False)
    return read(done.stdout, netlist) if done.returncode == 0 else _fail(netlist, done.stdout + done.stderr)


def read(printed: str, netlist: Netlist) -> dict[str, float]:
    """Return the measurements that stand in what the simulator printed."""
    found = {name: float(value) for name, value in _MEASURED.findall(printed) if name in netlist.measures}
    missing = sorted(netlist.measures.keys() - found.keys())
    return found if not missing else _fail(netlist, f"not measured: {', '.join(missing)}\n{printed}")


def _fail(netlist: Netlist, printed: str) -> dict[str, float]:
    raise SimulatorError(f"{netlist.title}: {printed[-800:]}")
