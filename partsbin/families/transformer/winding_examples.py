"""Examples of iron on the mains, interstage and driver iron: each outcome of each of their checks."""

from __future__ import annotations

from typing import Any

from partsbin.families._declare import Example, Measured

_PRIMARY = {"name": "primary", "voltage": 230.0}
_HT = {"name": "250-0-250 V", "voltage": 250.0, "current": 0.1}
_LOW = {"name": "6.3 V", "voltage": 6.3, "current": 3.5}
_FIVE = {"name": "5 V", "voltage": 5.0, "current": 2.0}


def _iron(*windings: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"kind": "mains", "windings": list(windings), **more}


def _place(position: str, *facts: str, text: str = "") -> dict[str, Any]:
    return {"position": position, "text": text, "facts": facts}


_GOOD = _iron(_PRIMARY, _HT, _LOW, power=100.0)
_WITH_FIVE = _iron(_PRIMARY, _HT, _LOW, _FIVE, power=100.0)
_LINEUP = "lineup=ECH81 EBF89 EABC80 EL84 EZ80"
_EL84 = _place("mains", _LINEUP, "secondary=250-0-250")
_EZ41 = _place("mains", "lineup=ECH42 EF41 EBC41 EL41 EZ41", "secondary=250-0-250", "rail=240")
_EZ41_HIGH = _place("mains", "lineup=ECH42 EF41 EBC41 EL41 EZ41", "secondary=300-0-300", "rail=340")
_OWN_LIMIT = _place("mains", "lineup=ECH81 EBF89 EABC80 EL84 EZ35", "secondary=250-0-250")
_FIVE_VOLTS = _place("mains", "lineup=6K8 6K7 6Q7 6V6 5Y3GT", "secondary=250-0-250")
_BLIND = _place("mains")
_SIX = _place("heater", "lineup=ECH81 EF89 EL84")
_BENCH = _place("isolating", "current=0.5")
_UNSAID = _place("isolating")
_STAGE = _place("interstage", "valve=6J5GT", "rail=250", text="interstage transformer 1:3 centre tap 20mA")
_CLASS_B = _place("driver", "valve=6J5GT", text="driver transformer 2:1 CT 20mA")


def _driver(**more: Any) -> dict[str, Any]:
    pair = {"ratio": 2.0}
    return {
        "kind": "driver",
        "pairs": [pair],
        "dc_current": 0.02,
        "centre_tapped": True,
        "secondary_resistance": 200.0,
        **more,
    }


def _stage(ratio: float | None, **more: Any) -> dict[str, Any]:
    return {"kind": "interstage", "pairs": [{"ratio": ratio}], "dc_current": 0.02, "centre_tapped": True, **more}


def _proof(ohm: float) -> dict[str, Measured]:
    return {"insulation@4": Measured(ohm, 0.0, {"volts": 500.0})}


