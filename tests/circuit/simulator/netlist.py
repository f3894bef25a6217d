"""A small builder of netlists: the parts that mains supplies consist of, and what is to be measured on them."""

from __future__ import annotations

from dataclasses import dataclass, field

GROUND = "0"
SILICON = "D(IS=7.03n RS=0.034 N=1.81)"  # a diode of 1 A and 1000 V


@dataclass
class Netlist:
    """A circuit, its span of time and its measurements.

    Parameters
    ----------
    title : str
        First line.
    stop : float
        End of the run [s].
    step : float
        Longest step [s].
    """

    title: str
    stop: float
    step: float = 20e-6
    lines: list[str] = field(default_factory=list)
    measures: dict[str, str] = field(default_factory=dict)

    def _add(self, kind: str, name: str, *words: object) -> str:
        self.lines.append(" ".join([kind + name, *map(str, words)]))
        return kind + name

    def mains(self, name: str, plus: str, minus: str, rms: float, frequency: float, phase: float = 0.0) -> str:
        """Add a sine of that RMS voltage; the phase, in degrees, is that at switch-on."""
        return self._add("v", name, plus, minus, f"SIN(0 {rms * 2**0.5:.9g} {frequency:g} 0 0 {phase:g})")

    def resistor(self, name: str, plus: str, minus: str, ohms: float) -> str:
        """Add a resistor."""
        return self._add("r", name, plus, minus, f"{max(ohms, 1e-6):.9g}")

    def capacitor(self, name: str, plus: str, minus: str, farads: float, charged: float = 0.0) -> str:
        """Add a capacitor, charged to that voltage at the start."""
        return self._add("c", name, plus, minus, f"{farads:.9g} IC={charged:.9g}")

    def inductor(self, name: str, plus: str, minus: str, henries: float, current: float = 0.0) -> str:
        """Add an inductor that carries that current at the start."""
        return self._add("l", name, plus, minus, f"{henries:.9g} IC={current:.9g}")

    def draw(self, name: str, plus: str, minus: str, amperes: float) -> str:
        """Add a load that draws a steady current."""
        return self._add("i", name, plus, minus, f"DC {amperes:.9g}")

    def meter(self, name: str, plus: str, minus: str) -> str:
        """Add an ammeter: a source of no volts, whose current can be measured."""
        return self._add("v", name, plus, minus, "DC 0")

    def silicon(self, name: str, anode: str, cathode: str) -> str:
        """Add a silicon diode."""
        return self._add("d", name, anode, cathode, "silicon")

    def valve(self, name: str, anode: str, cathode: str, volts: float, amperes: float) -> str:
        """Add a rectifier valve after Child's law, through the point that its sheet gives."""
        perveance = amperes / volts**1.5
        self.resistor(name + "leak", anode, cathode, 1e9)
        law = f"I={perveance:.9g}*pwr(max(v({anode},{cathode}),0),1.5)"
        return self._add("b", name, anode, cathode, law)

    def across(self, name: str, plus: str, minus: str) -> str:
        """Add a node that shows the voltage between two others, and return its voltage's name."""
        self._add("e", name, name, GROUND, plus, minus, "1")
        return f"v({name})"

    def measure(self, name: str, how: str, what: str, begin: float, end: float) -> None:
        """Ask for AVG, RMS, PP, MAX or MIN of a voltage or a current over a span of time [s]."""
        self.measures[name] = f".meas tran {name} {how} {what} from={begin:.9g} to={end:.9g}"

    def text(self) -> str:
        """Return the circuit as the simulator reads it."""
        run = f".tran {self.step:.9g} {self.stop:.9g} 0 {self.step:.9g} UIC"
        return "\n".join(
            [f"* {self.title}", *self.lines, f".model silicon {SILICON}", run, *self.measures.values(), ".end", ""]
        )
