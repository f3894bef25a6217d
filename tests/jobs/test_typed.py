"""Lists of needs that nobody here has seen: typed, aligned, of drawing programs, with counts and designators anywhere."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.listing import Entry, read_needs
from partsbin.jobs.record import open_job
from partsbin.jobs.typed import cells_of
from partsbin.stock.acts import Who
from partsbin.store.engine import writing
from tests.command import partsbin

WHO = Who(datetime(2026, 4, 1, 12, tzinfo=UTC), "ann")

TITLED = """Intercom amplifier, parts list

# check the values
Resistors, 1/2 watt unless noted
R2,3,4 470k
R5, R6 - 220k 1 watt
R11...R13 100k
Capacitors
C10A,B 16+16 450V
C4 10 mfd 25 V bypass
LS1 8 ohm 5"
"""

BEHIND = """-- Capacitors --
2  0.1uF 630V   C3, C4
1  0.05 400V (C9)
-- Resistors (all 1/4 W) --
100k R1 R2 R8
-- Valves --
6BQ5 x2 V2 V3
"""

ALIGNED = """Ref        Qty  Value      Rating    Function
C1,C4-C6   4    100nF      630V      coupling
R10        1    150        5W        cathode
V1         1    EF86                 input
FS1        1    2A slow              primary
J1-J4      4    RCA
"""

DRAWN = """"Id";"Designator";"Package";"Quantity";"Designation";"Supplier and ref";
1;"C10";"CP";1;"220u/450V";;
2;"R1,R5";"R_Axial";2;"100k";;
3;"R2";"R_Axial";1;"DNP";;
4;"TP1,TP2";"TP";2;"TestPoint";;
"""


def read(tmp_path: Path, store: Engine, text: str, *facts: str, name: str = "list.txt") -> dict[str, Entry]:
    """What a list says, by designators."""
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=facts)
    return {entry.name: entry for entry in read_needs(cells_of(file), job)[0]}


def fates(found: dict[str, Entry]) -> dict[str, tuple[str, int, str]]:
    """Fate, pieces and text, by designators."""
    return {name: (entry.fate, entry.pieces, entry.text) for name, entry in found.items()}


def test_a_typed_list_with_a_title(tmp_path: Path, store: Engine) -> None:
    """A title counts no pieces, a remark is passed over, the heading's watts hold unless a row says more."""
    assert fates(read(tmp_path, store, TITLED)) == {
        "": ("no part", 0, "Intercom amplifier, parts list"),
        "R2,R3,R4": ("wanted", 3, "470 kΩ 0.5 W"),
        "R5,R6": ("wanted", 2, "220 kΩ 1 W"),
        "R11,R12,R13": ("wanted", 3, "100 kΩ 0.5 W"),
        "C10A": ("wanted", 1, "16 µF 450 V electrolytic"),
        "C10B": ("wanted", 1, "16 µF 450 V electrolytic"),
        "C4": ("wanted", 1, "10 µF 25 V"),
        "LS1": ("wanted", 1, "loudspeaker 8 Ω 5 in"),
    }


def test_designators_behind_what_they_are(tmp_path: Path, store: Engine) -> None:
    """The count before the value is no value: 1  0.05 is not 1 µF."""
    assert fates(read(tmp_path, store, BEHIND)) == {
        "C3,C4": ("wanted", 2, "0.1 µF 630 V"),
        "C9": ("wanted", 1, "50 nF 400 V"),
        "R1,R2,R8": ("wanted", 3, "100 kΩ 0.25 W"),
        "V2,V3": ("wanted", 2, "6BQ5"),
    }


def test_a_table_whose_rows_leave_cells_empty(tmp_path: Path, store: Engine) -> None:
    """Columns stand below their headings, and counts are not read as values."""
    assert fates(read(tmp_path, store, ALIGNED)) == {
        "C1,C4,C5,C6": ("wanted", 4, "0.1 µF 630 V"),
        "R10": ("wanted", 1, "150 Ω 5 W"),
        "V1": ("wanted", 1, "EF86"),
        "FS1": ("wanted", 1, "fuse T2A"),
        "J1,J2,J3,J4": ("not ours", 4, "RCA"),
    }


