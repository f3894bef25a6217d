"""Labels picked from the catalogue: by number, place, donor and day."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.errors import UsageError
from partsbin.labels import pick
from partsbin.labels.sheets import Label
from partsbin.stock.acts import Who, buy, move, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.store.engine import reading, writing


@pytest.fixture
def shelf(store: Engine, noon: datetime) -> Engine:
    """Four parts of two days, the last of them used up."""
    with writing(store) as connection:
        for day, said, place, donor in (
            (0, "22n 630V polypropylene", "drawer C2", ""),
            (0, "47n 400V polyester", "", "D-007"),
            (1, "470k 1/2W", "drawer C2", "D-007"),
            (1, "100n 400V film", "box T1", "D-007"),
        ):
            draft, _ = draft_from_text(said, place=place, donor=donor, count=3)
            shelve(connection, [draft], at=noon + timedelta(days=day), by="me")
        connection.execute(text("UPDATE part SET on_hand = 0 WHERE id = 4"))
    return store


def numbers(labels: list[Label]) -> list[str]:
    """Return what their codes hold."""
    return [label.code for label in labels]


def test_a_part_says_what_it_is_its_number_and_its_place(shelf: Engine) -> None:
    """The title is that of the catalogue, in trade notation."""
    with reading(shelf) as connection:
        assert pick.by_number(connection, ["P-1", "p-0002"]) == [
            Label("P-0001", "22 nF 630 V film-polypropylene", ("P-0001", "drawer C2")),
            Label("P-0002", "47 nF 400 V film-polyester", ("P-0002",)),
        ]


def test_numbers_keep_their_order_and_may_repeat(shelf: Engine) -> None:
    """And a part that is used up has a label if it is asked for by number."""
    with reading(shelf) as connection:
        assert numbers(pick.by_number(connection, ["P-0004", "P-0001", "P-0004"])) == ["P-0004", "P-0001", "P-0004"]


def test_all_numbers_without_a_part_are_named_at_once(shelf: Engine) -> None:
    """Not one by one."""
    with reading(shelf) as connection, pytest.raises(UsageError, match="no part P-0098, P-0099"):
        pick.by_number(connection, ["P-0098", "P-0001", "P-0099", "P-0098"])


def test_many_numbers_are_more_than_one_question(shelf: Engine) -> None:
    """A database takes a limited number of them at once."""
    with reading(shelf) as connection:
        assert len(pick.by_number(connection, ["P-0001", "P-0002"] * 3000)) == 6000


@pytest.mark.parametrize("typed", ["drawer C2", "Drawer c2", " drawer  C2 "])
def test_what_lies_in_a_place(typed: str, shelf: Engine) -> None:
    """However its letters were typed."""
    with reading(shelf) as connection:
        assert numbers(pick.lying_in(connection, typed)) == ["P-0001", "P-0003"]


def test_what_came_from_a_donor_and_is_on_hand(shelf: Engine) -> None:
    """What is used up needs no label."""
    with reading(shelf) as connection:
        assert numbers(pick.from_donor(connection, "d-007")) == ["P-0002", "P-0003"]


def test_an_unknown_place_or_donor_is_met_with_the_nearest(shelf: Engine) -> None:
    """Nothing like it is guessed."""
    with reading(shelf) as connection:
        with pytest.raises(UsageError, match="no place 'drawr C2'") as place:
            pick.lying_in(connection, "drawr C2")
        with pytest.raises(UsageError, match="no donor 'X'") as donor:
            pick.from_donor(connection, "X")
    assert (place.value.hint, donor.value.hint) == ("did you mean 'drawer C2'?", "")


def test_two_places_that_differ_in_capitals_are_two(shelf: Engine, noon: datetime) -> None:
    """The one typed is meant; a third spelling means neither."""
    with writing(shelf) as connection:
        draft, _ = draft_from_text("1k 1W", place="Drawer C2")
        shelve(connection, [draft], at=noon, by="me")
        assert numbers(pick.lying_in(connection, "Drawer C2")) == ["P-0005"]
        with pytest.raises(UsageError, match="no place 'DRAWER C2'"):
            pick.lying_in(connection, "DRAWER C2")


def test_what_was_shelved_in_a_span_of_time(shelf: Engine, noon: datetime) -> None:
    """Its beginning counts, its end does not."""
    day = timedelta(days=1)
    with reading(shelf) as connection:
        assert numbers(pick.arrived(connection, noon, noon + day)) == ["P-0001", "P-0002"]
        assert numbers(pick.arrived(connection, noon + day, noon + 2 * day)) == ["P-0003"]
        assert numbers(pick.arrived(connection, noon - day, noon)) == []


def test_what_was_split_off_has_a_number_that_wants_a_label(shelf: Engine, noon: datetime) -> None:
    """What it was split off has its label; taken back, nothing has arrived."""
    moments = [noon + timedelta(days=day) for day in (5, 6, 7)]
    with writing(shelf) as connection:
        move(connection, 1, "box T9", Who(moments[0], "me"), pieces=1)
        assert numbers(pick.arrived(connection, moments[0], moments[1])) == ["P-0005"]
        undo(connection, at=moments[1], by="me")
        assert numbers(pick.arrived(connection, moments[0], moments[2])) == []


def test_what_was_bought_has_arrived_and_what_was_thrown_away_has_not(shelf: Engine, noon: datetime) -> None:
    """Of two parts touched on one day."""
    moments = [noon + timedelta(days=day) for day in (5, 6)]
    with writing(shelf) as connection:
        buy(connection, 1, 2, Who(moments[0], "me"))
        scrap(connection, 2, 1, Who(moments[0], "me"))
        assert numbers(pick.arrived(connection, moments[0], moments[1])) == ["P-0001"]


@pytest.mark.parametrize("hours", [-11, 11])
def test_a_span_may_be_given_in_any_zone(hours: int, shelf: Engine, noon: datetime) -> None:
    """A bench's day is not that of Greenwich."""
    there = timezone(timedelta(hours=hours))
    since, until = (moment.astimezone(there) for moment in (noon, noon + timedelta(minutes=1)))
    with reading(shelf) as connection:
        assert numbers(pick.arrived(connection, since, until)) == ["P-0001", "P-0002"]


def places(connection: Connection, *names: str) -> tuple[list[Label], list[str]]:
    """Return labels of places, and notes."""
    return pick.of_places(connection, names)


def test_a_place_is_labelled_by_the_name_that_is_kept(shelf: Engine) -> None:
    """So that what is scanned is found."""
    with reading(shelf) as connection:
        assert places(connection, "DRAWER c2") == ([Label("PLACE:drawer C2", "drawer C2")], [])


def test_a_new_drawer_is_labelled_before_it_is_filled(shelf: Engine) -> None:
    """A note says that nothing lies there, and what may have been meant."""
    with reading(shelf) as connection:
        labels, notes = places(connection, "attic", "drawr C2")
    assert numbers(labels) == ["PLACE:attic", "PLACE:drawr C2"]
    assert notes == ["no part lies in 'attic'", "no part lies in 'drawr C2': is 'drawer C2' meant?"]


@pytest.mark.parametrize("name", ["", "  \t"])
def test_a_place_without_a_name_is_none(name: str, shelf: Engine) -> None:
    """Its code would say nothing."""
    with reading(shelf) as connection, pytest.raises(UsageError, match="names no place"):
        places(connection, name)


def test_every_place_where_something_lies(shelf: Engine) -> None:
    """By name; the box whose part is used up is not among them."""
    with reading(shelf) as connection:
        assert pick.every_place(connection) == [Label("PLACE:drawer C2", "drawer C2")]
