"""What runs against the walls of capacitors, resistors, controls, switches, fuses and lamps."""

from __future__ import annotations

from partsbin.checks import Outcome
from partsbin.rules import load_rules
from tests.families.unsafe import Draw, Spoilt, Wall

MAINS = ("mains-across", "mains-to-chassis", "aerial-isolation", "earth-isolation", "pickup-isolation")
TOUCHED = MAINS[1:]
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
SWITCHED = ("1M log DP sw", "1M log SP sw 2A 250V~", "500k log mains switch", "250k lin tone control with switch")
SERIES = ("back-bias", "ht-dropper", "field-substitute", "decoupling", "cathode-bias")
BODIES = ("anode-load", "screen-feed", "bleeder", "decoupling", "ht-dropper", "field-substitute")
FUSE = "T500mAE250V"
ACROSS, X_FOR_Y = "DC-only or used parts across the mains or on a touchable socket", "X for Y"
TOUCH, PEAK, PAPER = (
    "touch current, all paths summed",
    "capacitor below the off-load peak",
    "waxed or moulded paper re-used",
)
POLE, FUSES, FUSIBLE = (
    "single-pole or unrated switch on a live chassis",
    "fuse slower, larger or weaker",
    "ordinary for fusible",
)
BRIDGE, BIAS = "what bridges the isolation and is not made for it", "a preset that loses the bias"
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


def larger_fuse(d: Draw) -> Spoilt:
    """Above what is taken with care."""
    return d.interval("current", 1.01 * d.need.window("care")[1], 20 * d.need.window("care")[1])


