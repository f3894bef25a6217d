"""Acts on parts that lie together: what goes with the pieces that are split off, and what does not."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.errors import RefusedError, UsageError
from partsbin.stock.acts import Who, buy, measure, move, part_of, release, reserve, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.history import movements_of_part, readings_of_part
from partsbin.stock.ledger import MANY, Line, act, claims_on, undo
from partsbin.stock.parts import NewReading
from partsbin.store.engine import writing

READ = NewReading("capacitance", 21.6e-9, "F", 0.2e-9)


@pytest.fixture
def five(store: Engine, noon: datetime) -> tuple[Engine, Who]:
    """Five alike in one drawer."""
    with writing(store) as connection:
        words = {"family": "capacitor", "count": 5, "condition": "new", "place": "drawer C2", "price": 400}
        draft = draft_from_text("22n 400V film", **{k: v for k, v in words.items() if k != "price"})[0]
        shelve(connection, [draft], at=noon, by="ann")
    return store, Who(noon, "ann")


def test_pieces_split_off_have_the_marks_and_readings_of_the_others(five: tuple[Engine, Who]) -> None:
    """What was read of all stands for each; what is read of one stands for it alone."""
    store, who = five
    with writing(store) as connection:
        measure(connection, 1, [READ], who, pieces=5)
        one, _ = measure(connection, 1, [NewReading("capacitance", 22e-9, "F", 1e-10)], who)
        assert part_of(connection, one).item.facts == part_of(connection, 1).item.facts
        assert [r["value"] for r in readings_of_part(connection, 1)] == [21.6e-9]
        assert [r["value"] for r in readings_of_part(connection, one)] == [21.6e-9, 22e-9]


def test_pieces_that_are_set_aside_are_not_split_off_for_others(five: tuple[Engine, Who]) -> None:
    """Not as many are free."""
    store, who = five
    with writing(store) as connection:
        reserve(connection, 1, 4, who)
        with pytest.raises(RefusedError, match="P-0001: 2 wanted, 5 on hand, 4 of them set aside"):
            move(connection, 1, "box T1", who, pieces=2)


def test_a_whole_part_moves_with_what_is_set_aside_of_it(five: tuple[Engine, Who]) -> None:
    """No number is new."""
    store, who = five
    with writing(store) as connection:
        reserve(connection, 1, 4, who)
        assert move(connection, 1, "box T1", who)[0] == 1
        assert (part_of(connection, 1).place, claims_on(connection, 1)) == ("box T1", {0: 4})


def test_a_price_is_written_with_the_purchase(five: tuple[Engine, Who]) -> None:
    """And taken back with it."""
    store, who = five
    with writing(store) as connection:
        buy(connection, 1, 10, who, price=450)
        assert (part_of(connection, 1).on_hand, part_of(connection, 1).row["price"]) == (15, 450)
        undo(connection, at=who.at, by="ann")
        assert (part_of(connection, 1).on_hand, part_of(connection, 1).row["price"]) == (5, None)


def test_nobody_lets_go_what_another_has_set_aside(five: tuple[Engine, Who]) -> None:
    """What is set aside for no job is not of a job."""
    store, who = five
    with writing(store) as connection:
        reserve(connection, 1, 2, who)
        with pytest.raises(RefusedError, match="P-0001: 1 to be let go, 0 set aside for this job"):
            release(connection, 1, 1, who, job_id=1)


def test_a_line_says_when_who_and_why(five: tuple[Engine, Who]) -> None:
    """Also the one that takes it back."""
    store, who = five
    with writing(store) as connection:
        scrap(connection, 1, 1, who.because("dented"))
        undo(connection, at=who.at, by="ann")
        *_, done, back = movements_of_part(connection, 1)
    assert (done["by"], done["why"], done["quantity"], done["undone"]) == ("ann", "dented", -1, True)
    assert (back["word"], back["why"], back["quantity"], back["undoes"]) == ("scrapped", "scrapped taken back", 1, True)


def test_an_act_is_taken_back_once(five: tuple[Engine, Who]) -> None:
    """By its number too, and the act that takes it back is none to take back."""
    store, who = five
    with writing(store) as connection:
        done = scrap(connection, 1, 1, who)
        back = undo(connection, at=who.at, by="bob", act_id=done.act_id)
        with pytest.raises(RefusedError, match=f"act {done.act_id} has been taken back already"):
            undo(connection, at=who.at, by="ann", act_id=done.act_id)
        with pytest.raises(RefusedError, match=f"there is no act {back.by_act_id} to take back"):
            undo(connection, at=who.at, by="ann", act_id=back.by_act_id)


def test_the_act_of_another_is_not_the_last_of_mine(five: tuple[Engine, Who]) -> None:
    """Nothing of bob's is left, though ann's stands."""
    store, who = five
    with writing(store) as connection, pytest.raises(RefusedError, match="nothing of yours is left to take back"):
        undo(connection, at=who.at, by="bob")


@pytest.mark.parametrize(("parts", "refused"), [(MANY, False), (MANY + 1, True)])
def test_an_act_of_many_parts_wants_its_number(store: Engine, noon: datetime, parts: int, refused: bool) -> None:
    """A list that came in is not lost by one word too many."""
    draft = draft_from_text("22n 400V film", family="capacitor", condition="new")[0]
    with writing(store) as connection:
        shelve(connection, [draft] * parts, at=noon, by="ann")
        if refused:
            with pytest.raises(RefusedError, match=f"the last thing done is shelved of {parts} parts") as fault:
                undo(connection, at=noon, by="ann")
            assert fault.value.hint == "partsbin undo --act 1 takes it all back"
        assert len(undo(connection, at=noon, by="ann", act_id=1).parts) == parts


def test_a_movement_changes_no_column_that_it_must_not(five: tuple[Engine, Who]) -> None:
    """The family of a part is none of those that it may change."""
    store, who = five
    with writing(store) as connection, pytest.raises(UsageError, match="a movement does not change 'family'"):
        act(connection, "marked", [Line(1, "marked", changes={"family": ("capacitor", "resistor")})], **who.said())


def test_what_was_changed_meanwhile_is_not_written_over(five: tuple[Engine, Who]) -> None:
    """The place is not what it was thought to be."""
    store, who = five
    with (
        writing(store) as connection,
        pytest.raises(RefusedError, match="P-0001 was changed by someone else meanwhile"),
    ):
        act(connection, "moved", [Line(1, "moved", changes={"place_id": (None, None)})], **who.said())
