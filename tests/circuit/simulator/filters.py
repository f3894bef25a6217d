"""Choke input, smoothing by resistor and by choke, the surge at switch-on, and silicon that takes the place of a valve."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

from partsbin.circuit.charging import switch_on_surge
from partsbin.circuit.chokes import choke_input_ripple, choke_swing
from partsbin.circuit.replacing import gain_over_selenium, gain_over_valve, resistor_ahead, resistor_behind
from partsbin.circuit.ripple import lc_attenuation, rc_attenuation
from partsbin.circuit.supply import choke_input_rail, off_load_peak
from tests.circuit.simulator.cases import Case, Claim
from tests.circuit.simulator.netlist import GROUND, Netlist
from tests.circuit.simulator.supplies import VALVES, Supply

Seen = dict[str, float]


def _off_load(supply: Supply) -> Case:
    """A supply that nothing but a meter loads: the peak that its capacitors must stand."""
    crests = 2 if supply.connection == "doubler" else 1
    peak = off_load_peak(supply.rms)

    def claims(seen: Seen) -> list[Claim]:
        return [
            Claim("off-load peak", crests * peak, seen["rail"]),
            Claim("inverse", supply.claims(seen)[-1].ours, seen["inverse"]),
        ]

    return Case("off load: " + supply.title(), supply.netlist(), claims)


def _choke_input(
    rms: float, side: float, henries: float, copper: float, farads: float, load: float, hertz: float, valve: str = ""
) -> Case:
    """A full-wave supply whose filter starts with a choke of more than the critical inductance."""
    name = f"{rms:g} V {hertz:g} Hz, {side:g} ohm, {henries:g} H {copper:g} ohm, {farads * 1e6:g} uF, {load * 1e3:g} mA"
    net = Netlist(f"choke input, {valve or 'silicon'}, {name}", stop=3.0, step=50e-6)
    supply = Supply("centre-tap", rms, side, farads, load, hertz, valve)
    drop = VALVES[valve][0] * (load / VALVES[valve][1]) ** (2 / 3) if valve else 0.8
    rail = choke_input_rail(rms, load, side + copper, drop=drop)
    for leg, phase in (("a", 0.0), ("b", 180.0)):
        net.mains(leg, leg, GROUND, rms, hertz, phase)
        net.resistor(leg, leg, leg + "1", side)
        supply.rectify(net, leg, leg + "1", "in")
    net.inductor("choke", "in", "warm", henries, load)
    net.resistor("copper", "warm", "out", copper)
    net.resistor("load", "out", GROUND, rail / load)
    net.capacitor("filter", "out", GROUND, farads, rail)
    net.measure("rail", "AVG", "v(out)", net.stop - 10 / hertz, net.stop)
    net.measure("ripple", "PP", "v(out)", net.stop - 10 / hertz, net.stop)
    net.measure("crest", "MAX", "i(lchoke)", net.stop - 10 / hertz, net.stop)

    def claims(seen: Seen) -> list[Claim]:
        current = seen["rail"] / (rail / load)
        return [
            Claim("choke-input rail", choke_input_rail(rms, current, side + copper, drop=drop), seen["rail"]),
            Claim("choke-input ripple", choke_input_ripple(rms, henries, farads, hertz), seen["ripple"]),
            Claim("choke-input crest", current + choke_swing(rms, henries, hertz), seen["crest"]),
        ]

    return Case(net.title, net, claims)


def _smoothed(supply: Supply, ohms: float, henries: float, farads: float) -> Case:
    """A supply with one stage of smoothing: a resistor, or a choke with its copper."""
    net = supply.netlist()
    stage = f"{henries:g} H {ohms:g} ohm" if henries else f"{ohms:g} ohm"
    net.title = f"smoothed by {stage} and {farads * 1e6:g} uF: {net.title}"
    net.lines.remove(next(line for line in net.lines if line.startswith("iload")))
    net.resistor("stage", "out", "warm", ohms)
    net.inductor("stage", "warm", "smooth", max(henries, 1e-6), supply.load)
    start = supply.ours(supply.load)[0] - supply.load * ohms
    net.capacitor("stage", "smooth", GROUND, farads, start)
    net.draw("load", "smooth", GROUND, supply.load)
    net.stop += 1.5
    begin = net.stop - 10 / supply.frequency
    net.measures.clear()
    net.measure("rail", "AVG", "v(smooth)", begin, net.stop)
    net.measure("ripple", "PP", "v(smooth)", begin, net.stop)

    def claims(seen: Seen) -> list[Claim]:
        rail, _, hum, *_ = supply.ours(supply.load)
        hertz = supply.frequency * (1 if supply.connection == "half-wave" else 2)
        less = lc_attenuation(henries, farads, hertz) if henries else rc_attenuation(ohms, farads, hertz)
        return [
            Claim("smoothed rail", rail - supply.load * ohms, seen["rail"]),
            Claim("smoothed ripple", 2 * sqrt(2) * hum / less, seen["ripple"]),
        ]

    return Case(net.title, net, claims)


def _switch_on(rms: float, ohms: float, farads: float, hertz: float) -> Case:
    """The first half period into an empty reservoir, switched on at a crossing and at a crest."""
    net = Netlist(f"switch-on: {rms:g} V {hertz:g} Hz, {ohms:g} ohm, {farads * 1e6:g} uF", stop=0.5 / hertz, step=5e-6)
    for name, phase in (("mild", 0.0), ("worst", 90.0)):
        net.mains(name, name, GROUND, rms, hertz, phase)
        net.resistor(name, name, name + "1", ohms)
        net.silicon(name, name + "1", name + "2")
        net.capacitor(name, name + "2", GROUND, farads)
        net.measure(name, "MIN", f"i(v{name})", 0.0, net.stop)

    def claims(seen: Seen) -> list[Claim]:
        mild, worst = switch_on_surge(rms, ohms, farads, hertz)
        return [Claim("surge at a crossing", mild, -seen["mild"]), Claim("surge at a crest", worst, -seen["worst"])]

    return Case(net.title, net, claims)


def _silicon_for(valve: Supply, target: float, what: str) -> list[Case]:
    """Silicon with the resistor that we work out, on either side: both circuits have to give the rail of before."""
    bare = replace(valve, valve="")
    path = (valve.rms, valve.resistance, valve.load, valve.reservoir, valve.frequency)
    ahead, watts = resistor_ahead(target, *path, valve.connection)
    silicon = bare.ours(bare.load)[0]
    behind, _ = resistor_behind(silicon, target, valve.load)
    first = replace(bare, resistance=bare.resistance + ahead)

    def on_ac(seen: Seen) -> list[Claim]:
        return [Claim("restored rail", target, seen["rail"]), Claim("watts ahead", watts, seen["winding"] ** 2 * ahead)]

    def on_dc(seen: Seen) -> list[Claim]:
        return [Claim("restored rail", target, seen["rail"] - valve.load * behind)]

    return [
        Case(f"{what}, resistor ahead: {first.title()}", first.netlist(), on_ac),
        Case(f"{what}, resistor behind: {bare.title()}", bare.netlist(), on_dc),
    ]


def _valve_gone(valve: Supply) -> list[Case]:
    path = (valve.rms, valve.resistance, valve.load, valve.reservoir, valve.frequency)
    before = valve.ours(valve.load)[0]
    gain = gain_over_valve(*path, *VALVES[valve.valve], valve.connection)
    silicon = replace(valve, valve="").ours(valve.load)[0]

    def was(seen: Seen) -> list[Claim]:
        return [Claim("rail with the valve", silicon - gain, seen["rail"])]

    return [
        Case(f"before silicon: {valve.title()}", valve.netlist(), was),
        *_silicon_for(valve, before, "silicon for a valve"),
    ]


def _selenium_gone(stack: Supply, plates: float, drop: float) -> list[Case]:
    path = (stack.rms, stack.resistance, stack.load, stack.reservoir, stack.frequency)
    gain = gain_over_selenium(*path, plates, drop, stack.connection)
    return _silicon_for(stack, stack.ours(stack.load)[0] - gain, "silicon for selenium")


CASES = [
    *(
        _off_load(supply)
        for supply in (
            Supply("centre-tap", 250.0, 100.0, 32e-6, 0.0, 50.0, ohms=10e6),
            Supply("centre-tap", 275.0, 100.0, 32e-6, 0.0, 50.0, ohms=10e6),
            Supply("centre-tap", 385.0, 200.0, 16e-6, 0.0, 60.0, ohms=10e6),
            Supply("centre-tap", 275.0, 100.0, 32e-6, 0.0, 50.0, "6X4", ohms=10e6),
            Supply("bridge", 275.0, 50.0, 50e-6, 0.0, 50.0, ohms=10e6),
            Supply("half-wave", 230.0, 100.0, 50e-6, 0.0, 50.0, ohms=10e6),
            Supply("half-wave", 253.0, 20.0, 100e-6, 0.0, 50.0, ohms=10e6),
            Supply("doubler", 230.0, 50.0, 32e-6, 0.0, 50.0, ohms=10e6),
        )
    ),
    _choke_input(250.0, 100.0, 10.0, 200.0, 32e-6, 0.0522, 50.0),
    _choke_input(275.0, 50.0, 10.0, 350.0, 16e-6, 0.080, 60.0),
    _choke_input(350.0, 150.0, 5.0, 100.0, 32e-6, 0.150, 50.0),
    _choke_input(350.0, 100.0, 10.0, 250.0, 50e-6, 0.100, 50.0, "5Y3GT"),
    _choke_input(250.0, 100.0, 20.0, 500.0, 8e-6, 0.040, 60.0, "6X4"),
    _smoothed(Supply("centre-tap", 250.0, 100.0, 32e-6, 0.060, 50.0), 1000.0, 0.0, 32e-6),
    _smoothed(Supply("centre-tap", 250.0, 100.0, 32e-6, 0.060, 50.0), 300.0, 10.0, 32e-6),
    _smoothed(Supply("centre-tap", 250.0, 200.0, 16e-6, 0.080, 60.0, "6X4"), 500.0, 5.0, 16e-6),
    _smoothed(Supply("half-wave", 230.0, 100.0, 50e-6, 0.070, 50.0), 1200.0, 0.0, 50e-6),
    _smoothed(Supply("half-wave", 230.0, 150.0, 50e-6, 0.060, 50.0), 250.0, 8.0, 50e-6),
    _smoothed(Supply("bridge", 250.0, 50.0, 32e-6, 0.100, 60.0), 820.0, 0.0, 100e-6),
    _switch_on(250.0, 100.0, 8e-6, 50.0),
    _switch_on(250.0, 100.0, 32e-6, 50.0),
    _switch_on(253.0, 20.0, 100e-6, 50.0),
    _switch_on(117.0, 15.0, 40e-6, 60.0),
    *_valve_gone(Supply("centre-tap", 250.0, 125.0, 32e-6, 0.060, 50.0, "6X4")),
    *_valve_gone(Supply("centre-tap", 350.0, 50.0, 16e-6, 0.100, 50.0, "5Y3GT")),
    *_valve_gone(Supply("half-wave", 230.0, 100.0, 50e-6, 0.060, 50.0, "6X4")),
    *_selenium_gone(Supply("half-wave", 230.0, 50.0, 50e-6, 0.060, 50.0), 11.0, 2.5),
    *_selenium_gone(Supply("bridge", 230.0, 100.0, 32e-6, 0.070, 50.0), 11.0, 2.5),
]
