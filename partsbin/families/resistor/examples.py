"""Examples of each outcome of each check: the contract test runs them, a newcomer reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partsbin.families._declare import Example, Measured

_FILM: dict[str, Any] = {"resistance": 470e3, "tolerance": 0.05, "power": 0.5, "technology": "metal-film"}
_WIRE: dict[str, Any] = {"resistance": 100.0, "tolerance": 0.05, "power": 10.0, "technology": "wirewound"}
_BRIDGE: dict[str, Any] = {
    "resistance": 2.2e6, "tolerance": 0.05, "power": 0.5, "technology": "metal-glaze", "voltage_limit": 3500.0,
    "bridging": True,
}  # fmt: skip

_ANODE = {"position": "anode-load", "text": "470k 1/2W", "facts": ("rail=240", "anode=100")}
_MARK = {"position": "anode-load", "text": "470k 1/2W", "facts": ()}
_WARM = {"position": "anode-load", "text": "470k 1/2W", "facts": ("ambient=95",)}
_RAIL = {"position": "anode-load", "text": "100k", "facts": ("rail=240",)}
_BLIND = {"position": "decoupling", "text": "10k", "facts": ()}
_NOTHING = {"position": "grid-leak", "text": "", "facts": ()}
_CATHODE = {"position": "cathode-bias", "text": "150R", "facts": ("current=50mA",)}
_STOPPER = {"position": "grid-stopper", "text": "4k7", "facts": ()}
_SURGE = {"position": "surge-limiter", "text": "100R 5W", "facts": ()}
_HOT = {"position": "surge-limiter", "text": "100R 5W", "facts": ("ambient=70",)}
_FUSE = {"position": "ht-dropper", "text": "1k 1W fusible", "facts": ("rail=240",)}
_PLUG = {"position": "x-discharge", "text": "1M", "facts": ()}
_HAND = {"position": "isolation-bridging", "text": "2M2", "facts": ("chassis=live",)}
_BLEED = {"position": "bleeder", "text": "47k", "facts": ("secondary=250-0-250 off-load", "mains_now=230")}
_NARROW = {"position": "anode-load", "text": "470k 1/2W", "facts": ("space=10mm",)}


def _with(facts: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {**facts, **more}


def _read(ohms: float, spread: float) -> dict[str, Measured]:
    return {"resistance": Measured(ohms, spread)}


EXAMPLES = (
    Example("470 kΩ for 470 kΩ", _FILM, _ANODE, {"RES01": "pass", "RES03": "pass", "RES06": "pass", "RES10": "pass"}),
    Example("a third less", _with(_FILM, resistance=330e3), _ANODE, {"RES01": "thin"}),
    Example("value not known", _with(_FILM, resistance=None), _ANODE, {"RES01": "unknown"}),
    Example("a fifth of the value", _with(_FILM, resistance=100e3), _ANODE, {"RES01": "fail"}),
    Example("180 Ω ±5 % for 150 Ω, new", _with(_WIRE, resistance=180.0, tolerance=0.05), _CATHODE, {"RES01": "thin"}),
    Example("180 Ω ±20 % for 150 Ω, critical", _with(_WIRE, resistance=180.0, tolerance=0.2), _CATHODE, {"RES01": "unknown"}),
    Example("1 MΩ, and nobody knows the dead part", _with(_FILM, resistance=1e6), _NOTHING, {"RES02": "pass"}),
    Example("10 MΩ, and nobody knows the dead part", _with(_FILM, resistance=1e7), _NOTHING, {"RES02": "unknown"}),
    Example("0.45 W in 0.5 W", _with(_WIRE, resistance=150.0, power=0.5, technology="metal-film"), _CATHODE, {"RES03": "thin"}),
    Example("watts not known, 45 mW in it", _with(_FILM, power=None), _ANODE, {"RES03": "pass", "RES06": "unknown"}),
    Example("watts not known, 0.45 W in it", _with(_WIRE, resistance=150.0, power=None), _CATHODE, {"RES03": "unknown"}),
    Example("0.45 W in 0.25 W", _with(_WIRE, resistance=150.0, power=0.25, technology="metal-film"), _CATHODE, {"RES03": "fail"}),
    Example("half a watt for half a watt", _FILM, _MARK, {"RES04": "pass", "RES07": "pass"}),
    Example("watts not known, the dead part had half", _with(_FILM, power=None), _MARK, {"RES04": "unknown", "RES07": "unknown"}),
    Example("a quarter watt for half a watt", _with(_FILM, power=0.25), _MARK, {"RES04": "fail"}),
    Example("half a watt for half a watt, in 95 °C", _FILM, _WARM, {"RES04": "thin"}),
    Example("a body for 200 V where the dead one's size bears 250", _with(_FILM, voltage_limit=200.0), _MARK, {"RES07": "fail"}),
    Example("2 W bears even the whole rail", _with(_FILM, resistance=100e3, power=2.0), _RAIL, {"RES05": "pass"}),
    Example("1 W bears it hot", _with(_FILM, resistance=100e3, power=1.0), _RAIL, {"RES05": "thin"}),
    Example("half a watt may not", _with(_FILM, resistance=100e3), _RAIL, {"RES05": "unknown"}),
    Example("270 V body at 264 V", _with(_FILM, voltage_limit=270.0), _ANODE, {"RES06": "thin"}),
    Example("250 V marked at 264 V", _with(_FILM, voltage_limit=250.0), _ANODE, {"RES06": "fail"}),
    Example("neither load nor dead watts known", _with(_FILM, resistance=10e3), _BLIND, {"RES08": "unknown"}),
    Example("wire as surge limiter", _WIRE, _SURGE, {"RES09": "pass"}),
    Example("film as surge limiter", _with(_WIRE, technology="metal-oxide"), _SURGE, {"RES09": "unknown", "RES10": "thin"}),
    Example("film not made for pulses", _with(_WIRE, technology="metal-oxide", pulse_rated=False), _SURGE, {"RES09": "fail"}),
    Example("wire on a grid", _with(_WIRE, resistance=4700.0), _STOPPER, {"RES10": "fail"}),
    Example("wire without inductance on a grid", _with(_WIRE, resistance=4700.0, non_inductive=True), _STOPPER, {"RES10": "thin"}),
    Example("old, nobody looked", _with(_FILM, technology=None), _ANODE, {"RES10": "unknown", "RES11": "unknown"}, "salvaged"),
    Example("old composition as marked", _with(_FILM, technology="carbon-composition"), _ANODE, {"RES11": "unknown"}, "salvaged"),
    Example("old composition, measured", _with(_FILM, technology="carbon-composition"), _ANODE,
            {"RES11": "pass", "RES01": "pass"}, "salvaged", _read(500e3, 10e3)),
    Example("fusible for fusible", _with(_WIRE, resistance=1e3, power=1.0, fusible=True), _FUSE, {"RES12": "pass"}),
    Example("fusible of more watts", _with(_WIRE, resistance=1e3, power=2.0, fusible=True), _FUSE, {"RES12": "fail"}),
    Example("fusible, watts not known", _with(_WIRE, resistance=1e3, power=None, fusible=True), _FUSE, {"RES12": "unknown"}),
    Example("fusible, the dead part's watts not known", _with(_WIRE, resistance=1e3, fusible=True),
            {"position": "ht-dropper", "text": "1k fusible", "facts": ("rail=240",)}, {"RES12": "thin"}),
    Example("an ordinary one for a fusible", _with(_WIRE, resistance=1e3, power=1.0), _FUSE, {"RES12": "fail"}),
    Example("made to bridge insulation", _BRIDGE, _HAND, {"RES13": "pass", "RES14": "pass", "RES15": "pass"}),
    Example("ordinary film over the isolation", _with(_FILM, resistance=2.2e6), _HAND, {"RES13": "fail"}),
    Example("old stock over the isolation", _BRIDGE, _HAND, {"RES14": "thin"}, "unused-old"),
    Example("new or used is not known", _BRIDGE, _HAND, {"RES14": "unknown"}, ""),
    Example("used across the mains", _with(_FILM, resistance=1e6), _PLUG, {"RES14": "fail", "RES10": "thin"}, "salvaged"),
    Example("0.69 of 0.7 mA", _with(_BRIDGE, resistance=546e3), _HAND, {"RES15": "thin"}),
    Example("510 kΩ ±5 % straddles", _with(_BRIDGE, resistance=510e3), _HAND, {"RES15": "unknown"}),
    Example("330 kΩ over the isolation", _with(_BRIDGE, resistance=330e3), _HAND, {"RES15": "fail"}),
    *(
        Example(f"{limit:g} °C body in 70 °C", _with(_WIRE, temperature_max=limit), _HOT, {"RES16": outcome})
        for limit, outcome in ((275.0, "pass"), (75.0, "thin"), (65.0, "fail"))
    ),
    *(
        Example(f"{length * 1000:g} mm long", _with(_FILM, length=length), _NARROW, {"RES17": outcome})
        for length, outcome in ((0.009, "pass"), (0.012, "thin"))
    ),
    *(
        Example(f"{watts or 'unknown'} W on 389 V off load", _with(_WIRE, resistance=47e3, power=watts), _BLEED, {"RES19": outcome})
        for watts, outcome in ((5.0, "pass"), (4.0, "thin"), (None, "unknown"), (3.0, "fail"))
    ),
    *(
        Example(f"{watts:g} W for half a watt", _with(_FILM, power=watts), _MARK, {"RES18": outcome})
        for watts, outcome in ((2.0, "pass"), (5.0, "thin"))
    ),
)  # fmt: skip
