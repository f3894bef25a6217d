"""Four evenings at the bench, played on the demonstration's catalogue: each ends with a decision that one can act on."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.command import partsbin

SIX = "lineup=ECH81 EBF89 EABC80 EL84 EM80 EZ80"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's catalogue."""
    file = tmp_path_factory.mktemp("plays") / "demo.sqlite"
    assert partsbin("demo", "--db", str(file)).code == 0
    return file


def found(demo: Path, *words: str) -> dict[str, Any]:
    """Return the answer of ``find``."""
    answer: dict[str, Any] = partsbin("find", *words, "--json", db=demo).json()
    return answer


def test_a_mains_transformer_burnt_out_in_a_receiver_of_unknown_make(demo: Path) -> None:
    """From the six valves alone: one part to read two things on, and one question; once read, it may be fitted."""
    answer = found(demo, "transformer", "--position", "mains", "--with", SIX)
    assert [question["fact"] for question in answer["need"]["questions"]] == ["secondary"]
    first = answer["candidates"][0]
    assert (first["verdict"], [card["reading"] for card in first["tests"]]) == ("measure", ["insulation", "primary"])
    held = partsbin(
        "try", "mains transformer 250-0-250 80mA 6.3V 3A 5V 2A primary 230V", "transformer", "--position", "mains",
        "--with", "secondary=250-0-250", "--with", SIX, "--reading", "insulation=200M@500V", "--json",
    ).json()  # fmt: skip
    assert held["candidates"][0]["verdict"] == "care"
    assert any("heaters 5.86 to 6.74 V" in line for line in answer["after"])


def test_a_selenium_rectifier_in_a_small_mains_set(demo: Path) -> None:
    """Silicon, with the resistor that restores the rail: both lie on the shelf, and the rail to expect has a band."""
    answer = found(demo, "rectifier", "--position", "replaces-selenium", "--with", "lineup=UCH81 UBF89 UCL82")
    assert answer["candidates"][0]["verdict"] == "care"
    assert [entry["family"] for entry in answer["beside"] if entry["part"]] == ["resistor"]
    assert answer["after"][0].startswith("rail ")


def test_an_output_valve_without_an_exact_replacement(demo: Path) -> None:
    """None fits as plugged in: what does with the socket rewired is named with all its changes, and what to buy."""
    answer = found(demo, "valve", "EL41", "--position", "output", "--with", "lineup=ECH42 EAF42 EAF42 EL41 AZ41")
    instead = [entry for entry in answer["beside"] if entry["how"] == "instead" and entry["part"]]
    assert {entry["verdict"] for entry in instead} <= {"care", "measure"}
    assert any("cathode resistor 135 Ω" in entry["what"] for entry in instead)
    assert answer["buy"] == "EL41, also sold as 6CK5 or N150"


def test_a_dead_field_coil_loudspeaker(demo: Path) -> None:
    """A loudspeaker of the shelf, and choke and resistor for its field."""
    answer = found(
        demo, "loudspeaker", "8 inch 3 ohm field 1140 ohm", "--position", "field", "--with", "current=65mA"
    )  # fmt: skip
    assert answer["candidates"][0]["verdict"] == "care"
    assert [(entry["family"], bool(entry["part"])) for entry in answer["beside"]] == [
        ("choke", True),
        ("resistor", True),
    ]
