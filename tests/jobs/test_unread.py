"""Lines of price lists that wait unread: an order over them is the order over a list that was read whole."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.errors import UsageError
from partsbin.jobs.delivery import Came, book
from partsbin.jobs.offers import Taken, take_offers
from partsbin.jobs.reorder import OF_EACH, Proposal, Short, cover
from partsbin.jobs.unread import left_unread, read_for, waiting
from partsbin.jobs.waiting_lines import WaitingLines
from partsbin.matching.answer import find
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.acts import Who
from partsbin.stock.columns import all_fields
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, reading, writing
from partsbin.store.offer_tables import Offer
from partsbin.store.tables import table_of

AT = datetime(1957, 4, 1, 9, tzinfo=UTC)
FACTS = read_facts(["rail=250", "chassis=earthed"])
COUPLING = Request("capacitor", "47n", "coupling", {}, FACTS)
HEAD = "Order code,Description,Price,In stock\n"


def take(
    store: Engine, folder: Path, lines: str, *, at_once: int = 0, supplier: str = "Bridge", head: str = HEAD
) -> Taken:
    """Take in a price list, so many different lines of it read at once."""
    file = folder / f"{supplier}.csv"
    file.write_text(head + lines, "utf-8")
    _, taken = take_offers(
        store, read_cells(file, fields=all_fields()), supplier, at=AT, condition="new", at_once=at_once
    )
    assert taken is not None
    return taken


def covered(store: Engine, wanted: Sequence[Short]) -> Proposal:
    """Read what may serve, and order."""
    assert read_for(store, [(short.request, short.pieces) for short in wanted], each=OF_EACH) == 0
    with reading(store) as connection:
        return cover(connection, wanted)


def offers(store: Engine) -> dict[str, dict[str, object]]:
    """All offers by article."""
    with reading(store) as connection:
        return {row["article"]: dict(row) for row in connection.execute(table_of(Offer).select()).mappings()}


def random_lines(seed: int, n: int = 120) -> str:
    """Capacitors and resistors of all sorts, some in pairs, some of no use, and what is of no family."""
    rng = random.Random(seed)
    texts = [
        lambda: (
            f"{rng.choice(['47n', '0.047uF', '47 nF', '39nF', '50 nF', '0.1uF', '22n', '0.047', '473K'])} "
            f"{rng.choice(['100V', '400V', '630V', '1000 V', ''])} {rng.choice(['polypropylene', 'polyester', 'ceramic', ''])}"
        ),
        lambda: (
            f"{rng.choice(['100k', '100 kohm', '0.1M', '82k', '120K', '1M', 'resistor 100000'])} "
            f"{rng.choice(['0.25W', '1/2W', '1W', '2W', ''])} {rng.choice(['metal film', 'carbon film', ''])}"
        ),
        lambda: f"pair of {rng.choice(['47n 630V polypropylene', '100k 1W metal film'])}",
        lambda: rng.choice(["NE555 timer", "EL84", "M3 screw", "knob", "header 10 pin", "8+8uF 450V"]),
    ]
    return "".join(
        f"A{at},{rng.choice(texts)()},{rng.randint(5, 300) / 100:.2f},{rng.choice([0, 3, 50])}\n" for at in range(n)
    )


@pytest.mark.parametrize("seed", range(12))
def test_the_order_is_that_of_a_list_that_was_read_whole(tmp_path: Path, seed: int) -> None:
    """As many pieces for each need, at the same cost, of two suppliers' lists."""
    wanted = [
        Short(COUPLING, 7, "C1", "wanted"),
        Short(Request("resistor", "100k", "anode-load", {}, FACTS), 4, "R1", "wanted"),
        Short(Request("capacitor", "22n", "coupling", {}, FACTS), 2, "C2", "wanted"),
    ]
    made = []
    for at_once in (0, 10**6):
        store = open_store(tmp_path / f"{at_once}.sqlite")
        for number, supplier in enumerate(("Bridge", "Canal")):
            take(store, tmp_path, random_lines(2 * seed + number), at_once=at_once, supplier=supplier)
        made.append(covered(store, wanted))
        store.dispose()
    waited, whole = made
    assert (waited.goods, waited.shipping, waited.missing) == (whole.goods, whole.shipping, whole.missing)
    assert whole.lines


