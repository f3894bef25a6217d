"""What goes with a change, and what does instead: named from the shelf, never better than care, empty where nothing lies there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.command import partsbin


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's catalogue."""
    file = tmp_path_factory.mktemp("beside") / "demo.sqlite"
    assert partsbin("demo", "--db", str(file)).code == 0
    return file


def found(demo: Path, *words: str) -> dict[str, Any]:
    """Return the answer of ``find``."""
    answer: dict[str, Any] = partsbin("find", *words, "--json", db=demo).json()
    return answer


def test_a_field_coil_is_made_up_of_a_choke_and_a_resistor_of_the_shelf(demo: Path) -> None:
    """1140 Ω less the choke's copper, at twice the watts."""
    words = ("loudspeaker", "8 inch 3 ohm field 1140 ohm", "--position", "field", "--with", "current=65mA")
    choke, resistor = found(demo, *words)["beside"]
    assert (choke["family"], choke["how"]) == ("choke", "with")
    assert choke["part"].startswith("P-")
    assert resistor["what"].startswith("resistor 820 Ω 10 W in series, 1.14 kΩ less 300 Ω of the choke")
    assert resistor["part"].startswith("P-")


def test_a_field_of_known_choke_takes_its_copper_off(demo: Path) -> None:
    """With 50 mA the choke of 300 Ω that is marked so serves: nothing is taken for granted."""
    words = ("loudspeaker", "8 inch 3 ohm field 1140 ohm", "--position", "field", "--with", "current=45mA")
    choke, resistor = found(demo, *words)["beside"]
    assert "300 Ω" in choke["title"]
    assert "taken" not in resistor["what"]


@pytest.mark.parametrize(
    "words",
    [
        ("rectifier", "--position", "replaces-selenium", "--with", "lineup=UCH81 UBF89 UCL82"),
        ("valve", "EZ80", "--position", "rectifier", "--with", "secondary=250-0-250", "--with", "current=60mA"),
    ],
)
def test_the_resistor_that_restores_the_rail_is_named(demo: Path, words: tuple[str, ...]) -> None:
    """Silicon for selenium, and for a valve."""
    entries = [entry for entry in found(demo, *words)["beside"] if entry["family"] == "resistor"]
    assert len(entries) == 1
    assert entries[0]["part"].startswith("P-")


def test_an_output_valve_without_an_equal_has_another_one_instead(demo: Path) -> None:
    """EL84 for EL41: rewired, hence care though the valve itself is good."""
    answer = found(demo, "valve", "EL41", "--position", "output")
    assert not [entry for entry in answer["candidates"] if entry["verdict"] in ("fits", "care")]
    of_el84 = next(entry for entry in answer["beside"] if entry["title"] == "EL84")
    assert (of_el84["how"], of_el84["verdict"]) == ("instead", "care")
    assert "B9A socket for B8A" in of_el84["what"]


def test_where_a_valve_fits_no_other_is_named_instead(demo: Path) -> None:
    """EL84 is there."""
    assert found(demo, "valve", "EL84", "--position", "output")["beside"] == []


def test_what_the_shelf_does_not_hold_is_said(tmp_path: Path) -> None:
    """An empty catalogue: the part is "" and the text says so."""
    file = tmp_path / "one.sqlite"
    assert partsbin("shelve", "choke 1H 10mA", "--family", "choke", "--db", str(file)).code == 0
    ran = partsbin("find", "loudspeaker", "field 1k", "--position", "field", "--with", "current=65mA", db=file)
    assert "WITH     choke for 65 mA: none on the shelf" in ran.out


def test_a_part_in_the_hand_asks_nothing_of_the_shelf() -> None:
    """``try`` opens no catalogue."""
    assert partsbin("try", "1N4007", "rectifier", "--position", "replaces-silicon", "--json").json()["beside"] == []
