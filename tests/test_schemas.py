"""The schema files are those of the code, and every JSON answer keeps to its schema."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from partsbin.resources import resource
from partsbin.schemas import documents
from tests.command import Ran, partsbin

SCHEMAS = Path(__file__).parents[1] / "schemas"
NAMES = sorted(documents())


def schema(name: str) -> dict[str, Any]:
    """Return a schema file as data."""
    document: dict[str, Any] = json.loads(resource(f"schemas/{name}.json").read_text(encoding="utf-8"))
    return document


def kept(name: str, ran: Ran) -> Any:
    """Return the document on stdout, held against its schema."""
    document = ran.json()
    faults = [
        f"{fault.json_path}: {fault.message}" for fault in Draft202012Validator(schema(name)).iter_errors(document)
    ]
    assert faults == []
    return document


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's catalogue."""
    file = tmp_path_factory.mktemp("schemas") / "demo.sqlite"
    assert partsbin("demo", "--db", str(file)).code == 0
    return file


def test_the_folder_holds_what_the_code_writes_and_nothing_else() -> None:
    """After a change of a model: ``python -m partsbin.schemas schemas``."""
    assert {file.name: file.read_text(encoding="utf-8") for file in SCHEMAS.iterdir()} == documents()


def test_the_module_writes_the_files(tmp_path: Path) -> None:
    """As DEVELOPERS.md says."""
    subprocess.run([sys.executable, "-m", "partsbin.schemas", str(tmp_path)], check=True)
    assert {file.name: file.read_text(encoding="utf-8") for file in tmp_path.iterdir()} == documents()


@pytest.mark.parametrize("name", NAMES)
def test_a_schema_is_one(name: str) -> None:
    """Of the draft that it names."""
    Draft202012Validator.check_schema(json.loads(documents()[name]))


def test_a_document_that_breaks_its_schema_is_seen() -> None:
    """The comparison can fail: a missing key, a key too many, a wrong word."""
    reading = {"family": "capacitor", "fields": {}, "sure": True, "notes": []}
    check = Draft202012Validator(schema("readings")).is_valid
    assert check({"readings": [reading]})
    assert not check({"readings": [{key: reading[key] for key in ("family", "fields", "sure")}]})
    assert not check({"readings": [reading | {"extra": 1}]})
    assert not check({"readings": [reading | {"sure": "yes"}]})


@pytest.mark.parametrize(
    "facts", [("--rail", "250"), ("--lineup", "UCH81 UF89 UL84 UY85"), ("--lineup", "EL84 EZ80 XY99")]
)
def test_what_follows_from_a_set_keeps_to_its_schema(facts: tuple[str, ...]) -> None:
    """With figures, and with words where there is none."""
    assert kept("set", partsbin("calc", "set", *facts, "--json"))["lines"]


@pytest.mark.parametrize("words", [("corner", "10n", "470k"), ("loading", "1M"), ("ratio", "230V±1%", "5.1V")])
def test_calculations_keep_to_their_schema(words: tuple[str, ...]) -> None:
    """Where a result is missing too."""
    assert kept("calculation", partsbin("calc", *words, "--json"))["results"]


FOUND = [
    ("transformer", "", "output", ("lineup=EF86 ECC83 2xEL84 EZ81", "speaker=100 V 20 W", "chassis=floating")),
    ("transformer", "", "output", ("lineup=UCH81 UL84 UY85", "chassis=live")),
    ("transformer", "", "line", ("speaker=100 V 5 W",)),
    (
        "capacitor",
        "32uF 350V",
        "reservoir",
        ("secondary=286-0-286 off-load±1%", "current=80mA", "winding_resistance=200"),
    ),
    ("capacitor", "470K", "coupling", ("rail=240",)),
    ("capacitor", "", "aerial-isolation", ("chassis=live",)),
    ("capacitor", "", "tuned", ()),
]


@pytest.mark.parametrize(("family", "text", "position", "facts"), FOUND)
def test_the_answer_of_find_keeps_to_its_schema(
    demo: Path, family: str, text: str, position: str, facts: tuple[str, ...]
) -> None:
    """With candidates, near misses, cards, questions and assumptions."""
    given = [word for fact in facts for word in ("--with", fact)]
    answer = kept("answer", partsbin("find", family, text, "--position", position, *given, "--json", db=demo))
    assert answer["need"]["set"] == dict(fact.split("=", 1) for fact in facts)


@pytest.mark.parametrize("text", ["22n 630V film", "22n 250V film", "20n", "8+8uF 450V"])
def test_the_answer_of_try_keeps_to_its_schema(text: str) -> None:
    """A part that fits, one that does not, one of which much is unknown, a can."""
    kept("answer", partsbin("try", text, "capacitor", "--position", "coupling", "--with", "rail=240", "--json"))


@pytest.mark.parametrize(
    "text", ["22n 630V film", "470K", "8+8 µF/450 V", "OPT 45:1 Rp 380", "250-0-250 80mA 6.3V 3A", ""]
)
def test_the_readings_keep_to_their_schema(text: str) -> None:
    """One, several or none, of either family."""
    kept("readings", partsbin("read", text, "--json"))


