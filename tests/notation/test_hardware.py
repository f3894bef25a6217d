"""Hardware as people write it."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.hardware import read_hardware


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("Noval Fassung Keramik", {"kind": "valveholder", "thread": "B9A"}),
        ("Röhrensockel Oktal", {"kind": "valveholder", "thread": "octal"}),
        ("Schraube M4x10", {"kind": "screw", "thread": "M4", "size": 0.01}),
        ("M3 screw 10mm", {"kind": "screw", "thread": "M3", "size": 0.01}),
        ("solder tag 4BA", {"kind": "terminal", "thread": "4BA"}),
        ("Unterlegscheibe M3", {"kind": "washer", "thread": "M3"}),
        ("Kabeldurchführung 8mm Gummi", {"kind": "grommet", "size": 0.008}),
    ],
)
def test_kind_thread_and_size_are_read(text: str, fields: dict[str, Any]) -> None:
    """English and German; the length behind a thread is the size."""
    (reading,) = read_hardware(text)
    assert (reading.fields, reading.sure) == (fields, True)


@pytest.mark.parametrize("text", ["", "M4", "22n 400V", "octal"])
def test_what_names_no_kind_is_no_hardware(text: str) -> None:
    """A thread alone says nothing."""
    assert read_hardware(text) == []
