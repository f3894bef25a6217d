"""A circuit with what we say about it: each claim is our figure beside the simulator's."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from tests.circuit.simulator.netlist import Netlist
from tests.circuit.simulator.runner import run


@dataclass(frozen=True)
class Claim:
    """One quantity: our figure, and what the simulator measured."""

    quantity: str
    ours: float
    simulated: float

    @property
    def error(self) -> float:
        """Ours over the simulator's, less one."""
        return self.ours / self.simulated - 1


@dataclass(frozen=True, eq=False)
class Case:
    """A circuit and the claims that follow from its measurements."""

    title: str
    netlist: Netlist
    claims: Callable[[dict[str, float]], list[Claim]]


@cache
def outcome(case: Case) -> tuple[Claim, ...]:
    """Return the claims of a case; each circuit is run once."""
    return tuple(case.claims(run(case.netlist)))
