"""Loudspeakers: impedance from the coil, watts of the stage, the field coil's change; everyday ones fit."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Item, Measured, columns_of
from partsbin.matching.explain import findings
from partsbin.matching.judge import judge
from partsbin.needs import Request
from partsbin.notation.loudspeaker import read_loudspeaker
from partsbin.sets import read_facts
from tests.expected import by_hand, published

SPEAKER = load("loudspeaker")
EL84 = ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",)


def verdict(
    text: str, dead: str, position: str, facts: tuple[str, ...], condition: str = "new", **read: float
) -> Verdict:
    """Return the verdict on one loudspeaker."""
    (reading,) = read_loudspeaker(text)
    item = Item(SPEAKER.facts.model_validate(reading.fields), condition, {k: Measured(v) for k, v in read.items()})
    need = SPEAKER.need(Request("loudspeaker", dead, position, {}, read_facts(facts)))
    columns = columns_of(SPEAKER.options(item), SPEAKER.quantities, SPEAKER.words)
    return Verdict(int(judge(SPEAKER, need, SPEAKER.search(need), columns).verdict[0]))


@pytest.mark.parametrize(
    ("text", "dead", "position", "facts"),
    [
        ("loudspeaker 3 ohm 10W 8 in", "loudspeaker 3 ohm 8 in", "main", EL84),
        ("loudspeaker 4 ohm 15W 8 in", "loudspeaker 3.2 ohm 8 in", "main", EL84),
        ("loudspeaker 15 ohm 12W", "", "main", ("speaker=15", *EL84)),
        ("Lautsprecher 4 Ohm 10 W 13x18 cm", "loudspeaker 4 ohm 18 cm", "main", EL84),
    ],
)
def test_an_everyday_loudspeaker_fits(text: str, dead: str, position: str, facts: tuple[str, ...]) -> None:
    """Ohms near, watts enough, the same hole (common practice, no source)."""
    assert verdict(text, dead, position, facts) is Verdict.FITS


def test_fewer_watts_than_the_stage_gives_is_unfit() -> None:
    """5.7 W of an EL84 burn a two-watt coil."""
    assert verdict("loudspeaker 3 ohm 2W 8 in", "loudspeaker 3 ohm", "main", EL84) is Verdict.UNFIT


def test_watts_that_no_table_lists_are_bounded_by_the_swing_of_the_pair() -> None:
    """A pair of EL34 on 375 V and 3.4 kΩ cannot give more than its whole swing; ten watts are not passed behind it."""
    facts = ("lineup=ECC83 2xEL34 5U4",)
    need = SPEAKER.need(Request("loudspeaker", "loudspeaker 15 ohm", "main", {}, read_facts(facts)))
    assert need.number("watts") == by_hand(82.72, "(2 × 375 V)² / (2 × 3400 Ω)", of=SPEAKER.need)
    assert verdict("loudspeaker 15 ohm 10W", "loudspeaker 15 ohm", "main", facts) is Verdict.MEASURE
    assert verdict("loudspeaker 15 ohm 100W", "loudspeaker 15 ohm", "main", facts) is Verdict.FITS


def test_the_dead_ones_rating_stands_where_the_stage_is_not_known() -> None:
    """Half of it with care, less burns."""
    assert verdict("loudspeaker 15 ohm 10W", "loudspeaker 15 ohm 10W", "main", ()) is Verdict.FITS
    assert verdict("loudspeaker 15 ohm 6W", "loudspeaker 15 ohm 10W", "main", ()) is Verdict.CARE
    assert verdict("loudspeaker 15 ohm 4W", "loudspeaker 15 ohm 10W", "main", ()) is Verdict.UNFIT


def test_a_used_one_is_read_first_and_its_coil_gives_the_ohms() -> None:
    """2.4 Ω of coil are rated 3 Ω; a coil that reads more than its rating is not what it says."""
    used = ("loudspeaker 3 ohm 10W 8 in", "loudspeaker 3 ohm 8 in", "main", EL84, "salvaged")
    assert verdict(*used) is Verdict.MEASURE
    assert verdict(*used, resistance=2.4) is Verdict.FITS
    assert verdict(*used, resistance=4.0) is Verdict.UNFIT


def test_a_permanent_magnet_for_a_field_coil_names_the_watts_of_its_stand_in() -> None:
    """1140 Ω at 65 mA: 4.82 W, so at best care."""
    facts = ("current=65mA", *EL84)
    dead = "field coil loudspeaker 3 ohm 1140 ohm"
    assert verdict("loudspeaker 3 ohm 10W", dead, "field", facts) is Verdict.CARE
    assert verdict("field coil loudspeaker 3 ohm 10W 1140 ohm 30mA", dead, "field", facts) is Verdict.UNFIT
    need = SPEAKER.need(Request("loudspeaker", dead, "field", {}, read_facts(facts)))
    (option,) = SPEAKER.options(Item(SPEAKER.facts.model_validate({"impedance": 3.0, "power": 10.0}), "new"))
    said: dict[str, Any] = {finding.check: finding for finding in findings(SPEAKER, need, option)}
    watts = need.number("field") * need.number("current") ** 2
    assert watts == published(4.82, "philcoradio-20910", of=SPEAKER.need, where="1140 ohm, 65 mA", rel=2e-3)
    assert "4.82 W in them: fit twice that" in said["LSP05"].reason


@pytest.mark.parametrize("text", ["", "3 ohm", "22n 400V", "EL84"])
def test_what_is_no_loudspeaker_is_not_read_as_one(text: str) -> None:
    """Ohms alone name none."""
    assert [reading for reading in read_loudspeaker(text) if not reading.bare] == []
