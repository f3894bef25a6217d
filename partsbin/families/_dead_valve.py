"""The type that a dead valve's marking names, for the families that are asked about its socket."""

from __future__ import annotations

from partsbin.notation.valve import read_valve


def type_of(text: str) -> str:
    """Return the type that a dead valve's marking names, "" if none: ``80`` alone is one where a valve is asked for."""
    for words in (text, f"valve {text}") if text else ():
        for reading in read_valve(words):
            if "valve_type" in reading.fields:
                return str(reading.fields["valve_type"])
    return ""
