"""What runs against the walls of capacitors and resistors."""

from __future__ import annotations

from partsbin.rules import load_rules
from tests.families.unsafe import Draw, Spoilt, Wall

MAINS = ("mains-across", "mains-to-chassis", "aerial-isolation", "earth-isolation", "pickup-isolation")
TOUCHED = MAINS[1:]
FED = (*MAINS, "heater-bypass", "rectifier-shunt")
HT = (
    "coupling",
    "decoupling",
    "reservoir",
    "smoothing",
    "screen-bypass",
    "tone",
    "output-tone",
    "rf-bypass",
    "feedback",
)
LIVE, MAINS_230 = "chassis=live", "mains=230"
WINDING = ("secondary=286-0-286 off-load", "mains_now=231", "mains=230")
CAPACITORS = ("", "0.02uF 350V", "0.1uF", "32uF 350V", "4.7nF")
SERIES = ("back-bias", "ht-dropper", "field-substitute", "decoupling", "cathode-bias")
BODIES = ("anode-load", "screen-feed", "bleeder", "decoupling", "ht-dropper", "field-substitute")
ACROSS, X_FOR_Y = "DC-only or used parts across the mains or on a touchable socket", "X for Y"
TOUCH, PEAK, PAPER = (
    "touch current, all paths summed",
    "capacitor below the off-load peak",
    "waxed or moulded paper re-used",
)
FUSIBLE, BRIDGE = "ordinary for fusible", "what bridges the isolation and is not made for it"
POLARITY, RESERVOIR = "bias polarity", "reservoir above the rectifier's peak current"


def film(d: Draw) -> str:
    """A film capacitor with any DC volts and no approval."""
    kind = d.of("film", "polypropylene", "polyester")
    return f"{d.of('4.7n', '10n', '22n', '47n', '100n')} {d.of(400, 630, 1000, 1600, 2000)}V {kind}"


def over_touch(d: Draw) -> Spoilt:
    """More than the touch current allows even at its least."""
    return {
        **d.interval("capacitance", 1.05 * d.need.number("largest") + 1e-12, 30e-9 + 3 * d.need.number("largest")),
        "safety_class": "Y1",
    }


def too_little_volts(d: Draw) -> Spoilt:
    """Below the cold start."""
    return {"voltage_dc": d.between(0.02, 0.9999) * d.need.number("off_load_peak")}


def too_few_watts(d: Draw) -> Spoilt:
    """Less than flows in it at the least value that is let through."""
    ohms = d.need.number("ideal")
    watts = d.need.number("current") ** 2 * ohms
    return {"resistance": ohms, "resistance_low": ohms, "resistance_high": ohms, "power": watts * d.between(0.01, 0.98)}


def too_few_watts_off_load(d: Draw) -> Spoilt:
    """Less than a bleeder dissipates with a dead output valve."""
    ohms = d.need.number("ideal")
    watts = d.need.number("off_load_peak") ** 2 / ohms
    return {"resistance": ohms, "resistance_low": ohms, "resistance_high": ohms, "power": watts * d.between(0.01, 0.98)}


