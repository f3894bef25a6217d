"""What reads text that others wrote, each as one function of bytes: it ends, or says in a fault of ours what is wrong.

`SEEDS` holds what each is meant to read; from these pieces inputs are made.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
import zipfile
from atexit import register
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from pathlib import Path

from partsbin import families
from partsbin.errors import NotationError, PartsbinError
from partsbin.jobs.delivery import COLUMNS as DELIVERED
from partsbin.jobs.delivery import read_delivery
from partsbin.jobs.listing import read_needs
from partsbin.jobs.record import Opened
from partsbin.rules import load_rules
from partsbin.sets import FACTS, read_facts
from partsbin.sets.whole import account
from partsbin.stock.columns import all_fields
from partsbin.stock.draft import draft_from_text
from partsbin.stock.lists import read_cells
from partsbin.stock.pictures import redrawn
from partsbin.stock.price_columns import find_columns
from partsbin.stock.price_reader import PriceReader
from partsbin.stock.stripping import Sitting
from partsbin.stock.taking import look_over

JOB = Opened(1, "", "intercom", {"rail": "250"}, datetime(2026, 3, 1, tzinfo=UTC), None)


@cache
def _folder() -> Path:
    """Where files are laid that exist to be read once; in memory where there is such a place."""
    memory = Path("/dev/shm")
    made = Path(tempfile.mkdtemp(dir=memory if os.access(memory, os.W_OK) else None))
    register(shutil.rmtree, made, ignore_errors=True)
    return made


def _taken_in(name: str, data: bytes) -> None:
    file = _folder() / name
    file.write_bytes(data)
    look_over(None, read_cells(file, fields=all_fields()))


def notation(data: bytes) -> None:
    """A description, read by every family and as a part to be shelved."""
    text = data.decode("utf-8", "replace")
    for name in families.names():
        families.load(name).read(text)
    draft_from_text(text)


def strip(data: bytes) -> None:
    """The lines of a donor."""
    sitting = Sitting("D-007")
    for line in data.decode("utf-8", "replace").splitlines():
        sitting.take(line)


def csv(data: bytes) -> None:
    """A list as text."""
    _taken_in("list.csv", data)


def needs(data: bytes) -> None:
    """A parts list of a set."""
    file = _folder() / "needs.csv"
    file.write_bytes(data)
    read_needs(read_cells(file, fields=all_fields()), JOB)


def json_list(data: bytes) -> None:
    """A list as JSON."""
    _taken_in("list.json", data)


def sheet(data: bytes) -> None:
    """The sheet of a workbook that is whole otherwise."""
    file = _folder() / "sheet.xlsx"
    with zipfile.ZipFile(file, "w") as packed:
        for name, content in around().items():
            packed.writestr(name, data if name.endswith("sheet1.xml") else content)
    look_over(None, read_cells(file, fields=all_fields()))


def packed(data: bytes) -> None:
    """A workbook as it lies on the disk."""
    _taken_in("packed.xlsx", data)


@cache
def around() -> dict[str, bytes]:
    """Return the files of which a small workbook consists."""
    with zipfile.ZipFile(_workbook()) as book:
        return {name: book.read(name) for name in book.namelist()}


@cache
def _workbook() -> Path:
    import openpyxl

    book = openpyxl.Workbook()
    for row in (["family", "description", "count"], ["capacitor", "22n 400V film", 3], ["=1+1", 0.5, True]):
        book.active.append(row)
    book.save(_folder() / "made.xlsx")
    return _folder() / "made.xlsx"


def rules(data: bytes) -> None:
    """A workshop's overrides."""
    file = _folder() / "rules.toml"
    file.write_bytes(data)
    for number, name in enumerate(("capacitor", "resistor", "transformer")):
        os.utime(file, (number, hash(data) % 2**30))  # files of one time are read once
        load_rules(name, file)


def facts(data: bytes) -> None:
    """Facts of a set, and what follows from them."""
    account(read_facts(data.decode("utf-8", "replace").split("\n")))


def prices(data: bytes) -> None:
    """What a supplier's list says of prices, packs and pieces in stock."""
    file = _folder() / "prices.csv"
    file.write_bytes(data)
    cells = read_cells(file, fields=all_fields())
    columns = find_columns(cells.header, {})
    reader = PriceReader(columns, cells.header, comma=cells.decimal_comma) if columns.prices else None
    for _, values in cells.rows if reader else ():
        with suppress(NotationError):
            reader.read([*values, *[""] * (len(cells.header) - len(values))])


def delivery(data: bytes) -> None:
    """What came of an order, as a spreadsheet saved it."""
    file = _folder() / "delivery.csv"
    file.write_bytes(data)
    read_delivery(file)


