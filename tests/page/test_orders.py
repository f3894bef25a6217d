"""Orders and stock rules on the page: what is short, the order for it, what is under way, what came."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.needs import add_need
from partsbin.jobs.offers import take_offers
from partsbin.jobs.orders import cancel
from partsbin.jobs.orders import send as send_order
from partsbin.jobs.record import job_named, learn, open_job
from partsbin.jobs.reorder import Bought, Proposal
from partsbin.stock.columns import all_fields
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, writing
from tests.page.visit import NOON, OTHER, SCRIPT, Visit, count, hidden, said, visiting


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """An offer of a supplier with a hostile name, and a job that wants one of it."""
    opened = open_store(tmp_path / "page.sqlite")
    prices = tmp_path / "prices.csv"
    prices.write_text("Order code,Description,Price\nK1,22 nF 630V polyester axial,0.40\n", encoding="utf-8")
    take_offers(opened, read_cells(prices, fields=all_fields()), f"Bridge {SCRIPT}", at=NOON, condition="new")
    with writing(opened) as connection:
        job = open_job(connection, OTHER, what="intercom")
        add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31")
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """Somebody at the bench."""
    with visiting(engine) as found:
        yield found


def send(visit: Visit) -> str:
    """Order what the job is short of; return the page of the order."""
    page = visit.get("/orders?job=J-0001")
    visit.post("/orders/send", seen=hidden(page, "seen"), job="J-0001")
    return visit.get("/order/1")


def test_what_a_job_is_short_of_is_proposed_with_its_sum(visit: Visit) -> None:
    """One piece at 0.40, no sending said."""
    page = visit.get("/orders?job=J-0001")
    assert ("O-0001 K1 22 nF 630 V" in page, "together 0.40" in page) == (True, True)


def test_the_proposal_is_a_table_to_take_along(visit: Visit) -> None:
    """Only of the supplier that is asked for."""
    supplier = f"Bridge {SCRIPT}"
    own = visit.client.get("/orders/proposal.csv", params={"job": "J-0001", "supplier": supplier})
    other = visit.client.get("/orders/proposal.csv", params={"job": "J-0001", "supplier": "another"})
    assert ("O-0001" in own.text, "O-0001" in other.text) == (True, False)


def test_what_was_sent_is_coming_and_not_ordered_twice(visit: Visit) -> None:
    """The next proposal counts it."""
    send(visit)
    page = visit.get("/orders?job=J-0001")
    assert (": 1 coming<" in page, "/orders/send" in page) == (True, False)


def test_a_proposal_that_has_changed_since_is_not_sent(visit: Visit, engine: Engine) -> None:
    """Sent twice from two windows it is one order."""
    page = visit.get("/orders?job=J-0001")
    forms = [visit.post("/orders/send", seen=hidden(page, "seen"), job="J-0001") for _ in range(2)]
    assert [answer.status_code for answer in forms] == [200, 409]
    assert count(engine, "SELECT count(*) FROM purchase") == 1


def test_a_proposal_whose_sending_costs_more_by_now_is_not_sent(visit: Visit, engine: Engine) -> None:
    """The sum that was read on the page is the sum that is ordered for, or nothing."""
    page = visit.get("/orders?job=J-0001")
    visit.post("/rules/sending", name=f"Bridge {SCRIPT}", shipping="4.50")
    answer = visit.post("/orders/send", seen=hidden(page, "seen"), job="J-0001")
    assert (answer.status_code, count(engine, "SELECT count(*) FROM purchase")) == (409, 0)


def test_a_proposal_that_serves_with_another_verdict_by_now_is_not_sent(visit: Visit, engine: Engine) -> None:
    """The same offer at the same price: what it is for, and how well, was read on the page too."""
    page = visit.get("/orders?job=J-0001")
    with writing(engine) as connection:
        learn(connection, job_named(connection, "J-0001"), ["rail=380"])
    assert ("(fits)" in page, "(care)" in visit.get("/orders?job=J-0001")) == (True, True)
    answer = visit.post("/orders/send", seen=hidden(page, "seen"), job="J-0001")
    assert (answer.status_code, count(engine, "SELECT count(*) FROM purchase")) == (409, 0)


def test_a_delivery_is_booked_and_says_what_it_would_serve(visit: Visit, engine: Engine) -> None:
    """It goes onto the shelf in one act."""
    page = send(visit)
    answer = visit.post("/order/1/came", seen=hidden(page, "seen"), place="drawer E1", **{"came.O-0001": "1"})
    assert ("would serve C31 of J-0001" in said(answer.text), count(engine, "SELECT sum(on_hand) FROM part")) == (
        True,
        1,
    )


def test_a_delivery_is_not_booked_twice(visit: Visit, engine: Engine) -> None:
    """Going back and sending again is told."""
    seen = hidden(send(visit), "seen")
    answers = [visit.post("/order/1/came", seen=seen, **{"came.O-0001": "1"}) for _ in range(2)]
    assert ([answer.status_code for answer in answers], count(engine, "SELECT sum(on_hand) FROM part")) == (
        [200, 409],
        1,
    )


def test_nothing_that_came_books_nothing(visit: Visit) -> None:
    """A line left empty did not come."""
    assert visit.post("/order/1/came", seen=hidden(send(visit), "seen")).status_code == 409


def test_the_rest_of_an_order_is_cancelled_once(visit: Visit, engine: Engine) -> None:
    """What somebody else cancelled meanwhile is told."""
    seen = hidden(send(visit), "seen")
    with writing(engine) as connection:
        cancel(connection, 1)
    assert visit.post("/order/1/cancel", seen=seen).status_code == 409
    answer = visit.post("/order/1/cancel", seen="")
    assert (answer.status_code, "nothing" in visit.get("/orders")) == (409, True)


def test_an_order_is_a_table(visit: Visit) -> None:
    """As it is sent."""
    send(visit)
    assert "K1,O-0001,22 nF 630 V" in visit.client.get("/order/1/table.csv").text


def test_what_came_without_an_order_is_booked_by_its_offer(visit: Visit, engine: Engine) -> None:
    """Three at another price."""
    visit.post("/orders/bought", offer="O-0001", pieces="3", price="0.45", place="E1")
    assert count(engine, "SELECT price FROM part WHERE on_hand = 3") == 450


def test_a_rule_is_added_asks_for_an_order_and_is_dropped(visit: Visit) -> None:
    """Ten are wanted and none is here."""
    visit.post("/rules/add", family="capacitor", text="22nF 400V", position="coupling", level="10", facts="rail=250")
    assert "0 here, 10 wanted, order 10" in visit.get("/rules")
    assert "10 short" in visit.get("/orders?propose=yes")
    visit.post("/rules/drop", rule="1", seen=hidden(visit.get("/rules"), "seen"))
    assert "no rule yet" in visit.get("/rules")


def test_what_sending_costs_is_noted_and_counted(visit: Visit) -> None:
    """By hand: 0.40 + 4.50."""
    visit.post("/rules/sending", name=f"Bridge {SCRIPT}", shipping="4.50")
    assert "together 4.90" in visit.get("/orders?job=J-0001")


@pytest.mark.parametrize(
    ("form", "fields"),
    [
        ("/orders/bought", {"offer": "O-0099"}),
        ("/orders/bought", {"offer": "O-0001", "pieces": "many"}),
        ("/orders/bought", {"offer": "O-0001", "price": "dear"}),
        ("/rules/add", {"family": "capacitor", "position": "coupling", "level": "0"}),
        ("/rules/add", {"family": "capacitor", "position": "coupling", "level": "9", "service": "often", "lead": "9"}),
        ("/rules/drop", {"rule": "7"}),
        ("/rules/sending", {"name": "", "shipping": "1"}),
    ],
)
def test_what_cannot_be_is_told_on_the_page(visit: Visit, form: str, fields: dict[str, str]) -> None:
    """In words, and nothing is written."""
    answer = visit.post(form, **fields)
    assert (answer.status_code, bool(said(answer.text))) == (409, True)


@pytest.mark.parametrize("page", ["/orders?job=J-0001", "/rules", "/order/1"])
def test_script_in_the_name_of_a_supplier_stays_text(visit: Visit, page: str) -> None:
    """It came in with a price list."""
    send(visit)
    assert "<script>alert" not in visit.get(page)


@pytest.mark.parametrize("name", ["offer", "pieces", "price", "place", "text", "family", "level", "name", "shipping"])
def test_script_in_a_field_stays_text(visit: Visit, name: str) -> None:
    """On the page of the fault."""
    answers = [visit.post(form, **{name: SCRIPT}) for form in ("/orders/bought", "/rules/add", "/rules/sending")]
    assert not any("<script>alert" in answer.text for answer in answers)


def long_order(engine: Engine, folder: Path, articles: int) -> None:
    """Send an order of many articles."""
    prices = folder / "many.csv"
    rows = [f"M{n},{100 + n} ohm 5W wirewound,0.10" for n in range(articles)]
    prices.write_text("\n".join(["Order code,Description,Price", *rows]) + "\n", encoding="utf-8")
    take_offers(engine, read_cells(prices, fields=all_fields()), "Bridge Valves", at=NOON, condition="new")
    with writing(engine) as connection:
        found = connection.exec_driver_sql("SELECT id, part_id, article FROM offer WHERE article LIKE 'M%' ORDER BY id")
        lines = tuple(Bought(offer, part, "Bridge Valves", article, "", 3, 100, ()) for offer, part, article in found)
        send_order(connection, Proposal((), lines, (), (), 300 * articles, 0), OTHER)


def test_a_long_order_is_booked_page_by_page(visit: Visit, engine: Engine, tmp_path: Path) -> None:
    """No line is left out: a form holds what stands on its page, and goes back to that page."""
    long_order(engine, tmp_path, 120)
    pages = [visit.get(f"/order/1?page={number}") for number in (1, 2, 3)]
    articles = [article for page in pages for article in re.findall(r"O-\d+ (M\d+) ", page)]
    assert articles == [f"M{n}" for n in range(120)]
    came = f"came.{re.findall(r'name=.came.(O-[0-9]+)', pages[2])[-1]}"
    answer = visit.post("/order/1/came", seen=hidden(pages[2], "seen"), page="3", **{came: "2"})
    assert (str(answer.url).endswith("/order/1?page=3"), count(engine, "SELECT sum(pieces) FROM arrival")) == (True, 2)


def test_a_long_list_of_what_is_short_has_a_next_page(visit: Visit, engine: Engine) -> None:
    """Every need is named on one of them, and how many pages there are is said."""
    with writing(engine) as connection:
        job = job_named(connection, "J-0001")
        for n in range(100, 220):
            add_need(connection, job, "capacitor", "47uF 450V", "reservoir", designator=f"C{n}", facts=["rail=250"])
    first, second = (visit.get(f"/orders?job=J-0001&missing={n}&short={n}") for n in (1, 2))
    assert "short: page 1 of 2" in first
    for line in (r"<li>J-0001 (C\d+)[^<]*: 1 short", r'class="caution">J-0001 (C\d+)[^<]*: 1 that nobody offers'):
        named = [*re.findall(line, first), *re.findall(line, second)]
        assert {f"C{n}" for n in range(100, 220)} <= set(named), line
        assert len(named) == len(set(named))
