"""More of what is printed on a part, written down later."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Connection, Engine

from partsbin.errors import PartsbinError, RefusedError, UsageError
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.stock.marking import mark
from partsbin.store.engine import writing


def _shelved(connection: Connection, words: str, family: str, noon: datetime) -> None:
    shelve(connection, [draft_from_text(words, family=family)[0]], at=noon, by="ann")


MARKS = [
    ("22n film", "capacitor", "630V", {"voltage_dc": 630.0}),
    ("22n film", "capacitor", "polyester", {"dielectric": "film-polyester"}),
    ("22n film", "capacitor", "400V polyester 5%", {"voltage_dc": 400.0, "tolerance": 0.05}),
    ("470k", "resistor", "1W", {"power": 1.0}),
    ("470k 1W", "resistor", "5%", {"tolerance": 0.05}),
]


@pytest.mark.parametrize(("words", "family", "text", "after"), MARKS)
def test_what_is_said_is_added_to_what_is_known(
    store: Engine, noon: datetime, words: str, family: str, text: str, after: dict[str, object]
) -> None:
    """A rating alone is read too; the title follows, and undo brings back the old one."""
    with writing(store) as connection:
        _shelved(connection, words, family, noon)
        before = part_of(connection, 1)
        mark(connection, 1, text, Who(noon, "ann"))
        facts = part_of(connection, 1).item.facts.model_dump()
        assert {name: facts[name] for name in after} == pytest.approx(after)
        assert part_of(connection, 1).title != before.title
        undo(connection, at=noon, by="ann")
        assert (part_of(connection, 1).title, part_of(connection, 1).item.facts) == (before.title, before.item.facts)


@pytest.mark.parametrize(
    ("text", "fault", "said"),
    [
        ("blah", UsageError, "'blah' was not understood as a capacitor"),
        ("22 nF", RefusedError, "says nothing that is not known"),
        ("400V", RefusedError, "contradicts the voltage dc that is known"),
        ("47n 400V", RefusedError, "contradicts the capacitance and voltage dc that are known"),
    ],
)
def test_what_cannot_be_marked_is_said(
    store: Engine, noon: datetime, text: str, fault: type[PartsbinError], said: str
) -> None:
    """Unread, known, or against what is known."""
    with writing(store) as connection:
        _shelved(connection, "22n 630V film", "capacitor", noon)
        with pytest.raises(fault, match=said):
            mark(connection, 1, text, Who(noon))


WINDINGS = "mains transformer 250-0-250V 80mA 6.3V 3A 5V 2A"


@pytest.mark.parametrize("text", ["primary 230V", f"{WINDINGS} primary 230V"])
def test_a_further_winding_stands_beside_those_known(store: Engine, noon: datetime, text: str) -> None:
    """Said alone, or with the others once more."""
    with writing(store) as connection:
        _shelved(connection, WINDINGS, "transformer", noon)
        mark(connection, 1, text, Who(noon))
        windings = part_of(connection, 1).item.facts.model_dump()["windings"]
    assert [row["name"] for row in windings] == ["250-0-250 V", "6.3 V", "5 V", "primary"]


def test_a_winding_that_bears_less_than_was_known_is_a_contradiction(store: Engine, noon: datetime) -> None:
    """One of the two was misread: which, only the owner can say."""
    with writing(store) as connection:
        _shelved(connection, WINDINGS, "transformer", noon)
        with pytest.raises(RefusedError, match="contradicts the windings"):
            mark(connection, 1, "mains transformer 250-0-250V 60mA 6.3V 3A 5V 2A", Who(noon))


def test_valves_served_are_words_and_no_rows(store: Engine, noon: datetime) -> None:
    """Another one contradicts, as any other fact would."""
    with writing(store) as connection:
        _shelved(connection, "OPT EL84 5k2:3", "transformer", noon)
        with pytest.raises(RefusedError, match="contradicts the served that"):
            mark(connection, 1, "OPT EL34", Who(noon))


def test_what_is_known_is_written_over_when_asked(store: Engine, noon: datetime) -> None:
    """A figure misread under the dirt."""
    with writing(store) as connection:
        _shelved(connection, "22n 630V film", "capacitor", noon)
        mark(connection, 1, "400V", Who(noon), correct=True)
        assert part_of(connection, 1).title == "22 nF 400 V film"
