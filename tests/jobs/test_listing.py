"""Parts lists as needs: every designator accounted for, positions with what says so, none guessed where it could hurt."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.listing import Entry, read_needs
from partsbin.jobs.needs import needs_of, place_need
from partsbin.jobs.noting import note, weigh
from partsbin.jobs.plan import plan
from partsbin.jobs.record import Opened, open_job
from partsbin.jobs.typed import cells_of
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.designators import designators
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing

WHO = Who(datetime(2026, 4, 1, 12, tzinfo=UTC), "ann")

TYPED = """Resistors 1/2 W
R4 R5 R6 4K7
R8, R9 220k 1W
Capacitors
C1,C2-C5 0.1uF 400V
C10 25uF 25V cathode bypass
C11 32+32 350V
C12 0.01 250V AC across the line
C13 leaky 0.02 350V waxed paper
C14 0.01
V1 ECC83
FS1 1A
Q1 BC107
"""


def shelf(store: Engine, text: str, *, family: str = "capacitor") -> None:
    """Shelve one new part."""
    with writing(store) as connection:
        shelve(connection, [draft_from_text(text, family=family, count=1, condition="new")[0]], at=WHO.at, by=WHO.by)


def entries_of(tmp_path: Path, store: Engine, text: str, *facts: str) -> dict[str, Entry]:
    """What a typed list says, by designators."""
    file = tmp_path / "list.txt"
    file.write_text(text, encoding="utf-8")
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=facts)
    entries, problems = read_needs(cells_of(file), job)
    assert not problems
    return {entry.name: entry for entry in entries}


def test_designators_before_a_value_are_so_many_pieces(tmp_path: Path, store: Engine) -> None:
    """Groups and ranges; the watts of the heading hold for what stands below it, unless a row says more."""
    found = entries_of(tmp_path, store, TYPED)
    assert found["R4,R5,R6"].pieces == 3
    assert found["R4,R5,R6"].text == "4.7 kΩ 0.5 W"
    assert found["R8,R9"].text == "220 kΩ 1 W"
    assert found["C1,C2,C3,C4,C5"].pieces == 5


@pytest.mark.parametrize(
    ("name", "position"),
    [
        ("C10", "cathode-bypass"),
        ("C12", "mains-across"),
        ("C13", "coupling"),
        ("R4,R5,R6", "decoupling"),
        ("V1", "as-plugged"),
    ],
)
def test_a_position_follows_from_words_value_and_rating(
    tmp_path: Path, store: Engine, name: str, position: str
) -> None:
    """With what says so; common practice, no source."""
    entry = entries_of(tmp_path, store, TYPED, "chassis=earthed")[name]
    assert (entry.position, bool(entry.why)) == (position, True)


@pytest.mark.parametrize("name", ["C14", "FS1"])
def test_no_position_is_guessed_where_it_decides_safety(tmp_path: Path, store: Engine, name: str) -> None:
    """10 nF of no rating may sit across the mains; a fuse may be in the mains or in the HT."""
    assert entries_of(tmp_path, store, TYPED)[name].position == ""


def test_a_small_capacitor_of_a_live_set_may_be_the_isolation(tmp_path: Path, store: Engine) -> None:
    """Between 100 pF and 0.1 µF it may join aerial or earth to the chassis; a large resistor may too. Unknown counts as live."""
    text = "C1 1nF 500V\nC2 0.22uF 500V\nR1 1M\nR2 100k\n"
    for facts in (("chassis=live",), ()):
        found = entries_of(tmp_path, store, text, *facts)
        assert [found[name].position for name in ("C1", "C2", "R1", "R2")] == ["", "coupling", "", "anode-load"]
    earthed = entries_of(tmp_path, store, text, "chassis=earthed")
    assert [earthed[name].position for name in ("C1", "R1")] == ["coupling", "grid-leak"]


def test_each_section_of_a_can_is_a_need(tmp_path: Path, store: Engine) -> None:
    """One single capacitor does not take the place of two sections."""
    found = entries_of(tmp_path, store, TYPED)
    assert [found[name].text for name in ("C11/1", "C11/2")] == ["32 µF 350 V electrolytic"] * 2


def test_a_transistor_is_accounted_for_as_not_ours(tmp_path: Path, store: Engine) -> None:
    """No family of it is kept."""
    assert entries_of(tmp_path, store, TYPED)["Q1"].fate == "not ours"


def test_one_row_of_two_families_is_two_needs(tmp_path: Path, store: Engine) -> None:
    """A control stands among resistors of the same value in lists of drawing programs."""
    found = entries_of(tmp_path, store, 'Reference,Value\n"R205,R213,RV201",1k\n"C1,C2",22n\n')
    assert (found["R205,R213"].family, found["RV201"].family) == ("resistor", "potentiometer")


def _listed(name: str) -> Path:
    folder = Path(__file__).parents[3] / "shared" / "data"
    if not folder.is_dir():
        pytest.skip("the parts lists that nobody here wrote lie beside the repository: this checkout has none")
    return folder / name


def _designators_in(file: Path) -> set[str]:
    """All that the first column names, read here without the reader: the truth of the four sums."""
    lines = file.read_text(encoding="utf-8-sig").splitlines()[1:]
    return {name for line in lines for name in designators(line.split('"')[1] if line.startswith('"') else "")}


@pytest.mark.parametrize("name", ["hybrid_valve_amp_parts_list.csv", "valve_preamp_parts_list.csv"])
def test_every_designator_of_a_real_list_is_accounted_for(store: Engine, name: str) -> None:
    """Served, short, not ours and not understood add up to the list, and no designator is lost."""
    file = _listed(name)
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
        entries, _ = read_needs(cells_of(file), job)
        entries = note(connection, job, entries)
        sums, _ = weigh(connection, job, entries)
    named = [each for entry in entries for each in entry.names]
    assert set(named) == _designators_in(file)
    assert sums.all == len(named) == len(set(named))


def _noted(store: Engine, tmp_path: Path, text: str) -> tuple[Opened, list[Entry]]:
    file = tmp_path / "list.txt"
    file.write_text(text, encoding="utf-8")
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
        entries, _ = read_needs(cells_of(file), job)
        return job, note(connection, job, entries)


def test_a_list_noted_twice_is_noted_once(tmp_path: Path, store: Engine) -> None:
    """The second time its designators are there already."""
    job, _ = _noted(store, tmp_path, TYPED)
    file = tmp_path / "list.txt"
    with writing(store) as connection:
        before = needs_of(connection, job)
        again = note(connection, job, read_needs(cells_of(file), job)[0])
        assert needs_of(connection, job) == before
    assert {entry.fate for entry in again} == {"noted before", "not ours"}


def test_a_need_without_a_position_is_short_and_says_so(tmp_path: Path, store: Engine) -> None:
    """Once it is said, the shelf is asked."""
    shelf(store, "10n 275V~ X2")
    job, _ = _noted(store, tmp_path, "C14 0.01\nC15 10uF 450V\n")
    with writing(store) as connection:
        (open_one,) = [served for served in plan(connection, [job]) if served.name == "C14"]
        assert (open_one.pieces, open_one.why.partition(":")[0]) == (0, "say its position")
        place_need(connection, job, open_one.wanted, "mains-across")
        (placed,) = [served for served in plan(connection, [job]) if served.name == "C14"]
    assert placed.pieces == 1


def test_under_a_guessed_position_nothing_weaker_than_the_label_is_planned(tmp_path: Path, store: Engine) -> None:
    """A 2 W resistor may sit where the guess does not think it: 0.6 W is not put there on a guess."""
    shelf(store, "220k 0.6W metal film", family="resistor")
    job, _ = _noted(store, tmp_path, "R7 220k 2W\nR8 220k 0.5W\n")
    with writing(store) as connection:
        got = {served.name: served.pieces for served in plan(connection, [job])}
    assert got == {"R7": 0, "R8": 1}


def test_a_line_up_in_one_line_is_so_many_valves(tmp_path: Path, store: Engine) -> None:
    """Parted by commas; a second name otherwise is the same valve's."""
    file = tmp_path / "list.txt"
    file.write_text("UL41, UF42, UY41 - set\nR1 100k\nV1 ECC83 / 12AX7\nECC81 (12AT7)\n", encoding="utf-8")
    with writing(store) as connection:
        entries, _ = read_needs(cells_of(file), open_job(connection, WHO))
    found = [(entry.name, entry.text, entry.pieces) for entry in entries if entry.family == "valve"]
    assert found == [("", "UL41", 1), ("", "UF42", 1), ("", "UY41", 1), ("V1", "ECC83", 1), ("", "ECC81", 1)]


