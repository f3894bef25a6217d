"""``partsbin find``: the main job, on a small shelf."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command import Ran, partsbin

COUPLING = ("find", "capacitor", "0.02uF 350V", "--position", "coupling", "--with", "rail=240")


def verdicts(ran: Ran) -> dict[str, str]:
    """Return part number to verdict, candidates and near misses."""
    answer = ran.json()
    return {entry["part"]: entry["verdict"] for entry in (*answer["candidates"], *answer["near_misses"])}


def test_parts_are_judged_and_the_command_says_yes(shelf: Path) -> None:
    """What fits, what needs care, what must be looked at and what is unfit; exit code 0."""
    ran = partsbin(*COUPLING, "--json", db=shelf)
    assert (ran.code, ran.err) == (0, "")
    assert verdicts(ran) == {
        "P-0001": "fits",
        "P-0002": "care",
        "P-0004": "measure",
        "P-0005": "unfit",
        "P-0003": "unfit",
    }


def test_the_text_has_the_same_verdicts_in_the_same_order(shelf: Path) -> None:
    """Text and JSON are two prints of one answer."""
    ran = partsbin(*COUPLING, db=shelf)
    assert (ran.code, ran.err) == (0, "")
    names = ("FITS", "CARE", "MEASURE", "UNFIT")
    heads = [line.split()[:2] for line in ran.out.splitlines() if line.startswith(names)]
    assert heads == [
        [verdict.upper(), part] for part, verdict in verdicts(partsbin(*COUPLING, "--json", db=shelf)).items()
    ]


def test_a_wall_is_named_with_its_reason(shelf: Path) -> None:
    """DC volts do not help across the mains."""
    ran = partsbin("find", "capacitor", "--position", "mains-across", db=shelf)
    assert ran.code == 0
    assert "FITS     P-0005  0.1 µF 275 V AC X2, new, 5 in drawer X" in ran.out
    assert "UNFIT    P-0002" in ran.out
    assert "no safety class, X1, X2, Y1 or Y2 needed" in ran.out


def test_what_was_not_understood_of_the_dead_part_stands_apart(shelf: Path) -> None:
    """Not among what was assumed: nothing was judged by it."""
    ran = partsbin("find", "capacitor", "22n 350V 47k", "--position", "coupling", db=shelf)
    assert "UNREAD   the dead part: not understood: '47k': nothing was judged by it" in ran.out


def test_cautions_come_with_every_answer(shelf: Path) -> None:
    """The general one and the position's own."""
    cautions = partsbin(*COUPLING, "--json", db=shelf).json()["cautions"]
    assert cautions[0].startswith("Mains and HT kill.")
    assert "the anode side holds HT: switch off, discharge, prove it dead" in cautions


def test_lines_keep_within_the_terminal(shelf: Path) -> None:
    """Wrapped at the width there is, numbers kept with their units."""
    ran = partsbin(*COUPLING, db=shelf, columns=70)
    assert max(len(line) for line in ran.out.splitlines()) <= 70
    assert not [line for line in ran.out.splitlines() if line.split()[:1] in (["V"], ["MΩ"], ["nF"])]


def test_the_reading_that_decides_most_comes_first(shelf: Path) -> None:
    """Where several readings are owed, one line says in which order they pay."""
    ran = partsbin(*COUPLING, db=shelf)
    line = next(line for line in ran.out.splitlines() if line.startswith("FIRST"))
    assert "leakage at working volts (1)" in line


def test_limit_bounds_what_fits(shelf: Path) -> None:
    """One that fits, with or without care; the rest is counted."""
    answer = partsbin(*COUPLING, "--limit", "1", "--json", db=shelf).json()
    assert [entry["part"] for entry in answer["candidates"] if entry["verdict"] in ("fits", "care")] == ["P-0001"]
    assert answer["more"]["care"] == {"n": 1, "capped": False}


def test_nothing_that_fits_is_an_answer_and_the_answer_is_no(shelf: Path) -> None:
    """Exit code 1, with what to buy."""
    ran = partsbin("find", "capacitor", "100p", "--position", "tuned", "--with", "rail=5", db=shelf)
    assert (ran.code, ran.err) == (1, "")
    assert "NOTHING  on the shelf fits, with care or without\nBUY      97.5–102 pF" in ran.out


def test_an_empty_catalogue_is_a_no(empty: Path) -> None:
    """No parts, no error: the need, what to buy, the cautions."""
    ran = partsbin(*COUPLING, "--json", db=empty)
    assert (ran.code, ran.err) == (1, "")
    assert ran.json()["candidates"] == ran.json()["near_misses"] == []


def test_no_catalogue_is_said_with_what_to_do(tmp_path: Path) -> None:
    """Nothing is created by asking."""
    file = tmp_path / "none.sqlite"
    ran = partsbin(*COUPLING, db=file)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        f"partsbin: no catalogue at '{file}'\n    hint: shelve or import something first, or name one with --db\n"
    )
    assert not file.exists()


def test_the_option_before_or_after_the_command_names_the_catalogue(shelf: Path, empty: Path) -> None:
    """``--db`` after the command goes before ``--db`` in front of it, and both before PARTSBIN_DB."""
    assert partsbin(*COUPLING, "--db", str(shelf), db=empty).code == 0
    assert partsbin("--db", str(shelf), *COUPLING, db=empty).code == 0
    assert partsbin("--db", str(empty), *COUPLING, "--db", str(shelf)).code == 0


