"""What runs against the walls of transformers, chokes, loudspeakers, valves, rectifiers and hardware."""

from __future__ import annotations

from functools import lru_cache

from partsbin.checks import Outcome
from partsbin.families._declare import Measured
from partsbin.reference.substitutes import substitute
from partsbin.reference.valves import valves
from tests.families.unsafe import Draw, Spoilt, Wall

RADIO = "lineup=ECH81 EBF89 EABC80 EL84 EZ80"
AMERICAN = "lineup=6K8 6K7 6Q7 6V6 5Y3GT"
CHAIN = ("chassis=live", "lineup=UCH81 UF89 UABC80 UL84 UY85")
SUPPLY = (RADIO, "secondary=250-0-250", "mains=230")
FIVE = (AMERICAN, "secondary=250-0-250", "mains=230")
OUTPUT = ("topology=single-ended", "speaker=3")
GOOD_MAINS = "mains transformer 230V 250-0-250 100mA 6.3V 3.5A"
GOOD_FIVE = "mains transformer 230V 250-0-250 100mA 6.3V 3A 5V 3A"
GOOD_OUT = "output transformer 5k2:3 ohm single ended EL84 gapped 50mA"
AS_MADE: Spoilt = {"centre_tapped": 1.0, "tap": 230.0, "tap_known": 1.0}
TESTED = {"insulation": Measured(2e8, 0.0, {"volts": 500.0})}
ON_MAINS = ("mains", "heater", "isolating")
STANDING, ISOLATES, LIVE_OUT = (
    "ungapped iron under standing current",
    "auto-transformer as isolation",
    "output iron that is the isolation",
)
SIXTY, CATHODE, VALVE = (
    "60 Hz iron on 50 Hz",
    "heater-cathode volts above the valve's limit",
    "wrong valve as plugged in",
)


def leaks(d: Draw) -> Spoilt:
    """An insulation that was read, and is not there."""
    low = d.between(0, 1e7)
    return {"insulation": low, "insulation_high": low * 1.5, "insulation_volts": 500.0}


def small_ht(d: Draw) -> str:
    """A mains transformer in words, its HT winding too thin for the line-up."""
    return f"mains transformer 230V 250-0-250 {d.one(10, 60):.0f}mA 6.3V {d.of(3, 4)}A"