def test_a_line_up_needs_no_commas(tmp_path: Path, store: Engine) -> None:
    """Parted by blanks as by commas, with how many of each; a second name is the same valve's."""
    file = tmp_path / "list.txt"
    file.write_text("PL36 PY81\nECC83 12AX7\n2xECL86 EZ81\nEF80 EF85\n", encoding="utf-8")
    with writing(store) as connection:
        entries, _ = read_needs(cells_of(file), open_job(connection, WHO))
    assert [(entry.text, entry.pieces) for entry in entries] == [
        ("PL36", 1), ("PY81", 1), ("ECC83", 1), ("ECL86", 2), ("EZ81", 1), ("EF80", 1), ("EF85", 1),
    ]  # fmt: skip
    assert not any("not understood" in note for entry in entries for note in entry.notes)


@pytest.mark.parametrize(
    ("text", "guessed"),
    [
        ("# Mains filter\nC1 0.01uF 400V\n", False),
        ("// mains filter\n# values unsure\nC1 0.01uF 400V\n", False),
        ("# Mains filter\nC7 0.1uF 400V\n# HT\nC1 0.01uF 400V\n", False),
        ("# Mains filter\nC7 0.1uF 400V\nCapacitors\nC1 0.01uF 400V\n", True),
        ("# HT\nC7 0.1uF 400V\n# the mains filter C9 is not fitted\nC1 0.01uF 400V\n", True),
    ],
)
def test_a_remark_of_words_heads_what_follows(text: str, guessed: bool, tmp_path: Path, store: Engine) -> None:
    """What stands under the mains is not guessed, and a second remark takes nothing back; one on a part is no heading."""
    found = entries_of(tmp_path, store, text, "chassis=earthed")
    assert (found["C1"].position == "coupling") is guessed


