"""Examples of each outcome of each check: the contract test runs them, a newcomer reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partsbin.families._declare import Example, Measured

_LOG: dict[str, Any] = {"resistance": 1e6, "taper": "log", "track": "carbon", "power": 0.25, "voltage_limit": 350.0}
_DOUBLE: dict[str, Any] = {
    **_LOG, "switch_poles": 2, "switch_voltage_ac": 250.0, "switch_current": 4.0, "insulated_shaft": True,
    "shaft_diameter": 0.00635, "shaft_length": 0.045,
}  # fmt: skip
_PLACE = {"position": "volume", "text": "1M log", "facts": ("chassis=floating",)}
_BLIND = {**_PLACE, "text": ""}
_LIVE = {
    "position": "volume",
    "text": "1M log DP switch spindle 6.35 x 45 mm bush 10 mm",
    "facts": ("chassis=live", "current=0.3"),
}
_PLAIN_LIVE = {**_LIVE, "text": "1M log"}
_EARTHED = {**_LIVE, "facts": ("chassis=earthed", "current=0.3")}
_DUAL = {**_PLACE, "text": "dual 1M log"}
_TAPPED = {**_PLACE, "text": "1M log tap 20%"}
_HUM = {"position": "hum-balance", "text": "100R wirewound pot", "facts": ()}
_GAIN = {"position": "rf-gain", "text": "10k lin pot", "facts": ("current=10mA", "chassis=floating")}
_BLIND_GAIN = {**_GAIN, "facts": ("chassis=floating",)}
_ANODE = {"position": "tone", "text": "50k lin pot", "facts": ("anode=240", "chassis=floating")}
_PRESET = {"position": "bias-preset", "text": "25k lin preset rheostat", "facts": ("rail=40",)}
_CARBON: dict[str, Any] = {
    "resistance": 50e3,
    "taper": "linear",
    "track": "carbon",
    "power": 0.5,
    "voltage_limit": 350.0,
}
_TRIM: dict[str, Any] = {
    "resistance": 22e3,
    "taper": "linear",
    "track": "carbon",
    "power": 0.25,
    "voltage_limit": 350.0,
}
_WOUND: dict[str, Any] = {"resistance": 100.0, "track": "wirewound", "power": 1.0, "voltage_limit": 100.0}
_PAIR: dict[str, Any] = {**_LOG, "gangs": 2}


def _with(facts: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {**facts, **more}


def _read(**values: float) -> dict[str, Measured]:
    return {
        name.replace("_at_", "@"): Measured(value, 0.0, {"volts": 500.0} if name == "insulation" else {})
        for name, value in values.items()
    }


EXAMPLES = (
    Example("as the dead one", _LOG, _PLACE, {f"POT{n}": "pass" for n in ("01", "03", "04", "05", "06", "07", "10", "11", "12")}),
    Example("2 MΩ for one", _with(_LOG, resistance=2e6), _PLACE, {"POT01": "thin", "POT03": "thin"}),
    Example("ohms not known", _with(_LOG, resistance=None), _PLACE, {"POT01": "unknown"}),
    Example("100 kΩ for 1 MΩ", _with(_LOG, resistance=100e3), _PLACE, {"POT01": "fail"}),
    Example("500 kΩ, the dead part not known", _with(_LOG, resistance=500e3), _BLIND, {"POT02": "pass"}),
    Example("100 kΩ, the dead part not known", _with(_LOG, resistance=100e3), _BLIND, {"POT02": "unknown"}),
    Example("linear for log", _with(_LOG, taper="linear"), _PLACE, {"POT04": "thin"}),
    Example("law not known", _with(_LOG, taper=None), _PLACE, {"POT04": "unknown"}),
    Example("antilog for log", _with(_LOG, taper="antilog"), _PLACE, {"POT04": "fail"}),
    Example("an old track, 30 % at half rotation", _LOG, _PLACE, {"POT04": "thin"}, readings=_read(mid=0.3)),
    Example("1.2 W carrying 10 mA", _with(_CARBON, resistance=10e3, power=1.2), _GAIN, {"POT05": "thin"}),
    Example("a small body carrying 10 mA", _with(_CARBON, resistance=10e3, power=0.25), _GAIN, {"POT05": "fail"}),
    Example("watts not marked, 10 mA", _with(_CARBON, resistance=10e3, power=None), _GAIN, {"POT05": "unknown"}),
    Example("load not known", _with(_CARBON, resistance=10e3), _BLIND_GAIN, {"POT05": "unknown"}),
    Example("at an anode, limit 250 V", _with(_CARBON, voltage_limit=250.0), _ANODE, {"POT06": "thin"}),
    Example("at an anode, limit 50 V", _with(_CARBON, voltage_limit=50.0), _ANODE, {"POT06": "fail"}),
    Example("at an anode, nothing marked", _with(_CARBON, voltage_limit=None, power=None), _ANODE, {"POT06": "unknown"}),
    Example("two gangs for one", _PAIR, _PLACE, {"POT07": "thin"}),
    Example("gangs not known", _LOG, _DUAL, {"POT07": "unknown"}),
    Example("one gang for two", _with(_LOG, gangs=1), _DUAL, {"POT07": "fail"}),
    Example("gangs alike", _PAIR, _DUAL, {"POT08": "pass"}, readings=_read(resistance=1e6, resistance_at_2=1.05e6)),
    Example("gangs a third apart", _PAIR, _DUAL, {"POT08": "thin"}, readings=_read(resistance=1e6, resistance_at_2=1.3e6)),
    Example("gangs far apart", _PAIR, _DUAL, {"POT08": "fail"}, readings=_read(resistance=1e6, resistance_at_2=0.6e6)),
    Example("tapped at a fifth", _with(_LOG, taps=[{"ratio": 0.2}]), _TAPPED, {"POT09": "pass"}),
    Example("tapped at a half", _with(_LOG, taps=[{"ratio": 0.5}]), _TAPPED, {"POT09": "thin"}),
    Example("untapped for tapped", _LOG, _TAPPED, {"POT09": "thin"}),
    Example("salvaged, not read", _LOG, _PLACE, {"POT10": "unknown"}, condition="salvaged"),
    Example("two poles, plastic spindle", _DOUBLE, _LIVE, {f"POT{n}": "pass" for n in (11, 12, 13, 14, 15, 16, 17)}),
    Example("no switch: a separate one", _with(_LOG, switch_poles=0), _LIVE, {"POT11": "thin", "POT12": "pass", "POT13": "pass"}),
    Example("one pole on a live chassis", _with(_DOUBLE, switch_poles=1), _LIVE, {"POT11": "fail"}),
    Example("one pole, the dead part says nothing of a switch", _with(_DOUBLE, switch_poles=1), _PLAIN_LIVE, {"POT11": "fail"}),
    Example("one pole for two, transformer set", _with(_DOUBLE, switch_poles=1), _EARTHED, {"POT11": "thin"}),
    Example("switch not known", _LOG, _LIVE, {"POT11": "unknown", "POT12": "unknown", "POT13": "unknown"}),
    Example("switch of 230 V", _with(_DOUBLE, switch_voltage_ac=230.0), _LIVE, {"POT12": "thin"}),
    Example("consumer switch", _with(_DOUBLE, switch_voltage_ac=None, switch_voltage_dc=16.0), _EARTHED, {"POT12": "fail"}),
    Example("switch of half an ampere", _with(_DOUBLE, switch_current=0.5), _LIVE, {"POT13": "thin"}),
    Example("switch of a tenth of an ampere", _with(_DOUBLE, switch_current=0.1), _LIVE, {"POT13": "fail"}),
    Example("used switch, not read", _DOUBLE, _LIVE, {"POT14": "unknown"}, condition="salvaged"),
    Example("used switch, worn", _DOUBLE, _LIVE, {"POT14": "thin"}, "salvaged",
            _read(resistance=1e6, contact_resistance=0.2, insulation=1e9)),
    Example("used switch, leaking", _DOUBLE, _LIVE, {"POT14": "fail"}, "salvaged",
            _read(resistance=1e6, contact_resistance=0.03, insulation=1e6)),
    Example("metal spindle on a live chassis", _with(_DOUBLE, insulated_shaft=False), _LIVE, {"POT15": "thin"}),
    Example("spindle of 6 mm", _with(_DOUBLE, shaft_diameter=0.006, shaft_length=0.06), _LIVE, {"POT16": "thin"}),
    Example("bush of 7 mm", _with(_DOUBLE, bush_diameter=0.007), _LIVE, {"POT17": "thin"}),
    Example("hum balance", _WOUND, _HUM, {"POT01": "pass", "POT05": "pass"}),
    Example("preset, wiper tied to its end", _TRIM, _PRESET, {"POT18": "pass"}),
    Example("preset, wiring not known", _TRIM, {**_PRESET, "text": "25k lin preset"}, {"POT18": "unknown"}),
    Example("preset as a divider", _TRIM, {**_PRESET, "text": "25k lin preset divider"}, {"POT18": "fail"}),
)  # fmt: skip
