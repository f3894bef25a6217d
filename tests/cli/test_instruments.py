"""``partsbin instruments``: recorded once; cards ask for nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command import partsbin

NEED = ("find", "capacitor", "0.1uF 350V", "--position", "coupling", "--with", "rail=250")


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A shelf with one used part of which no leakage was read."""
    file = tmp_path / "shelf.sqlite"
    assert partsbin("shelve", "0.1uF 630V film", "--condition", "used", db=file).code == 0
    return file


def test_every_card_is_shown_until_somebody_says_what_there_is(shelf: Path) -> None:
    """Nothing is held back on a guess."""
    assert "not recorded: every test card is shown" in partsbin("instruments", db=shelf).out
    (found,) = partsbin(*NEED, "--json", db=shelf).json()["candidates"]
    assert found["beyond"] == []
    assert found["tests"]


def test_a_card_for_what_is_not_there_is_named_and_left_out(shelf: Path) -> None:
    """With what it would need."""
    (before,) = partsbin(*NEED, "--json", db=shelf).json()["candidates"]
    wanted = {card["instrument"] for card in before["tests"]}
    lacking = next(iter(wanted - {"eyes"}))
    others = ["ring tester", *(wanted - {"eyes", lacking})]
    assert partsbin("instruments", *others, db=shelf).code == 0
    (after,) = partsbin(*NEED, "--json", db=shelf).json()["candidates"]
    assert lacking not in {card["instrument"] for card in after["tests"]}
    assert after["beyond"] == [
        f"{card['title']}: needs a {lacking}" for card in before["tests"] if card["instrument"] == lacking
    ]
    assert "no instrument here for: " in partsbin(*NEED, db=shelf).out


def test_what_is_recorded_takes_the_place_of_what_was(shelf: Path) -> None:
    """In the order of the list, each once, short names understood."""
    partsbin("instruments", "LCR", "meter", db=shelf)
    assert partsbin("instruments", "500 v tester", "METER", "meter", "--json", db=shelf).json()["instruments"] == [
        "meter",
        "500 V tester",
    ]


def test_an_unknown_instrument_is_refused_with_the_known_ones(shelf: Path) -> None:
    """Nothing is recorded."""
    ran = partsbin("instruments", "crystal ball", db=shelf)
    assert (ran.code, ran.out) == (2, "")
    assert "unknown instrument 'crystal ball'" in ran.err