TRANSFORMER = (
    Wall(
        STANDING, "no gap and no rating", "transformer", "TRF03", ("output",), GOOD_OUT, dead=("", "5k2:3Ω"),
        facts=("valve=EL84", *OUTPUT), without=("lineup", "current"),
        spoil=lambda d: {"gapped": 0.0, "dc_current": 10 ** d.between(-4, -2), "carried": 0.0},
    ),
    Wall(
        STANDING, "rated for less than stands", "transformer", "TRF03", ("output",), GOOD_OUT, dead=("", "5k2:3Ω"),
        facts=("valve=EL84", *OUTPUT), without=("lineup", "current"),
        spoil=lambda d: {"gapped": 1.0, "dc_current": d.between(0.001, 0.034), "carried": 0.0},
        words=lambda d: f"output transformer 5k2:3 ohm single ended gapped {d.one(2, 30):.0f}mA",
    ),
    Wall(
        STANDING, "an interstage transformer without iron for it", "transformer", "TRF03", ("interstage", "driver"),
        "interstage transformer 1:3 10mA", facts=("current=8mA", "topology=single-ended"), without=("lineup", "valve"),
        spoil=lambda d: {"dc_current": d.between(0.0001, 0.0079), "carried": 0.0},
        words=lambda d: f"{d.of('interstage', 'driver')} transformer 1:3 {d.one(1, 7):.0f}mA",
    ),
    Wall(
        STANDING, "a choke rated for less", "choke", "CHK02", ("smoothing", "input"), "10H 150mA 300 ohm choke",
        dead=("10H 60mA 300 ohm choke", "8H 100mA"), facts=("current=120mA",),
        spoil=lambda d: {"dc_current": d.between(0.001, 0.119)},
        words=lambda d: f"{d.of(5, 10, 20)}H {d.one(10, 115):.0f}mA {d.of(200, 400)} ohm choke",
    ),
    Wall(
        "", "HT winding too thin", "transformer", "TRF12", ("mains",), GOOD_MAINS, facts=SUPPLY,
        without=("current", "valve", "rectifier"),
        spoil=lambda d: {"dc_current": d.between(0.005, 0.06), "centre_tapped": 1.0}, words=small_ht,
    ),
    Wall(
        "", "HT winding too thin for a bridge", "transformer", "TRF12", ("mains",),
        "mains transformer 230V 250V 200mA 6.3V 3.5A", facts=SUPPLY, without=("current", "valve", "rectifier"),
        spoil=lambda d: {"dc_current": d.between(0.005, 0.095), "centre_tapped": 0.0},
    ),
    Wall(
        "", "heater winding too thin", "transformer", "TRF16", ("mains", "heater"), GOOD_MAINS, facts=SUPPLY,
        without=("current", "valve", "rectifier"),
        spoil=lambda d: {"heater_current": d.between(0.05, 1.75), "heater_volts": 6.3, "rect_volts": 6.3},
        words=lambda d: f"mains transformer 230V 250-0-250 100mA 6.3V {d.one(0.3, 1.6):.1f}A",
    ),
    Wall(
        "", "no winding for the rectifier", "transformer", "TRF17", ("mains",), GOOD_FIVE, facts=FIVE,
        without=("rectifier", "valve"),
        spoil=lambda d: {"rect_volts": None, "rect_current": None, "listed": 1.0, "centre_tapped": 1.0},
        words=lambda d: f"mains transformer 230V 250-0-250 100mA 6.3V {d.of(3, 4)}A",
    ),
    Wall(
        "", "rectifier winding of other volts or too thin", "transformer", "TRF17", ("mains",), GOOD_FIVE, facts=FIVE,
        without=("rectifier", "valve"),
        spoil=lambda d: AS_MADE | d.of(
            {"rect_volts": d.between(5.7, 12.6)}, {"rect_volts": d.between(2.0, 4.2)},
            {"rect_volts": 5.0, "rect_current": d.between(0.1, 1.9)},
        ),
        words=lambda d: f"mains transformer 230V 250-0-250 100mA 6.3V 3A {d.of('4V 2A', '5V 1A', '5V 1.5A')}",
    ),
    Wall(
        "", "rectifier winding not insulated", "transformer", "TRF18", ("mains",), GOOD_FIVE, facts=FIVE,
        without=("rectifier", "valve"),
        spoil=lambda d: AS_MADE | {"rect_volts": 5.0, "rect_current": 3.0, **d.of(
            {"rect_insulation_high": d.between(0, 1.9e7)}, {"insulation_voltage": d.between(10, 380)}
        )},
    ),
    Wall(
        CATHODE, "rectifier on the common winding", "transformer", "TRF19", ("mains",),
        "mains transformer 230V 300-0-300 100mA 6.3V 4A 6.3V 1A",
        facts=("lineup=ECH42 EF41 EBC41 EL41 EZ41", "secondary=300-0-300", "rail=340", "mains=230"),
        without=("rectifier", "valve"),
        spoil=lambda d: AS_MADE | d.interval("ratio", 230 / 306, 230 / 294) | {
            "rect_volts": None, "heater_volts": 6.3, "listed": 1.0,
        },
    ),
    Wall(
        SIXTY, "60 Hz iron on 50 Hz", "transformer", "TRF20", ON_MAINS, GOOD_MAINS, dead=("", GOOD_MAINS), facts=SUPPLY,
        spoil=lambda d: {"frequency": d.between(58, 400), "tap": d.between(100, 231), "tap_known": 1.0},
        words=lambda d: f"mains transformer 230V 60Hz 250-0-250 {d.of(80, 100)}mA 6.3V 3A",
    ),
    Wall(
        SIXTY, "a primary for less mains", "transformer", "TRF20", ON_MAINS, GOOD_MAINS, facts=SUPPLY,
        spoil=lambda d: {"frequency": d.of(50.0, 60.0), "tap": d.between(90, 160), "tap_known": 1.0},
        words=lambda d: f"mains transformer {d.of(110, 117, 127)}V 50Hz 250-0-250 100mA 6.3V 3A",
    ),
    Wall(
        ISOLATES, "an auto-transformer as isolation", "transformer", "TRF21", ON_MAINS,
        "isolating transformer 230V:230V 200VA", facts=SUPPLY, spoil=lambda d: {"kind": "auto"},
        words=lambda d: f"auto-transformer {d.of('230V/115V', '230V:230V', '240V:110V')} {d.of(60, 100, 250)}VA",
    ),
    Wall(
        ISOLATES, "an auto-transformer for an output one", "transformer", "TRF08", ("output",), GOOD_OUT, dead=("", "5k2:3Ω"),
        facts=("valve=EL84", *OUTPUT), spoil=lambda d: {"kind": "auto"}, words=lambda d: "auto-transformer 230V/115V 100VA",
    ),
    Wall(
        LIVE_OUT, "an output transformer that leaks", "transformer", "TRF06", ("output", "line", "mains", "interstage"),
        GOOD_OUT, dead=("", "5k2:3Ω"), facts=("valve=EL84", *OUTPUT), spoil=leaks,
    ),
    Wall(
        LIVE_OUT, "untested between live chassis and loudspeaker", "transformer", "TRF06", ("output",), GOOD_OUT,
        facts=(*CHAIN, *OUTPUT), readings=TESTED, outcome=Outcome.UNKNOWN, without=("valve",),
        spoil=lambda d: d.of(
            {"insulation": None, "insulation_high": None}, {"insulation_volts": d.between(1, 499)}, {"insulation_volts": None},
        ),
        words=lambda d: f"output transformer {d.of('2k4', '3k', '5k2')}:3 ohm single ended {d.of(60, 80, 100)}mA gapped",
    ),
    Wall(
        LIVE_OUT, "tested, and never better than care", "transformer", "TRF06", ("output",), GOOD_OUT, facts=(*CHAIN, *OUTPUT),
        readings=TESTED, outcome=Outcome.THIN, without=("valve",), safe_facts=("chassis=earthed", "valve=EL84", *OUTPUT),
        spoil=lambda d: {"insulation": d.between(2.1e7, 1e10), "insulation_high": 1e11, "insulation_volts": 500.0},
    ),
    Wall(
        LIVE_OUT, "a loudspeaker socket outside a live chassis", "loudspeaker", "LSP07", ("extension",),
        "loudspeaker 3 ohm 10W", facts=("chassis=live",), dead=("loudspeaker 3 ohm", ""), safe_facts=("chassis=earthed",),
        outcome=Outcome.UNKNOWN, spoil=lambda d: {"power": d.between(3, 50)},
        words=lambda d: f"loudspeaker {d.of(3, 4, 8)} ohm {d.of(5, 10)}W",
    ),
    Wall(
        "", "a choke that leaks to the core", "choke", "CHK05", ("smoothing", "input"), "10H 100mA 300 ohm choke",
        dead=("10H 60mA 300 ohm choke",), facts=("secondary=250-0-250",),
        spoil=lambda d: {"insulation": d.between(0, 1.9e7), "insulation_volts": 500.0},
    ),
    Wall(
        "", "a field coil that would cook", "loudspeaker", "LSP06", ("field",),
        "field coil loudspeaker 3 ohm 10W 1140 ohm 80mA", dead=("field coil loudspeaker 3 ohm 1140 ohm",),
        facts=("current=65mA",), spoil=lambda d: {"field": d.between(500, 3000), "field_current": d.between(0.005, 0.058)},
        words=lambda d: f"field coil loudspeaker 3 ohm 10W {d.of(800, 1140, 2000)} ohm {d.one(10, 55):.0f}mA",
    ),
)  # fmt: skip


