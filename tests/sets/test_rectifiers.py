"""The rectifier as people name it."""

from __future__ import annotations

import pytest

from partsbin.errors import UsageError
from partsbin.sets import read_facts

RECTIFIERS = [
    *(
        (word, "silicon")
        for word in ("si", "Silicon", "diode", "diodes", "1N4007", "2x 1N4007", "BY127", "solid state")
    ),
    *(
        (word, "silicon")
        for word in ("bridge", "bridge rectifier", "silicon bridge", "4 × 1N4007 bridge", "silicon-diode")
    ),
    *((word, "selenium") for word in ("Selenium", "se", "metal rectifier", "selenium bridge", "Selengleichrichter")),
    *((word, "EZ81") for word in ("EZ81", "ez-81", "EZ 81", "EZ81 valve")),
    ("2xUY41", "UY41"),
    ("6X5", "6X5GT"),
]


@pytest.mark.parametrize(("text", "name"), RECTIFIERS)
def test_a_rectifier_is_known_by_its_usual_names(text: str, name: str) -> None:
    """Silicon, selenium, or the type of a valve that rectifies."""
    assert read_facts([f"rectifier={text}"]).text("rectifier") == name


@pytest.mark.parametrize("word", ["6000", "gizmo", "XY99", "EL84", "EZ81 EL84", "diode valve", "germanium", "by hand"])
def test_what_is_no_rectifier_is_refused(word: str) -> None:
    """A word that nobody knows may not silently count as a valve of 125 ohm."""
    with pytest.raises(UsageError, match=f"^rectifier='{word}': .*expected silicon, selenium or a rectifier valve"):
        read_facts([f"rectifier={word}"])


def test_a_valve_that_does_not_rectify_is_named_for_what_it_is() -> None:
    """So that the slip is seen."""
    with pytest.raises(UsageError, match=r"EL84 is no rectifier .*pentode"):
        read_facts(["rectifier=EL84"])
