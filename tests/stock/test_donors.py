"""Donors: their numbers, what they gave, what is still to be read."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.errors import RefusedError
from partsbin.stock.acts import Who
from partsbin.stock.donors import add_donor, donor_of, learn, minutes_of, owed, parts_of
from partsbin.stock.ledger import undo
from partsbin.stock.sitting import more_of, shelve_one, strip_lines
from partsbin.stock.stripping import Sitting
from partsbin.store.engine import writing


def _on_hand(connection: Connection) -> list[tuple[int, int]]:
    return [tuple(row) for row in connection.execute(text("SELECT id, on_hand FROM part ORDER BY id"))]


def test_donors_are_numbered_in_turn(store: Engine) -> None:
    """From the highest number there is."""
    with writing(store) as connection:
        codes = [add_donor(connection).code, add_donor(connection, code="7").code, add_donor(connection).code]
    assert codes == ["D-001", "D-007", "D-008"]


def test_a_number_is_given_once(store: Engine) -> None:
    """However it is written."""
    with writing(store) as connection:
        add_donor(connection, code="D-007")
        with pytest.raises(RefusedError, match="there is a donor D-007 already"):
            add_donor(connection, code="d-7")


def test_the_lines_of_a_file_are_one_act(store: Engine, noon: datetime) -> None:
    """Taken back together."""
    with writing(store) as connection:
        donor = add_donor(connection)
        done = strip_lines(connection, donor, ["EL84", "2x 22k 1/2W", "5 of them"], Who(noon, "ann"), minutes=10)
        assert (done.parts, done.pieces, minutes_of(connection, donor)) == (2, 6, 10)
        undo(connection, at=noon, by="ann")
        assert _on_hand(connection) == [(1, 0), (2, 0)]


def test_nothing_understood_is_no_sitting(store: Engine, noon: datetime) -> None:
    """Neither an act nor time spent."""
    with writing(store) as connection:
        donor = add_donor(connection)
        done = strip_lines(connection, donor, ["wibble"], Who(noon), minutes=10)
        assert (done.parts, minutes_of(connection, donor)) == (0, 0)
        assert connection.execute(text("SELECT count(*) FROM act")).scalar_one() == 0


def test_a_further_line_at_the_keyboard_is_an_act_of_its_own(store: Engine, noon: datetime) -> None:
    """Taken back, the part is as the first line had it."""
    with writing(store) as connection:
        donor = add_donor(connection)
        sitting = Sitting(donor.code)
        shelve_one(connection, sitting.take("250k log pot"), donor, Who(noon))
        more = sitting.take("3 of them, untested").draft
        assert more is not None
        more_of(connection, 1, more, Who(noon))
        assert _on_hand(connection) == [(1, 3)]
        undo(connection, at=noon)
        assert _on_hand(connection) == [(1, 1)]
        assert connection.execute(text("SELECT note FROM part")).scalar_one() == ""


def test_the_valves_of_a_donor_stand_for_what_came_from_it_before(store: Engine, noon: datetime) -> None:
    """An output transformer of unknown gap carried what the valve drew: its search keys say so."""
    with writing(store) as connection:
        donor = add_donor(connection)
        strip_lines(connection, donor, ["OPT 45:1 Rp 380"], Who(noon))
        limit = "SELECT limit_high FROM option_keys"
        assert connection.execute(text(limit)).scalar_one() is None
        learn(connection, donor, lineup="ECH81 EBF89 EL84 EZ80")
        assert connection.execute(text(limit)).scalar_one() == pytest.approx(0.048)


def test_parts_without_their_main_value_are_owed_first(store: Engine, noon: datetime) -> None:
    """Then those without a rating; what is known owes nothing of it."""
    with writing(store) as connection:
        donor = add_donor(connection)
        lines = ["0.1 paper", "output transformer", "22n 400V film"]
        strip_lines(connection, donor, lines, Who(noon))
        found = owed(connection, donor_of(connection, donor.code))
    assert [entry["part"] for entry in found] == ["P-0002", "P-0001", "P-0003"]
    assert found[0]["read"][0] == "turns ratio"
    assert found[1]["look"] == ["voltage dc"]


def test_what_was_read_is_owed_no_more(store: Engine, noon: datetime) -> None:
    """A leakage that was written down."""
    with writing(store) as connection:
        donor = add_donor(connection)
        strip_lines(connection, donor, ["22n 400V film ; read leakage=1uA@350V"], Who(noon))
        assert owed(connection, donor) == []
        assert [part["part"] for part in parts_of(connection, donor)] == ["P-0001"]
