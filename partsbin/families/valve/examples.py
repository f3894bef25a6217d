"""Examples of each outcome of each check: the contract test runs them, a newcomer reads them."""

from __future__ import annotations

from typing import Any

from partsbin.families._declare import Example, Measured


def _at(position: str, text: str, *facts: str) -> dict[str, Any]:
    return {"position": position, "text": text, "facts": facts}


def _valve(title: str, type: str | None, need: dict[str, Any], base: str | None = None, **expect: str) -> Example:
    return Example(title, {"valve_type": type, "base": base}, need, expect)


_EL84 = _at("output", "EL84", "rail=250")
_EZ80 = _at("rectifier", "EZ80", "secondary=250-0-250", "current=60mA", "winding_resistance=200")
_CHAIN = _at("output", "50L6GT", "lineup=12SA7 12SK7 12SQ7 50L6GT 35Z5GT", "chassis=live")
_PASS = {f"VAL{n:02}": "pass" for n in (1, 2, 3, 4, 6, 7, 11, 12, 13)}
_READ = {"emission": Measured(0.9), "gas": Measured(5e-7), "insulation": Measured(5e7)}


def _used(title: str, readings: dict[str, Measured], need: dict[str, Any] = _EL84, **expect: str) -> Example:
    return Example(title, {"valve_type": "EL84"}, need, expect, condition="salvaged", readings=readings)


EXAMPLES = (
    _valve("another name", "6BQ5", _EL84, **_PASS),
    _valve("same socket, wrong valve", "EL86", _EL84, VAL01="fail"),
    _valve("type rubbed off", None, _EL84, VAL01="unknown", VAL02="unknown", VAL03="unknown", VAL04="unknown", VAL06="unknown",
           VAL07="unknown"),
    _valve("near, another base", "6V6GT", _at("output", "6AQ5"), VAL01="thin", VAL02="thin"),
    _valve("octal in noval", "6V6GT", _EL84, VAL01="fail", VAL02="fail"),
    _valve("twelve volts on six", "12BE6", _at("frequency-changer", "6BE6"), VAL01="thin", VAL03="fail"),
    _valve("less heater in a chain", "35L6GT", _CHAIN, VAL01="thin", VAL03="thin", VAL04="pass"),
    _valve("another heater current in a chain", "UL84", _at("output", "PL84"), VAL04="fail"),
    _valve("more heater current", "EZ81", _EZ80, VAL01="thin", VAL04="thin", VAL05="pass", VAL08="pass", VAL09="pass", VAL10="pass"),
    _valve("the HT on the common heater winding", "EZ81", _at("rectifier", "EZ80", "secondary=350-0-350"), VAL05="fail"),
    _valve("as it always was", "EZ80", _at("rectifier", "EZ80", "secondary=350-0-350"), VAL05="thin"),
    _valve("limit not known here", "AZ1", _EZ80, VAL05="fail", VAL08="pass", VAL09="pass"),
    _valve("rectifier not in the table", "6063", _at("rectifier", "6X4", "secondary=250-0-250", "current=60mA"), VAL05="unknown",
           VAL08="unknown", VAL09="unknown"),
    _valve("too small", "EZ41", _at("rectifier", "EZ80", "secondary=350-0-350", "current=90mA"), VAL08="fail", VAL09="fail"),
    _valve("at its limit", "EZ80", _at("rectifier", "EZ80", "secondary=350-0-350", "current=90mA"), VAL08="thin", VAL09="thin"),
    _valve("too little in series", "EZ80", _at("rectifier", "EZ80", "secondary=250-0-250", "winding_resistance=80"), VAL10="thin"),
    _valve("less dissipation", "6K6GT", _at("output", "6F6G"), VAL06="thin"),
    _valve("too little dissipation", "EL42", _at("output", "EL41"), VAL06="fail"),
    _valve("more volts than its limit", "6BQ5", _at("output", "EL84", "rail=320"), VAL07="thin"),
    _valve("volts beyond another's limit", "EL84", _at("output", "6V6GT", "rail=310"), VAL07="fail"),
    _used("salvaged, tested", _READ, VAL11="pass", VAL12="pass", VAL13="pass"),
    _used("salvaged, not tested", {}, VAL11="unknown", VAL12="thin", VAL13="thin"),
    _used("weak", {**_READ, "emission": Measured(0.65), "gas": Measured(4e-6), "insulation": Measured(3e6)}, VAL11="thin",
          VAL12="thin", VAL13="thin"),
    _used("doubtful", {**_READ, "emission": Measured(0.5)}, VAL11="unknown"),
    _used("spent, gassy, leaking", {"emission": Measured(0.3), "gas": Measured(3e-5), "insulation": Measured(2e5)}, VAL11="fail",
          VAL12="fail", VAL13="fail"),
    _used("not tested, in a chain", {}, _at("output", "UL84"), VAL13="unknown"),
)  # fmt: skip
