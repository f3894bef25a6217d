"""Price lists, stock rules, the order and what came, as they are typed."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from tests.command import partsbin

BRIDGE = """Order code;Description;Price;Price from 10;Pack;MOQ;In stock
K-101;47 nF 630V polypropylene axial;0,85 €;0,62 €;1;1;250
K-102;0.1uF 400V polyester;0,40 €;0,30 €;5;5;40
K-104;ECC83;14,00 €;12,50 €;1;1;8
K-106;470k 1W metal film;0,12 €;0,05 €;10;10;1000
K-107;0.05uF 600V waxed paper;0,01 €;;1;1;9
"""
CANAL = "Article,Description,Unit price\nZ1,47n 630V polyester,0.55\n=1+1,ECC83,13.00\n"


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """A catalogue with two suppliers, a stock rule and a job that is short of a resistor."""
    store = tmp_path / "shelf.sqlite"
    for name, body, supplier in (("bridge.csv", BRIDGE, "Bridge Valves"), ("canal.csv", CANAL, "../Canal")):
        (tmp_path / name).write_text(body, encoding="utf-8")
        ran = partsbin("import", str(tmp_path / name), "--as", "offers", "--supplier", supplier, db=store)
        assert ran.code == 0, ran
    partsbin("supplier", "sending", "Bridge Valves", "4.50", "--free-from", "60", db=store)
    partsbin("rule", "add", "10", "capacitor", "0.047uF 400V", "-p", "coupling", "-w", "rail=250", db=store)
    partsbin("job", "open", "intercom", "-w", "rail=230", db=store)
    partsbin("job", "need", "1", "resistor", "470k 1/2W", "-p", "grid-leak", "-d", "R4", db=store)
    return store


def asked(db: Path, *words: str) -> dict[str, Any]:
    """What a command answers as JSON."""
    answer: dict[str, Any] = json.loads(partsbin(*words, "--json", db=db).out)
    return answer


def test_the_order_covers_rules_and_jobs_at_least_cost(db: Path) -> None:
    """By hand: 10 × 0.55 elsewhere beats 10 × 0.62; ten resistors are the least pack, 0.50, and sending is 4.50."""
    made = asked(db, "reorder", "--job", "1")
    assert [(line["article"], line["pieces"], line["sum"]) for line in made["lines"]] == [
        ("Z1", 10, 5500),
        ("K-106", 10, 500),
    ]
    assert made["total"] == 5500 + 500 + 4500


def test_what_is_unsafe_is_not_bought_however_cheap(db: Path) -> None:
    """Waxed paper at a cent is never in the order."""
    assert "K-107" not in {line["article"] for line in asked(db, "reorder")["lines"]}


def test_offers_are_not_on_the_shelf(db: Path) -> None:
    """`find` names them only where it is asked for them."""
    words = ("find", "capacitor", "47n 400V", "-p", "coupling", "-w", "rail=250")
    assert asked(db, *words)["candidates"] == []
    assert {c["part"] for c in asked(db, *words, "--offers")["candidates"]} >= {"P-0001"}


def test_what_is_not_on_the_shelf_is_named_with_who_sells_it(db: Path) -> None:
    """The number that books it, the price, how many there are; both by `find` and by `show`."""
    ran = partsbin("find", "capacitor", "47n 400V", "-p", "coupling", "-w", "rail=250", "--offers", db=db)
    said = "O-0001, K-101 of Bridge Valves, at 0.85, 0.62 from 10, 250 there"
    assert f"SOLD     P-0001: {said}" in ran.out.splitlines()
    assert f"    sold as {said}" in partsbin("show", "P-0001", db=db).out.splitlines()


def test_one_csv_a_supplier_inside_the_folder_named(db: Path, tmp_path: Path) -> None:
    """A supplier's name leads to no other folder, and is taken for no formula."""
    partsbin("rule", "add", "1", "valve", "ECC83", "-p", "as-plugged", db=db)
    made = asked(db, "reorder", "--job", "1", "--folder", str(tmp_path / "orders"))
    assert {Path(file).parent for file in made["files"]} == {tmp_path / "orders"}
    rows = [row for file in made["files"] for row in csv.DictReader(Path(file).read_text("utf-8").splitlines())]
    assert {row["article"] for row in rows} == {"Z1", "'=1+1", "K-106"}