@pytest.mark.parametrize(("value", "guessed"), [("10nF", False), ("0.1uF", False), ("0.22uF", True)])
def test_up_to_a_tenth_of_a_microfarad_may_isolate_a_socket(
    value: str, guessed: bool, tmp_path: Path, store: Engine
) -> None:
    """Sets with a live chassis have 0.1 µF in earth and aerial leads: what it does has to be said."""
    found = entries_of(tmp_path, store, f"C1 {value} 400V\nC2 8uF 450V\n", "chassis=live")
    assert bool(found["C1"].position) is guessed


def test_designators_that_are_set_equal_share_what_stands_behind(tmp_path: Path, store: Engine) -> None:
    """R14 = R15 = 4k7 are two; how many before designators, and semicolons between them, are no values."""
    found = entries_of(tmp_path, store, "R14 = R15 = 4k7\nR19;R20;330R;2W\nQty 2: C29, C30: 47n 630V\n")
    assert [(name, entry.pieces) for name, entry in found.items()] == [("R14,R15", 2), ("R19,R20", 2), ("C29,C30", 2)]
    assert found["R19,R20"].text == "330 Ω 2 W"


def test_what_parts_are_made_of_heads_those_below(tmp_path: Path, store: Engine) -> None:
    """A mica below a heading of its own is no electrolytic for all that stood above it."""
    found = entries_of(tmp_path, store, "Electrolytics\nC33 8 500V\nMica\nC35 250 pF\nWirewound\nR50 1k 10W\n")
    assert [entry.text for entry in found.values()] == ["8 µF 500 V electrolytic", "250 pF mica", "1 kΩ 10 W wirewound"]


