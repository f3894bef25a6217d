"""Circuits of a few parts: heater chains with lamp and dropper, a coupling corner, a loaded potentiometer."""

from __future__ import annotations

from math import sqrt

from partsbin.circuit.capacitors import corner_frequency
from partsbin.circuit.chains import capacitive_current, cold_surge, half_wave_volts, heater_instead, lamp_shunt
from partsbin.circuit.droppers import capacitive_dropper, chain_current, dropper_resistance
from partsbin.circuit.potentiometers import loaded_fraction, loaded_input
from tests.circuit.simulator.cases import Case, Claim
from tests.circuit.simulator.netlist import GROUND, Netlist

Seen = dict[str, float]


def _chain(
    mains: float, high: float, heaters: tuple[float, ...], current: float, lamp: tuple[float, float] | None = None
) -> Case:
    """A chain with the dropper worked out for nominal mains, run at high mains: current, and volts at the lamp."""
    volts = sum(heaters) + (lamp[0] if lamp else 0.0)
    dropper = dropper_resistance(mains, volts, current)
    net = Netlist(f"chain of {volts:g} V {current:g} A on {mains * high:g} V", stop=0.2)
    net.mains("mains", "a", GROUND, mains * high, 50.0)
    net.resistor("dropper", "a", "h0", dropper)
    for number, heater in enumerate(heaters):
        net.resistor(f"heater{number}", f"h{number}", f"h{number + 1}", heater / current)
    last = f"h{len(heaters)}"
    if lamp:
        net.resistor("lamp", last, GROUND, lamp[0] / lamp[1])
        net.resistor("shunt", last, GROUND, lamp_shunt(*lamp, current)[0])
    else:
        net.resistor("end", last, GROUND, 1e-6)
    net.measure("current", "RMS", "i(vmains)", 0.1, 0.2)
    net.measure("lamp", "RMS", f"v({last})", 0.1, 0.2)

    def claims(seen: Seen) -> list[Claim]:
        ours = chain_current(mains * high, dropper, volts, current)
        found = [Claim("chain current", ours, seen["current"])]
        return [*found, Claim("lamp volts", lamp[0] * ours / current, seen["lamp"])] if lamp else found

    return Case(net.title, net, claims)


def _made_up(mains: float, heaters: tuple[float, ...], gone: float, current: float) -> Case:
    """A chain in which a resistor takes the place of one heater, started cold: at first, and as it was."""
    dropper = dropper_resistance(mains, sum(heaters) + gone, current)
    instead, watts = heater_instead(gone, current)
    net = Netlist(f"chain of {sum(heaters):g} V {current:g} A, {gone:g} V made up, on {mains:g} V", stop=0.2)
    for name, ratio in (("hot", 1.0), ("cold", 6.0)):
        net.mains(name, name, GROUND, mains, 50.0)
        net.resistor(name + "dropper", name, name + "1", dropper)
        net.resistor(name + "instead", name + "1", name + "2", instead)
        net.resistor(name + "heaters", name + "2", GROUND, sum(heaters) / (current * ratio))
        net.measure(name, "RMS", f"i(v{name})", 0.1, 0.2)

    def claims(seen: Seen) -> list[Claim]:
        return [
            Claim("chain current", current, seen["hot"]),
            Claim("watts instead", watts, seen["hot"] ** 2 * instead),
            Claim("cold chain", cold_surge(mains, dropper + instead, sum(heaters), current, 6.0), seen["cold"]),
        ]

    return Case(net.title, net, claims)


def _capacitive(mains: float, heaters: float, current: float, hertz: float) -> Case:
    """A chain behind the capacitor worked out for it, and behind one that is a tenth large."""
    farads = capacitive_dropper(mains, heaters, current, hertz)
    net = Netlist(f"capacitive dropper, {heaters:g} V {current:g} A on {mains:g} V {hertz:g} Hz", stop=0.4)
    for name, size in (("right", 1.0), ("large", 1.1)):
        net.mains(name, name, GROUND, mains, hertz)
        net.capacitor(name, name, name + "1", farads * size)
        net.resistor(name, name + "1", GROUND, heaters / current)
        net.measure(name, "RMS", f"i(v{name})", net.stop - 10 / hertz, net.stop)

    def claims(seen: Seen) -> list[Claim]:
        large = capacitive_current(mains, 1.1 * farads, heaters, current, hertz)
        return [Claim("chain current", current, seen["right"]), Claim("chain current", large, seen["large"])]

    return Case(net.title, net, claims)


