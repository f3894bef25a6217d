"""The grid of capacitor-input supplies: every connection, silicon and valve, over the range of mains receivers."""

from __future__ import annotations

from dataclasses import dataclass

from partsbin.circuit._pulse import SILICON_DROP
from partsbin.circuit.rectification import Connection, capacitor_input, valve_input
from partsbin.circuit.ripple import capacitor_ripple_current, peak_charging_current, ripple_estimate
from partsbin.circuit.supply import peak_inverse, rail_capacitor_input
from tests.circuit.simulator.cases import Case, Claim
from tests.circuit.simulator.netlist import GROUND, Netlist

PERIODS = 10  # measured at the end, and compared with as many before them
VALVES = {"6X4": (22.0, 0.070), "5Y3GT": (60.0, 0.125)}  # drop of one anode at a current: ge-6x4, tubeofile
WINDING = {"centre-tap": 250.0, "bridge": 250.0, "half-wave": 230.0, "doubler": 117.0}

# resistance in the path [ohm], reservoir [F], load [A], mains [Hz], mains over nominal
ROWS = (
    (20.0, 8e-6, 0.010, 50.0, 1.0),
    (20.0, 100e-6, 0.200, 50.0, 1.1),
    (50.0, 32e-6, 0.060, 60.0, 1.0),
    (100.0, 16e-6, 0.040, 50.0, 1.1),
    (100.0, 50e-6, 0.120, 60.0, 1.0),
    (200.0, 32e-6, 0.090, 50.0, 1.0),
    (300.0, 8e-6, 0.020, 50.0, 1.1),
    (500.0, 100e-6, 0.030, 60.0, 1.0),
    (500.0, 16e-6, 0.060, 50.0, 1.0),
    (150.0, 50e-6, 0.150, 60.0, 1.1),
)


@dataclass(frozen=True)
class Supply:
    """A capacitor-input supply in SI; `valve` names one of VALVES, "" is silicon; `ohms` in place of `load` is a meter."""

    connection: Connection
    rms: float
    resistance: float
    reservoir: float
    load: float
    frequency: float
    valve: str = ""
    ohms: float = 0.0

    def title(self) -> str:
        """Return the supply in words."""
        load = f"{self.ohms:g} ohm" if self.ohms else f"{self.load * 1e3:g} mA"
        return (
            f"{self.connection}, {self.valve or 'silicon'}, {self.rms:g} V {self.frequency:g} Hz, {self.resistance:g} ohm, "
            f"{self.reservoir * 1e6:g} uF, {load}"
        )

    def rectify(self, net: Netlist, name: str, anode: str, cathode: str) -> None:
        """Put a rectifier between two nodes."""
        if self.valve:
            net.valve(name, anode, cathode, *VALVES[self.valve])
        else:
            net.silicon(name, anode, cathode)

    def netlist(self) -> Netlist:
        """Return the circuit with its measurements."""
        crest = self.rms * 2**0.5
        settled = (1.5 if self.ohms else 0.3) + 20 * self.resistance * self.reservoir
        net = Netlist(self.title(), stop=settled + 2 * PERIODS / self.frequency)
        build = {"centre-tap": _centre_tap, "bridge": _bridge, "half-wave": _half_wave, "doubler": _doubler}
        top = build[self.connection](self, net, (0.99 if self.ohms else 0.85) * crest)
        if self.ohms:
            net.resistor("load", top, GROUND, self.ohms)
        else:
            net.draw("load", top, GROUND, self.load)
        middle, end = net.stop - PERIODS / self.frequency, net.stop
        net.measure("early", "AVG", f"v({top})", settled, middle)
        net.measure("rail", "AVG", f"v({top})", middle, end)
        net.measure("ripple", "PP", f"v({top})", middle, end)
        net.measure("crest", "MAX", "i(vpulse)", middle, end)
        net.measure("winding", "RMS", "i(vmains)", middle, end)
        net.measure("reservoir", "RMS", "i(vreservoir)", middle, end)
        net.measure("inverse", "MAX", "v(inverse)", middle, end)
        return net

    def ours(self, current: float) -> tuple[float, ...]:
        """Return what the closed form says: rail, ripple, hum, crest, RMS of the winding and of the reservoir."""
        path = (self.rms, self.resistance, current, self.reservoir, self.frequency)
        if self.valve:
            return valve_input(*path, *VALVES[self.valve], self.connection)
        return capacitor_input(*path, self.connection)

    def claims(self, seen: dict[str, float]) -> list[Claim]:
        """Compare the closed form with what was measured; a run that has not settled is refused."""
        assert abs(seen["early"] / seen["rail"] - 1) < 1e-3, f"{self.title()} has not settled"
        ours = self.ours(seen["rail"] / self.ohms if self.ohms else self.load)
        names = ("rail", "ripple", "", "crest", "winding", "reservoir")
        claims = [Claim(name, value, seen[name]) for name, value in zip(names, ours, strict=True) if name]
        claims += [] if self.valve else self.endless(seen)
        return [*claims, Claim("inverse", peak_inverse(self.rms, self.connection), seen["inverse"])]

    def endless(self, seen: dict[str, float]) -> list[Claim]:
        """Compare what is said where the reservoir is not known and taken as endless; of a doubler one half."""
        halves, in_path = 2 if self.connection == "doubler" else 1, 2 if self.connection == "bridge" else 1
        half = self.connection in ("half-wave", "doubler")
        path, how = (self.rms, self.resistance, self.load), {"half_wave": half, "diode_drop": SILICON_DROP * in_path}
        rail, crest = rail_capacitor_input(*path, **how), peak_charging_current(*path, **how)
        claims = [
            Claim("rail, reservoir unknown", halves * rail, seen["rail"]),
            Claim("crest, reservoir unknown", crest, seen["crest"]),
            Claim("reservoir current, unknown", capacitor_ripple_current(*path, **how), seen["reservoir"]),
        ]
        ripple = ripple_estimate(self.load, self.reservoir, self.frequency, self.rms, self.resistance, half_wave=half)
        return claims if halves == 2 else [*claims, Claim("ripple, endless", ripple, seen["ripple"])]


