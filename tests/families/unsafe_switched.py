"""What runs against the walls of controls, switches, fuses and lamps."""

from __future__ import annotations

from partsbin.checks import Outcome
from tests.families.unsafe import Draw, Spoilt, Wall

LIVE, MAINS_230 = "chassis=live", "mains=230"
SWITCHED = ("1M log DP sw", "1M log SP sw 2A 250V~", "500k log mains switch", "250k lin tone control with switch")
FUSE = "T500mAE250V"
POLE, FUSES = "single-pole or unrated switch on a live chassis", "fuse slower, larger or weaker"
BIAS = "a preset that loses the bias"


def larger_fuse(d: Draw) -> Spoilt:
    """Above what is taken with care."""
    return d.interval("current", 1.01 * d.need.window("care")[1], 20 * d.need.window("care")[1])


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
        facts=("current=1.5A",), spoil=lambda d: {name: d.of(None, 0.1, 0.5, 1.4) for name in ("current", "current_dc")},
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

CARRYING = (*SWITCHES, *FUSES_AND_LAMPS)
