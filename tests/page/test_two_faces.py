"""Page and command line over one catalogue: the same services, so the same words, verdicts, margins, order, counts and prices."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlencode

import pytest

from partsbin.notation.money import say_money
from partsbin.page.words import VERDICTS
from partsbin.store.engine import open_store
from partsbin.words import percent
from tests.command import partsbin
from tests.page.visit import Visit, visiting

SIX = "ECH81 EBF89 EABC80 EL84 EM80 EZ80"


class Asked(NamedTuple):
    """What is asked of both: family, the dead part as it is marked, what it does, facts of the set."""

    family: str
    text: str
    position: str
    facts: Mapping[str, str] = {}


NEEDS = (
    Asked("transformer", "", "mains", {"lineup": SIX}),
    Asked("rectifier", "", "replaces-selenium", {"lineup": "UCH81 UBF89 UCL82"}),
    Asked("valve", "EL41", "output", {"lineup": "ECH42 EAF42 EAF42 EL41 AZ41"}),
    Asked("loudspeaker", "8 inch 3 ohm field 1140 ohm", "field", {"current": "65mA"}),
    Asked("capacitor", "0.02uF 350V waxed paper", "coupling", {"rail": "240"}),
    Asked("capacitor", "32uF 350V 5k2", "reservoir", {"rail": "250", "secondary": "250-0-250"}),
    Asked("capacitor", "", "mains-across", {}),
    Asked("resistor", "470k 1/2W carbon composition", "anode-load", {"rail": "250"}),
    Asked("potentiometer", "1M log with switch", "volume", {"chassis": "live"}),
    Asked("choke", "10H 80mA", "smoothing", {}),
    Asked("transformer", "OPT 7k 3 ohm", "output", {"lineup": SIX, "speaker": "3"}),
    Asked("switch", "2 pole", "mains", {"chassis": "live"}),
    Asked("fuse", "500mA", "primary", {}),
    Asked("lamp", "6.3V 0.3A", "parallel", {}),
    Asked("coil", "465kHz", "IF", {}),
)  # fmt: skip


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration, with a job that wants more than there is and a supplier who has some of it."""
    folder = tmp_path_factory.mktemp("faces")
    file, prices = folder / "demo.sqlite", folder / "prices.csv"
    prices.write_text(
        "Order code,Description,Price\nK1,22 nF 630V polypropylene axial,0.40\nK2,470k 1W metal film,0.125\n",
        encoding="utf-8",
    )
    for words in (
        ("demo", "--db", str(file)),
        ("job", "open", "intercom from the cellar", "--with", "rail=200", "--with", f"lineup={SIX}"),
        ("job", "need", "J-1", "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C7", "--pieces", "500"),
        ("job", "need", "J-1", "resistor", "470k", "-p", "anode-load", "-d", "R3", "--pieces", "200"),
        ("job", "need", "J-1", "potentiometer", "1M log", "-p", "volume", "-d", "R9"),
        ("job", "need", "J-1", "valve", "EL41", "-p", "output", "-d", "V4"),
        ("import", str(prices), "--as", "offers", "--supplier", "Bridge Valves"),
        ("supplier", "sending", "Bridge Valves", "4.50"),
        ("measure", "P-0078", "capacitance=48uF"),
        ("rule", "add", "40", "capacitor", "0.047uF 400V", "--position", "coupling"),
    ):  # fmt: skip
        ran = partsbin(*words, db=file)
        assert ran.code == 0, (words, ran.err)
    return file


@pytest.fixture(scope="module")
def visit(catalogue: Path) -> Iterator[Visit]:
    """A browser over the same file."""
    engine = open_store(catalogue)
    with visiting(engine) as found:
        yield found
    engine.dispose()


def words_of(page: str) -> str:
    """Return what can be read of a piece of a page, each blank one."""
    plain = re.sub(r"<svg.*?</svg>|<option.*?</option>|<script.*?</script>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", plain)).split()).replace(" ,", ",").replace(" :", ":")


def cards_of(page: str) -> list[tuple[str, str]]:
    """Return the verdict and the text of each card, in their order."""
    return re.findall(r'<article class="card (\w+)">(.*?)</article>', page, re.DOTALL)


