"""Valves: what must never go into a socket, over a thousand random valves a wall; and everyday ones that must."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from partsbin.checks import Verdict
from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.families._dead_valve import type_of
from partsbin.families._declare import Item, Measured, columns_of
from partsbin.families.valve.facts import ValveFacts
from partsbin.families.valve.limits import series_ohm
from partsbin.matching.explain import findings
from partsbin.matching.hand import try_text
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.reference.equivalents import equivalents
from partsbin.reference.substitutes import substitute
from partsbin.reference.valves import valves
from partsbin.sets import read_facts
from tests.expected import published

N = 1000
VALVE = load("valve")
NAMES = sorted({row.type for row in valves()} | {name for row in equivalents() for name in (row.type_a, row.type_b)})
GOOD = {"emission": Measured(1.0), "gas": Measured(1e-7), "insulation": Measured(1e8)}
CHAIN = ("chassis=live", "lineup=UCH81 UF89 UABC80 UL84 UY85")


def need(socket: str, position: str = "as-plugged", *facts: str) -> Need:
    """Return the need of a socket."""
    return VALVE.need(Request("valve", socket, position, {}, read_facts(facts)))


def items(rng: np.random.Generator, types: Sequence[str], readings: dict[str, Measured] | None = None) -> list[Item]:
    """Return a thousand valves of random types and conditions, all of them tested and good unless said otherwise."""
    return [
        Item(
            ValveFacts(valve_type=str(rng.choice(types))),
            str(rng.choice(["new", "unused-old", "salvaged"])),
            readings or GOOD,
        )
        for _ in range(N)
    ]


def verdicts(asked: Need, parts: Sequence[Item]) -> list[Verdict]:
    """Return the verdict of each."""
    options = [option for part in parts for option in VALVE.options(part)]
    columns = columns_of(options, VALVE.quantities, VALVE.words)
    return [Verdict(int(v)) for v in judge(VALVE, asked, VALVE.search(asked), columns).verdict]


SOCKETS = ("EL84", "ECC83", "EZ80", "UL84", "6K7G", "ECH81", "5Y3GT", "80", "EM80", "35W4", "6063", "5687")


@pytest.mark.parametrize("socket", SOCKETS)
def test_a_valve_that_no_list_names_is_unfit(socket: str) -> None:
    """A thousand random types, tested and good: all but the listed are refused, and the near are never better than care."""
    parts = items(np.random.default_rng(len(socket)), NAMES)
    for part, verdict in zip(parts, verdicts(need(socket), parts), strict=True):
        relation = substitute(socket, part.facts.valve_type).relation
        assert verdict is Verdict.UNFIT or relation in ("same", "drop-in", "near"), part
        assert verdict is not Verdict.FITS or relation in ("same", "drop-in"), part


def test_another_base_or_heater_is_never_called_fit() -> None:
    """A thousand random pairs of the table that differ in base, heater volts or, in a chain, heater current."""
    rng, seen = np.random.default_rng(7), 0
    rows = valves()
    while seen < N:
        dead, other = rows[rng.integers(len(rows))], rows[rng.integers(len(rows))]
        same = (dead.base, dead.heater_volts) == (other.base, other.heater_volts)
        if same or None in (dead.heater_volts, other.heater_volts):
            continue
        seen += 1
        (verdict,) = verdicts(need(dead.type), [Item(ValveFacts(valve_type=other.type), "new", GOOD)])
        assert verdict in (Verdict.UNFIT, Verdict.CARE), (dead.type, other.type)


OTHER_CURRENT = [row.type for row in valves() if row.heater_amperes and abs(row.heater_amperes - 0.1) > 0.01]
OTHER_VOLTS = [row.type for row in valves() if row.heater_volts and abs(row.heater_volts / 6.3 - 1) > 0.1]
WALLS = [
    ("heater current in a chain", "UL84", CHAIN, OTHER_CURRENT),
    ("other heater volts in parallel", "EL84", (), OTHER_VOLTS),
    ("special quality in a chain", "ECC83", ("chassis=live", "lineup=ECC83 EF80 PL84 PY82"), ["5751"]),
    ("never offered", "EL84", (), ["EL86", "UL84", "PL84", "6CW5", "45B5"]),
    ("weaker output valve", "6L6GC", (), ["6L6G", "5881"]),
    ("heavier rectifier heater", "GZ34", ("secondary=350-0-350",), ["GZ37", "CV378", "U54", "5U4G"]),
    ("heater to cathode", "EZ80", ("secondary=350-0-350",), ["EZ81", "6CA4", "U709"]),
    ("heater to cathode, running too", "6X4", ("secondary=380-0-380",), ["6X4", "EZ90", "U78"]),
    ("current", "EZ80", ("secondary=250-0-250", "current=200mA"), ["EZ81", "6CA4"]),
]  # fmt: skip


@pytest.mark.parametrize(("why", "socket", "facts", "types"), WALLS, ids=[wall[0] for wall in WALLS])
def test_a_wall_refuses_a_thousand_of_them(why: str, socket: str, facts: tuple[str, ...], types: list[str]) -> None:
    """Tested and good in every other respect."""
    parts = items(np.random.default_rng(len(why)), types)
    assert set(verdicts(need(socket, "as-plugged", *facts), parts)) == {Verdict.UNFIT}


@pytest.mark.parametrize(
    "spoil",
    [{"emission": Measured(0.35)}, {"gas": Measured(2e-5)}, {"insulation": Measured(5e5)}],
    ids=["spent", "gassy", "leaking"],
)
def test_a_bad_reading_refuses_the_right_valve(spoil: dict[str, Measured]) -> None:
    """Whatever its condition is called."""
    parts = items(np.random.default_rng(3), ["EL84", "6BQ5"], {**GOOD, **spoil})
    assert set(verdicts(need("EL84"), parts)) == {Verdict.UNFIT}


def test_a_salvaged_valve_without_a_test_is_measured() -> None:
    """It may be as good as new or spent: the card says how its own cathode resistor tells."""
    part = Item(ValveFacts(valve_type="EL84"), "salvaged")
    assert verdicts(need("EL84", "output"), [part]) == [Verdict.MEASURE]
    card = VALVE.cards("emission", need("EL84", "output"), {"type": "EL84"})
    assert card is not None
    assert card.passes == "5.11–8.39 V across its cathode resistor, 7.3 V listed"


def test_the_reading_that_proves_the_repair_is_that_of_the_type() -> None:
    """7.3 V ±15 % across the cathode resistor of an EL84; nothing where no bias is listed."""
    assert VALVE.after(need("EL84", "output")) == (
        "6.21–8.39 V across the cathode resistor, self-biased (EL84 at 250 V)",
    )
    assert VALVE.after(need("EZ80", "rectifier")) == ()


def test_without_the_sockets_type_everything_is_looked_up_first() -> None:
    """And the question asks for it."""
    asked = need("", "output")
    assert verdicts(asked, [Item(ValveFacts(valve_type="EL84"), "new")]) == [Verdict.MEASURE]
    assert [question.fact for question in asked.questions] == ["valve"]


def test_the_line_up_alone_names_the_dead_valve() -> None:
    """By its position, where only one will do."""
    lineup = "lineup=ECH81 EBF89 EABC80 EL84 EZ80"
    found = {
        position: need("", position, lineup).word("socket")
        for position in ("output", "rectifier", "frequency-changer", "as-plugged")
    }
    assert found == {"output": "EL84", "rectifier": "EZ80", "frequency-changer": "ECH81", "as-plugged": ""}


@pytest.mark.parametrize(
    ("text", "type"), [("80", "80"), ("el 84", "EL84"), ("6K8", "6K8"), ("", ""), ("blue one", "")]
)
def test_a_dead_valves_marking_needs_no_word_beside_it(text: str, type: str) -> None:
    """Where a valve is asked for, a bare number is one."""
    assert type_of(text) == type


@pytest.mark.parametrize(("text", "type"), [("80", "80"), ("U54", "U54"), ("6K7", "6K7"), ("84", "84")])
def test_a_valve_in_the_hand_needs_no_word_beside_it(text: str, type: str) -> None:
    """Where a valve is asked for, its bare type is one."""
    answer = try_text(Request("valve", type, "as-plugged"), text, "new", [])
    assert answer["candidates"][0]["verdict"] == "fits"


@pytest.mark.parametrize("text", ["470k", "22n", "4R7", "banana"])
def test_an_amount_is_no_valve_in_the_hand(text: str) -> None:
    """Nor what is nothing at all."""
    with pytest.raises(UsageError, match="not understood as a valve"):
        try_text(Request("valve", "EL84", "output"), text, "new", [])


def test_another_heater_in_a_chain_comes_with_its_resistor() -> None:
    """35 V for 50 V at 150 mA: 15 V to make up."""
    asked = need("50L6GT", "output", "chassis=live", "lineup=12SA7 12SK7 12SQ7 50L6GT 35Z5GT")
    (option,) = VALVE.options(Item(ValveFacts(valve_type="35L6GT"), "new"))
    said = {finding.check: finding.reason for finding in findings(VALVE, asked, option)}
    assert "100 Ω in series with the heater, 2.25 W: fit 5 W" in said["VAL03"]


def test_series_resistance_is_that_of_the_rating_point() -> None:
    """By the points where there are some, else the one figure of the table."""
    assert series_ohm("6V4", 350.0) == published(300.0, "tubeofile", of=series_ohm, where="EZ40, same ratings")
    assert series_ohm("5Z3", 350.0) == published(75.0, "tubeofile", of=series_ohm, where="5Z3")
    assert np.isnan(series_ohm("EL84", 250.0))


EVERYDAY: list[tuple[str, str, tuple[str, ...], str]] = [
    ("EL84", "output", ("rail=250",), "EL84"), ("EL84", "output", (), "6BQ5"), ("6BQ5", "output", (), "EL84"),
    ("EL84", "output", (), "7189"), ("EL84", "as-plugged", (), "6P14P"), ("ECC83", "triode", (), "12AX7"),
    ("ECC83", "triode", (), "12AX7A"),
    ("12AX7", "triode", (), "7025"), ("ECC82", "triode", (), "12AU7"), ("ECC81", "triode", (), "12AT7"),
    ("ECH81", "frequency-changer", (), "6AJ8"), ("EBF89", "detector", (), "6DC8"), ("EABC80", "detector", (), "6AK8"),
    ("EF86", "pentode", (), "6267"), ("EF89", "pentode", (), "6DA6"), ("EM80", "indicator", (), "6BR5"),
    ("EZ80", "rectifier", ("secondary=250-0-250", "current=70mA"), "6V4"), ("EZ80", "rectifier", ("rail=250",), "EZ80"),
    ("EZ81", "rectifier", ("secondary=300-0-300", "current=100mA"), "6CA4"), ("EZ81", "rectifier", (), "EZ81"),
    ("5Y3GT", "rectifier", ("secondary=300-0-300",), "5Y3G"), ("GZ34", "rectifier", ("secondary=350-0-350",), "5AR4"),
    ("5U4G", "rectifier", ("secondary=400-0-400", "current=150mA"), "5U4GB"), ("80", "rectifier", ("secondary=300-0-300",), "80"),
    ("6X4", "rectifier", ("secondary=250-0-250", "current=50mA"), "EZ90"), ("AZ1", "rectifier", ("secondary=250-0-250",), "AZ1"),
    ("UL84", "output", CHAIN, "45B5"), ("UY85", "rectifier", CHAIN, "38A3"), ("UCH81", "frequency-changer", CHAIN, "19D8"),
    ("UABC80", "detector", CHAIN, "28AK8"), ("UF89", "pentode", CHAIN, "12DA6"), ("6V6GT", "output", (), "6V6G"),
    ("6V6", "output", (), "6V6GT"), ("6L6G", "output", (), "6L6GC"), ("6K7G", "pentode", (), "W63"), ("6SN7GT", "triode", (), "B65"),
    ("EL41", "output", (), "6CK5"), ("ECH42", "frequency-changer", (), "6CU7"), ("EAF42", "detector", (), "6CT7"),
    ("EBC41", "detector", (), "6CV7"), ("UL41", "output", (), "45A5"), ("ECL82", "output", (), "6BM8"), ("ECL86", "output", (), "6GW8"),
    ("PCL82", "output", (), "16A8"), ("6BA6", "pentode", (), "EF93"), ("6BE6", "frequency-changer", (), "EK90"),
    ("6AQ5", "output", (), "EL90"), ("DK91", "frequency-changer", (), "1R5"), ("DL92", "output", (), "3S4"),
    ("", "output", ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",), "EL84"), ("", "rectifier", ("valve=EZ81",), "EZ81"),
]  # fmt: skip


@pytest.mark.parametrize(("dead", "position", "facts", "offered"), EVERYDAY)
def test_an_everyday_valve_fits(dead: str, position: str, facts: tuple[str, ...], offered: str) -> None:
    """New, the same or listed as going in: nothing to measure, nothing to change (lists of equivalents)."""
    asked = need(dead, position, *facts)
    (option,) = VALVE.options(Item(ValveFacts(valve_type=offered), "new"))
    said: list[Any] = findings(VALVE, asked, option)
    assert [finding.reason for finding in said if finding.verdict != "pass"] == []
