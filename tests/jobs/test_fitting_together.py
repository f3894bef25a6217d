"""Several parts fitted to one need: judged as one, booked as one act, and the need open again when one of them comes out."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine, text

from partsbin.errors import RefusedError
from partsbin.jobs.fitted import fittings_of, open_needs
from partsbin.jobs.fitting import Spot, bring_back
from partsbin.jobs.fitting_together import fit_together
from partsbin.jobs.needs import Wanted, add_need
from partsbin.jobs.record import Opened, open_job
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.store.engine import writing

Bench = tuple[Engine, Who, Opened, Wanted]
SERIES, PARALLEL = "in series", "in parallel"


@pytest.fixture
def bench(store: Engine, noon: datetime) -> Bench:
    """Five electrolytics of too few volts, two smaller ones, and two places that want 32 µF."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        shelve(
            connection,
            [
                draft_from_text(words, family="capacitor", count=count, condition=condition)[0]
                for words, count, condition in (
                    ("68uF 350V electrolytic", 5, "new"),
                    ("16uF 450V electrolytic", 1, "salvaged"),
                    ("22uF 500V electrolytic", 1, "new"),
                )
            ],
            at=noon,
            by="ann",
        )
        job = open_job(connection, who, facts=["secondary=286-0-286"])
        wanted = add_need(connection, job, "capacitor", "32uF 450V", "smoothing", designator="C1", quantity=2)
    return store, who, job, wanted


def _left(connection: object, job: Opened) -> list[int]:
    return [pieces for _, pieces in open_needs(connection, job)]  # type: ignore[arg-type]


def test_a_make_up_serves_one_place_however_many_parts_it_takes(bench: Bench) -> None:
    """Two for the first place, two more for the second; each with the change written down."""
    store, who, job, wanted = bench
    spot = Spot(job, wanted.request(job), wanted)
    with writing(store) as connection:
        done = fit_together(connection, spot, [1, 1], SERIES, who)
        assert (done.make_up, done.verdict, done.there, done.wanted) == (("P-0001", "P-0001"), "care", 1, 2)
        assert _left(connection, job) == [1]
        fit_together(connection, spot, [1, 1], SERIES, who)
        assert _left(connection, job) == []
        assert [entry["pieces"] for entry in fittings_of(connection, job.id)] == [1, 1, 1, 1]
        assert all("220 kΩ 1 W across each" in entry["change"] for entry in fittings_of(connection, job.id))
        assert connection.execute(text("SELECT on_hand FROM part WHERE id = 1")).scalar_one() == 1


def test_what_sits_in_a_set_says_what_it_is_joined_with(bench: Bench) -> None:
    """Two lines of one place would be taken for two capacitors side by side; one's own words come after."""
    store, who, job, wanted = bench
    with writing(store) as connection:
        fit_together(connection, Spot(job, wanted.request(job), wanted), [1, 1], SERIES, who, change="clamp added")
        said = [line["change"] for line in fittings_of(connection, job.id)]
    assert len(said) == 2
    assert all(line.endswith("P-0001 + P-0001 in series; clamp added") for line in said)


def test_several_times_at_once_are_one_act(bench: Bench) -> None:
    """Taken back as one."""
    store, who, job, wanted = bench
    with writing(store) as connection:
        fit_together(connection, Spot(job, wanted.request(job), wanted), [1, 1], SERIES, who, pieces=2)
        assert _left(connection, job) == []
        undo(connection, at=who.at, by="ann")
        assert _left(connection, job) == [2]


def test_when_one_of_the_parts_comes_out_the_place_is_open_again(bench: Bench) -> None:
    """What is left there does not do the work of two."""
    store, who, job, wanted = bench
    with writing(store) as connection:
        fit_together(connection, Spot(job, wanted.request(job), wanted), [1, 1], SERIES, who)
        bring_back(connection, job, 1, 1, who)
        assert _left(connection, job) == [2]


def test_more_pieces_than_there_are_refuse(bench: Bench) -> None:
    """Two of a part need two."""
    store, who, job, wanted = bench
    with writing(store) as connection, pytest.raises(RefusedError, match="P-0003: 2 wanted, 1 on hand"):
        fit_together(connection, Spot(job, wanted.request(job), wanted), [3, 3], PARALLEL, who)


def test_what_does_not_do_together_is_refused_with_the_reason(bench: Bench) -> None:
    """In parallel 350 V stay 350 V."""
    store, who, job, wanted = bench
    with writing(store) as connection, pytest.raises(RefusedError, match="350 V is under 467 V off load"):
        fit_together(connection, Spot(job, wanted.request(job), wanted), [1, 3], PARALLEL, who)


def test_what_is_owed_of_one_part_is_named_with_the_part(bench: Bench) -> None:
    """The old one has not been measured."""
    store, who, job, _ = bench
    with writing(store) as connection:
        wanted = add_need(
            connection, job, "capacitor", "40uF 450V", "smoothing", designator="C2", facts=["secondary=230"]
        )
        with pytest.raises(RefusedError, match="P-0002: capacitance"):
            fit_together(connection, Spot(job, wanted.request(job), wanted), [3, 2], PARALLEL, who)


def test_where_nothing_is_joined_it_says_so(bench: Bench) -> None:
    """Across the mains an approved capacitor is bought."""
    store, who, job, _ = bench
    with writing(store) as connection:
        wanted = add_need(connection, job, "capacitor", "0.1uF", "mains-across", designator="C9")
        with pytest.raises(RefusedError, match="is not made of several in parallel"):
            fit_together(connection, Spot(job, wanted.request(job), wanted), [1, 3], PARALLEL, who)