def test_every_part_of_the_demonstration_shows_by_the_schema(demo: Path) -> None:
    """Cans, pairs, readings, donors, rows from a file."""
    number = 1
    while (ran := partsbin("show", f"P-{number}", "--json", db=demo)).code == 0:
        kept("portrait", ran)
        number += 1
    assert number > 100


def test_shelving_and_its_part_keep_to_their_schemas(tmp_path: Path) -> None:
    """A can with a reading, shelved by hand."""
    db = tmp_path / "shelf.sqlite"
    kept("shelving", partsbin("shelve", "32+32uF 350V can", "--reading", "capacitance@1=30uF±1%", "--json", db=db))
    kept("portrait", partsbin("show", "P-1", "--json", db=db))


def test_the_account_of_an_import_keeps_to_its_schema(tmp_path: Path) -> None:
    """The inventory with its impossible rows: dry, refused, kept, and a second time."""
    inventory, db = str(resource("demo_inventory.csv")), tmp_path / "shelf.sqlite"
    for options in (("--dry-run",), (), ("--keep-good",), ("--keep-good",)):
        kept("import", partsbin("import", inventory, *options, "--json", db=db))


ACTS = [
    ("instruments", ("instruments", "meter=0.8%+3d", "LCR")),
    ("shelving", ("shelve", "22n 630V polypropylene", "--count", "9", "--condition", "new", "--place", "drawer C2")),
    ("job", ("job", "open", "intercom", "--reference", "box 4", "--with", "rail=240")),
    ("job-brief", ("job", "facts", "1", "chassis=earthed")),
    ("job-need", ("job", "need", "1", "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C31", "--pieces", "2")),
    ("job", ("job", "show", "1")),
    ("job-claim", ("job", "reserve", "1", "P-1", "--pieces", "3")),
    ("fitted", ("fit", "P-1", "--job", "1", "--for", "C31", "--change", "leads sleeved")),
    ("job", ("job", "show", "1")),
    ("job-claim", ("job", "release", "1", "P-1")),
    ("returned", ("return", "P-1", "--job", "1")),
    ("fitted", ("fit", "P-1", "--job", "1", "-p", "coupling")),
    ("job-closed", ("job", "close", "1")),
    ("job", ("job", "open", "--reference", "box 4")),
    ("jobs", ("job", "list", "--all")),
    ("measured", ("measure", "P-1", "capacitance=21.6nF", "leakage=10nA@350V", "--instrument", "meter")),
    ("marked", ("mark", "P-1", "5%")),
    ("moved", ("move", "P-1", "drawer C3", "--pieces", "2")),
    ("place", ("count", "drawer C2")),
    ("counted", ("count", "drawer C2", "P-1=about 1")),
    ("scrapped", ("scrap", "P-1")),
    ("undone", ("undo",)),
    ("portrait", ("show", "P-1")),
]


def test_the_answers_of_shelf_and_jobs_keep_to_their_schemas(tmp_path: Path) -> None:
    """A repair from the shelf to the customer and back, one command after the other."""
    db = tmp_path / "shelf.sqlite"
    for name, words in ACTS:
        ran = partsbin(*words, "--json", db=db)
        assert ran.code == 0, f"{words}: {ran.err}"
        kept(name, ran)


def test_the_answers_of_donors_plans_and_keeping_keep_to_their_schemas(tmp_path: Path) -> None:
    """Those that say no as well."""
    db, lines = tmp_path / "shelf.sqlite", tmp_path / "lines.txt"
    lines.write_text("3x 22n 630V polyester\n470K\nEL84\n", "utf-8")
    partsbin("job", "open", "intercom", "--with", "rail=250", db=db)
    partsbin("job", "need", "J-1", "capacitor", "0.02uF", "-p", "coupling", "-d", "C31", db=db)
    partsbin("job", "need", "J-1", "capacitor", "0.1uF", "-p", "coupling", "-d", "C32", db=db)
    prices = tmp_path / "prices.csv"
    prices.write_text("Article,Description,Price\nA1,0.1uF 630V polyester,0.40\nA2,0.1uF 630V polyester,x\n", "utf-8")
    asked = [
        ("offers", ("import", str(prices), "--as", "offers", "--supplier", "Bridge Valves", "--keep-good"), 1),
        ("suppliers", ("supplier", "sending", "Bridge Valves", "4.50"), 0),
        ("rules", ("rule", "add", "3", "capacitor", "0.1uF", "-p", "coupling", "--service", "0.9", "--lead", "9"), 0),
        ("order", ("reorder", "--job", "J-1", "--folder", str(tmp_path)), 1),
        ("orders", ("order", "list"), 0),
        ("bought", ("bought", "O-1", "--pieces", "1"), 0),
        ("strip", ("strip", "7", str(lines)), 1),
        ("plan", ("plan", "J-1", "--reserve"), 0),
        ("needs", ("job", "need", "J-1", "--file", str(lines)), 0),
        ("worth", ("donor", "worth", "7"), 0),
        ("trace", ("trace", "P-1"), 0),
        ("recall", ("recall", "7", "--set-aside"), 0),
        ("report", ("report", "donors"), 0),
        ("report", ("report", "unknown"), 0),
        ("sheet", ("job", "sheet", "J-1"), 0),
        ("verify", ("verify",), 0),
    ]
    for name, words, code in asked:
        ran = partsbin(*words, "--json", db=db)
        assert ran.code == code, f"{words}: {ran.err}"
        kept(name, ran)