def _pulse_path(supply: Supply, net: Netlist, start: str) -> str:
    net.resistor("path", start, "limited", supply.resistance)
    net.meter("pulse", "limited", "anode")
    return "anode"


def _reservoir(supply: Supply, net: Netlist, top: str, bottom: str, charged: float) -> str:
    net.capacitor("first", top, "foot", supply.reservoir, charged)
    net.meter("reservoir", "foot", bottom)
    return top


def _centre_tap(supply: Supply, net: Netlist, charged: float) -> str:
    net.mains("mains", "a", GROUND, supply.rms, supply.frequency)
    net.mains("other", "b", GROUND, supply.rms, supply.frequency, 180.0)
    supply.rectify(net, "one", _pulse_path(supply, net, "a"), "out")
    net.resistor("side", "b", "b1", supply.resistance)
    supply.rectify(net, "two", "b1", "out")
    net.across("inverse", "out", "anode")
    return _reservoir(supply, net, "out", GROUND, charged)


def _bridge(supply: Supply, net: Netlist, charged: float) -> str:
    net.mains("mains", "a", "b", supply.rms, supply.frequency)
    net.resistor("ground", "b", GROUND, 1e8)  # the simulator wants every node tied down
    net.resistor("path", "a", "a1", supply.resistance)
    net.meter("pulse", "a1", "anode")
    supply.rectify(net, "one", "anode", "out")
    supply.rectify(net, "two", "b", "out")
    supply.rectify(net, "three", GROUND, "a1")
    supply.rectify(net, "four", GROUND, "b")
    net.across("inverse", "out", "anode")
    return _reservoir(supply, net, "out", GROUND, charged)


def _half_wave(supply: Supply, net: Netlist, charged: float) -> str:
    net.mains("mains", "a", GROUND, supply.rms, supply.frequency)
    supply.rectify(net, "one", _pulse_path(supply, net, "a"), "out")
    net.across("inverse", "out", "anode")
    return _reservoir(supply, net, "out", GROUND, charged)


def _doubler(supply: Supply, net: Netlist, charged: float) -> str:
    net.mains("mains", "a", "middle", supply.rms, supply.frequency)
    supply.rectify(net, "one", _pulse_path(supply, net, "a"), "out")
    supply.rectify(net, "two", GROUND, "limited")
    net.across("inverse", "out", "anode")
    net.capacitor("second", "middle", GROUND, supply.reservoir, charged)
    return _reservoir(supply, net, "out", "middle", charged)


def _grid() -> list[Supply]:
    """Return the grid: each connection with each rectifier that was built that way, over all rows."""
    kinds: tuple[tuple[Connection, str], ...] = (
        ("centre-tap", ""),
        ("centre-tap", "6X4"),
        ("centre-tap", "5Y3GT"),
        ("bridge", ""),
        ("half-wave", ""),
        ("half-wave", "6X4"),
        ("doubler", ""),
    )
    return [
        Supply(kind, WINDING[kind] * high, resistance, reservoir, load, frequency, valve)
        for kind, valve in kinds
        for resistance, reservoir, load, frequency, high in ROWS
    ]


CASES = [Case(supply.title(), supply.netlist(), supply.claims) for supply in _grid()]