@pytest.mark.parametrize(
    ("line", "family", "text"),
    [
        ("R5 Poti 1 MΩ log", "potentiometer", "1 MΩ log potentiometer"),
        ("VC1 2 gang 500 pF", "coil", "tuning gang 2-gang 500 pF"),
        ("P1 pilot lamp 6.3V 0.3A", "lamp", "lamp 6.3 V 300 mA"),
        ("R9 100k to the volume control", "resistor", "100 kΩ"),
        ("R40 500k volume control", "potentiometer", "500 kΩ potentiometer"),
        ("C4 .01 400V across the coil", "capacitor", "10 nF 400 V"),
    ],
)
def test_words_name_the_part_where_letters_serve_for_several(
    tmp_path: Path, store: Engine, line: str, family: str, text: str
) -> None:
    """Controls are drawn as R, gangs as C, pilot lamps as P; what a part leads to is not what it is (common practice, no source)."""
    entry = entries_of(tmp_path, store, f"{line}\nR77 470k\n")[line.split()[0]]
    assert (entry.family, entry.text) == (family, text)


@pytest.mark.parametrize(
    ("text", "meant"), [("O.1 uF 4OOV", "0.1 µF 400 V"), ("47On 630V", "0.47 µF 630 V"), ("22 uF 4OOV", "22 µF 400 V")]
)
def test_letters_between_figures_are_read_as_figures(tmp_path: Path, store: Engine, text: str, meant: str) -> None:
    """What a scanner confuses is told, and never read away (common practice, no source)."""
    entry = entries_of(tmp_path, store, f"C31 {text}\n")["C31"]
    assert entry.text == meant
    assert any("letters between figures" in said for said in entry.notes)


def test_ratings_under_a_heading_of_two_kinds_are_read(tmp_path: Path, store: Engine) -> None:
    """Watts of the resistors and volts of the capacitors stand in one column of many lists."""
    rows = "R1;47 k;0,5 W\nC1;0,1 µF;400 V\n"
    file = tmp_path / "list.csv"
    for head in ("Belastung/Spannung", "Volts or Watts", "Leistung (W) / Spannung (V)"):
        file.write_text(f"Ref;Wert;{head}\n{rows}", encoding="utf-8")
        with writing(store) as connection:
            entries, _ = read_needs(cells_of(file), open_job(connection, WHO))
        assert [entry.text for entry in entries] == ["47 kΩ 0.5 W", "0.1 µF 400 V"]


def test_volts_in_a_column_that_is_not_read_are_told(tmp_path: Path, store: Engine) -> None:
    """A heading that nobody knows hides what the part has to bear."""
    file = tmp_path / "list.csv"
    file.write_text(
        "Ref;Value;Rating;Zork\nR1;47k;5 %;0.5 W\nC1;0.1uF;5 %;400 V\nC2;0.2uF;5 %;blue\n", encoding="utf-8"
    )
    with writing(store) as connection:
        entries, _ = read_needs(cells_of(file), open_job(connection, WHO))
    told = [[said for said in entry.notes if said.startswith("not read")] for entry in entries]
    assert told == [["not read: '0.5 W' under 'Zork'"], ["not read: '400 V' under 'Zork'"], []]


