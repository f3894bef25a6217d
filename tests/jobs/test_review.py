"""Thin margins that sit in sets, until they are reviewed; on both databases."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine

from partsbin.errors import RefusedError
from partsbin.jobs.fitting import fit
from partsbin.jobs.record import open_job
from partsbin.jobs.review import reviewed, thin_margins
from partsbin.jobs.spots import Said
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import reading, writing

WHO = Who(datetime(2026, 3, 1, 12, tzinfo=UTC), "bench")


def fitted(store: Engine, text: str) -> int:
    """Fit a capacitor under 240 V running; return the act."""
    draft, _ = draft_from_text(text, family="capacitor", count=1, condition="new")
    with writing(store) as connection:
        (ident,) = shelve(connection, [draft], at=WHO.at, by="test")
        job = open_job(connection, WHO, facts=["rail=240"])
        said = Said(job.code, family="capacitor", text="0.02uF 350V", position="coupling", designator="C31")
        return fit(connection, said.spot(connection, ident), ident, WHO).act_id


def test_a_thin_margin_is_listed_with_the_check_that_decided(store: Engine) -> None:
    """By hand: 1.6 × 240 = 384 of 400 V leaves 4 %."""
    act = fitted(store, "22n 400V polypropylene")
    with reading(store) as connection:
        (found,) = thin_margins(connection, most=9)
    assert (found.act_id, found.where, round(found.margin, 4)) == (act, "C31", 0.04)


def test_a_wide_margin_is_not_listed(store: Engine) -> None:
    """630 V has plenty."""
    fitted(store, "22n 630V polypropylene")
    with reading(store) as connection:
        assert thin_margins(connection, most=9) == []


def test_a_review_is_of_its_own_act_alone(store: Engine) -> None:
    """Acts 2 and 22 are told apart; the second review of one is refused."""
    first, second = (fitted(store, "22n 400V polypropylene") for _ in range(2))
    with writing(store) as connection:
        reviewed(connection, first, WHO)
        assert [each.act_id for each in thin_margins(connection, most=9)] == [second]
        with pytest.raises(RefusedError, match="is to be reviewed"):
            reviewed(connection, first, WHO)
