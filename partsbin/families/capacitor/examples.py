"""Examples of each outcome of each check: the contract test runs them, a newcomer reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partsbin.families._declare import Example, Measured

_FILM: dict[str, Any] = {"capacitance": 22e-9, "voltage_dc": 630.0, "dielectric": "film"}
_WET: dict[str, Any] = {"capacitance": 16e-6, "voltage_dc": 450.0, "dielectric": "electrolytic"}
_X2: dict[str, Any] = {"capacitance": 100e-9, "voltage_ac": 275.0, "safety_class": "X2", "dielectric": "film"}
_Y2: dict[str, Any] = {"capacitance": 4.7e-9, "tolerance": 0.2, "voltage_ac": 250.0, "safety_class": "Y2"}

_COUPLING = {"position": "coupling", "text": "0.02uF 350V", "facts": ("rail=240", "anode=200", "grid_leak=1M")}
_LABEL = {"position": "coupling", "text": "0.02uF 350V", "facts": ()}
_RESERVOIR = {
    "position": "reservoir",
    "text": "16uF 450V",
    "facts": (
        "secondary=286-0-286 off-load",
        "mains_now=231",
        "rectifier=EZ81",
        "current=80mA",
        "winding_resistance=200",
    ),
}
_SPARK = {"position": "mains-across", "text": "0.1uF", "facts": ()}
_AERIAL = {"position": "aerial-isolation", "text": "0.01uF", "facts": ("chassis=live",)}
_AGC = {"position": "agc", "text": "0.02uF", "facts": ("rail=250",)}
_READ = {"capacitance": Measured(16e-6, 1e-7)}
_BLIND = {"position": "coupling", "text": "", "facts": ("rail=240",)}
_CROSSOVER = {"position": "crossover", "text": "4.7uF", "facts": ()}


def _leak(amperes: float, at: float) -> dict[str, Measured]:
    return {"leakage": Measured(amperes, 0.0, {"volts": at})}


def _with(facts: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {**facts, **more}


EXAMPLES = (
    Example("22 nF for 0.02 µF", _FILM, _COUPLING, {"CAP01": "pass", "CAP10": "pass", "CAP11": "pass", "CAP12": "pass"}),
    Example("more than half as much again", _with(_FILM, capacitance=47e-9), _COUPLING, {"CAP01": "thin"}),
    Example("value not known", _with(_FILM, capacitance=None), _COUPLING, {"CAP01": "unknown"}),
    Example("five times the value", _with(_FILM, capacitance=100e-9), _COUPLING, {"CAP01": "fail"}),
    Example("630 V film at 240 V", _FILM, _COUPLING, {"CAP02": "pass", "CAP03": "pass"}),
    Example("400 V against 384 V off load", _with(_FILM, voltage_dc=400.0), _COUPLING, {"CAP02": "thin"}),
    Example("volts not known", _with(_FILM, voltage_dc=None), _COUPLING, {"CAP02": "unknown", "CAP03": "unknown"}),
    Example("300 V running at 264 V", _with(_FILM, voltage_dc=300.0), _COUPLING, {"CAP02": "fail", "CAP03": "thin"}),
    Example("250 V under the running peak", _with(_FILM, voltage_dc=250.0), _COUPLING, {"CAP03": "fail"}),
    Example("400 V for a 350 V label", _with(_FILM, voltage_dc=400.0), _LABEL, {"CAP04": "pass"}),
    Example("250 V for a 350 V label", _with(_FILM, voltage_dc=250.0), _LABEL, {"CAP04": "fail"}),
    Example("no volts for a 350 V label", _with(_FILM, voltage_dc=None), _LABEL, {"CAP04": "unknown"}),
    Example(
        "a reservoir like the dead one proves nothing", _WET,
        {"position": "reservoir", "text": "16uF 450V", "facts": ()}, {"CAP04": "thin"},
    ),
    Example("AGC part that bears the whole HT", _FILM, _AGC, {"CAP05": "pass", "CAP13": "pass"}),
    Example("AGC part that bears less", _with(_FILM, voltage_dc=100.0), _AGC, {"CAP05": "unknown"}),
    Example("X2 across the mains", _X2, _SPARK, {"CAP06": "pass", "CAP07": "pass", "CAP08": "pass", "CAP15": "pass"}),
    Example("1000 V film across the mains", _with(_FILM, voltage_dc=1000.0), _SPARK, {"CAP06": "fail"}),
    Example("X2 at the mains' own volts", _with(_X2, voltage_ac=230.0), _SPARK, {"CAP07": "thin"}),
    Example("X2 without its volts", _with(_X2, voltage_ac=None), _SPARK, {"CAP07": "unknown"}),
    Example("X2 for 125 V", _with(_X2, voltage_ac=125.0), _SPARK, {"CAP07": "fail"}),
    Example("X2 of old stock", _X2, _SPARK, {"CAP08": "thin"}, condition="unused-old"),
    Example("X2, new or used not known", _X2, _SPARK, {"CAP08": "unknown"}, condition=""),
    Example("X2 pulled from a set", _X2, _SPARK, {"CAP08": "fail"}, condition="salvaged"),
    Example("4.7 nF Y2 at an aerial socket", _Y2, _AERIAL, {"CAP06": "pass", "CAP09": "pass"}),
    Example("X2 at an aerial socket", _X2, _AERIAL, {"CAP06": "fail"}),
    Example("5.6 nF ±10 %: 6.16 of 6.23 nF", _with(_Y2, capacitance=5.6e-9, tolerance=0.1), _AERIAL, {"CAP09": "thin"}),
    Example("5.6 nF ±20 % straddles", _with(_Y2, capacitance=5.6e-9), _AERIAL, {"CAP09": "unknown"}),
    Example("10 nF at an aerial socket", _with(_Y2, capacitance=10e-9), _AERIAL, {"CAP09": "fail"}),
    Example("high-K ceramic in a coupling", _with(_FILM, dielectric="ceramic-2"), _COUPLING, {"CAP10": "thin"}),
    Example("dielectric not known", _with(_FILM, dielectric=None), _COUPLING, {"CAP10": "unknown"}),
    Example("electrolytic in a coupling", _with(_FILM, dielectric="electrolytic"), _COUPLING, {"CAP10": "fail"}),
    Example("waxed paper", _with(_FILM, dielectric="paper-waxed"), _COUPLING, {"CAP11": "fail"}, condition="salvaged"),
    Example("old, not looked at", _with(_FILM, dielectric=None), _COUPLING, {"CAP11": "unknown"}, condition="salvaged"),
    Example("old film leaking 0.2 µA", _FILM, _COUPLING, {"CAP12": "thin"}, "salvaged", _leak(2e-7, 200.0)),
    Example("old film, not measured", _FILM, _COUPLING, {"CAP12": "unknown"}, "salvaged"),
    Example("100 MΩ on 1 MΩ at 200 V", _FILM, _COUPLING, {"CAP12": "fail"}, "salvaged", _leak(2e-6, 200.0)),
    Example("100 MΩ on a 2 MΩ line", _FILM, _AGC, {"CAP13": "thin"}, "salvaged", _leak(2.5e-6, 250.0)),
    Example("AGC part not measured", _FILM, _AGC, {"CAP13": "unknown"}, "salvaged"),
    Example("10 MΩ on a 2 MΩ line", _FILM, _AGC, {"CAP13": "fail"}, "salvaged", _leak(25e-6, 250.0)),
    Example("50 µA after re-forming", _WET, _RESERVOIR, {"CAP14": "pass"}, "salvaged", _leak(50e-6, 450.0)),
    Example("0.90 mA, 0.94 when it was made", _WET, _RESERVOIR, {"CAP14": "thin"}, "salvaged", _leak(0.90e-3, 450.0)),
    Example("old electrolytic, not measured", _WET, _RESERVOIR, {"CAP14": "unknown", "CAP16": "unknown"}, "salvaged"),
    Example("0.95 mA, 0.94 when it was made", _WET, _RESERVOIR, {"CAP14": "fail"}, "salvaged", _leak(0.95e-3, 450.0)),
    Example("electrolytic on AC", _with(_WET, capacitance=4.7e-6), _CROSSOVER, {"CAP15": "fail"}),
    Example("unmarked small part on AC", {"capacitance": 1e-6, "voltage_dc": 100.0}, _CROSSOVER, {"CAP15": "unknown"}),
    Example("measured electrolytic", _WET, _RESERVOIR, {"CAP16": "pass", "CAP20": "pass"}, "salvaged", _READ),
    Example("ripple rating to spare", _with(_WET, ripple_current=0.2), _RESERVOIR, {"CAP17": "pass"}),
    Example("107 of 110 mA ripple", _with(_WET, ripple_current=0.110), _RESERVOIR, {"CAP17": "thin"}),
    Example("107 of 50 mA ripple", _with(_WET, ripple_current=0.05), _RESERVOIR, {"CAP17": "fail"}),
    Example("22 nF, and nobody knows the dead part", _FILM, _BLIND, {"CAP21": "pass"}),
    Example("100 nF, and nobody knows the dead part", _with(_FILM, capacitance=1e-7),
            _BLIND, {"CAP21": "unknown"}),
    Example("100 µF behind an EZ80, and nobody knows the dead part", _with(_WET, capacitance=1e-4),
            {"position": "reservoir", "text": "", "facts": ("rectifier=EZ80", "secondary=250-0-250")}, {"CAP21": "fail"}),
    Example("two in series between anode and grid", _with(_FILM, series=2), _COUPLING, {"CAP20": "fail"}),
    Example("two in series", _with(_WET, voltage_dc=900.0, series=2), _RESERVOIR, {"CAP20": "thin", "CAP02": "pass"}),
    *(
        Example(
            f"{limit:g} °C part beside a rectifier", _with(_WET, temperature_max=limit),
            {"position": "reservoir", "text": "16uF 450V", "facts": ("ambient=70",)}, {"CAP18": outcome},
        )
        for limit, outcome in ((105.0, "pass"), (75.0, "thin"), (65.0, "fail"))
    ),
    *(
        Example(
            f"{length * 1000:g} mm long", _with(_FILM, length=length),
            {"position": "coupling", "text": "0.02uF 350V", "facts": ("space=30mm",)}, {"CAP19": outcome},
        )
        for length, outcome in ((0.02, "pass"), (0.04, "thin"))
    ),
)  # fmt: skip