@pytest.mark.parametrize(
    ("line", "text", "position"),
    [
        ("R8 470k diode load 1/2W", "470 kΩ 0.5 W", "diode-load"),
        ("R4 270k plate of first tube", "270 kΩ", "anode-load"),
        ("R10 1k cathode of output valve", "1 kΩ", "cathode-bias"),
        ("R15 56 ohm 2W lamp shunt", "56 Ω 2 W", "lamp-shunt"),
        ("R12 33R 1W in series with rectifier", "33 Ω 1 W", ""),
        ("C7 .05 screen bypass 400V", "50 nF 400 V", "screen-bypass"),
        ("C13 .005 across primary of output transformer", "5 nF", ""),
        ("C10 .01 mains, to be Y type", "10 nF", ""),
        ("C16 50p coupling to diode", "50 pF", "coupling"),
    ],
)
def test_what_stands_behind_a_value_says_where_it_sits(
    tmp_path: Path, store: Engine, line: str, text: str, position: str
) -> None:
    """The names of other parts there are no names of this one; watts and volts among them are its own (common practice, no source)."""
    entry = entries_of(tmp_path, store, f"{line}\n")[line.split()[0]]
    assert (entry.text, entry.position) == (text, position)


@pytest.mark.parametrize(
    "line", ["R5 10k thermistor", "R42 3k relay", "R43 500 ohm field coil", "C50 .05 from grid, 250V line"]
)
def test_a_value_of_another_kind_of_part_is_not_understood(tmp_path: Path, store: Engine, line: str) -> None:
    """A thermistor is no resistor; volts that may be the circuit's are no rating."""
    entry = entries_of(tmp_path, store, f"{line}\n")[line.split()[0]]
    assert entry.fate == "not understood" or entry.position == ""


def test_a_remark_gives_a_control_its_switch(tmp_path: Path, store: Engine) -> None:
    """A control without the mains switch of the dead one leaves the set without any (common practice, no source)."""
    file = tmp_path / "list.csv"
    file.write_text(
        "Ref;Wert;Bemerkung\nR4;1 MΩ log;Lautstärke, mit Schalter 2-polig\nR5;500k lin;Klang\nR6;1k;mit Schalter\n",
        encoding="utf-8",
    )
    with writing(store) as connection:
        entries, _ = read_needs(cells_of(file), open_job(connection, WHO))
    assert [entry.text for entry in entries] == [
        "1 MΩ log potentiometer double pole switch", "500 kΩ linear potentiometer", "1 kΩ",
    ]  # fmt: skip


AMERICAN = """Symbol No.\tPart No.\tDescription\tRating
C-1A, C-1B\tA-1234\tCONDENSER, electrolytic, dual 20-20 mfd.\t150 W.V.
C-4\tB-7\tCONDENSER, mica 250 mmf.\t500 v.
R-3\tC-3\tRES., W.W. 150 ohms\t1 W.
T-2\tD-2\t1st I.F. TRANSFORMER 455 kc\t
L-1\tD-3\tLOOP ANTENNA\t
L-2\tD-4\tOSC. COIL\t
V-4\tF-4\t50L6-GT\t
"""


def test_an_american_list_has_symbols_and_numbers_of_its_maker(tmp_path: Path, store: Engine) -> None:
    """Part numbers that look like designators are none beside a column of symbols (common practice, no source)."""
    file = tmp_path / "list.tsv"
    file.write_text(AMERICAN, encoding="utf-8")
    with writing(store) as connection:
        entries, problems = read_needs(cells_of(file), open_job(connection, WHO, facts=("mains=117", "chassis=live")))
    assert not problems
    assert [(entry.name, entry.text, entry.position) for entry in entries] == [
        ("C1A", "20 µF 150 V electrolytic", "reservoir"),
        ("C1B", "20 µF 150 V electrolytic", "reservoir"),
        ("C4", "250 pF 500 V mica", ""),
        ("R3", "150 Ω 1 W wirewound", "cathode-bias"),
        ("T2", "IF transformer 455 kHz", "IF"),
        ("L1", "RF coil", "RF"),
        ("L2", "oscillator coil", "oscillator"),
        ("V4", "50L6GT", "as-plugged"),
    ]


def test_a_control_of_a_television_is_no_volume_control(tmp_path: Path, store: Engine) -> None:
    """Height and hold stand at volts that no audio control knows (common practice, no source)."""
    assert entries_of(tmp_path, store, "RV101 500k preset height\n")["RV101"].position == ""
