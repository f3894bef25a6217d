"""Prints the worst error of each quantity over all circuits: `python -m tests.circuit.simulator`, `--all` for each circuit."""

from __future__ import annotations

import sys

from tests.circuit.simulator.cases import outcome
from tests.circuit.simulator.grid import CASES, faults, table, worst

if __name__ == "__main__":
    outcomes = [(case.title, outcome(case)) for case in CASES]
    if "--all" in sys.argv:
        for title, claims in outcomes:
            print(title, *(f"{claim.quantity} {claim.error:+.2%}" for claim in claims), sep="  ")
    print(*table(worst(outcomes)), f"{len(outcomes)} circuits", *faults(outcomes), sep="\n")
