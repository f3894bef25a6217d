"""Our closed forms against the simulator, circuit by circuit; and that the comparison itself can fail."""

from __future__ import annotations

import math

import pytest

from tests.circuit.simulator import supplies
from tests.circuit.simulator.cases import Case, Claim, outcome
from tests.circuit.simulator.grid import CASES, LIMITS, PROMISED, Worst, faults, table, worst
from tests.circuit.simulator.netlist import GROUND, Netlist
from tests.circuit.simulator.runner import ABSENT, PROGRAM, SimulatorError, read, run

simulated = pytest.mark.skipif(PROGRAM is None, reason=ABSENT)


@simulated
@pytest.mark.parametrize("case", CASES, ids=[case.title for case in CASES])
def test_our_figures_agree_with_the_simulator(case: Case) -> None:
    """Every figure that we give for the circuit lies within its limits."""
    assert faults([(case.title, outcome(case))]) == []


def test_the_grid_spans_mains_receivers() -> None:
    """At least sixty circuits, each once, over the range of windings, reservoirs, loads and mains that a bench meets."""
    titles = [case.title for case in CASES]
    assert len(set(titles)) == len(titles) >= 60
    columns = list(zip(*supplies.ROWS, strict=True))
    spans = [(min(column), max(column)) for column in columns]
    assert spans == [(20.0, 500.0), (8e-6, 100e-6), (0.010, 0.200), (50.0, 60.0), (1.0, 1.1)]


@pytest.mark.parametrize(("quantity", "promised"), PROMISED.items())
def test_no_limit_is_wider_than_what_is_promised(quantity: str, promised: float) -> None:
    """The limits may be tightened, not let out."""
    assert max(map(abs, LIMITS[quantity])) <= promised


@simulated
def test_the_simulator_knows_ohms_law() -> None:
    """A divider of two equal resistors halves the mains, and draws what they let through."""
    net = Netlist("divider", stop=0.1)
    net.mains("mains", "a", GROUND, 10.0, 50.0)
    net.resistor("upper", "a", "half", 100.0)
    net.resistor("lower", "half", GROUND, 100.0)
    net.measure("volts", "RMS", "v(half)", 0.02, 0.1)
    net.measure("current", "RMS", "i(vmains)", 0.02, 0.1)
    assert run(net) == pytest.approx({"volts": 5.0, "current": 0.05}, rel=1e-4)


@simulated
def test_a_valve_in_the_simulator_passes_the_current_of_its_sheet() -> None:
    """22 V across a 6X4 drive 70 mA, and volts the other way nothing."""
    net = Netlist("valve", stop=1e-3)
    for name, volts in (("forward", 22.0), ("back", -22.0)):
        net.lines.append(f"v{name} {name} 0 DC {volts}")
        net.valve(name, name, GROUND, *supplies.VALVES["6X4"])
        net.measure(name, "AVG", f"i(v{name})", 5e-4, 1e-3)
    seen = run(net)
    assert seen["forward"] == pytest.approx(-0.070, rel=1e-3)
    assert seen["back"] == pytest.approx(0.0, abs=1e-6)


@simulated
def test_a_circuit_that_the_simulator_cannot_read_is_a_fault() -> None:
    """What it printed is passed on."""
    net = Netlist("nonsense", stop=0.1)
    net.lines.append("dnothing a 0 nomodel")
    net.measure("volts", "RMS", "v(a)", 0.02, 0.1)
    with pytest.raises(SimulatorError, match="nonsense"):
        run(net)


def test_a_measurement_that_is_missing_is_a_fault() -> None:
    """A run that printed one of two is not taken."""
    net = Netlist("half", stop=0.1)
    net.measure("one", "AVG", "v(a)", 0.0, 0.1)
    net.measure("two", "AVG", "v(b)", 0.0, 0.1)
    assert read("one = 1.5e+00 from= 0.0\ntwo = 2 from= 0.0\n", net) == {"one": 1.5, "two": 2.0}
    with pytest.raises(SimulatorError, match="half: not measured: two"):
        read("one = 1.5e+00 from= 0.0\n", net)


@pytest.mark.parametrize(
    ("claim", "wrong"),
    [
        (Claim("rail", 100.4, 100.0), False),
        (Claim("rail", 100.6, 100.0), True),
        (Claim("rail", 99.4, 100.0), True),
        (Claim("rail", math.nan, 100.0), True),
        (Claim("inverse", 100.0, 100.0), False),
        (Claim("inverse", 99.9, 100.0), True),
        (Claim("inverse", 300.0, 100.0), False),
    ],
)
def test_a_figure_outside_its_limits_is_a_fault(claim: Claim, wrong: bool) -> None:
    """On either side, unknown included; a stress only where it is understated."""
    assert bool(faults([("made up", [claim])])) is wrong


def test_the_table_shows_the_worst_of_each_quantity() -> None:
    """Least and most error, and the circuit of the larger one."""
    rows = worst([("first", [Claim("rail", 101.0, 100.0)]), ("second", [Claim("rail", 98.0, 100.0)])])
    assert rows == {"rail": Worst(2, pytest.approx(-0.02), pytest.approx(0.01), "second")}
    assert table(rows)[1].split() == ["rail", "2", "-2.00%", "+1.00%", "-0.5%", "to", "+0.5%", "second"]
