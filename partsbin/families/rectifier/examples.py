"""Examples of each outcome of each check: the contract test runs them, a newcomer reads them."""

from __future__ import annotations

from typing import Any

from partsbin.families._declare import Example, Measured


def _at(position: str, text: str, *facts: str) -> dict[str, Any]:
    return {"position": position, "text": text, "facts": facts}


_SUPPLY = ("secondary=250-0-250", "current=60mA", "winding_resistance=150")
_EZ80 = _at("replaces-valve", "EZ80", *_SUPPLY)
_AZ1 = _at("replaces-valve", "AZ1", *_SUPPLY, "original=32uF 500V")
_DIRECT = _at("replaces-silicon", "", "secondary=230", "current=100mA")
_PLATES = _at("replaces-selenium", "E250C85", "secondary=230", "current=60mA", "winding_resistance=47")
_1N: dict[str, Any] = {"rectifier_type": "1N4007", "technology": "silicon", "connection": "single"}
_B250: dict[str, Any] = {"technology": "selenium", "connection": "bridge", "voltage_ac": 250.0, "dc_current": 0.1}
_BLOCK: dict[str, Any] = {
    "technology": "silicon",
    "connection": "bridge",
    "voltage_peak_inverse": 1000.0,
    "dc_current": 2.0,
}


def _part(
    title: str, facts: dict[str, Any], need: dict[str, Any], condition: str = "new", label: str = "", **expect: str
) -> Example:
    return Example(title, facts, need, expect, condition=condition, label=label)


EXAMPLES = (
    _part("silicon for EZ80", _1N, _EZ80, REC01="pass", REC02="pass", REC03="pass", REC04="pass", REC05="thin", REC06="thin",
          REC07="thin", REC08="thin", REC09="pass"),
    _part("its heater had a winding of its own", _1N, _AZ1, REC07="pass", REC08="pass"),
    _part("a weak reservoir", _1N, _at("replaces-valve", "EZ80", *_SUPPLY, "original=32uF 350V"), REC08="fail"),
    _part("HT not known", _1N, _at("replaces-valve", "EZ80"), REC01="unknown", REC03="unknown", REC08="unknown"),
    _part("350 V a side", _1N, _at("replaces-valve", "5Y3GT", "secondary=350-0-350"), REC01="fail"),
    _part("350 V a side, two in series", _1N, _at("replaces-valve", "5Y3GT", "secondary=350-0-350"), label="two in series an arm",
          REC01="pass", REC05="thin"),
    _part("little left", _1N, _at("replaces-valve", "5Y3GT", "secondary=300-0-300", "current=1A"), REC01="thin", REC02="thin"),
    _part("too much drawn", _1N, _at("replaces-silicon", "", "secondary=230", "current=1.5A"), REC02="fail"),
    _part("nothing marked", {}, _EZ80, REC01="unknown", REC02="unknown", REC03="unknown", REC04="unknown", REC05="unknown"),
    _part("no resistance known", _1N, _DIRECT, REC03="unknown", REC05="pass"),
    _part("almost no resistance", _1N, _at("replaces-silicon", "", "secondary=230", "winding_resistance=10"), REC03="fail"),
    _part("little resistance", _1N, _at("replaces-silicon", "", "secondary=230", "winding_resistance=14"), REC03="thin"),
    _part("selenium again", {**_B250, "connection": "single"}, _PLATES, "unused-old", REC04="thin", REC06="pass"),
    _part("used selenium", {**_B250, "connection": "single"}, _PLATES, "salvaged", REC04="fail"),
    _part("a bridge for a pair", _BLOCK, _EZ80, REC05="thin"),
    _part("a pair for a bridge", {**_BLOCK, "connection": "centre-tap"}, _at("replaces-silicon", "", "secondary=250 bridge"),
          REC05="fail"),
    _part("used, not tested", _1N, _DIRECT, "salvaged", REC09="unknown"),
    Example("used, leaking a little", _1N, _DIRECT, {"REC09": "thin"}, condition="salvaged", readings={"leakage": Measured(3e-5)},
            label=""),
    Example("used, leaking", _1N, _DIRECT, {"REC09": "fail"}, condition="salvaged", readings={"leakage": Measured(1e-3)}, label=""),
)  # fmt: skip
