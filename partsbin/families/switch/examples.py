"""Switches, one for each outcome that a check may have."""

from __future__ import annotations

from partsbin.families._declare import Example, Measured

_ON_MAINS = {"position": "mains", "text": "", "facts": ("chassis=floating", "current=0.6")}
_LIVE = {"position": "mains", "text": "toggle switch", "facts": ("chassis=live", "current=0.6")}
_HT = {"position": "ht", "text": "", "facts": ("secondary=250-0-250", "current=60mA")}
_UNSAID = {"position": "mains", "text": "DPST toggle 6 A 250 V~", "facts": ("chassis=live",)}
_GOOD = {"poles": 2, "voltage_ac": 250.0, "current": 4.0, "action": "toggle"}
EXAMPLES = (
    Example("two poles on a live chassis", _GOOD, _LIVE, {f"SWI0{n}": "pass" for n in (1, 2, 4, 5, 6, 7)}),
    Example("one pole on a live chassis", {**_GOOD, "poles": 1, "action": "rocker"}, _LIVE, {"SWI01": "fail", "SWI06": "thin"}),
    Example("springs back", {**_GOOD, "action": "momentary"}, _ON_MAINS, {"SWI07": "fail"}),
    Example("poles not known", {**_GOOD, "poles": None}, _LIVE, {"SWI01": "unknown"}),
    Example("sixteen volts", {**_GOOD, "voltage_ac": 16.0}, _ON_MAINS, {"SWI02": "fail"}),
    Example("as the mains", {**_GOOD, "voltage_ac": 230.0, "current": 0.6}, _ON_MAINS, {"SWI02": "thin", "SWI04": "thin"}),
    Example("a tenth of an ampere", {**_GOOD, "current": 0.1}, _ON_MAINS, {"SWI04": "fail"}),
    Example("no DC rating", _GOOD, _HT, {"SWI03": "fail"}),
    Example("rated for DC", {**_GOOD, "voltage_dc": 600.0}, _HT, {"SWI03": "pass"}),
    Example("just rated for DC", {**_GOOD, "voltage_dc": 420.0}, _HT, {"SWI03": "thin"}),
    Example("HT not known", {**_GOOD, "voltage_dc": 400.0}, {**_HT, "facts": ()}, {"SWI03": "unknown"}),
    Example("less than the dead one", {**_GOOD, "current": 2.0}, _UNSAID, {"SWI04": "unknown"}),
    Example("as many amperes as the dead one", {**_GOOD, "current": 6.0}, _UNSAID, {"SWI04": "pass"}),
    Example("signals, unmarked", {**_GOOD, "current": None}, {**_HT, "position": "selector", "facts": ()}, {"SWI04": "pass"}),
    Example("out of a set, for signals", _GOOD, {**_HT, "position": "selector"}, {"SWI05": "unknown"}, condition="salvaged"),
    Example("current not marked", {**_GOOD, "current": None}, {**_HT, "position": "selector", "facts": ("current=0.5",)},
            {"SWI04": "unknown"}),
    Example("used, not tested", _GOOD, _ON_MAINS, {"SWI05": "unknown"}, condition="salvaged"),
    Example("used, tested", _GOOD, _ON_MAINS, {"SWI05": "pass"}, condition="salvaged",
            readings={"contact_resistance": Measured(0.03), "insulation": Measured(1e9, 0.0, {"volts": 500.0})}),
    Example("used, worn", _GOOD, _ON_MAINS, {"SWI05": "thin"}, condition="salvaged",
            readings={"contact_resistance": Measured(0.2), "insulation": Measured(1e9, 0.0, {"volts": 500.0})}),
    Example("used, leaking", _GOOD, _ON_MAINS, {"SWI05": "fail"}, condition="salvaged",
            readings={"contact_resistance": Measured(0.03), "insulation": Measured(1e6, 0.0, {"volts": 500.0})}),
)  # fmt: skip
