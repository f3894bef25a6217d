"""The order over whole price lists: held against judging and trying everything that is offered."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, Engine

from partsbin.checks import Verdict
from partsbin.jobs.buying import order
from partsbin.jobs.goods import Goods, Shipping
from partsbin.jobs.offers import supplier_id, take_offers
from partsbin.jobs.reorder import Short, cover
from partsbin.matching.offered import Serving
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.columns import all_fields
from partsbin.stock.lists import read_cells
from partsbin.store.engine import reading
from partsbin.store.offer_tables import Offer
from partsbin.store.tables import table_of
from tests.expected import by_hand

AT = datetime(1957, 4, 1, 9, tzinfo=UTC)
COUPLING = Request("capacitor", "47nF 400V", "coupling", {}, read_facts(["rail=250"]))


def offer(store: Engine, folder: Path, supplier: str, rows: Sequence[tuple[str, str, float, int]]) -> None:
    """Take in a list of article, description, price, stock."""
    file = folder / f"{supplier}.csv"
    with file.open("w", encoding="utf-8", newline="") as out:
        table = csv.writer(out)
        table.writerow(["Order code", "Description", "Price", "In stock"])
        table.writerows((code, text, f"{price:.2f}", stock) for code, text, price, stock in rows)
    account, taken = take_offers(store, read_cells(file, fields=all_fields()), supplier, at=AT, condition="new")
    assert taken is not None, account.totals()
    assert taken.fresh == len(rows)


def short(pieces: int, request: Request = COUPLING, name: str = "C1") -> Short:
    """So many pieces that are wanted."""
    return Short(request, pieces, name, "wanted")


def everything(connection: Connection, wanted: Sequence[Short]) -> int:
    """What the least dear order costs over all offers that fit, however dear: no choice of the least dear few."""
    rows = list(connection.execute(table_of(Offer).select()).mappings())
    goods = [
        Goods(r["supplier_id"], tuple((a, b) for a, b in json.loads(r["breaks"])), r["pack"], r["minimum"], r["supply"])
        for r in rows
    ]
    serves = []
    for each in wanted:
        serving = Serving(connection, each.request)
        usable = set(serving.usable([r["part_id"] for r in rows]))
        fit = {ident for ident in usable if serving.judged[ident].verdict is Verdict.FITS}
        serves.append([at for at, r in enumerate(rows) if r["part_id"] in fit])
    made = order([each.pieces for each in wanted], serves, goods, {r["supplier_id"]: Shipping() for r in rows})
    assert not made.short
    return made.goods


def test_the_order_costs_no_more_than_one_over_all_that_is_offered(store: Engine, tmp_path: Path) -> None:
    """Sixty offers of two suppliers for three needs: choosing the least dear few of each loses nothing."""
    for at, name in enumerate(("Bridge Valves", "Canal Radio")):
        rows = [
            (f"{at}{n}", f"{value}nF {volts}V polyester axial", 0.10 + 0.07 * ((n * 11 + at * 5) % 17), 3 + n % 5)
            for n, (value, volts) in enumerate(
                (v, u) for v in (10, 22, 33, 47, 68, 100) for u in (250, 400, 630, 1000, 160)
            )
        ]
        offer(store, tmp_path, name, rows)
    wanted = [
        short(6),
        short(5, Request("capacitor", "22nF 400V", "coupling", {}, read_facts(["rail=200"])), "C2"),
        short(4, Request("capacitor", "0.1uF 400V", "decoupling", {}, read_facts(["rail=250"])), "C3"),
    ]
    with reading(store) as connection:
        made = cover(connection, wanted)
        assert not made.missing
        assert made.goods == everything(connection, wanted)


def test_nothing_is_called_missing_that_is_offered(store: Engine, tmp_path: Path) -> None:
    """Nine offers of two pieces each are eighteen, however few are looked at first."""
    offer(store, tmp_path, "Bridge", [(f"D{n}", "47 nF 630V polyester axial", 0.1 + n / 100, 2) for n in range(9)])
    with reading(store) as connection:
        made = cover(connection, [short(16)])
    assert sum(line.pieces for line in made.lines) == by_hand(16, "eight offers of two", of=cover)
    assert made.missing == ()


def test_needs_that_share_scarce_offers_get_all_there_are(store: Engine, tmp_path: Path) -> None:
    """What is enough for one need is not enough for three: more offers are looked at, and no more are called missing than are."""
    offer(store, tmp_path, "Bridge", [(f"D{n}", "47 nF 630V polyester axial", 0.1 + n / 100, 2) for n in range(10)])
    with reading(store) as connection:
        made = cover(connection, [short(7, name=name) for name in ("C1", "C2", "C3")])
    assert sum(line.pieces for line in made.lines) == by_hand(20, "ten offers of two", of=cover)
    assert sum(n for _, n in made.missing) == by_hand(1, "3 × 7 less 20", of=cover)


def test_what_fits_is_found_behind_what_fits_with_care(store: Engine, tmp_path: Path) -> None:
    """Ten cheap offers that fit with care hide no dearer one that fits; where too few fit, the least dear of all do."""
    cheap = [(f"Y{n}", "33 nF 400V polyester axial", 0.05 + n / 1000, 9) for n in range(10)]
    offer(store, tmp_path, "Bridge", [*cheap, ("Z1", "47 nF 630V polypropylene axial", 0.90, 3)])
    with reading(store) as connection:
        few, many = cover(connection, [short(3)]), cover(connection, [short(5)])
    assert [(line.article, line.uses[0][2]) for line in few.lines] == [("Z1", "fits")]
    assert {use[2] for line in many.lines for use in line.uses} == {"care"}
    assert sum(line.pieces for line in many.lines) == 5


def test_what_is_unsafe_is_bought_in_no_quantity(store: Engine, tmp_path: Path) -> None:
    """A capacitor for DC never stands in across the mains: rather nothing is ordered."""
    offer(
        store,
        tmp_path,
        "Bridge",
        [("A", "10 nF 630V polyester axial", 0.01, 999), ("B", "0.01uF 600V waxed paper", 0.01, 9)],
    )
    need = Request("capacitor", "10nF 275V~", "mains-across", {}, read_facts([]))
    with reading(store) as connection:
        made = cover(connection, [short(1, need)])
    assert (made.lines, [n for _, n in made.missing]) == ((), [1])


def test_what_a_supplier_has_sold_out_is_not_ordered(store: Engine, tmp_path: Path) -> None:
    """None in stock is none, and a pack of ten of which nine are left is none either."""
    offer(
        store,
        tmp_path,
        "Bridge",
        [("A", "47 nF 630V polyester axial", 0.01, 0), ("B", "47 nF 630V polyester axial", 0.20, 4)],
    )
    with reading(store) as connection:
        assert supplier_id(connection, "Bridge") == 1
        assert [line.article for line in cover(connection, [short(1)]).lines] == ["B"]
    assert Goods(1, ((1, 10),), pack=10, supply=9).there == by_hand(0, "no whole pack", of=Goods)


def test_pieces_of_a_part_count_for_each_rule_that_they_serve(store: Engine, tmp_path: Path) -> None:
    """By hand: rules of ten and of six overlap, ten pieces make both; two more for a job are pieces of its own."""
    offer(store, tmp_path, "Bridge", [("A", "47 nF 630V polyester axial", 0.20, 99)])
    rules = [Short(COUPLING, n, f"rule {n}", "wanted", rule=True) for n in (10, 6)]
    with reading(store) as connection:
        both, with_job = cover(connection, rules), cover(connection, [short(2), *rules])
    assert sum(line.pieces for line in both.lines) == by_hand(10, "the larger of both", of=cover)
    assert sum(line.pieces for line in with_job.lines) == by_hand(12, "10 and the job's 2", of=cover)


def test_of_a_long_list_the_least_dear_are_found_whatever_they_are_called_at_a_break(
    store: Engine, tmp_path: Path
) -> None:
    """By hand: a price from a hundred pieces that nobody wants lets none pass for cheap."""
    file = tmp_path / "prices.csv"
    rows = [f"A{n},47 nF 630V polyester axial,0.{50 + n},0.0{1 + n % 9}" for n in range(40)]
    file.write_text("\n".join(["Order code,Description,Price,Price from 1000", *rows]), "utf-8")
    take_offers(store, read_cells(file, fields=all_fields()), "Bridge", at=AT, condition="new")
    with reading(store) as connection:
        (line,) = cover(connection, [short(3)]).lines
    assert (line.article, line.price) == ("A0", 500)