def test_what_came_in_part_is_booked_in_part(db: Path, tmp_path: Path) -> None:
    """The rest is still short; taken back, all of it is."""
    made = asked(db, "reorder", "--folder", str(tmp_path))
    (file,) = (Path(name) for name in made["files"])
    file.write_text(file.read_text("utf-8").replace(",10,0.55,", ",4,0.55,"), encoding="utf-8")
    assert partsbin("bought", str(file), "--place", "drawer E1", db=db).code == 0
    assert [(line["came"], line["coming"]) for line in asked(db, "order", "list")["orders"]] == [(4, 6)]
    assert asked(db, "reorder")["lines"] == []
    partsbin("undo", db=db)
    assert [(line["came"], line["coming"]) for line in asked(db, "order", "list")["orders"]] == [(0, 10)]
    assert asked(db, "reorder")["lines"] == []
    assert partsbin("verify", db=db).code == 0


def test_what_was_sent_is_not_ordered_again_until_it_is_cancelled(db: Path) -> None:
    """A proposal alone changes nothing; sent, all of it is coming; cancelled, all of it is short again."""
    first, sent = asked(db, "reorder"), asked(db, "reorder", "--send")
    assert first["lines"] == sent["lines"]
    again = asked(db, "reorder", "--send")
    assert (again["lines"], again["sent"], [line["coming"] for line in again["coming"]]) == ([], [], [10])
    assert partsbin("order", "cancel", "1", db=db).code == 0
    assert asked(db, "reorder")["lines"] == first["lines"]
    assert partsbin("order", "cancel", "1", db=db).code == 1


def test_a_job_and_a_rule_share_what_is_coming(db: Path) -> None:
    """By hand: ten resistors come for one place; the nine others and one more make a rule of ten, in packs of ten."""
    partsbin("reorder", "--job", "1", "--send", db=db)
    assert [line["pieces"] for line in asked(db, "reorder", "--job", "1")["lines"]] == []
    partsbin("rule", "add", "9", "resistor", "470k 1/2W", "-p", "grid-leak", db=db)
    assert asked(db, "reorder", "--job", "1")["lines"] == []


def test_an_order_is_not_booked_twice(db: Path, tmp_path: Path) -> None:
    """Not by its file, not by its number; what came beyond it is booked by the offer."""
    (file,) = asked(db, "reorder", "--folder", str(tmp_path))["files"]
    assert partsbin("bought", file, db=db).code == 0
    ran = partsbin("bought", file, db=db)
    assert (ran.code, ran.out) == (1, "")
    assert "order 1: 0 of 10 × Z1 still to come, not 10: 10 came" in ran.err
    assert asked(db, "bought", "--order", "1")["bought"] == []
    assert asked(db, "bought", "O-0006", "--pieces", "2")["bought"][0]["orders"] == []
    assert asked(db, "rule", "list")["rules"][0]["here"] == 12


def test_what_came_by_the_number_of_an_offer_counts_for_its_order(db: Path) -> None:
    """Three of ten: seven are still to come; of twelve more five were not ordered."""
    partsbin("reorder", "--send", db=db)
    assert asked(db, "bought", "O-0006", "--pieces", "3")["bought"][0]["orders"] == [1]
    assert asked(db, "order", "show", "1")["orders"][0]["coming"] == 7
    asked(db, "bought", "O-0006", "--pieces", "12")
    assert [(line["came"], line["coming"]) for line in asked(db, "order", "show", "1")["orders"]] == [(10, 0)]