EXAMPLES = (
    Example("as the dead one", _GOOD, _EL84,
            {"TRF11": "pass", "TRF12": "pass", "TRF13": "pass", "TRF14": "pass", "TRF15": "pass", "TRF16": "pass",
             "TRF19": "pass", "TRF20": "pass", "TRF21": "pass", "TRF22": "pass"}),
    Example("280 V a side", _iron(_PRIMARY, {**_HT, "name": "280-0-280 V", "voltage": 280.0}, _LOW), _EL84,
            {"TRF11": "thin", "TRF14": "thin"}),
    Example("HT volts not known", _iron(_PRIMARY, _LOW), _EL84, {"TRF11": "fail", "TRF12": "unknown"}),
    Example("nothing known of its windings", _iron(), _EL84, {"TRF11": "unknown", "TRF13": "unknown", "TRF15": "unknown",
                                                              "TRF16": "unknown"}),
    Example("350 V a side", _iron(_PRIMARY, {**_HT, "name": "350-0-350 V", "voltage": 350.0}, _LOW), _EL84, {"TRF11": "fail"}),
    Example("70 mA for 67", _iron(_PRIMARY, {**_HT, "current": 0.07}, _LOW), _EL84, {"TRF12": "thin"}),
    Example("50 mA for 67", _iron(_PRIMARY, {**_HT, "current": 0.05}, _LOW), _EL84, {"TRF12": "fail"}),
    Example("no centre tap", _iron(_PRIMARY, {**_HT, "name": "250 V", "current": 0.15}, _LOW), _EL84, {"TRF13": "thin"}),
    Example("on its 220 V tap at 240 V", _iron({"name": "primary", "voltage": 220.0}, _HT, {**_LOW, "current": 2.5}),
            _place("mains", _LINEUP, "secondary=250-0-250", "mains=240"), {"TRF15": "thin", "TRF20": "thin"}),
    Example("4 V heaters", _iron(_PRIMARY, _HT, {"name": "4 V", "voltage": 4.0, "current": 4.0}), _EL84, {"TRF15": "fail"}),
    Example("2.5 A with lamps to come", _iron(_PRIMARY, _HT, {**_LOW, "current": 2.5}), _EL84, {"TRF16": "thin"}),
    Example("1.5 A of heaters", _iron(_PRIMARY, _HT, {**_LOW, "current": 1.5}), _EL84, {"TRF16": "fail"}),
    Example("a winding for the 5Y3", _WITH_FIVE, _FIVE_VOLTS, {"TRF17": "pass", "TRF18": "pass"}),
    Example("5 V, how many amperes is not known", _iron(_PRIMARY, _HT, _LOW, {**_FIVE, "current": None}), _FIVE_VOLTS,
            {"TRF17": "unknown"}),
    Example("no winding for the 5Y3", _GOOD, _FIVE_VOLTS, {"TRF17": "fail"}),
    Example("used, 5 V winding not tested", _WITH_FIVE, _FIVE_VOLTS, {"TRF18": "unknown"}, "salvaged"),
    Example("used, 5 V winding tested", _WITH_FIVE, _FIVE_VOLTS, {"TRF18": "pass"}, "salvaged", _proof(1e9)),
    Example("used, 5 V winding leaks", _WITH_FIVE, _FIVE_VOLTS, {"TRF18": "fail"}, "salvaged", _proof(1e6)),
    Example("EZ41 near its limit", _GOOD, _EZ41, {"TRF19": "thin"}),
    Example("EZ41 over its limit", _iron(_PRIMARY, {**_HT, "name": "300-0-300 V", "voltage": 300.0}, _LOW), _EZ41_HIGH,
            {"TRF19": "fail"}),
    Example("a rectifier whose limit is not known", _GOOD, _OWN_LIMIT, {"TRF19": "unknown"}),
    Example("used, primary not marked", _iron(_HT, _LOW), _EL84, {"TRF20": "unknown"}, "salvaged"),
    Example("60 Hz iron", _iron(_PRIMARY, _HT, _LOW, frequency=60.0), _EL84, {"TRF20": "fail"}),
    Example("auto-transformer", {"kind": "auto", "windings": [_PRIMARY]}, _EL84, {"TRF21": "fail"}),
    Example("48 VA for 45", _iron(_PRIMARY, _HT, _LOW, power=37.0), _EL84, {"TRF22": "thin"}),
    Example("20 VA for 45", _iron(_PRIMARY, _HT, _LOW, power=20.0), _EL84, {"TRF22": "fail"}),
    Example("a used one, the set not known", _GOOD, _BLIND, {"TRF11": "pass", "TRF12": "unknown"}),
    Example("heater transformer", {"kind": "heater", "windings": [_PRIMARY, _LOW]}, _SIX, {"TRF15": "pass", "TRF16": "pass"}),
    Example("one to one", {"kind": "isolating", "windings": [_PRIMARY, {"name": "230 V", "voltage": 230.0}], "power": 250.0}, _BENCH,
            {"TRF22": "pass", "TRF23": "pass"}),
    Example("watts not marked", {"kind": "isolating", "windings": [_PRIMARY, {"name": "230 V", "voltage": 230.0}]}, _BENCH,
            {"TRF22": "unknown"}),
    Example("steps down", {"kind": "isolating", "windings": [_PRIMARY, {"name": "115 V", "voltage": 115.0}]}, _UNSAID,
            {"TRF23": "fail"}),
    Example("1:3 for grids", _stage(1 / 3, primary_inductance=20.0), _STAGE, {"TRF23": "pass", "TRF24": "pass"}),
    Example("1:5 for 1:3", _stage(0.2, primary_inductance=5.0), _STAGE, {"TRF23": "thin", "TRF24": "thin"}),
    Example("ratio not known", _stage(None), _STAGE, {"TRF23": "unknown"}),
    Example("2:1 for grid current", _driver(), _CLASS_B, {"TRF23": "pass", "TRF25": "pass"}),
    Example("a fine secondary", _driver(secondary_resistance=2000.0), _CLASS_B, {"TRF25": "thin"}),
    Example("secondary not measured", _driver(secondary_resistance=None), _CLASS_B, {"TRF25": "unknown"}, "salvaged"),
)  # fmt: skip