@lru_cache(maxsize=1)
def names() -> tuple[str, ...]:
    """Types of the table that a description may name."""
    return tuple(sorted({row.type for row in valves()}))


def unlisted(d: Draw) -> str:
    """A type that no list names for the socket."""
    while True:
        name = str(d.of(*names()))
        if substitute(d.need.word("socket"), name).relation not in ("same", "drop-in", "near"):
            return name


def other_base(d: Draw) -> str:
    """A type on another base that no list names as near."""
    known = {row.type: row.base for row in valves()}
    while True:
        name = unlisted(d)
        if known[name] and known[name] != d.need.word("base"):
            return name


def other_volts(d: Draw) -> str:
    """A type of another heater, in parallel."""
    while True:
        name, volts = d.of(*((row.type, row.heater_volts) for row in valves() if row.heater_volts))
        if abs(volts / 6.3 - 1) > 0.15 and substitute("EL84", name).relation not in ("same", "drop-in", "near"):
            return str(name)


def other_current(d: Draw) -> str:
    """A type of another heater current, in a chain of 100 mA."""
    return str(d.of(*(row.type for row in valves() if row.heater_amperes and abs(row.heater_amperes - 0.1) > 0.01)))


SOCKETS = ("EL84", "ECC83", "EZ80", "6K7G", "ECH81", "5Y3GT", "EM80", "EF86")
VALVES = (
    Wall(
        VALVE, "a type that no list names", "valve", "VAL01", ("as-plugged",), "EL84", dead=SOCKETS, words=unlisted,
        condition="unused-old",
    ),
    Wall(
        VALVE, "another base", "valve", "VAL02", ("as-plugged",), "EL84", dead=SOCKETS, words=other_base,
    ),
    Wall(
        VALVE, "another heater in parallel", "valve", "VAL03", ("as-plugged", "output"), "EL84", dead=("EL84",),
        facts=("chassis=floating", RADIO), words=other_volts,
    ),
    Wall(
        VALVE, "another heater current in a chain", "valve", "VAL04", ("as-plugged", "output"), "UL84", dead=("UL84",),
        facts=CHAIN, words=other_current,
    ),
    Wall(
        VALVE, "a heavier heater than the winding has", "valve", "VAL04", ("as-plugged", "rectifier"), "EZ80", dead=("EZ80",),
        facts=("secondary=250-0-250", "chassis=earthed"), without=("lineup", "valve"),
        words=lambda d: str(d.of("5U4G", "5Y3GT", "GZ34")),
    ),
    Wall(
        VALVE, "a weaker output valve", "valve", "VAL07", ("as-plugged", "output"), "6L6GC", dead=("6L6GC",),
        facts=("rail=480", "chassis=floating"), without=("lineup", "valve"),
        words=lambda d: str(d.of("6V6GT", "EL84", "EF86", "ECC83")),
    ),
    Wall(
        "", "a rectifier of less current", "valve", "VAL08", ("as-plugged", "rectifier"), "EZ80", dead=("EZ80",),
        facts=("secondary=250-0-250", "current=200mA"), without=("lineup", "valve"), words=lambda d: str(d.of("EZ81", "6CA4")),
    ),
    Wall(
        "", "a rectifier for fewer volts a side", "valve", "VAL09", ("as-plugged", "rectifier"), "5U4G", dead=("5U4G",),
        facts=("secondary=450-0-450", "current=100mA"), without=("lineup", "valve"),
        words=lambda d: str(d.of("5Y3GT", "5V4G", "EZ81", "AZ1")),
    ),
    Wall(
        CATHODE, "a rectifier's heater on the common winding", "valve", "VAL05", ("as-plugged", "rectifier"), "EZ80",
        dead=("EZ80",), facts=("secondary=380-0-380", "chassis=earthed"), without=("lineup", "valve", "rail"),
        words=lambda d: str(d.of("EZ81", "6CA4", "U709")),
    ),
    Wall(
        CATHODE, "a leak from heater to cathode", "valve", "VAL13", ("as-plugged", "output"), "EL84", dead=("EL84",),
        readings={"insulation": Measured(1e8)},
        spoil=lambda d: {"type": d.of("EL84", "6BQ5"), "insulation": d.between(0, 5e5)},
    ),
)  # fmt: skip