def test_a_proposal_is_no_order_that_could_be_booked(db: Path, tmp_path: Path) -> None:
    """Nothing was sent by it; what is under way comes out the same way, and is."""
    file, order = tmp_path / "order.csv", tmp_path / "ordered.csv"
    partsbin("export", str(file), "--as", "order", db=db)
    ran = partsbin("bought", str(file), db=db)
    assert ran.code == 2
    assert "a proposal, no order" in ran.err
    partsbin("reorder", "--send", db=db)
    partsbin("export", str(order), "--as", "ordered", db=db)
    assert [line["pieces"] for line in asked(db, "bought", str(order))["bought"]] == [10]


def test_a_second_delivery_lies_with_the_first(db: Path) -> None:
    """One part on the shelf, with what was paid last."""
    first = asked(db, "bought", "O-0001", "--pieces", "3")["bought"][0]
    second = asked(db, "bought", "O-0001", "--pieces", "2", "--price", "0.90")["bought"][0]
    assert (first["part"], second["price"]) == (second["part"], 900)
    shown = partsbin("show", first["part"], db=db).out
    assert "5 on hand" in shown


@pytest.mark.parametrize(
    "words",
    [
        ("bought", "O-0099"),
        ("bought", "P-0001"),
        ("bought", "none.csv"),
        ("bought", "O-0001", "--price", "cheap"),
        ("bought", "O-0001", "--order", "7"),
        ("bought",),
        ("order", "show", "7"),
        ("order", "show", "99999999999"),
        ("rule", "drop", "99999999999999999999"),
        ("bought", "O-99999999999999999999"),
        ("bought", "--order", "1", "--price", "0.40"),
        ("order", "cancel", "7"),
        ("rule", "add", "2", "valve", "ECC83", "-p", "as-plugged", "--service", "0.95", "--lead", "99999999"),
        ("rule", "add", "2", "valve", "ECC83", "-p", "as-plugged", "--service", "1", "--lead", "14"),
        ("rule", "add", "2", "valve", "ECC83", "-p", "as-plugged", "--service", "nan", "--lead", "14"),
    ],
)
def test_a_delivery_that_cannot_be_is_refused(db: Path, words: tuple[str, ...]) -> None:
    """Exit 2, and nothing is booked."""
    assert partsbin(*words, db=db).code == 2
    assert asked(db, "reorder")["lines"][0]["pieces"] == 10


def test_a_later_price_list_takes_the_place_of_the_first(db: Path, tmp_path: Path) -> None:
    """New prices, new articles, articles that are no more."""
    later = tmp_path / "later.csv"
    later.write_text(
        "Article,Description,Unit price\nZ1,47n 630V polyester,0.70\nZ9,22n 630V polyester,0.30\n", encoding="utf-8"
    )
    ran = partsbin("import", str(later), "--as", "offers", "--supplier", "../Canal", db=db)
    assert ran.out.splitlines()[-1] == "1 new offers, 1 with today's price, 1 no longer offered"
    assert [line["article"] for line in asked(db, "reorder")["lines"]] == ["Z1"]


def test_a_rule_says_what_its_point_rests_on(db: Path) -> None:
    """Nothing was used yet: nothing lasts for ever."""
    made = asked(db, "rule", "add", "2", "valve", "ECC83", "-p", "as-plugged", "--service", "0.95", "--lead", "14")
    assert (made["rules"][0]["point"]["law"], made["rules"][0]["order"]) == ("poisson", 2)
    assert len(asked(db, "rule", "drop", "2")["rules"]) == 1


def test_an_order_of_before_a_new_price_list_is_still_booked(db: Path, tmp_path: Path) -> None:
    """The order says what it was; the number of an article that is gone belongs to no other one."""
    (file,) = (Path(name) for name in asked(db, "reorder", "--folder", str(tmp_path))["files"])
    later = tmp_path / "later.csv"
    later.write_text("Article,Description,Unit price\nZ8,47k 2W metal film,0.30\n=1+1,ECC83,13.00\n", encoding="utf-8")
    assert partsbin("import", str(later), "--as", "offers", "--supplier", "../Canal", db=db).code == 0
    assert asked(db, "reorder")["lines"] == []
    assert partsbin("bought", "O-0006", db=db).code == 2
    assert [line["title"] for line in asked(db, "bought", str(file))["bought"]] == ["47 nF 630 V film-polyester"]