def asked(catalogue: Path, visit: Visit, need: Asked) -> tuple[dict[str, Any], str, str]:
    """Return one answer of the command line as an object and as text, and the page that says it."""
    facts = [word for name, said in need.facts.items() for word in ("--with", f"{name}={said}")]
    words = ("find", need.family, *([need.text] if need.text else []), "--position", need.position, *facts)
    answer = partsbin(*words, "--json", db=catalogue).json()
    fields = {"family": need.family, "text": need.text, "position": need.position}
    page = visit.get(f"/find?{urlencode({**fields, **{f'set.{name}': said for name, said in need.facts.items()}})}")
    return answer, partsbin(*words, db=catalogue, columns=100_000).out, page


@pytest.mark.parametrize("need", NEEDS, ids=lambda need: f"{need.family} {need.position}")
def test_the_same_parts_stand_in_the_same_order_with_the_same_verdict_count_and_place(
    catalogue: Path, visit: Visit, need: Asked
) -> None:
    """What may be fitted, then what may not; of parts joined each with its number."""
    answer, _, page = asked(catalogue, visit, need)
    entries, cards = [*answer["candidates"], *answer["near_misses"]], cards_of(page)
    assert [verdict for verdict, _ in cards] == [entry["verdict"] for entry in entries]
    for entry, (verdict, card) in zip(entries, cards, strict=True):
        said = words_of(card)
        number = " + ".join(
            f"{each['pieces']} × {each['part']}" if each["pieces"] > 1 else each["part"] for each in entry["make_up"]
        )
        lies = f"{'about ' if entry['rough'] else ''}{entry['count']} {'in ' + entry['place'] if entry['place'] else 'on hand'}"
        assert said.startswith(f"{VERDICTS[verdict]} {number or entry['part']} {entry['title']} {lies}"), said[:200]


@pytest.mark.parametrize("need", NEEDS, ids=lambda need: f"{need.family} {need.position}")
def test_every_figure_of_a_verdict_stands_on_its_card(catalogue: Path, visit: Visit, need: Asked) -> None:
    """Reasons, margins, what was taken for the part, changes, what to connect, which reading passes, its danger."""
    answer, _, page = asked(catalogue, visit, need)
    for entry, (_, card) in zip([*answer["candidates"], *answer["near_misses"]], cards_of(page), strict=True):
        said = words_of(card)
        decide = [c for c in entry["checks"] if c["verdict"] != "pass" or isinstance(c["offered"], (int, float, dict))]
        assert card.count("<li class=") == len(decide)
        for check in decide:
            share = ""
            if check["margin"] is not None:
                over = check["margin"] < 0
                share = f" {percent(abs(check['margin']))} {'too little' if over else 'to spare'}"
            assert f": {check['reason']}{share}" in said, (entry["part"], check)
        told = [*entry["changes"], *entry["hazards"], *(entry["assumed"] if entry["verdict"] != "unfit" else [])]
        if entry["verdict"] != "unfit":
            told += [
                test[name] for test in entry["tests"] for name in ("title", "connect", "passes", "correction", "danger")
            ]
            told += entry["beyond"]
        assert [line for line in told if " ".join(line.split()) not in said] == []


@pytest.mark.parametrize("need", NEEDS, ids=lambda need: f"{need.family} {need.position}")
def test_all_that_is_said_around_the_verdicts_stands_on_the_page(catalogue: Path, visit: Visit, need: Asked) -> None:
    """The need as understood, what was not, what is asked, what was not judged, what to buy, check, read and beware of."""
    answer, text, page = asked(catalogue, visit, need)
    said = words_of(page)
    need_said = answer["need"]
    told = [
        *need_said["headline"], *need_said["rules"], *need_said["unused"], *(q["text"] for q in need_said["questions"]),
        *answer["also"], *answer["after"], *answer["cautions"], *([f"buy: {answer['buy']}"] if answer["buy"] else []),
        *(each["what"] for each in answer["beside"]), *(each["title"] for each in answer["beside"] if each["part"]),
    ]  # fmt: skip
    told += [line.removeprefix("UNREAD").strip() for line in text.splitlines() if line.startswith("UNREAD ")]
    told += [line.removeprefix("ASSUMED").strip() for line in text.splitlines() if line.startswith("ASSUMED ")]
    told += [line.removeprefix("FIRST").strip() for line in text.splitlines() if line.startswith("FIRST ")]
    told += [line.removeprefix("+").strip() for line in text.splitlines() if line.startswith("+ ")]
    assert [line for line in told if " ".join(line.split()) not in said] == []


