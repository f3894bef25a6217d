"""Fitting and taking out: what is refused and in what order, what is booked and written down."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.fitted import fitted_in, fittings_of, open_needs
from partsbin.jobs.fitting import Fitted, OwingError, Spot, bring_back, fit
from partsbin.jobs.needs import add_need, needs_of
from partsbin.jobs.record import Opened, close_job, job_of, open_job
from partsbin.stock.acts import Who, measure, part_of, reserve, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keeping.verify import verify
from partsbin.stock.ledger import claims_on, undo
from partsbin.stock.parts import NewReading
from partsbin.store.engine import writing

SHELF = (
    ("22n 630V polypropylene", 3, "new", False),
    ("22n 250V polyester", 2, "new", False),
    ("22n 630V polyester", 3, "salvaged", False),
    ("22n 630V polypropylene", 5, "new", True),
    ("22n 400V polyester", 1, "new", False),
)
GOOD, WEAK, OWING, ROUGH, THIN = range(1, 6)


@pytest.fixture
def bench(store: Engine, noon: datetime) -> tuple[Engine, Who]:
    """A shelf, and two jobs with a coupling capacitor wanted in the first."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        drafts = [
            draft_from_text(words, family="capacitor", count=count, condition=condition, rough=rough)[0]
            for words, count, condition, rough in SHELF
        ]
        shelve(connection, drafts, at=noon, by="ann")
        job = open_job(connection, who, facts=["rail=240"])
        add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31")
        open_job(connection, who)
    return store, who


def _spot(connection: Connection, number: int = 1) -> Spot:
    job = job_of(connection, 1)
    wanted = needs_of(connection, job)[0]
    return Spot(job if number == 1 else job_of(connection, number), wanted.request(job), wanted)


def _job(connection: Connection) -> Opened:
    return _spot(connection).job


def _fit(connection: Connection, part_id: int, who: Who, *, pieces: int = 1, found: bool = False) -> Fitted:
    return fit(connection, _spot(connection), part_id, who, pieces=pieces, found=found)


def test_a_fitted_part_is_booked_out_with_the_reason(bench: tuple[Engine, Who]) -> None:
    """The need is served, the check that decided is kept."""
    store, who = bench
    with writing(store) as connection:
        done = fit(connection, _spot(connection), GOOD, who, change="leads sleeved")
        (entry,) = fittings_of(connection, 1)
        assert (done.number, done.verdict, entry["verdict"], entry["designator"]) == ("P-0001", "fits", "fits", "C31")
        assert (entry["check"], entry["change"]) == ("CAP02", "leads sleeved")
        assert part_of(connection, GOOD).on_hand == 2
        assert open_needs(connection, _job(connection)) == []


def test_an_unfit_part_is_refused_with_what_to_fit_instead(bench: tuple[Engine, Who]) -> None:
    """Nothing is booked."""
    store, who = bench
    with writing(store) as connection, pytest.raises(RefusedError, match="P-0002 is unfit here: 250 V is under 384 V"):
        _fit(connection, WEAK, who)
    with store.connect() as connection:
        assert part_of(connection, WEAK).on_hand == 2


def test_a_part_that_owes_a_reading_says_which_and_how(bench: tuple[Engine, Who]) -> None:
    """Once it is read the piece that was read is fitted."""
    store, who = bench
    with writing(store) as connection:
        with pytest.raises(OwingError, match="P-0003 still owes: leakage at working volts") as owing:
            _fit(connection, OWING, who)
        assert owing.value.hint == "--reading leakage=… says it of the part"
    with writing(store) as connection:
        read, _ = measure(connection, OWING, [NewReading("leakage", 1e-8, "A", 1e-9, {"volts": 400.0})], who)
        assert _fit(connection, read, who).verdict in ("fits", "care")


def test_what_is_not_there_owes_no_reading(bench: tuple[Engine, Who]) -> None:
    """None on hand is said before anything else."""
    store, who = bench
    with writing(store) as connection:
        scrap(connection, OWING, 3, who)
        with pytest.raises(RefusedError, match="P-0003: 1 wanted, none on hand") as refused:
            _fit(connection, OWING, who)
        assert not isinstance(refused.value, OwingError)


def test_a_fact_of_the_set_is_asked_for_as_one(bench: tuple[Engine, Who]) -> None:
    """Not as a reading of the part."""
    store, who = bench
    with writing(store) as connection:
        job = open_job(connection, who)
        wanted = add_need(connection, job, "capacitor", "", "coupling")
        with pytest.raises(OwingError) as owing:
            fit(connection, Spot(job, wanted.request(job), wanted), GOOD, who)
        assert "--with rail=… says it of the set" in owing.value.hint


def test_pieces_set_aside_for_another_job_are_not_taken(bench: tuple[Engine, Who]) -> None:
    """Its number is said."""
    store, who = bench
    with writing(store) as connection:
        reserve(connection, GOOD, 3, who, job_id=2)
        with pytest.raises(RefusedError, match="P-0001: 1 wanted, 0 free, 3 set aside for J-0002"):
            _fit(connection, GOOD, who)


def test_pieces_set_aside_for_this_job_go_first(bench: tuple[Engine, Who]) -> None:
    """The claim goes with them."""
    store, who = bench
    with writing(store) as connection:
        reserve(connection, GOOD, 2, who, job_id=1)
        _fit(connection, GOOD, who)
        assert claims_on(connection, GOOD) == {1: 1}