CAPACITOR = (
    Wall(
        ACROSS, "no approval on the mains", "capacitor", "CAP06", FED, "4.7nF Y2 250VAC", dead=CAPACITORS, facts=(LIVE,),
        spoil=lambda d: {"safety_class": None, "voltage_dc": 10 ** d.between(2, 5)}, words=film,
    ),
    Wall(
        ACROSS, "used on the mains", "capacitor", "CAP08", FED, "4.7nF Y2 250VAC", dead=CAPACITORS, facts=(LIVE,),
        condition="salvaged", spoil=lambda d: {"safety_class": "Y1", "voltage_ac": 400.0, "condition": "salvaged"},
        words=lambda d: f"{d.of('1n', '2.2n', '4.7n')} Y2 {d.of(250, 300, 400)}VAC",
    ),
    Wall(
        ACROSS, "an AC rating under the mains", "capacitor", "CAP07", FED, "4.7nF Y2 250VAC", dead=CAPACITORS,
        facts=(LIVE, MAINS_230), spoil=lambda d: {"safety_class": "Y1", "voltage_ac": d.between(6, 229), "condition": "new"},
        words=lambda d: f"{d.of('1n', '2.2n', '4.7n')} Y2 {d.of(60, 100, 125, 150, 200)}VAC",
    ),
    Wall(
        X_FOR_Y, "X for Y", "capacitor", "CAP06", TOUCHED, "4.7nF Y2 250VAC", dead=CAPACITORS, facts=(LIVE,),
        spoil=lambda d: {"safety_class": d.of("X1", "X2", "X3", "Y3", "Y4"), "voltage_ac": 400.0, "condition": "new"},
        words=lambda d: f"{d.of('1n', '2.2n', '4.7n', '10n')} {d.of('X1', 'X2')} {d.of(250, 275, 310)}VAC",
    ),
    Wall(
        TOUCH, "too much touch current", "capacitor", "CAP09", TOUCHED[1:], "1nF Y2 250VAC", dead=CAPACITORS,
        facts=(LIVE, MAINS_230), spoil=over_touch, words=lambda d: f"{d.one(10, 220):.0f}nF Y2 250VAC",
    ),
    Wall(
        TOUCH, "the other paths leave no room", "capacitor", "CAP09", TOUCHED[1:], "220pF Y2 250VAC", dead=CAPACITORS,
        facts=(LIVE, MAINS_230, "other_paths=4.7n"), spoil=over_touch,
        words=lambda d: f"{d.of('3.3n', '4.7n', '6.8n', '10n')} Y2 250VAC",
    ),
    Wall(
        PEAK, "under the off-load peak", "capacitor", "CAP02", HT, "22n 630V film", dead=CAPACITORS, facts=WINDING,
        spoil=too_little_volts, words=lambda d: f"{d.of('10n', '100n', '470n')} {d.of(63, 100, 160, 250, 400)}V film",
    ),
    Wall(
        PEAK, "rail only, under 1.6 times it", "capacitor", "CAP02", ("reservoir", "smoothing", "coupling"),
        "33uF 450V electrolytic", dead=CAPACITORS, facts=("rail=250", "chassis=floating"),
        without=("secondary", "winding_resistance", "rectifier", "lineup"), spoil=too_little_volts,
        words=lambda d: f"{d.of(8, 16, 32, 47)}uF {d.of(160, 250, 350)}V electrolytic",
    ),
    Wall(
        PAPER, "old paper", "capacitor", "CAP11", load_rules("capacitor").positions, "22n 400V film", dead=CAPACITORS,
        condition="salvaged",
        spoil=lambda d: {"dielectric": d.of("paper", "paper-waxed", "paper-moulded", "paper-metallised"),
                         "condition": d.of("salvaged", "unused-old", "")},
        words=lambda d: f"{d.of('0.01', '0.05', '0.1')}uF {d.of(350, 500, 1000)}V {d.of('waxed', 'moulded')} paper",
    ),
    Wall(
        PAPER, "an old tubular that says nothing", "capacitor", "CAP11", load_rules("capacitor").positions, "22n 400V film",
        dead=CAPACITORS, condition="salvaged",
        spoil=lambda d: {"dielectric": "", "condition": "salvaged", "mounting": "axial", **d.interval("capacitance", 1.01e-9, 1.99e-6)},
        words=lambda d: f"{d.of('0.01', '0.02', '0.1', '0.5')}uF {d.of(350, 500)}V axial",
    ),
    Wall(
        POLARITY, "polarised where AC stands", "capacitor", "CAP15", (*MAINS, "crossover", "rectifier-shunt"),
        "100n 275VAC X2", dead=CAPACITORS, facts=(LIVE,), spoil=lambda d: {"polarised": 1.0},
        words=lambda d: f"{d.of(1, 4, 8, 32)}uF {d.of(63, 350, 450)}V electrolytic",
    ),
    Wall(
        RESERVOIR, "above the rectifier's peak current", "capacitor", "CAP01 CAP21", ("reservoir",), "47uF 450V electrolytic",
        dead=("", "32uF 450V"), facts=("rectifier=EZ80", "secondary=250-0-250", LIVE.replace("live", "floating")),
        without=("lineup",), spoil=lambda d: d.interval("capacitance", 70e-6, 2e-3),
        words=lambda d: f"{d.of(68, 100, 150, 220, 470)}uF 450V electrolytic",
    ),
)  # fmt: skip