def test_the_needs_of_these_tests_bring_every_verdict_and_every_head_of_the_answer(
    catalogue: Path, visit: Visit
) -> None:
    """A comparison of nothing proves nothing."""
    heads, verdicts = set(), set()
    for need in NEEDS:
        answer, text, _ = asked(catalogue, visit, need)
        verdicts |= {entry["verdict"] for entry in (*answer["candidates"], *answer["near_misses"])}
        heads |= {line.partition(" ")[0] for line in text.splitlines()}
    assert verdicts == {"fits", "care", "measure", "unfit"}
    assert {
        "NEED",
        "UNREAD",
        "ASSUMED",
        "ASK",
        "FIRST",
        "+",
        "WITH",
        "INSTEAD",
        "BUY",
        "ALSO",
        "AFTER",
        "CAUTION",
    } <= heads


def test_a_plan_serves_with_the_same_parts(catalogue: Path, visit: Visit) -> None:
    """Pieces, titles, places, verdicts, readings first, changes, reasons, what to buy, how many are short."""
    plan = partsbin("plan", "J-1", "--json", db=catalogue).json()
    rows = re.findall(r"<tr>(<th scope=\"row\">.*?)</tr>", visit.get("/job/J-0001/plan"), re.DOTALL)
    assert len(rows) == len(plan["needs"])
    for row, need in zip(rows, plan["needs"], strict=True):
        said = words_of(row)
        told = [need["designator"], need["why"], need["buy"]]
        for part in need["parts"]:
            told += [*part["changes"], *part["read_first"], f"({VERDICTS[part['verdict']]})"]
            told += [f"{part['part']} in {part['place']}"] if part["place"] else []
            single = f"{part['part']} {part['title']} ({VERDICTS[part['verdict']]})"
            told += [part["how"]] if part["how"] else [f"{part['serves']} × {single}" if need["wanted"] > 1 else single]
        assert [line for line in told if " ".join(line.split()) not in said] == []
    text = partsbin("plan", "J-1", db=catalogue)
    page = words_of(visit.get("/job/J-0001/plan"))
    assert re.findall(r"short of (\d+)", page) == re.findall(r"SHORT of (\d+)", text.out) != []
    assert re.findall(r"\d+ of \d+ pieces served", page) == re.findall(r"\d+ of \d+ pieces served", text.err)


def test_an_order_costs_the_same(catalogue: Path, visit: Visit) -> None:
    """What is short, which articles, pieces, price, sum, what each is for, what nobody offers, the total."""
    order = partsbin("reorder", "--job", "J-1", "--json", db=catalogue)
    made, said = order.json(), words_of(visit.get("/orders?propose=yes&job.J-0001=yes"))
    assert made["lines"]
    assert made["missing"]
    text = partsbin("reorder", "--job", "J-1", db=catalogue, columns=100_000).out
    told = [
        line for line in text.splitlines() if " short" in line or line.startswith("goods ") or "nobody offers" in line
    ]
    told += [_ordered(line) for line in made["lines"]]
    assert [line for line in told if " ".join(line.split()) not in said] == []


def _ordered(line: Mapping[str, Any]) -> str:
    uses = "; ".join(f"{use['pieces']} for {use['for']} ({use['verdict']})" for use in line["uses"])
    costs = f"{line['pieces']} {say_money(line['price'])} = {say_money(line['sum'])}"
    return f"{line['offer']} {line['article']} {line['title']} {costs} {uses}"


@pytest.mark.parametrize("part", ["P-0002", "P-0078", "P-0130", "P-0253", "P-0339"])
def test_a_part_is_the_same_part(catalogue: Path, visit: Visit, part: str) -> None:
    """Count, place, condition, what is marked and read, what became of it, what harms in it."""
    text = partsbin("show", part, db=catalogue, columns=100_000).out
    said = words_of(visit.get(f"/part/{part}"))
    head, *lines = (" ".join(line.split()) for line in text.splitlines())
    assert head.replace("  ", " ") in said
    found = partsbin("show", part, "--json", db=catalogue).json()
    told = [f"{found['on_hand']} on hand", found["condition"], found["place"], *found["hazards"]]
    told += [
        " ".join(line.split(": ")[1:])
        for line in lines
        if line.startswith(("capacitance:", "voltage dc:", "inductance:"))
    ]
    assert [line for line in told if line not in said] == []
    assert len(lines) > 2


def test_what_a_donor_owes_is_asked_for_in_the_same_order(catalogue: Path, visit: Visit) -> None:
    """One by one on the page, as a list on the command line."""
    listed = partsbin("donor", "todo", "D-015", "--json", db=catalogue).json()["parts"]
    said = words_of(visit.get("/donor/D-015/owed"))
    assert len(listed) > 2
    places = [said.index(entry["part"]) for entry in listed]
    assert places == sorted(places)
