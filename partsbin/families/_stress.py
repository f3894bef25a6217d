"""Stresses of a need, shared by the families whose parts stand at HT, low volts or the mains."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from partsbin.needs import Given, Question
from partsbin.reference.valves import lineup, valve
from partsbin.sets import SetFacts, follow
from partsbin.words import say, volts

LOADED = 0.8  # running rail over off-load peak, where only the peak is known; common practice, no source
LOW_HT = 150.0  # fewer volts are seldom the HT itself of a mains set on 200 V and more
USUAL_OFF_LOAD = 400.0  # what the usual 250 V winding gives off load, mains high
SMALL_SIGNAL = ("tuned", "padder", "detector-filter")
LOUDSPEAKER_PEAK = 150.0  # V: 100 V line, 141 V at its peak: worked
RESONANCE = 2.0  # volts on a crossover's capacitor over those put in; common practice, no source
PAIR_GIVES = 2.2  # watts of a pair over those of one valve; memory
LOW_LIMIT = 100.0  # more than this is the set's HT, not the volts of a bias, AGC or heater position


@dataclass
class Draft:
    """A need being written: figures, assumptions, questions."""

    fields: dict[str, Given] = field(default_factory=dict)
    assumptions: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)

    def put(self, name: str, value: float | str | bool | tuple[float, float], unit: str, origin: str) -> None:
        """Write down a figure with its origin."""
        self.fields[name] = Given(value, unit, origin)

    def number(self, name: str) -> float:
        """Return a figure written so far, NaN where there is none."""
        given = self.fields.get(name)
        return float(given.value) if given is not None and isinstance(given.value, (int, float)) else math.nan

    def word(self, name: str) -> str:
        """Return a word written so far, "" where there is none."""
        given = self.fields.get(name)
        return given.value if given is not None and isinstance(given.value, str) else ""

    def has(self, name: str) -> bool:
        """Return whether a figure was written."""
        return name in self.fields

    def assume(self, *lines: str) -> None:
        """Add assumptions, each once."""
        self.assumptions.extend(line for line in lines if line not in self.assumptions)

    def ask(self, fact: str, text: str, *answers: str) -> None:
        """Add a question with answers whose effect can be tried."""
        self.questions.append(Question(fact, text, answers))


ASK_HT = (
    "secondary",
    "What does the HT winding give, off load (or the rail when running)?",
    "150-0-150",
    "250-0-250",
    "350-0-350",
)


def ht_stress(
    draft: Draft,
    facts: SetFacts,
    label: float,
    *,
    swing: float = 1.0,
    ripple: float = 0.0,
    reservoir: float = math.nan,
) -> None:
    """Write the off-load and running peaks of an HT position; the dead part's label stands in where nothing is known."""
    peak = follow.off_load(facts)
    run = follow.running(facts, ripple=ripple, reservoir=reservoir)
    if math.isnan(peak.volts):
        _label_or_unknown(draft, label, ASK_HT)
        return
    draft.put("off_load_peak", peak.volts, "V", peak.origin)
    draft.assume(*peak.assumed)
    if peak.low < peak.high:
        draft.put("off_load_span", (peak.low, peak.high), "V", peak.origin)
    if not peak.measured:
        draft.ask(*ASK_HT)
        _fed_through_a_resistor(draft, facts)
    if not math.isnan(run.volts):
        origin = run.origin + (f", × {swing:g} for the swing" if swing > 1 else "")
        draft.put("running_peak", run.volts * swing, "V", origin)
        draft.assume(*run.assumed)
    elif swing > 1:
        draft.put(
            "running_peak",
            LOADED * peak.volts * swing,
            "V",
            f"{LOADED:g} × the off-load peak, × {swing:g} for the swing",
        )
        draft.assume(f"running rail not known: {LOADED:g} × the off-load peak taken")


def _fed_through_a_resistor(draft: Draft, facts: SetFacts) -> None:
    """A position at few volts is fed through a resistor: cold, with no current, the whole HT stands on it."""
    own = draft.number("off_load_peak")
    if facts.number("rail") < LOW_HT and own < USUAL_OFF_LOAD:
        draft.put("off_load_span", (own, USUAL_OFF_LOAD), "V", "fed through a resistor from an HT that is not known")
        draft.put(
            "off_load_peak", USUAL_OFF_LOAD, "V", f"up to {USUAL_OFF_LOAD:.0f} V if a resistor feeds it from the HT"
        )
        draft.assume(f"few volts for an HT: if a resistor feeds the position it may see {USUAL_OFF_LOAD:.0f} V cold")


