"""A can fitted for several needs: one piece booked out once, each need served by its section, and back again as one thing."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import Connection, Engine

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.fitted import fittings_of, open_needs, serving
from partsbin.jobs.fitting import OwingError, Spot, bring_back
from partsbin.jobs.fitting_sections import fit_sections
from partsbin.jobs.needs import add_need, needs_of
from partsbin.jobs.plan import reserve
from partsbin.jobs.record import Opened, open_job
from partsbin.reports.sheet import sheet_of
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keeping.verify import verify
from partsbin.stock.ledger import set_aside_for, undo
from partsbin.store.engine import writing
from tests.command import partsbin
from tests.expected import by_hand

CAN = "32+32uF 450V electrolytic"


def _job(connection: Connection, noon: datetime, *needs: tuple[str, str], can: str = CAN, new: bool = True) -> Opened:
    """A can on the shelf, price 4.50, and a set with needs of 32 µF."""
    draft = draft_from_text(can, family="capacitor", count=1, condition="new" if new else "salvaged")[0]
    shelve(connection, [type(draft)(**{**vars(draft), "price": 4500})], at=noon, by="ann")
    job = open_job(connection, Who(noon, "ann"), facts=["secondary=250-0-250 off-load"])
    for designator, position in needs or (("C1a", "reservoir"), ("C1b", "smoothing")):
        add_need(connection, job, "capacitor", "32uF 400V", position, designator=designator)
    return job


def _spots(connection: Connection, job: Opened) -> list[Spot]:
    return [Spot(job, wanted.request(job), wanted) for wanted in needs_of(connection, job)]


def test_one_piece_serves_both_needs_in_one_act(store: Engine, noon: datetime) -> None:
    """What was set aside is used, nothing is left open, and the sheet has the can once, at its price."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        job = _job(connection, noon)
        reserve(connection, [job], who)
        done = fit_sections(connection, _spots(connection, job), 1, who)
        assert (part_of(connection, 1).on_hand, set_aside_for(connection, job.id)) == (0, {})
        assert (open_needs(connection, job), serving(connection, job.id)) == ([], {1: 1, 2: 1})
        (line,) = fittings_of(connection, job.id)
        assert (line["designator"], line["pieces"], line["verdict"]) == ("C1a, C1b", 1, "fits")
        assert sheet_of(connection, job).cost == by_hand(4500, "one can", of=sheet_of)
        assert verify(connection) == []
    assert {each.title.rpartition(", ")[2] for each in done.others} == {"section 1", "section 2"}


def test_taken_out_or_undone_both_needs_are_open_again(store: Engine, noon: datetime) -> None:
    """As one thing: no section stays behind."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        job = _job(connection, noon)
        spots = _spots(connection, job)
        fit_sections(connection, spots, 1, who)
        undo(connection, at=noon, by="ann")
        assert ([left for _, left in open_needs(connection, job)], part_of(connection, 1).on_hand) == ([1, 1], 1)
        fit_sections(connection, spots, 1, who)
        bring_back(connection, job, 1, 1, who)
        assert ([left for _, left in open_needs(connection, job)], fittings_of(connection, job.id)) == ([1, 1], [])


def test_needs_of_no_one_can_are_served_with_care_and_that_stands_in_the_record(store: Engine, noon: datetime) -> None:
    """What was to be seen to is written down with it."""
    with writing(store) as connection:
        job = _job(connection, noon, ("C1", "reservoir"), ("C7", "smoothing"))
        done = fit_sections(connection, _spots(connection, job), 1, Who(noon, "ann"))
        (line,) = fittings_of(connection, job.id)
    assert (done.verdict, line["verdict"]) == ("care", "care")
    assert "see that theirs lie on one point" in line["change"]


@pytest.mark.parametrize(
    ("needs", "can", "said"),
    [
        ((("C1", "reservoir"), ("C9", "bias-smoothing")), CAN, "do not share their negative.*C9"),
        ((("C1a", "reservoir"), ("C1b", "smoothing"), ("C1c", "decoupling")), CAN, "no sections for C1a, C1b and C1c"),
        ((("C1a", "reservoir"), ("C1b", "smoothing")), "32+32uF 250V electrolytic", "unfit at C1a"),
        ((("C1a", "reservoir"), ("C1b", "smoothing")), "32uF 450V electrolytic", "no sections for C1a and C1b"),
    ],
)
def test_what_shares_no_can_is_refused_and_nothing_is_booked(
    store: Engine, noon: datetime, needs: tuple[tuple[str, str], ...], can: str, said: str
) -> None:
    """A positive at the chassis, too few sections, too few volts, no can at all."""
    with writing(store) as connection:
        job = _job(connection, noon, *needs, can=can)
        with pytest.raises(RefusedError, match=said):
            fit_sections(connection, _spots(connection, job), 1, Who(noon, "ann"))
        assert part_of(connection, 1).on_hand == 1


def test_with_back_bias_the_reservoir_is_joined_to_no_other_by_hand_either(store: Engine, noon: datetime) -> None:
    """The resistor may be fitted already: its place says where the reservoir's negative is."""
    with writing(store) as connection:
        job = _job(connection, noon, ("C1", "reservoir"), ("C7", "smoothing"))
        spots = _spots(connection, job)
        add_need(connection, job, "resistor", "150R 2W", "back-bias", designator="R9")
        with pytest.raises(RefusedError, match="do not share their negative"):
            fit_sections(connection, spots, 1, Who(noon, "ann"))


def test_an_old_can_is_read_before_it_goes_in(store: Engine, noon: datetime) -> None:
    """As any old electrolytic."""
    with writing(store) as connection:
        job = _job(connection, noon, new=False)
        with pytest.raises(OwingError):
            fit_sections(connection, _spots(connection, job), 1, Who(noon, "ann"))


def test_a_need_is_named_once(store: Engine, noon: datetime) -> None:
    """Twice the same is a slip."""
    with writing(store) as connection:
        job = _job(connection, noon)
        spot = _spots(connection, job)[0]
        with pytest.raises(UsageError, match="each need once"):
            fit_sections(connection, [spot, spot], 1, Who(noon, "ann"))


def test_the_commands_say_which_section_goes_where(tmp_path: Any) -> None:
    """Planned, fitted, and told as JSON."""
    db = tmp_path / "x.sqlite"
    partsbin("shelve", CAN, "--condition", "new", db=db)
    partsbin("job", "open", "radio", "-w", "secondary=250-0-250 off-load", db=db)
    for name, position in (("C1a", "reservoir"), ("C1b", "smoothing")):
        partsbin("job", "need", "1", "capacitor", "32uF 400V", "-p", position, "-d", name, db=db)
    planned = partsbin("plan", "1", "--json", db=db).json()
    assert [need["shares"] for need in planned["needs"]] == [["C1a", "C1b"]] * 2
    assert sorted(part["pieces"] for need in planned["needs"] for part in need["parts"]) == [0, 1]
    told = partsbin("fit", "P-1", "--job", "1", "--for", "C1a", "--for", "C1b", "--json", db=db).json()
    assert {(each["need"], each["title"].rpartition(", ")[2]) for each in told["sections"]} in (
        {("C1a", "section 1"), ("C1b", "section 2")},
        {("C1a", "section 2"), ("C1b", "section 1")},
    )