RESISTOR = (
    Wall(
        "", "too few watts for the current", "resistor", "RES03", SERIES, "150R 2W wirewound", dead=("150R", "470R", "1k"),
        facts=("current=0.1A", "rail=90", "ambient=40"), spoil=too_few_watts,
        words=lambda d: f"{d.of('150R', '180R', '1k', '2.2k')} {d.of('1/8', '1/4', '1/2')}W metal film",
    ),
    Wall(
        "", "body below the volts across it", "resistor", "RES06", BODIES, "22k 2W metal film", dead=("22k 1W", "100k 2W"),
        facts=("secondary=286-0-286 off-load", "mains_now=231", "rail=330", "chassis=floating"), without=("current", "anode"),
        spoil=lambda d: {"voltage": d.between(0.01, 0.99) * d.need.number("element_volts"), "limit_taken": 0.0, "power": 1e4},
        words=lambda d: f"{d.of('22k', '47k', '100k')} {d.of('2W', '3W')} {d.of(60, 90, 120)}V metal film",
    ),
    Wall(
        "", "too few watts for the volts off load", "resistor", "RES19", ("bleeder",), "47k 10W wirewound", dead=("47k 5W", "47k 2W"),
        facts=WINDING, without=("current", "anode", "rail"), spoil=too_few_watts_off_load,
        words=lambda d: f"47k {d.of('1/2', '1', '2')}W {d.of('metal film', 'carbon film', 'metal oxide')}",
    ),
    Wall(
        "", "a film without a pulse rating at the surge", "resistor", "RES09", ("surge-limiter",), "100R 5W wirewound",
        dead=("100R 5W", "47R"),
        spoil=lambda d: {"technology": d.of("metal-film", "carbon-film", "metal-oxide"), "pulse_rated": 0.0},
    ),
    Wall(
        FUSIBLE, "ordinary for fusible", "resistor", "RES12", load_rules("resistor").positions, "10R 1W fusible",
        dead=("10R 1W fusible", "22R 1/2W fuseable", "1k 1W fusible"), spoil=lambda d: {"fusible": d.of(None, 0.0)},
        words=lambda d: f"{d.of('10R', '22R', '1k')} {d.of('1/2W', '1W')} {d.of('wirewound', 'metal film', 'metal film, not fusible')}",
    ),
    Wall(
        FUSIBLE, "a larger fusible one", "resistor", "RES12", load_rules("resistor").positions, "10R 1W fusible",
        dead=("10R 1W fusible",), spoil=lambda d: {"fusible": 1.0, "power": d.between(1.02, 50)},
        words=lambda d: f"10R {d.of(2, 3, 5, 10)}W fusible",
    ),
    Wall(
        BRIDGE, "an ordinary resistor over the isolation", "resistor", "RES13", ("isolation-bridging",), "4.7M 1W metal glaze",
        more={"bridging": 1.0}, dead=("2.2M", "4.7M", ""), spoil=lambda d: {"bridging": d.of(None, 0.0)},
        words=lambda d: f"{d.of('2.2M', '4.7M', '10M')} {d.of('1/2', '1')}W metal film",
    ),
    Wall(
        BRIDGE, "an X capacitor over the isolation", "capacitor", "CAP06", TOUCHED[1:], "1nF Y1 400VAC",
        facts=("chassis=auto",), dead=CAPACITORS, spoil=lambda d: {"safety_class": d.of(None, "X1", "X2"), "condition": "new"},
        words=film,
    ),
    Wall(
        ACROSS, "a used resistor on the mains", "resistor", "RES14", ("x-discharge", "isolation-bridging"), "1M 1W metal film",
        dead=("1M", ""), facts=(LIVE,), condition="salvaged", spoil=lambda d: {"condition": "salvaged"},
        words=lambda d: f"{d.of('470k', '1M', '2.2M')} {d.of('1/2', '1')}W metal film",
    ),
    Wall(
        TOUCH, "too little resistance over the isolation", "resistor", "RES15", ("isolation-bridging",), "4.7M 1W metal film",
        dead=("2.2M", ""), facts=(LIVE,),
        spoil=lambda d: d.interval("resistance", 100.0, 0.98 * min(d.need.number("least_ohms"), 1e9)),
        words=lambda d: f"{d.of('10k', '47k', '100k', '220k')} 1W metal film",
    ),
)  # fmt: skip


PASSIVE = (*CAPACITOR, *RESISTOR)