CAPACITOR = (
    Wall(
        ACROSS, "no approval on the mains", "capacitor", "CAP06", MAINS, "4.7nF Y2 250VAC", dead=CAPACITORS, facts=(LIVE,),
        spoil=lambda d: {"safety_class": None, "voltage_dc": 10 ** d.between(2, 5)}, words=film,
    ),
    Wall(
        ACROSS, "used on the mains", "capacitor", "CAP08", MAINS, "4.7nF Y2 250VAC", dead=CAPACITORS, facts=(LIVE,),
        condition="salvaged", spoil=lambda d: {"safety_class": "Y1", "voltage_ac": 400.0, "condition": "salvaged"},
        words=lambda d: f"{d.of('1n', '2.2n', '4.7n')} Y2 {d.of(250, 300, 400)}VAC",
    ),
    Wall(
        ACROSS, "an AC rating under the mains", "capacitor", "CAP07", MAINS, "4.7nF Y2 250VAC", dead=CAPACITORS,
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


def rated_switch(**spoilt: float | None) -> Spoilt:
    """Two poles rated for the mains, spoilt."""
    return {
        "switch_poles": 2.0,
        "switched": 1.0,
        "switch_ac": 250.0,
        "switch_dc": None,
        "switch_current": 4.0,
        **spoilt,
    }


SWITCHES = (
    Wall(
        POLE, "one pole on a control", "potentiometer", "POT11", ("volume", "tone"), "1M log DPST 4A 250V~ plastic spindle",
        dead=SWITCHED, facts=(LIVE, MAINS_230), spoil=lambda d: rated_switch(switch_poles=1.0),
        words=lambda d: f"{d.of('1M', '500k')} log SPST {d.of(2, 4)}A 250V~",
    ),
    Wall(
        POLE, "one pole where nobody spoke of a switch", "potentiometer", "POT11", ("volume",),
        "1M log DPST 4A 250V~ plastic spindle", dead=("1M log", "500k pot", ""), facts=(LIVE, MAINS_230),
        spoil=lambda d: rated_switch(switch_poles=1.0), words=lambda d: "1M log SPST 2A 250V~",
    ),
    Wall(
        POLE, "a control's switch without an AC rating", "potentiometer", "POT12", ("volume", "tone"), "1M log DPST 4A 250V~",
        dead=SWITCHED, facts=(MAINS_230,), without=("chassis",),
        spoil=lambda d: rated_switch(
            switch_ac=d.of(None, 6.0, 12.0, 50.0, 125.0), switch_dc=d.of(None, 16.0, 50.0), switch_poles=d.of(1.0, 2.0)
        ),
        words=lambda d: f"{d.of('1M', '500k')} log DPST {d.of(1, 2)}A {d.of('16V DC', '12V DC', '30V~', '125V~')}",
    ),
    Wall(
        POLE, "a control's switch of too few amperes", "potentiometer", "POT13", ("volume", "tone"), "1M log DPST 4A 250V~",
        dead=SWITCHED, facts=(MAINS_230, "current=0.5A"),
        spoil=lambda d: rated_switch(switch_current=d.of(None, 0.01, 0.05, 0.3)),
        words=lambda d: f"1M log DPST {d.of('100mA', '250mA')} 250V~",
    ),
    Wall(
        BIAS, "a preset wired as a divider", "potentiometer", "POT18", ("bias-preset",), "22k preset 0.5W",
        dead=("22k lin preset divider", "10k preset divider"), safe_dead="22k lin preset rheostat", facts=("rail=40",),
        spoil=lambda d: {"power": d.between(1, 5)},
        words=lambda d: f"{d.of('10k', '22k', '25k')} {d.of('cermet', 'lin')} preset 0.5W",
    ),
    Wall(
        BIAS, "a preset of unknown wiring", "potentiometer", "POT18", ("bias-preset",), "22k preset 0.5W",
        dead=("22k preset", "10k lin preset", ""), safe_dead="22k preset rheostat", facts=("rail=40",),
        outcome=Outcome.UNKNOWN, spoil=lambda d: {"power": d.between(1, 5)},
        words=lambda d: f"{d.of('10k', '22k')} preset 0.5W",
    ),
    Wall(
        POLE, "one pole", "switch", "SWI01", ("mains",), "DPST toggle 3 A 250 V~", facts=(LIVE,),
        spoil=lambda d: {"poles": 1.0, "poles_low": 1.0, "poles_high": 1.0},
        words=lambda d: f"SPST {d.of('toggle', 'rocker')} {d.of(3, 6, 10)} A 250 V~",
    ),
    Wall(
        POLE, "one pole, chassis not known", "switch", "SWI01", ("mains",), "DPST toggle 3 A 250 V~",
        without=("chassis", "lineup", "valve", "secondary", "rectifier"),
        spoil=lambda d: {"poles": 1.0, "poles_low": 1.0, "poles_high": 1.0},
        words=lambda d: f"SPST {d.of('toggle', 'rocker')} {d.of(3, 6, 10)} A 250 V~",
    ),
    Wall(
        POLE, "no AC rating, or one under the mains", "switch", "SWI02", ("mains",), "DPST toggle 3 A 250 V~",
        facts=(MAINS_230,), spoil=lambda d: {"voltage_ac": d.of(None, 12.0, 30.0, 125.0, 220.0)},
        words=lambda d: f"DPST toggle {d.of(1, 3, 10)} A{d.of('', ' 12 V DC', ' 125 V~')}",
    ),
    Wall(
        "", "no DC rating at HT", "switch", "SWI03", ("ht",), "SPST toggle 10 A 600 V DC", facts=("secondary=250-0-250",),
        spoil=lambda d: {"voltage_dc": d.of(None, 12.0, 30.0, 110.0, 250.0)},
        words=lambda d: f"SPST toggle {d.of(1, 3, 10)} A {d.of('250 V~', '30 V DC')}",
    ),
    Wall(
        "", "a switch of too few amperes", "switch", "SWI04", ("mains", "ht"), "DPST toggle 3 A 250 V~",
        facts=("current=1.5A",), spoil=lambda d: {"current": d.of(None, 0.1, 0.5, 1.4)},
        words=lambda d: f"DPST toggle{d.of('', ' 0.5 A', ' 1 A')} 250 V~",
    ),
)  # fmt: skip

FUSES_AND_LAMPS = (
    Wall(
        FUSES, "a larger fuse", "fuse", "FUS01", ("primary", "ht"), FUSE, dead=(FUSE, "T500mA"), spoil=larger_fuse,
        words=lambda d: f"T{d.of('1A', '1.25A', '2A', '3.15A', '5A')}H250V",
    ),
    Wall(
        FUSES, "a slower fuse", "fuse", "FUS02", ("primary", "ht"), "F500mAH250V", dead=("F500mAE250V", "F500mAL250V"),
        spoil=lambda d: {"speed": d.of("M", "T", "TT")},
        words=lambda d: f"{d.of('T', 'TT', 'M')}{d.of('400mA', '500mA')}H250V",
    ),
    Wall(
        FUSES, "a fuse of lower breaking capacity", "fuse", "FUS03", ("primary",), "T500mAH250V",
        dead=("T500mAH250V", "T1AH250V"), spoil=lambda d: {"breaking": d.of("L", "E", "")},
        words=lambda d: f"{d.of('T500mA', 'T1A')}{d.of('L', 'E', '')}250V",
    ),
    Wall(
        FUSES, "a fuse whose breaking capacity is not marked", "fuse", "FUS03", ("primary",), FUSE, dead=(FUSE, "T1A"),
        facts=(MAINS_230,), spoil=lambda d: {"breaking": ""}, words=lambda d: f"T{d.of('500mA', '1A')} 250V",
    ),
    Wall(
        FUSES, "a fuse for less than the mains", "fuse", "FUS04", ("primary",), FUSE, dead=(FUSE, "T1A", ""),
        facts=(MAINS_230,), spoil=lambda d: {"voltage_ac": d.of(None, 32.0, 60.0, 125.0)},
        words=lambda d: f"T500mAE{d.of('125V', '32V', '60V', '')}",
    ),
    Wall(
        FUSES, "no DC rating in HT", "fuse", "FUS05", ("ht",), "F500mAH 500VDC", dead=("T250mA", "F500mA", ""),
        facts=("secondary=250-0-250",), spoil=lambda d: {"voltage_dc": d.of(None, 32.0, 125.0, 250.0)},
        words=lambda d: f"{d.of('F', 'T')}{d.of('250mA', '500mA')}H250V",
    ),
    Wall(
        "", "a lamp of less than the chain's current", "lamp", "LMP02", ("chain",), "6.5V 0.1A E10 lamp",
        dead=("6.5V lamp", "6.3V lamp"), facts=("lineup=UCH81 UF89 UABC80 UL84 UY85", LIVE), without=("current", "valve"),
        spoil=lambda d: {"current": d.between(0.001, 0.068)},
        words=lambda d: f"{d.of('6.5', '6.3', '3.5')}V {d.of('0.04', '0.05', '0.06')}A {d.of('E10', 'BA9s')} lamp",
    ),
)  # fmt: skip

PASSIVE = (*CAPACITOR, *RESISTOR, *SWITCHES, *FUSES_AND_LAMPS)