def photograph(data: bytes) -> None:
    """What a telephone sent for a photograph."""
    redrawn(data)


TARGETS: dict[str, Callable[[bytes], None]] = {
    "notation": notation,
    "strip": strip,
    "csv": csv,
    "needs": needs,
    "json": json_list,
    "sheet": sheet,
    "packed": packed,
    "rules": rules,
    "facts": facts,
    "prices": prices,
    "delivery": delivery,
    "photograph": photograph,
}


def tried(name: str, data: bytes) -> None:
    """Give an input to a target; a fault of ours is an answer, any other exception comes out."""
    try:
        TARGETS[name](data)
    except PartsbinError as fault:
        if not fault.message:
            raise AssertionError("a fault without words") from fault


# ---- what they are meant to read

_EVERYDAY = [
    line.split(";")[3].split("|")[0].strip()
    for line in (Path(__file__).parents[1] / "data" / "everyday_parts.txt").read_text("utf-8").splitlines()
    if line.count(";") > 2 and not line.startswith("#")
]
_ROWS = [
    {"family": "capacitor", "description": "22n 400V film", "count": "about 3", "condition": "new", "place": "A1"},
    {"family": "transformer", "description": "OPT 45:1 Rp 380", "year": "1957", "readings": "ratio=44.8±1%"},
    {"family": "valve", "description": "ECC83 NOS", "price": "14,00 €", "pairs": "[]"},
]
_HEAD = list(dict.fromkeys(name for row in _ROWS for name in row))
_CSV = "\n".join([",".join(_HEAD), *(",".join(f'"{row.get(name, "")}"' for name in _HEAD) for row in _ROWS)])
_RULES = """
[capacitor.position.coupling]
fits = [0.8, 1.5]
care = [0.5, 3.0]
[resistor.general]
thin_above = 0.7
[transformer.rank]
distance = { is = 1.0, source = "practice" }
"""
_PRICES = """Order code;Description;Price;Price from 10;Price per 100;Pack;Minimum;In stock
K-101;47 nF 630V polypropylene;0,85 €;0,62 €;41,50;1;;250
K-104;2x ECC83 matched;14,00 €;1.012,50;;1;2;on order
K-105;X2 10nF 275V~;-,60;;;5;10;> 40
"""


def _photographs() -> tuple[bytes, ...]:
    from PIL import Image

    made = []
    for form, mode in (("JPEG", "RGB"), ("PNG", "RGBA"), ("PNG", "P"), ("WEBP", "RGB")):
        file, drawn = BytesIO(), Image.linear_gradient("L").resize((20, 15)).convert(mode)
        exif = Image.Exif()
        exif[0x0112] = 6  # turned
        drawn.save(file, form, exif=exif)
        made.append(file.getvalue())
    return tuple(made)


@cache
def seeds(name: str) -> tuple[bytes, ...]:
    """Return whole inputs of a target."""
    texts: dict[str, list[str]] = {
        "notation": [*_EVERYDAY, "2x 100+47k 1/2 W ±5% carbon", "red violet orange gold", "250-0-250 V 80 mA, 6.3 V CT 3 A"],
        "strip": ["place box B3\n3x 22n 630V; reading leakage=<0.05uA@400V\n= bad\n", *_EVERYDAY],
        "csv": [_CSV, _CSV.replace(",", ";"), "sep=|\na|b\n1|2\n", "Designator\tValue\nC1\t22n\n"],
        "needs": ["Designator,Value,Position\nC1,22n 400V,coupling\nR1-R3,470k,\n", "C1 22n coupling\nV1 ECC83\n", _CSV],
        "json": [json.dumps(_ROWS), json.dumps({"capacitor": _ROWS[:1]}), json.dumps([_HEAD, ["a", 1, None]])],
        "rules": [_RULES],
        "prices": [_PRICES, _PRICES.replace(";", ",").replace(",85", ".85"), _CSV],
        "delivery": [",".join(DELIVERED) + "\n1,Bridge Valves,K-104,O-0002,ECC83,1,14.00,14.00,1 × J-0002 V1\n"],
        "facts": [f"lineup=ECH81 EBF89 EL84 EZ80\nsecondary=250-0-250\nspeaker=3\n{fact}=250" for fact in FACTS],
    }  # fmt: skip
    if name == "sheet":
        return (around()["xl/worksheets/sheet1.xml"],)
    if name == "photograph":
        return _photographs()
    if name == "packed":
        return (_workbook().read_bytes(),)
    return tuple(text.encode() for text in texts[name])