def test_a_number_of_another_article_is_refused(db: Path, tmp_path: Path) -> None:
    """The order says what it meant."""
    partsbin("reorder", "--send", db=db)
    file = tmp_path / "order.csv"
    file.write_text("order,supplier,article,offer,pieces\n1,../Canal,K-102,O-0006,5\n", encoding="utf-8")
    ran = partsbin("bought", str(file), db=db)
    assert ran.code == 2
    assert "O-0006 is Z1 of ../Canal, the list says article 'K-102'" in ran.err


def test_an_order_may_come_back_from_a_spreadsheet(db: Path, tmp_path: Path) -> None:
    """Semicolons and decimal commas, as many of them save it; a text that looks like a formula comes back as it was."""
    partsbin("rule", "add", "1", "valve", "ECC83", "-p", "as-plugged", db=db)
    made = asked(db, "reorder", "--folder", str(tmp_path / "orders"))
    (file,) = (Path(name) for name in made["files"] if "canal" in name)
    table = list(csv.reader(file.read_text("utf-8").splitlines()))
    saved = "\n".join(";".join(cell.replace(".", ",") if cell[0].isdigit() else cell for cell in row) for row in table)
    file.write_text(saved + "\n", encoding="utf-8")
    came = asked(db, "bought", str(file))["bought"]
    assert {(line["pieces"], line["price"]) for line in came} == {(10, 550), (1, 13000)}


def test_where_nothing_came_nothing_is_written(db: Path, tmp_path: Path) -> None:
    """The last act is the one before: that is what undo takes back."""
    booked = asked(db, "bought", "O-0001", "--pieces", "3")["bought"][0]["part"]
    file = tmp_path / "order.csv"
    file.write_text("order,offer,pieces\n1,O-0002,0\n", encoding="utf-8")
    assert asked(db, "bought", str(file))["bought"] == []
    assert booked in partsbin("undo", db=db).out


@pytest.mark.parametrize("ending", ["csv", "xlsx", "json"])
def test_an_order_as_a_file_of_any_kind_is_what_bought_reads(db: Path, tmp_path: Path, ending: str) -> None:
    """All suppliers in one file; what comes of it is what was ordered."""
    file, made = tmp_path / f"order.{ending}", asked(db, "reorder", "--job", "1", "--send")
    assert partsbin("export", str(file), "--as", "ordered", db=db).code == 0
    came = asked(db, "bought", str(file))["bought"]
    assert [(b["pieces"], b["price"]) for b in came] == [(line["pieces"], line["price"]) for line in made["lines"]]


def test_needs_go_out_and_come_in_again(db: Path, tmp_path: Path) -> None:
    """Into another job: the same needs, positions as they were said."""
    file = tmp_path / "needs.csv"
    assert partsbin("export", str(file), "--as", "needs", "--job", "1", db=db).code == 0
    partsbin("job", "open", "the same once more", "-w", "rail=230", db=db)
    taken = asked(db, "import", str(file), "--as", "needs", "--job", "2")
    assert [(need["designators"], need["position"]) for need in taken["needs"]] == [(["R4"], "grid-leak")]
    again = tmp_path / "again.csv"
    partsbin("export", str(again), "--as", "needs", "--job", "2", db=db)
    assert again.read_bytes() == file.read_bytes()


@pytest.mark.parametrize(
    "words",
    [("--as", "needs"), ("--as", "plan"), ("--as", "drawers"), ("--job", "1"), ("--as", "plan", "--as-came", "x")],
)
def test_a_list_that_is_of_nothing_is_refused(db: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    """Exit 2, and no file."""
    file = tmp_path / "out.csv"
    assert partsbin("export", str(file), *words, db=db).code == 2
    assert not file.exists()