def test_only_what_may_serve_is_read(store: Engine, tmp_path: Path) -> None:
    """A resistor, a capacitor of another value and what is dearer than enough others stay as they are written."""
    lines = "".join(f"A{n},{47 + n / 100:.2f}nF 630V polypropylene,{n + 1}.00,\n" for n in range(60))
    take(store, tmp_path, lines + "R1,47k 1W metal film,0.01,\nC1,220nF 630V polypropylene,0.01,\n")
    covered(store, [Short(COUPLING, 2, "C1", "wanted")])
    here = offers(store)
    assert here["A0"]["part_id"] is not None
    assert [article for article in ("A59", "R1", "C1") if here[article]["part_id"] is not None] == []


def test_for_a_valve_those_lines_are_read_that_bear_a_name_which_may_serve(store: Engine, tmp_path: Path) -> None:
    """EL84 and 6BQ5 are one valve with two names (valve tables); however the name is written, whatever stands beside it."""
    lines = "".join(f"A{n},EF{100 + n} valve,0.50,9\nB{n},QX{n} timer,0.01,9\n" for n in range(300))
    take(store, tmp_path, lines + "C1,valve EL-84 boxed,4.00,1\nC2,Valve 6BQ5,3.50,1\n")
    wanted = Short(Request("valve", "EL84", "as-plugged", {}, FACTS), 2, "V1", "wanted")
    assert {line.article for line in covered(store, [wanted]).lines} == {"C1", "C2"}
    assert {article for article, row in offers(store).items() if row["part_id"] is not None} == {"C1", "C2"}


def test_a_line_of_no_use_is_read_once(store: Engine, tmp_path: Path) -> None:
    """It waits no more, and is no part."""
    take(store, tmp_path, "A1,0.047 whatever that may be zq,0.10,\n")
    covered(store, [Short(COUPLING, 1, "C1", "wanted")])
    with reading(store) as connection:
        assert not waiting(connection)


def test_a_price_of_two_is_halved_when_the_line_is_read(store: Engine, tmp_path: Path) -> None:
    """A pair at 3.00 is 1.50 a piece, in twos: cheaper than one at 2.00."""
    take(store, tmp_path, "A1,pair of 47n 630V polypropylene,3.00,10\nA2,47n 630V polypropylene,2.00,10\n")
    made = covered(store, [Short(COUPLING, 2, "C1", "wanted")])
    assert [(line.article, line.pieces, line.price) for line in made.lines] == [("A1", 2, 1500)]


def test_a_later_list_keeps_numbers_and_what_was_read(store: Engine, tmp_path: Path) -> None:
    """The same words at another price; of a pair the price of one still."""
    lines = "A1,pair of 47n 630V polypropylene,{},10\nA2,100k 1W metal film,{},10\n"
    take(store, tmp_path, lines.format("3.00", "0.10"))
    covered(store, [Short(COUPLING, 2, "C1", "wanted")])
    before = offers(store)
    assert take(store, tmp_path, lines.format("2.00", "0.20")) == Taken(0, 2, 0)
    after = offers(store)
    assert {article: (row["id"], row["part_id"]) for article, row in after.items()} == {
        article: (row["id"], row["part_id"]) for article, row in before.items()
    }
    assert (after["A1"]["least"], after["A2"]["least"], after["A2"]["part_id"]) == (1000, 200, None)


def test_a_number_never_comes_to_mean_another_part(store: Engine, tmp_path: Path) -> None:
    """An article whose words change is a new offer."""
    take(store, tmp_path, "A1,47n 630V polypropylene,0.50,10\n")
    first = offers(store)["A1"]["id"]
    assert take(store, tmp_path, "A1,22n 630V polypropylene,0.50,10\n") == Taken(1, 0, 1)
    assert offers(store)["A1"]["id"] != first


def test_what_comes_of_a_line_that_was_never_read_is_booked(store: Engine, tmp_path: Path) -> None:
    """By its number: the line is read then."""
    take(store, tmp_path, "A1,47n 630V polypropylene,0.50,10\n")
    number = int(str(offers(store)["A1"]["id"]))
    with writing(store) as connection:
        (booked,) = book(connection, [Came(number, 3)], Who(AT, "bench"))
    assert (booked.title, booked.pieces, booked.price) == ("47 nF 630 V film-polypropylene", 3, 500)