def inverse_stress(draft: Draft, facts: SetFacts, label: float) -> None:
    """Write the peak across a rectifier: twice the winding's peak, at mains high."""
    peak = follow.off_load(facts)
    if math.isnan(peak.volts):
        _label_or_unknown(draft, label, ASK_HT)
        return
    draft.put("off_load_peak", 2 * peak.volts, "V", f"twice the winding's peak: {peak.origin}")
    draft.assume(*peak.assumed)


def _loudspeaker(draft: Draft, facts: SetFacts) -> bool:
    """Write the volts at a loudspeaker: the peak of its line, else twice that of the stage's watts in its ohms: coil and C resonate."""
    ohms, line = facts.number("speaker"), facts.number("line_volts")
    output = lineup(facts.text("lineup")).output
    if line > 0:
        draft.put("running_peak", line * math.sqrt(2), "V", f"the peak of the {volts(line)} line")
    elif ohms > 0 and output and output.valve.output_watts:
        watts = output.valve.output_watts * (1.0 if output.count == 1 else PAIR_GIVES * output.count / 2)
        how = f"twice the peak of {say(watts, 'W')} in {say(ohms, 'ohm')}, for resonance"
        draft.put("running_peak", RESONANCE * math.sqrt(2 * watts * ohms), "V", how)
    else:
        return False
    return True


def low_stress(draft: Draft, facts: SetFacts, label: float, position: str) -> None:
    """Write the stress of a position at low volts: its own volts, else the dead part's label, else bounded by the HT."""
    own = facts.number("rail")
    if own <= LOW_LIMIT:
        high = own * follow.mains_high(facts) / facts.number("mains_now", follow.mains(facts)[0])
        if position == "crossover":
            high = own * math.sqrt(2)  # a loudspeaker's volts are read as RMS
        draft.put(
            "running_peak", high, "V", f"{volts(own)} at the position, mains at {volts(follow.mains_high(facts))}"
        )
        return
    if position == "cathode-bypass" and _cathode_volts(draft, facts):
        return
    bound = follow.off_load(facts)
    ask = (
        "rail",
        f"How many volts stand at the {position.replace('-', ' ')} position itself, not the HT?",
        "3",
        "15",
        "60",
    )
    if position == "crossover" and math.isnan(label) and _loudspeaker(draft, facts):
        return
    if position == "crossover" and math.isnan(label):
        draft.put("stress_bound", LOUDSPEAKER_PEAK, "V", "the peak of a 100 V line; a loudspeaker's own volts are less")
        draft.assume(f"loudspeaker volts not known: no more than the {volts(LOUDSPEAKER_PEAK)} peak of a 100 V line")
        return
    if position in SMALL_SIGNAL and math.isnan(label) and math.isnan(bound.volts):
        draft.put("stress_bound", 350.0, "V", "usual in this position")
        draft.assume("volts not known: 350 V taken as enough for a small-signal position")
        return
    if math.isnan(label) and not math.isnan(bound.volts):
        draft.put("stress_bound", bound.volts, "V", f"no more than the HT: {bound.origin}")
        draft.assume(*bound.assumed)
        draft.ask(*ask)
        return
    _label_or_unknown(draft, label, ask)


def _cathode_volts(draft: Draft, facts: SetFacts) -> bool:
    found = valve(facts.text("valve")) if facts.text("valve") else None
    bias = getattr(found, "bias_volts", None)
    if found is None or not bias:
        return False
    draft.put("running_peak", abs(bias) * 1.5, "V", f"1.5 × the {abs(bias):g} V bias of {found.type}")
    draft.assume(f"{found.type} self-biased at {abs(bias):g} V ({found.standing_of('bias_volts')})")
    return True


def _label_or_unknown(draft: Draft, label: float, ask: tuple[str, ...]) -> None:
    if math.isnan(label):
        draft.put("stress_unknown", True, "", "neither the dead part's volts nor the set's are known")
    else:
        draft.put("original_volts", label, "V", "marked on the dead part")
        draft.assume(f"volts in the set not known: the dead part's {volts(label)} stand for them")
    draft.ask(ask[0], ask[1], *ask[2:])