def test_a_piece_set_aside_for_this_job_is_the_one_that_is_read(bench: tuple[Engine, Who]) -> None:
    """Though none is free, it can be read, split off and fitted."""
    store, who = bench
    with writing(store) as connection:
        reserve(connection, OWING, 3, who, job_id=1)
        reading = NewReading("leakage", 1e-8, "A", 1e-9, {"volts": 400.0})
        read, _ = measure(connection, OWING, [reading], who, pieces=1, job_id=1)
        assert (claims_on(connection, OWING), claims_on(connection, read)) == ({1: 2}, {1: 1})
        _fit(connection, read, who)
        assert claims_on(connection, read) == {}


def test_what_was_fitted_since_is_not_let_go_at_the_cost_of_another_job(bench: tuple[Engine, Who]) -> None:
    """Two jobs have a piece aside; bob fits that of the first: ann cannot take back that it was set aside, the other one stays."""
    store, who = bench
    bob = Who(who.at, "bob")
    with writing(store) as connection:
        aside = reserve(connection, GOOD, 1, who, job_id=1)
        reserve(connection, GOOD, 1, bob, job_id=2)
        _fit(connection, GOOD, bob)
    with pytest.raises(RefusedError, match="1 to be let go, 0 set aside for that job"), writing(store) as connection:
        undo(connection, at=who.at, by=who.by, act_id=aside.act_id)
    with writing(store) as connection:
        assert (claims_on(connection, GOOD), verify(connection)) == ({2: 1}, [])


@pytest.mark.parametrize(("part_id", "found"), [(GOOD, True), (ROUGH, False)], ids=["found", "a rough count"])
def test_more_than_the_ledger_knew_of_is_counted_in(bench: tuple[Engine, Who], part_id: int, found: bool) -> None:
    """In the same act: one undo takes both back."""
    store, who = bench
    with writing(store) as connection:
        before = part_of(connection, part_id).on_hand
        assert _fit(connection, part_id, who, pieces=before + 2, found=found).found == 2
        assert part_of(connection, part_id).on_hand == 0
        undo(connection, at=who.at, by="ann")
        assert (part_of(connection, part_id).on_hand, fitted_in(connection, 1, part_id)) == (before, 0)


def test_more_than_there_is_is_refused(bench: tuple[Engine, Who]) -> None:
    """With the way to say that the shelf has more."""
    store, who = bench
    with writing(store) as connection, pytest.raises(RefusedError, match="P-0001: 4 wanted, 3 on hand") as refused:
        _fit(connection, GOOD, who, pieces=4)
    assert refused.value.hint == "--found counts in what the shelf has more"


def test_a_closed_job_takes_nothing(bench: tuple[Engine, Who]) -> None:
    """It was closed on a day."""
    store, who = bench
    with writing(store) as connection:
        close_job(connection, _job(connection), who)
        with pytest.raises(RefusedError, match="J-0001 was closed on 2026-03-01"):
            _fit(connection, GOOD, who)


def test_a_part_of_another_family_is_refused(bench: tuple[Engine, Who]) -> None:
    """A resistor for a capacitor."""
    store, who = bench
    with writing(store) as connection:
        shelve(connection, [draft_from_text("470k 1/2W", family="resistor")[0]], at=who.at)
        with pytest.raises(UsageError, match="P-0006 is a resistor, the need is a capacitor as coupling"):
            _fit(connection, 6, who)


def test_a_part_too_many_for_its_need_is_seen(bench: tuple[Engine, Who]) -> None:
    """It is booked; how many serve the need now is told."""
    store, who = bench
    with writing(store) as connection:
        once, twice = _fit(connection, GOOD, who), _fit(connection, GOOD, who)
        assert [(done.wanted, done.there, done.first) for done in (once, twice)] == [(1, 1, True), (1, 2, False)]


def test_what_was_in_use_comes_back_as_salvaged(bench: tuple[Engine, Who]) -> None:
    """A part of its own; the need is open again."""
    store, who = bench
    with writing(store) as connection:
        _fit(connection, GOOD, who, pieces=2)
        back, _ = bring_back(connection, _job(connection), GOOD, 1, who)
        part = part_of(connection, back)
        assert (part.number, part.item.condition, part.on_hand) == ("P-0006", "salvaged", 1)
        assert (part_of(connection, GOOD).on_hand, fitted_in(connection, 1, GOOD)) == (1, 1)


def test_what_was_never_switched_on_is_as_new_as_it_was(bench: tuple[Engine, Who]) -> None:
    """It lies with its like again."""
    store, who = bench
    with writing(store) as connection:
        _fit(connection, GOOD, who)
        back, _ = bring_back(connection, _job(connection), GOOD, 1, who, unused=True)
        assert (back, part_of(connection, GOOD).on_hand) == (GOOD, 3)
        assert len(open_needs(connection, _job(connection))) == 1


def test_nothing_comes_back_twice(bench: tuple[Engine, Who]) -> None:
    """Nor from a set in which it never was."""
    store, who = bench
    with writing(store) as connection:
        _fit(connection, GOOD, who)
        bring_back(connection, _job(connection), GOOD, 1, who)
        with pytest.raises(RefusedError, match="P-0001: 1 to come back, 0 fitted in J-0001"):
            bring_back(connection, _job(connection), GOOD, 1, who)


def test_why_a_part_went_in_is_never_written_over(bench: tuple[Engine, Who]) -> None:
    """The database itself refuses."""
    store, who = bench
    with writing(store) as connection:
        _fit(connection, THIN, who)
    with pytest.raises(Exception, match="append-only"), writing(store) as connection:
        connection.execute(text("UPDATE fitting SET verdict = 'fits'"))