RECTIFIERS = (
    Wall(
        "", "too few inverse volts", "rectifier", "REC01", ("replaces-valve", "replaces-silicon"), "1N4007",
        dead=("EZ80", "1N4007"), facts=("secondary=250-0-250",),
        spoil=lambda d: d.interval("inverse", 20, 0.99 * d.need.number("inverse")) | {"series": 1.0},
        words=lambda d: f"diode {d.of(50, 100, 200, 400)}V 1A",
    ),
    Wall(
        "", "too little current", "rectifier", "REC02", ("replaces-valve", "replaces-silicon", "replaces-selenium"), "1N4007",
        dead=("EZ80", "1N4007", ""), facts=("secondary=250-0-250", "current=60mA"),
        spoil=lambda d: {"current": d.between(0.001, 0.059)}, words=lambda d: f"diode 1000V {d.of(10, 20, 50)}mA",
    ),
    Wall(
        "", "too little surge for a stiff supply", "rectifier", "REC03", ("replaces-silicon",), "1N5408", dead=("1N4007",),
        facts=("secondary=230", "current=0.1", "winding_resistance=5"),
        spoil=lambda d: {"surge": d.between(1, 60), "technology": "silicon"},
    ),
    Wall(
        "", "used selenium", "rectifier", "REC04", ("replaces-selenium", "replaces-silicon"), "bridge 1000V 2A",
        dead=("B250C100", "1N4007"), facts=("secondary=250 bridge",), condition="salvaged",
        spoil=lambda d: {"technology": d.of("selenium", "copper-oxide"), "condition": d.of("salvaged", "")},
        words=lambda d: f"selenium {d.of('B250C75', 'E250C85', 'B250C100')}",
    ),
    Wall(
        "", "silicon before a reservoir too weak", "rectifier", "REC08", ("replaces-valve",), "1N4007", dead=("EZ80",),
        facts=("secondary=300-0-300", "original=32uF 450V"), safe_facts=("secondary=300-0-300", "original=32uF 550V"),
        spoil=lambda d: {"technology": "silicon"}, words=lambda d: str(d.of("1N4007", "BY127", "UF4007")),
    ),
)  # fmt: skip

OTHER = (
    Wall(
        "", "what carries current in hardware", "hardware", "HRD04", ("fixing",), "knob 6 mm",
        dead=("valve holder B9A", "mains lead 3 core", "fuse holder 5x20"), safe_dead="knob 6 mm", outcome=Outcome.UNKNOWN,
        spoil=lambda d: {"kind": d.of("valveholder", "cable", "fuseholder")},
        words=lambda d: str(d.of("noval socket", "mains lead 2 core", "fuse holder")),
    ),
)  # fmt: skip

IRON = (*TRANSFORMER, *VALVES, *RECTIFIERS, *OTHER)
