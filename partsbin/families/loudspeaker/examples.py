"""Loudspeakers, one for each outcome that a check may have."""

from __future__ import annotations

from partsbin.families._declare import Example

_MAIN = {"position": "main", "text": "loudspeaker 3 ohm 8 in", "facts": ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",)}
_FIELD = {"position": "field", "text": "field coil loudspeaker 3 ohm 1k2 8 in", "facts": ("current=60mA",)}
_PAIR = {"position": "main", "text": "loudspeaker 15 ohm", "facts": ("lineup=ECC83 2xEL34 5U4",)}
_WORDS = {
    "position": "main",
    "text": "loudspeaker 3 ohm 8 in, field coil",
    "facts": ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",),
}
_LOST = {**_FIELD, "text": "loudspeaker 3 ohm"}
_GOOD = {"impedance": 3.0, "power": 10.0, "diameter": 0.2032}
EXAMPLES = (
    Example("as the dead one", _GOOD, _MAIN, {f"LSP0{n}": "pass" for n in (1, 2, 3, 4)}),
    Example("five ohms, weak, oval", {"impedance": 5.0, "power": 4.0, "diameter": 0.25}, _MAIN,
            {"LSP01": "thin", "LSP02": "thin", "LSP04": "thin"}),
    Example("fifteen ohms, two watts", {"impedance": 15.0, "power": 2.0}, _MAIN, {"LSP01": "fail", "LSP02": "fail"}),
    Example("ten watts, a pair of EL34 behind it", {"impedance": 15.0, "power": 10.0}, _PAIR, {"LSP02": "unknown"}),
    Example("more than a pair of EL34 gives", {"impedance": 15.0, "power": 100.0}, _PAIR, {"LSP02": "pass"}),
    Example("watts behind a valve that no table has", {"impedance": 15.0, "power": 100.0}, {**_PAIR, "facts": ("lineup=ECC83 2xQX99",)},
            {"LSP02": "unknown"}),
    Example("as many watts as the dead one", {"impedance": 15.0, "power": 10.0}, {**_PAIR, "facts": (), "text": "15 ohm 10W speaker"},
            {"LSP02": "pass"}),
    Example("nothing known", {}, _MAIN, {"LSP01": "unknown", "LSP02": "unknown", "LSP03": "unknown"}, condition="salvaged"),
    Example("coil reads more than it should", {**_GOOD, "resistance": 4.5}, _MAIN, {"LSP03": "fail"}),
    Example("field like the dead one", {**_GOOD, "field_resistance": 1200.0}, _FIELD, {"LSP05": "pass"}),
    Example("permanent magnet", _GOOD, _FIELD, {"LSP05": "thin"}),
    Example("field of other ohms", {**_GOOD, "field_resistance": 6000.0}, _FIELD, {"LSP05": "fail"}),
    Example("field made for less", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.03}, _FIELD, {"LSP06": "fail"}),
    Example("field made for a trifle less", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.057}, _FIELD, {"LSP06": "thin"}),
    Example("field made for more", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.08}, _FIELD, {"LSP06": "pass"}),
    Example("field of unknown current", {**_GOOD, "field_resistance": 1200.0}, _FIELD, {"LSP06": "unknown"}),
    Example("beside a live chassis", _GOOD, {"position": "extension", "text": "", "facts": ("chassis=live",)}, {"LSP07": "unknown"}),
    Example("a field in the dead one's words, 66.8 mA of the line-up", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.05},
            _WORDS, {"LSP05": "unknown", "LSP06": "fail"}),
    Example("dead field not known", {**_GOOD, "field_resistance": 1200.0}, _LOST, {"LSP05": "unknown"}),
)  # fmt: skip
