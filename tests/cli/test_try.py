"""``partsbin try``: one part in the hand, nothing shelved."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command import NOWHERE, partsbin

COUPLING = ("capacitor", "--position", "coupling", "--with", "rail=240", "--with", "original=0.02uF 350V")


def test_a_part_that_fits_is_a_yes() -> None:
    """Exit code 0, one candidate without a number."""
    ran = partsbin("try", "22n 630V film", *COUPLING, "--json")
    assert (ran.code, ran.err) == (0, "")
    assert [(c["part"], c["title"], c["verdict"]) for c in ran.json()["candidates"]] == [("", "22n 630V film", "fits")]


def test_a_part_that_does_not_fit_is_a_no() -> None:
    """Exit code 1, and the number that failed."""
    ran = partsbin("try", "22n 250V film", *COUPLING)
    assert (ran.code, ran.err) == (1, "")
    assert "UNFIT    22n 250V film, new: 250 V is under 384 V off load: short by 134 V" in ran.out
    assert "NOTHING  it does not fit" in ran.out


def test_what_was_taken_for_granted_is_said() -> None:
    """A part in the hand is new unless somebody says otherwise."""
    assert "the part in the hand is taken as new: --condition salvaged if it is not" in " ".join(
        partsbin("try", "22n 630V film", *COUPLING).out.split()
    )


def test_a_used_part_has_to_be_measured() -> None:
    """The same words, salvaged: leakage first."""
    ran = partsbin("try", "22n 630V film", *COUPLING, "--condition", "salvaged", "--json")
    assert ran.code == 0
    candidate = ran.json()["candidates"][0]
    assert (candidate["verdict"], [card["reading"] for card in candidate["tests"]]) == ("measure", ["leakage"])


def test_a_reading_settles_it() -> None:
    """Measured at the working volts, the same part passes."""
    ran = partsbin(
        "try", "22n 630V film", *COUPLING, "--condition", "salvaged", "--reading", "leakage=10nA@400V", "--json"
    )
    assert (ran.code, ran.json()["candidates"][0]["verdict"]) == (0, "fits")


def test_no_catalogue_is_needed_and_none_is_made(tmp_path: Path) -> None:
    """Nothing is written anywhere."""
    file = tmp_path / "none.sqlite"
    assert partsbin("try", "22n 630V film", *COUPLING, db=file).code == 0
    assert not file.exists()
    assert not NOWHERE.exists()


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (("", *COUPLING), "'' was not understood as a capacitor"),
        (("wet string", *COUPLING), "'wet string' was not understood as a capacitor"),
        (("22n 630V", "capacitor", "--position", "kuplin"), "unknown position 'kuplin' of a capacitor"),
        (("22n 630V", "capacitor"), "no position given for the capacitor"),
        (("22n 630V", "condenser", "--position", "coupling"), "unknown family 'condenser'"),
        (("22n 630V", *COUPLING, "--condition", "shiny"), "'shiny' is not a condition"),
        (("22n 630V", *COUPLING, "--reading", "leakage"), "'leakage' is not NAME=VALUE"),
        (("22n 630V", *COUPLING, "--reading", "weight=3"), "'weight=3' is not NAME=VALUE"),
        (("22n 630V", *COUPLING, "--reading", "leakage=nan"), "'leakage=nan'"),
        (("22n 630V", *COUPLING, "--reading", "capacitance=-1nF"), "'capacitance=-1nF': expected a value above zero"),
    ],
)
def test_what_cannot_be_judged_is_refused(words: tuple[str, ...], fault: str) -> None:
    """Exit code 2, nothing on stdout, the fault and a hint on stderr."""
    ran = partsbin("try", *words)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"partsbin: {fault}"), ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("47n 100V film", "capacitor", "-p", "agc"), "part rated 100 V: read them before fitting"),
        (("10nF 250V X2", "capacitor", "-p", "heater-bypass"), "DC rating not marked: read them before fitting"),
        (("10n 400V film", "capacitor", "-p", "rf-bypass"), "read them, or the HT winding, before fitting"),
        (("oscillator coil 455kHz", "coil", "-p", "oscillator"), "figure not known; 88.2–91.8 µH is usual"),
        (("neon 110V", "lamp", "-p", "indicator"), "110 V, 5.98–7.06 V wanted: stays dark"),
    ],
)
def test_what_is_said_is_true_of_the_position(words: tuple[str, ...], said: str) -> None:
    """No HT winding tells the volts of an AGC line, and a neon on 6 V is not merely dimmer."""
    assert said in " ".join(partsbin("try", *words).out.split())