def test_a_list_of_a_drawing_program(tmp_path: Path, store: Engine) -> None:
    """Designation beside Designator is the value; what is marked as not fitted is not wanted."""
    assert fates(read(tmp_path, store, DRAWN, name="list.csv")) == {
        "C10": ("wanted", 1, "220 µF 450 V"),
        "R1,R5": ("wanted", 2, "100 kΩ"),
        "R2": ("not ours", 1, "DNP"),
        "TP1,TP2": ("not ours", 2, "TestPoint"),
    }


@pytest.mark.parametrize(
    ("line", "position"),
    [
        ("C1 .05 600V line bypass", ""),
        ("C1 0.0047 2kV across primary", ""),
        ("C1 .001 500V antenna", ""),
        ("C1 2200p 250V~ Y1", ""),
        ("C1 0.1 600V across the line", "mains-across"),
        ("C1 0.01 600V line to chassis", "mains-to-chassis"),
        ("C1 4700p 630V", ""),
        ("C1 50uF 50V to ground", "cathode-bypass"),
        ("R1 1M aerial to chassis", ""),
        ("R1 1M", ""),
        ("R1 100k", "anode-load"),
        ("T1 line transformer 10:1", ""),
    ],
)
def test_what_may_sit_on_the_mains_or_over_the_isolation_is_not_guessed(
    tmp_path: Path, store: Engine, line: str, position: str
) -> None:
    """A line bypass taken for a cathode's would get a part of 25 V; common practice, no source."""
    assert read(tmp_path, store, f"{line}\n")[line[:2]].position == position


@pytest.mark.parametrize(
    ("valves", "position"), [("V1 UCL82\nV2 UY85\n", ""), ("V1 ECL82\nV2 EZ80\n", "coupling"), ("", "")]
)
def test_the_valves_of_a_list_say_whether_its_chassis_is_live(
    tmp_path: Path, store: Engine, valves: str, position: str
) -> None:
    """Heaters in a chain: 4.7 nF may be the isolation of the aerial; side by side a transformer isolates the chassis."""
    assert read(tmp_path, store, f"C1 4700p 630V\n{valves}")["C1"].position == position


def test_a_link_says_nothing_of_the_position(tmp_path: Path, store: Engine) -> None:
    """Nor does the name of a drawn outline."""
    text = "Ref,Value,Footprint,Datasheet\nC1,22n 400V,Caps:cathode_tone,https://example.org/cathode-bypass\n"
    assert read(tmp_path, store, text, "chassis=earthed", name="list.csv")["C1"].position == "coupling"


@pytest.mark.parametrize("given", [b"C1\x00\x01\x02 22n", b""])
def test_what_is_no_text_is_refused_in_words(tmp_path: Path, given: bytes) -> None:
    """From a pipe as from a file."""
    db, file = tmp_path / "shelf.sqlite", tmp_path / "list.txt"
    file.write_bytes(given)
    partsbin("job", "open", "intercom", db=db)
    ran = partsbin("job", "need", "1", "--file", str(file), db=db)
    assert (ran.code, ran.err.startswith("partsbin: list.txt: ")) == (2, True)


def test_a_list_parted_by_colons_is_read(tmp_path: Path, store: Engine) -> None:
    """Behind the designator and between what is said of the part."""
    text = "C1: 0.1uF: 350V\nR1: 470k: 1/2W\nR2: 1k : 1 W\nV1: EL84: output\n"
    found = read(tmp_path, store, text, "chassis=floating")
    assert {name: (entry.fate, entry.text) for name, entry in found.items()} == {
        "C1": ("wanted", "0.1 µF 350 V"),
        "R1": ("wanted", "470 kΩ 0.5 W"),
        "R2": ("wanted", "1 kΩ 1 W"),
        "V1": ("wanted", "EL84"),
    }


def test_a_need_says_what_of_its_text_nobody_understood(tmp_path: Path) -> None:
    """Where it is noted, and wherever something is looked for by it."""
    db = tmp_path / "shelf.sqlite"
    partsbin("job", "open", "intercom", "-w", "rail=250", db=db)
    words = ("22n 350V zzq", "-p", "coupling")
    said = "the dead part: not understood: 'zzq'"
    assert partsbin("job", "need", "1", "capacitor", *words, "--json", db=db).json()["not_understood"] == [said]
    assert said in partsbin("find", "capacitor", *words, "-w", "rail=250", db=db).out
