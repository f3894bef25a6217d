"""What a part of a list probably does in the circuit, and what says so: by the words beside it, else by its value and rating.

A guess is always the hardest duty that such a part usually has. Where the wrong guess could hurt someone (across the mains, over
the isolation, fuses, switches, iron of which nothing is said) none is made: the position stays open and has to be said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from partsbin.sets import SetFacts
from partsbin.sets.follow import is_live
from partsbin.words import say

_SUPPLY = r"(?:ac |a\.c\. |power )?(?:line|mains|supply mains)"
_AT_THE_MAINS = (
    r"mains|netz\w*|secteur|line|live|phase|neutral|l (?:to|-) n|primary|primär\w*|rectifier|gleichrichter\w*|plug|stecker\w*"
    r"|power (?:lead|cord|switch|plug|supply|input)|suppress\w*|interference|emi|rfi|\w*stör(?:ung|schutz)\w*|entstör\w*|spark\w*"
    r"|funken\w*|hum|brumm\w*|modulation|buffer|earth|ground|erd(?:e|ung|buchse)|gehäuse|safety|touch|\w*schutz\w*|berühr\w*"
    r"|isolat\w*|\w*isolier\w*|bridging|aerial|antenna|antenne\w*|sockets?|\w*buchsen?|pick-?up|gram|tonabnehmer|headphones?"
    r"|kopfhörer\w*|across|[xy][- ]?(?:cap\w*|kondensator\w*)|heaters?|heiz\w*|filament|secondary|sekundär\w*"
    r"|boost|scan\w*|eht|flyback|zeilen\w*|ablenk\w*"
)
"""Words of a small capacitor, or a resistor, that may sit on the mains, over the isolation or under pulses: which has to be said."""

_HEADING = re.compile(rf"(?i)(?<![a-zäöüß])(?:{_AT_THE_MAINS}|(?<!ht )droppers?|vorwider\w*)(?![a-zäöüß])")
_TITLE = re.compile(r"(?i)\b(?:lists?|sets?|receiver|radio|amplifier|spares|stückliste|empfänger|verstärker)\b")

_WORDS: dict[str, tuple[tuple[str, str], ...]] = {
    "capacitor": (
        ("mains-to-chassis", rf"{_SUPPLY} to (?:the )?(?:chassis|earth|ground)"),
        ("mains-across", rf"across (?:the )?{_SUPPLY}"),
        ("crossover", r"crossover|weiche\w*"),
        ("", rf"{_AT_THE_MAINS}|filter\w*|(?<!anode to )chassis"),
        ("cathode-bypass", r"cathode|kathode\w*"),
        ("screen-bypass", r"screen|schirmgitter\w*"),
        ("bias-smoothing", r"bias|gittervorspann\w*"),
        ("reservoir", r"reservoir|lade(?:elko|kondensator)"),
        ("smoothing", r"smoothing|filter cap\w*|sieb(?:elko|kondensator)"),
        ("decoupling", r"decoupl\w*|entkoppl\w*"),
        ("coupling", r"coupling|koppel\w*|interstage"),
        ("agc", r"agc|avc|regelspannung"),
        ("output-tone", r"tone corrector|anode to (?:chassis|cathode)|output tone"),
        ("tone", r"tone|klang\w*"),
        ("feedback", r"feedback|gegenkoppl\w*"),
        ("padder", r"padder"),
        ("tuned", r"tuned|tuning|if transformer"),
    ),
    "resistor": (
        ("heater-dropper", r"heater dropper|mains dropper"),
        ("surge-limiter", r"surge|inrush"),
        ("x-discharge", r"x[- ]discharge"),
        ("lamp-shunt", r"(?:lamp|bulb) shunt|(?:shunt|across|parallel to) (?:the )?(?:dial |pilot |scale )?(?:lamp|bulb)s?"),
        ("diode-load", r"(?:diode|detector|demodulator) load"),
        ("", rf"{_AT_THE_MAINS}|(?<!ht )dropper|vorwider\w*|barretter|neon|glimm\w*|voltage selector|parallel"),
        ("grid-stopper", r"grid stopper|stopper"),
        ("grid-leak", r"grid leak|gitterableit\w*"),
        ("anode-load", r"anode|plate|anoden\w*"),
        ("cathode-bias", r"cathode|kathode\w*"),
        ("screen-feed", r"screen|schirmgitter\w*"),
        ("decoupling", r"decoupl\w*|entkoppl\w*"),
        ("agc-feed", r"agc|avc"),
        ("feedback", r"feedback|gegenkoppl\w*"),
        ("bleeder", r"bleed\w*"),
        ("ht-dropper", r"smoothing|ht dropper"),
        ("back-bias", r"back bias"),
    ),
    "potentiometer": (
        ("hum-balance", r"hum"),
        ("bias-preset", r"bias"),
        ("rf-gain", r"rf gain|sensitivity"),
        ("balance", r"balance"),
        ("", r"height|width|hold|linearity|brightness|brilliance|contrast|focus|bildhöhe|bildbreite|helligkeit|kontrast"),
        ("tone", r"tone|bass|treble|klang\w*"),
        ("volume", r"volume|gain|lautstärke\w*|level"),
    ),
    "transformer": (
        ("", r"line output|eht|flyback|zeilen\w*"),
        ("line", r"line matching|100 ?v line"),
        ("output", r"output|ausgangs\w*|opt"),
        ("isolating", r"isolat\w*|trenn\w*"),
        ("heater", r"heater|filament"),
        ("mains", r"mains|power|netz\w*"),
        ("interstage", r"interstage"),
        ("driver", r"driver"),
    ),
    "switch": (
        ("", r"voltage selector|spannungswähler"),
        ("mains", r"mains|power|on[-/ ]off|netz\w*"),
        ("ht", r"standby|ht"),
        ("selector", r"selector|band|input|range"),
    ),
    "fuse": (("ht", r"ht|anode"), ("primary", r"primary|mains|netz\w*")),
    "lamp": (("indicator", r"pilot|indicator"), ("chain", r"in the chain|series heater")),
    "loudspeaker": (("field", r"field"), ("extension", r"extension"), ("main", r"speaker|lautsprecher")),
    "choke": (("input", r"choke[- ]input|input choke"), ("smoothing", r"smoothing|choke|drossel")),
    "rectifier": (("replaces-selenium", r"selenium|selen"), ("bias", r"bias"), ("replaces-valve", r"for valve")),
    "valve": (("rectifier", r"rectifier|gleichrichter"),),
    "coil": (("oscillator", r"osc\w*"), ("IF", r"\bif\b|\bi\.f\.|ift|zf"), ("tuning-gang", r"gang"), ("trimmer", r"trimmer"),
             ("RF", r"r\.?f\.?|aerial coil|ant(?:enna)?\.? coil|loop (?:antenna|aerial)")),
}  # fmt: skip

_ALONE = {"valve": "as-plugged", "hardware": "fixing", "loudspeaker": "main", "choke": "smoothing"}
"""Families of which nearly every part has one duty, and no wall hangs on the choice."""

_OPEN = {
    "fuse": "primary or HT: what it interrupts decides",
    "switch": "mains, ht or selector: what it switches decides",
    "transformer": "output, mains, heater and so on: say which",
    "lamp": "parallel or in a heater chain: say which",
    "coil": "IF, RF, oscillator and so on: say which",
    "rectifier": "what it replaces decides: say which",
}


@dataclass(frozen=True)
class Guess:
    """A position and what says so; without a position, what has to be said.

    Parameters
    ----------
    position : str
        "" where it stays open.
    why : str
        In words.
    """

    position: str
    why: str


def position_of(family: str, words: str, facts: Any, known: SetFacts, *, above: str = "", unread: str = "") -> Guess:
    """Return what a part of a list probably does.

    Parameters
    ----------
    family : str
        Its family.
    words : str
        Everything that the row says of it.
    facts : Facts
        What is marked on it, of its family's own kind.
    known : SetFacts
        The set.
    above : str
        The heading that it stands under: it may open a position, and makes none.
    unread : str
        What of its description was not understood.
    """
    guess = _guess(family, words, facts, known, unread)
    if not guess.position:
        return guess
    if family in ("fuse", "switch") and len(found := _all_said(family, words)) > 1:
        return Guess("", f"the words say {' and '.join(found)}: say which")
    if family not in _AT_RISK or guess.position.startswith("mains-") or (family == "capacitor" and _wet(facts)):
        return guess
    if family == "capacitor" and (marked := _of_mains(facts)):
        return Guess("", f"{marked}, but {guess.position} {guess.why}: say what it does")
    if at_risk_under(above):
        return Guess("", f"under {above!r}: on the mains, over the isolation or not has to be said")
    return guess


def at_risk_under(heading: str) -> bool:
    """Whether what stands below a heading may sit on the mains or over the isolation."""
    return bool(_HEADING.search(heading)) and not _TITLE.search(heading)


_AT_RISK = ("capacitor", "resistor")
"""Families of which a small one may sit on the mains, and looks like any other."""


def _all_said(family: str, words: str) -> list[str]:
    """All positions that the words name."""
    return [position for position, pattern in _WORDS[family] if position and _found(pattern, words)]


def _found(pattern: str, words: str) -> re.Match[str] | None:
    return re.search(rf"(?i)(?<![a-zäöüß])(?:{pattern})(?![a-zäöüß])", words)


def _of_mains(facts: Any) -> str:
    """What is marked on a capacitor that is made for the mains."""
    if facts.safety_class:
        return f"class {facts.safety_class}"
    return f"rated {facts.voltage_ac:.0f} V AC" if (facts.voltage_ac or 0.0) >= 125.0 else ""


def _guess(family: str, words: str, facts: Any, known: SetFacts, unread: str) -> Guess:
    for position, pattern in _WORDS.get(family, ()):
        if not position and family == "capacitor" and _wet(facts):
            continue  # no electrolytic sits there
        if found := _found(pattern, words):
            if position:
                return Guess(position, f"by the word {found[0]!r}")
            if family == "potentiometer":
                return Guess("", f"by the word {found[0]!r} a television's, at volts of its own: say what it does")
            return Guess(
                "", f"by the word {found[0]!r} it may sit on the mains or over the isolation: say what it does"
            )
    if family in _BY_VALUE:
        guess = _BY_VALUE[family](facts, is_live(known)[0])
        if guess.position in ("coupling", "tuned", "grid-leak", "ht-dropper") and re.search(r"[^\W\d_]{3}", unread):
            return Guess("", f"{unread!r} is not understood: it may say what it does")
        return guess
    if family in _ALONE:
        return Guess(_ALONE[family], "as usual for one")
    return Guess("", _OPEN.get(family, "say what it does"))


def _wet(facts: Any) -> bool:
    """Whether it is an electrolytic, by its marks or by its value."""
    large = (facts.capacitance or 0.0) >= 2e-6 and not facts.safety_class
    return large or facts.dielectric in ("electrolytic", "tantalum") or bool(facts.sections)


def _capacitor(facts: Any, live: bool | None) -> Guess:
    value = facts.capacitance or max((s.capacitance or 0.0 for s in facts.sections), default=0.0)
    rated = facts.voltage_dc or max((s.voltage_dc or 0.0 for s in facts.sections), default=0.0)
    wet = _wet(facts)
    if facts.safety_class:
        if facts.safety_class.startswith("X"):
            return Guess("mains-across", f"its class is {facts.safety_class}")
        return Guess("", f"class {facts.safety_class}: from mains to chassis, or over the isolation, has to be said")
    if not value:
        return Guess("", "no value: say what it does")
    if not wet and 1e-9 <= value <= 1e-6 and (facts.voltage_ac or 0.0) >= 125.0:
        return Guess("", f"rated {facts.voltage_ac:.0f} V AC: across the mains or not has to be said")
    if not wet and 100e-12 <= value <= 0.25e-6 and not rated and not facts.voltage_ac:
        return Guess("", "no rating: across the mains, over the isolation or not has to be said")
    if not wet and 100e-12 <= value <= 0.1e-6 and live is not False:
        said = "live chassis" if live else "chassis= of the set is not known"
        return Guess("", f"{said}: over the isolation of aerial or earth, or not, has to be said")
    if wet:
        if rated and rated <= 100.0:
            return Guess("cathode-bypass", f"{say(value, 'F')} of {rated:.0f} V; bias smoothing is the other usual one")
        return Guess(
            "reservoir", f"{say(value, 'F')} for HT; reservoir is the hardest duty, smoothing or decoupling the others"
        )
    if value < 1e-9:
        return Guess("tuned", f"{say(value, 'F')}: a tuned circuit is the hardest duty of a small one")
    return Guess(
        "coupling", f"{say(value, 'F')}: coupling is the hardest duty; not if it sits on the mains or a socket"
    )


def _resistor(facts: Any, live: bool | None) -> Guess:
    value, watts = facts.resistance, facts.power or 0.0
    if not value:
        return Guess("", "no value: say what it does")
    if facts.fusible:
        return Guess("", "fusible: what it protects has to be said")
    if facts.taps:
        return Guess("", "in sections: a dropper, and where, has to be said")
    hot = watts >= 3.0 and value < 1000.0
    live_hot = live is not False and ((watts >= 5.0 and value < 3300.0) or (not watts and value < 330.0))
    if value < 47.0 or hot or live_hot:
        return Guess("", f"{say(value, 'ohm')}: a dropper, a surge limiter or none has to be said")
    if watts >= 3.0:
        return Guess("ht-dropper", f"{say(value, 'ohm')} of {watts:g} W: an HT dropper, usually")
    if value >= 330e3 and live is not False:
        said = "live chassis" if live else "chassis= of the set is not known"
        return Guess("", f"{said}: a grid leak, or over the isolation, has to be said")
    if value >= 330e3:
        return Guess("grid-leak", f"{say(value, 'ohm')}: a grid leak, usually")
    if value >= 22e3:
        return Guess("anode-load", f"{say(value, 'ohm')}: an anode load, usually")
    if value >= 3.3e3:
        return Guess("decoupling", f"{say(value, 'ohm')}: an HT decoupler, usually")
    return Guess("cathode-bias", f"{say(value, 'ohm')}: a cathode resistor, usually")


def _potentiometer(facts: Any, live: bool | None) -> Guess:
    value = facts.resistance
    if not value:
        return Guess("", "no value: say what it does")
    if value < 1e3:
        return Guess("hum-balance", f"{say(value, 'ohm')}: a hum balance, usually")
    if value < 50e3 and facts.taper != "log":
        return Guess("", f"{say(value, 'ohm')}: a bias preset or none has to be said")
    if facts.taper == "linear":
        return Guess("tone", f"{say(value, 'ohm')} linear: tone, usually")
    return Guess("volume", f"{say(value, 'ohm')}{' log' if facts.taper == 'log' else ''}: volume, usually")


_BY_VALUE = {"capacitor": _capacitor, "resistor": _resistor, "potentiometer": _potentiometer}