def _diode_fed(mains: float, heaters: float, current: float) -> Case:
    """A chain behind a diode, its dropper worked out from the RMS volts that the diode leaves."""
    left = half_wave_volts(mains)
    dropper = dropper_resistance(left, heaters, current)
    net = Netlist(f"diode-fed chain, {heaters:g} V {current:g} A on {mains:g} V", stop=0.2)
    net.mains("mains", "a", GROUND, mains, 50.0)
    net.silicon("feed", "a", "k")
    net.resistor("dropper", "k", "h", dropper)
    net.resistor("heaters", "h", GROUND, heaters / current)
    net.measure("current", "RMS", "i(vmains)", 0.1, 0.2)
    return Case(net.title, net, lambda seen: [Claim("chain current", current, seen["current"])])


def _corner(farads: float, ohms: float) -> Case:
    """A coupling capacitor into a grid leak, at the frequency where we say it is 3 dB down."""
    hertz = corner_frequency(ohms, farads)
    net = Netlist(f"coupling {farads * 1e9:g} nF into {ohms / 1e3:g} kohm", stop=40 / hertz, step=1 / (1000 * hertz))
    net.mains("drive", "a", GROUND, 1.0, hertz)
    net.capacitor("coupling", "a", "grid", farads)
    net.resistor("leak", "grid", GROUND, ohms)
    net.measure("level", "RMS", "v(grid)", 30 / hertz, net.stop)
    return Case(net.title, net, lambda seen: [Claim("level at the corner", sqrt(0.5), seen["level"])])


def _slider(track: float, fraction: float, load: float) -> Case:
    """A potentiometer whose slider feeds a load: the share that comes out, and what the source sees."""
    net = Netlist(f"track {track / 1e3:g} kohm at {fraction:g}, slider into {load / 1e3:g} kohm", stop=0.1)
    net.mains("drive", "a", GROUND, 1.0, 50.0)
    net.resistor("upper", "a", "slider", track * (1 - fraction))
    net.resistor("lower", "slider", GROUND, track * fraction)
    net.resistor("load", "slider", GROUND, load)
    net.measure("out", "RMS", "v(slider)", 0.02, 0.1)
    return Case(net.title, net, lambda seen: [Claim("slider", loaded_fraction(fraction, load / track), seen["out"])])


def _full_up(track: float, load: float) -> Case:
    """The same at full volume: the current from the source shows track and load side by side."""
    net = Netlist(f"track {track / 1e3:g} kohm full up, slider into {load / 1e3:g} kohm", stop=0.1)
    net.mains("drive", "a", GROUND, 1.0, 50.0)
    net.resistor("track", "a", GROUND, track)
    net.resistor("load", "a", GROUND, load)
    net.measure("current", "RMS", "i(vdrive)", 0.02, 0.1)
    return Case(net.title, net, lambda seen: [Claim("input", loaded_input(track, load / track), 1 / seen["current"])])


CASES = [
    _chain(240.0, 1.0, (14.0, 12.6, 14.0, 45.0, 31.0), 0.1),
    _chain(230.0, 1.1, (19.0, 12.6, 28.5, 45.0, 38.0), 0.1),
    _chain(230.0, 1.0, (13.0, 13.0, 13.0, 35.0, 20.0), 0.2, (6.3, 0.15)),
    _chain(230.0, 1.1, (12.6, 12.6, 12.6, 50.0, 35.0), 0.15, (6.3, 0.11)),
    _made_up(230.0, (14.0, 12.6, 14.0, 45.0), 31.0, 0.1),
    _capacitive(240.0, 117.0, 0.1, 50.0),
    _capacitive(230.0, 121.0, 0.15, 60.0),
    _diode_fed(240.0, 117.0, 0.1),
    _corner(22e-9, 470e3),
    _corner(4.7e-9, 1e6),
    _slider(1e6, 0.5, 1e6),
    _slider(500e3, 0.3, 100e3),
    _full_up(500e3, 470e3),
]