def test_something_else_than_a_catalogue_is_refused(tmp_path: Path) -> None:
    """A text file is not damaged further."""
    file = tmp_path / "letter.txt"
    file.write_text("dear customer, " * 200, encoding="utf-8")
    ran = partsbin(*COUPLING, db=file)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"partsbin: '{file}' is not a catalogue or is damaged")
    assert file.read_text(encoding="utf-8") == "dear customer, " * 200


@pytest.mark.parametrize("url", ["nosuch://here/x", "sqlite://nowhere:port/x", "://"])
def test_a_wrong_database_url_is_said_not_traced(url: str) -> None:
    """Exit code 2, the fault and what was expected."""
    ran = partsbin(*COUPLING, "--db", url)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"partsbin: cannot open {url!r}: ")
    assert ran.err.endswith("\n    hint: a file, or a URL such as postgresql+psycopg://…\n")


def test_a_slip_in_the_position_is_met_with_the_nearest(shelf: Path) -> None:
    """The fault quotes what was given; the hint suggests and lists."""
    ran = partsbin("find", "capacitor", "--position", "resevoir", db=shelf)
    assert (ran.code, ran.out) == (2, "")
    fault, hint = ran.err.splitlines()
    assert fault == "partsbin: unknown position 'resevoir' of a capacitor"
    assert hint.startswith("    hint: did you mean 'reservoir'? Known: coupling, decoupling, reservoir, ")


def test_a_missing_position_lists_them(shelf: Path) -> None:
    """Nothing is guessed."""
    ran = partsbin("find", "transformer", db=shelf)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        "partsbin: no position given for the transformer\n"
        "    hint: --position with one of: output, line, mains, heater, isolating, interstage, driver\n"
    )


def test_an_unknown_family_lists_them(shelf: Path) -> None:
    """The family's word is quoted."""
    ran = partsbin("find", "capacitr", "--position", "coupling", db=shelf)
    assert (ran.code, ran.out) == (2, "")
    fault, hint = ran.err.splitlines()
    assert fault == "partsbin: unknown family 'capacitr'"
    assert hint.startswith("    hint: did you mean 'capacitor'? Known: capacitor, ")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("nonsense", "'nonsense' is not KEY=VALUE"),
        ("rial=250", "unknown fact 'rial'"),
        ("rail=nan", "rail='nan': 'nan' is not a value"),
        ("rail=inf", "rail='inf': 'inf' is not a value"),
        ("grid_leak=-1M", "grid_leak='-1M': expected more than 0"),
        ("rail=0", "rail='0': expected more than 0"),
        ("rail=9e99", "rail='9e99'"),
        ("rail=250 ohm", "rail='250 ohm'"),
        ("chassis=wooden", "chassis='wooden': expected one of earthed, floating, live"),
        ("secondary=250-0-90", "secondary='250-0-90': the two sides differ"),
        ("secondary=lots", "secondary='lots': expected volts a side"),
        ("speaker=loud", "speaker='loud'"),
        ("=250", "unknown fact ''"),
    ],
)
def test_a_fact_that_makes_no_sense_is_refused(shelf: Path, given: str, said: str) -> None:
    """The fault quotes the fact; nothing is printed on stdout."""
    ran = partsbin("find", "capacitor", "--position", "coupling", "--with", given, db=shelf)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"partsbin: {said}"), ran.err


def test_a_slip_in_a_fact_is_met_with_the_nearest(shelf: Path) -> None:
    """The hint is a line of its own."""
    ran = partsbin("find", "capacitor", "--position", "coupling", "--with", "secundary=250-0-250", db=shelf)
    assert ran.code == 2
    assert ran.err.splitlines()[1].startswith("    hint: did you mean 'secondary'? Known: mains, ")


@pytest.mark.parametrize("limit", ["0", "-1", "201", "five", "1.5"])
def test_a_limit_out_of_range_is_refused(shelf: Path, limit: str) -> None:
    """Between 1 and 200."""
    ran = partsbin(*COUPLING, "--limit", limit, db=shelf)
    assert (ran.code, ran.out) == (2, "")
    assert "Invalid value for '--limit'" in ran.err


def test_overrides_of_the_workshop_are_named_in_the_answer(shelf: Path, tmp_path: Path) -> None:
    """What was, what is, and in which file."""
    rules = tmp_path / "bench.toml"
    rules.write_text("[capacitor.position.coupling]\nfits = [0.9, 1.2]\n", encoding="utf-8")
    ran = partsbin(*COUPLING, db=shelf, rules=rules)
    assert ran.code == 0
    assert "RULES    workshop's own: coupling fits: [0.9, 1.2] (was [0.8, 1.25]), bench.toml" in ran.out


def test_an_override_that_loosens_a_wall_stops_the_work(shelf: Path, tmp_path: Path) -> None:
    """Exit code 2, whatever the part."""
    rules = tmp_path / "bench.toml"
    rules.write_text("[capacitor.derating]\nelectrolytic = 1.0\n", encoding="utf-8")
    ran = partsbin(*COUPLING, db=shelf, rules=rules)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        "partsbin: bench.toml: [capacitor.derating] electrolytic: 1.0 is looser than 0.8\n"
        "    hint: this line holds a wall: it may only be lowered\n"
    )
