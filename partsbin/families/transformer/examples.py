"""Examples of each outcome of each check: the contract test runs them, a newcomer reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partsbin.families._declare import Example, Measured
from partsbin.families.transformer import winding_examples

_PAIR = {"ratio": 38.0, "primary_resistance": 400.0, "secondary_resistance": 0.4}
_SINGLE: dict[str, Any] = {"kind": "output", "gapped": True, "dc_current": 0.06, "power": 8.0, "pairs": [_PAIR]}
_PAIRED: dict[str, Any] = {
    "kind": "output",
    "centre_tapped": True,
    "gapped": False,
    "power": 15.0,
    "pairs": [{"ratio": 4.0}],
}
_EL84 = {
    "position": "output",
    "text": "",
    "facts": ("lineup=ECH81 EBF89 EABC80 EL84 EZ80", "speaker=3", "chassis=floating"),
}
_BLIND = {"position": "output", "text": "", "facts": ("chassis=floating",)}
_ON_LINE = {"position": "line", "text": "100V line 5W to 15 ohm", "facts": ()}
_LINE: dict[str, Any] = {"kind": "line", "line_voltage": 100.0, "power": 5.0, "pairs": [{"ratio": 11.0}]}
_LIVE = {"position": "output", "text": "", "facts": ("lineup=UCH81 UF89 UABC80 UL84 UY85", "speaker=3", "chassis=live")}
_PUSH = {
    "position": "output",
    "text": "",
    "facts": ("lineup=EF86 ECC83 2xEL84 EZ81", "speaker=100 V 20 W", "chassis=floating"),
}


def _with(facts: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    return {**facts, **more}


def _ratio(ratio: float | None, primary: float | None = 400.0) -> dict[str, Any]:
    return _with(_SINGLE, pairs=[{"ratio": ratio, "primary_resistance": primary, "secondary_resistance": 0.4}])


def _insulation(ohm: float) -> dict[str, Measured]:
    return {"insulation": Measured(ohm, 0.0, {"volts": 500.0})}


EXAMPLES = (
    Example(
        "gapped 38:1 for one EL84", _SINGLE, _EL84,
        {"TRF01": "pass", "TRF02": "pass", "TRF03": "pass", "TRF05": "pass", "TRF06": "pass", "TRF07": "pass", "TRF08": "pass"},
    ),
    Example("30:1 loads too low", _ratio(30.0), _EL84, {"TRF01": "thin"}),
    Example("ratio not known", _ratio(None), _EL84, {"TRF01": "unknown"}),
    Example("22:1 loads far too low", _ratio(22.0), _EL84, {"TRF01": "fail"}),
    Example("a third lost in the copper", _ratio(36.0, 1900.0), _EL84, {"TRF02": "thin"}),
    Example("most lost in the copper", _ratio(25.0, 1990.0), _EL84, {"TRF02": "fail"}),
    Example("rated for just the current", _with(_SINGLE, dc_current=0.048), _EL84, {"TRF03": "thin"}),
    Example("rated current not known", _with(_SINGLE, dc_current=None), _EL84, {"TRF03": "unknown"}),
    Example("push-pull iron under standing current", _with(_SINGLE, gapped=False, dc_current=None), _EL84, {"TRF03": "fail"}),
    Example("centre tap for a pair", _PAIRED, _PUSH, {"TRF04": "pass"}, label=""),
    Example("leads not counted", _with(_PAIRED, centre_tapped=None), _PUSH, {"TRF04": "unknown"}, condition="salvaged"),
    Example("new, sold for a pair", _with(_PAIRED, centre_tapped=None, topology="push-pull"), _PUSH, {"TRF04": "pass"}),
    Example("no centre tap for a pair", _with(_PAIRED, centre_tapped=False), _PUSH, {"TRF04": "fail"}),
    Example("700 Ω primary", _ratio(38.0, 700.0), _EL84, {"TRF05": "thin"}),
    Example("primary not measured", _ratio(38.0, None), _EL84, {"TRF05": "unknown"}, condition="salvaged"),
    Example("2.5 kΩ primary", _ratio(38.0, 2500.0), _EL84, {"TRF05": "fail"}),
    Example("tested, but it is the isolation", _SINGLE, _LIVE, {"TRF06": "thin"}, "salvaged", _insulation(2e8)),
    Example("insulation not tested", _SINGLE, _EL84, {"TRF06": "unknown"}, "salvaged"),
    Example("1 MΩ between the windings", _SINGLE, _EL84, {"TRF06": "fail"}, "salvaged", _insulation(1e6)),
    Example("4 W iron for 5.7 W", _with(_SINGLE, power=4.0), _EL84, {"TRF07": "thin"}),
    Example("watts not known", _with(_PAIRED, power=None), _PUSH, {"TRF07": "unknown"}, label=""),
    Example("2 W iron for 5.7 W", _with(_SINGLE, power=2.0), _EL84, {"TRF07": "fail"}),
    Example("shorted primary", _ratio(38.0, 5.0), _EL84, {"TRF05": "fail"}),
    Example("100 V line iron on its line", _LINE, _ON_LINE, {"TRF09": "pass"}),
    Example("line not marked", _with(_LINE, line_voltage=None), _ON_LINE, {"TRF09": "unknown"}),
    Example("70 V line iron on a 100 V line", _with(_LINE, line_voltage=70.0), _ON_LINE, {"TRF09": "fail"}),
    Example("38:1, and the set not known", _SINGLE, _BLIND, {"TRF10": "pass"}),
    Example("22:1, and the set not known", _ratio(22.0), _BLIND, {"TRF10": "unknown"}),
    Example("kind not known", _with(_SINGLE, kind=None), _EL84, {"TRF08": "unknown"}),
    Example("mains transformer", _with(_SINGLE, kind="mains"), _EL84, {"TRF08": "fail"}),
    *winding_examples.EXAMPLES,
)  # fmt: skip