def test_what_nobody_understands_cannot_be_booked(store: Engine, tmp_path: Path) -> None:
    """The line is quoted, and what to do said."""
    take(store, tmp_path, "A1,zq whatever,0.50,10\n")
    number = int(str(offers(store)["A1"]["id"]))
    with writing(store) as connection, pytest.raises(UsageError, match="zq whatever"):
        book(connection, [Came(number, 3)], Who(AT, "bench"))


def test_a_search_among_offers_reads_what_may_serve(store: Engine, tmp_path: Path) -> None:
    """The best of them whatever it costs: here the dearest."""
    take(store, tmp_path, "A1,47n 100V polyester,0.10,\nA2,47n 630V polypropylene,9.00,\n")
    assert read_for(store, [(COUPLING, 2000)], each=2000, most=2000) == 0
    with reading(store) as connection:
        answer = find(connection, COUPLING, origin="offered")
    assert [each["title"] for each in answer["candidates"] if each["verdict"] == "fits"] == [
        "47 nF 630 V film-polypropylene"
    ]


def test_of_too_many_lines_is_said_how_many_are_left(store: Engine, tmp_path: Path) -> None:
    """Twenty that may serve, and room for eight."""
    take(store, tmp_path, "".join(f"A{n},{47 + n / 100:.2f}nF 630V polypropylene,1.00,1\n" for n in range(20)))
    assert read_for(store, [(COUPLING, 100)], each=100, most=8) == 12
    assert read_for(store, [(COUPLING, 100)], each=100, most=12) == 0


def test_as_many_are_read_as_there_is_room_for(store: Engine, tmp_path: Path) -> None:
    """Eight, and of the sixteen after them two."""
    take(store, tmp_path, "".join(f"A{n},{47 + n / 100:.2f}nF 630V polypropylene,1.00,1\n" for n in range(30)))
    assert read_for(store, [(COUPLING, 100)], each=100, most=10) == 20
    assert sum(row["part_id"] is not None for row in offers(store).values()) == 10


@pytest.mark.sqlite
def test_where_the_catalogue_may_not_be_written_what_is_read_is_offered_and_the_rest_said(
    store: Engine, tmp_path: Path
) -> None:
    """A search and an order fail for nothing that they could do without."""
    take(store, tmp_path, "A1,47n 630V polypropylene,0.50,10\nA2,47n 1000V polypropylene,0.60,10\n", at_once=1)
    barred = open_store(f"sqlite:///file:{store.url.database}?mode=ro&uri=true")
    left = read_for(barred, [(COUPLING, 2)], each=OF_EACH)
    assert (left, left_unread(barred, left).endswith("may not be written here")) == (1, True)
    with reading(barred) as connection:
        assert [line.article for line in cover(connection, [Short(COUPLING, 2, "C1", "wanted")]).lines] == ["A1"]
    barred.dispose()
    assert left_unread(store, left).endswith("ask again to read on")


def test_headings_hold_for_the_lines_below_them_when_these_are_read(store: Engine, tmp_path: Path) -> None:
    """The wattage stands above, and the family."""
    take(store, tmp_path, "R1,100k,0.05,50\n", head=HEAD + ",RESISTORS 2W,,\n")
    made = covered(store, [Short(Request("resistor", "100k", "anode-load", {}, FACTS), 1, "R1", "wanted")])
    assert [line.title for line in made.lines] == ["100 kΩ 2 W"]


@pytest.mark.parametrize("at_once", [1, 7, 60])
def test_lines_are_the_same_however_many_are_fetched_together(store: Engine, tmp_path: Path, at_once: int) -> None:
    """In the same order, the last few of them too; where none wait there are none."""
    take(store, tmp_path, random_lines(5))
    with reading(store) as connection:
        whole, some = WaitingLines(connection), WaitingLines(connection, at_once)
        assert len(whole.id) > 60
        for column in ("id", "supplier", "sieve", "least", "low", "high", "most"):
            assert getattr(whole, column).tolist() == getattr(some, column).tolist()
