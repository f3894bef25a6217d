"""The family that DEVELOPERS.md shows, as it stands there: one file more, nothing else touched, and everything works with it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.docs import ROOT, document, marked

RELAY = marked(document("DEVELOPERS.md"), "file: relay.py")
LIST = """family,coil_voltage,description,count,condition
relay,24 V,,2,salvaged
relay,,relay 12 V make 1 A,1,new
relay,-3,,1,new
"""
MUTING = ("find", "relay", "relay 24 V", "--position", "muting", "--with", "current=2")


class Bench:
    """A copy of the package with the family in it, and a catalogue."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.environment = {**os.environ, "PYTHONPATH": str(folder), "PYTHONIOENCODING": "utf-8"}
        self.environment |= {"PARTSBIN_DB": str(folder / "shelf.sqlite"), "COLUMNS": "110", "PARTSBIN_RULES": ""}

    def python(self, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
        """Run Python in the copy."""
        return subprocess.run(
            [sys.executable, *words],
            cwd=self.folder,
            env=self.environment | more,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    def partsbin(self, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
        """Run a command of the copy."""
        return self.python("-m", "partsbin.cli.main", *words, **more)

    def json(self, *words: str) -> Any:
        """Return the document that a command prints."""
        return json.loads(self.partsbin(*words, "--json").stdout)


def copy_of_the_package(folder: Path) -> Path:
    """Copy the package into a folder; return where its families lie."""
    shutil.copytree(ROOT / "partsbin", folder / "partsbin", ignore=shutil.ignore_patterns("__pycache__"))
    return folder / "partsbin" / "families"


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """The copy with one file more, and two parts of it shelved: by hand and from a list."""
    folder = tmp_path_factory.mktemp("toy")
    (copy_of_the_package(folder) / "relay.py").write_text(RELAY, encoding="utf-8")
    (folder / "relays.csv").write_text(LIST, encoding="utf-8")
    made = Bench(folder)
    shelved = made.partsbin(
        "shelve", "relay 24 V 2x changeover 5 A", "--condition", "new", "--reading", "coil_resistance=700"
    )
    assert (shelved.returncode, shelved.stdout) == (0, "P-0001  relay 24 V, changeover 5 A, changeover 5 A\n"), (
        shelved.stderr
    )
    return made


@pytest.fixture(scope="module")
def listed(bench: Bench) -> subprocess.CompletedProcess[str]:
    """The import of the list."""
    return bench.partsbin("import", "relays.csv", "--keep-good")


def test_a_description_is_read(bench: Bench) -> None:
    """Its words decide that it is a relay; contacts are child rows."""
    (reading,) = bench.json("read", "relay 24 V 2x changeover 5 A")["readings"]
    contact = {"kind": "changeover", "current": 5.0}
    assert reading["fields"] == {"coil_voltage": 24.0, "contacts": [contact, contact]}
    assert (reading["family"], reading["sure"]) == ("relay", True)


def test_a_list_is_taken_in_by_the_fields_of_the_family(listed: subprocess.CompletedProcess[str]) -> None:
    """Own columns, description, and a value that its bounds refuse."""
    assert listed.returncode == 1, listed.stderr
    assert "relay: relay 24 V" in listed.stdout
    assert "relay: relay 12 V, make 1 A" in listed.stdout
    assert "relays.csv:4: coil_voltage: '-3': -3 is impossible, expected more than 0" in listed.stdout
    assert listed.stdout.endswith("2 parts shelved\n")


@pytest.mark.usefixtures("listed")
def test_parts_are_found_judged_and_ranked(bench: Bench) -> None:
    """By its own checks, position and cards."""
    answer = bench.json(*MUTING)
    assert [(c["part"], c["option"], c["verdict"]) for c in answer["candidates"]] == [
        ("P-0001", "contact 1", "fits"),
        ("P-0002", "", "measure"),
    ]
    assert [card["reading"] for card in answer["candidates"][1]["tests"]] == ["contact_current"]
    assert [check["check"] for check in answer["candidates"][0]["checks"]] == ["RLY01", "RLY02"]
    assert answer["buy"] == "relay 24 V"
    assert "the contacts may carry HT: discharge first" in answer["cautions"]


def test_a_part_in_the_hand_is_judged(bench: Bench) -> None:
    """Fit and unfit, with the exit codes of every family."""
    need = ("--position", "muting", "--with", "current=2")
    assert bench.partsbin("try", "relay 24 V 3 A", "relay", *need).returncode == 0
    refused = bench.partsbin("try", "relay 24 V 1 A", "relay", *need)
    assert refused.returncode == 1
    assert "contact carries 1 A, 2 A through it" in refused.stdout


def test_a_part_is_shown_with_its_child_rows_and_readings(bench: Bench) -> None:
    """From its own tables, in trade notation."""
    shown = bench.partsbin("show", "P-0001").stdout
    assert "    contacts: kind changeover, current 5 A; kind changeover, current 5 A\n" in shown
    assert "coil_resistance 700 Ω ±14 Ω\n" in shown


def test_its_tables_hold_what_its_fields_allow(bench: Bench) -> None:
    """Real columns, one row a contact; the database itself refuses what the facts refuse."""
    program = (
        "import sqlite3\n"
        "shelf = sqlite3.connect('shelf.sqlite')\n"
        "print(shelf.execute('SELECT kind, current FROM family_relay_contacts WHERE part_id = 1').fetchall())\n"
        "try:\n    shelf.execute('UPDATE family_relay SET coil_voltage = -1')\n"
        "except sqlite3.IntegrityError as fault:\n    print('refused')\n"
    )
    assert bench.python("-c", program).stdout == "[('changeover', 5.0), ('changeover', 5.0)]\nrefused\n"


def test_a_slip_in_its_position_is_met_with_the_nearest(bench: Bench) -> None:
    """The positions come from the rules in its file."""
    ran = bench.partsbin("find", "relay", "--position", "mutting")
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr.endswith("hint: did you mean 'muting'? Known: muting\n")


def test_the_workshop_may_override_its_rules(bench: Bench) -> None:
    """Named in the answer; other families are not disturbed by a file that names it."""
    (bench.folder / "bench.toml").write_text("[relay.position.muting]\nusual = 12.0\n", encoding="utf-8")
    ran = bench.partsbin("find", "relay", "--position", "muting", PARTSBIN_RULES="bench.toml")
    assert "RULES    workshop's own: muting usual: 12.0 (was 24.0), bench.toml" in ran.stdout
    other = bench.partsbin("find", "capacitor", "--position", "coupling", PARTSBIN_RULES="bench.toml")
    assert (other.returncode, other.stderr) == (1, "")


def test_the_contract_of_families_holds_for_it(bench: Bench) -> None:
    """The contract test, unedited, run in the copy: examples, outcomes, codes, numbers in reasons, positions."""
    for name in ("__init__.py", "families"):
        source, target = ROOT / "tests" / name, bench.folder / "tests" / name
        target.parent.mkdir(exist_ok=True)
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    shutil.copy(ROOT / "pyproject.toml", bench.folder)
    chosen = "relay and (judged_as_it_says or outcome_it_declares or unique or both_numbers or answers_from_nothing)"
    ran = bench.python("-m", "pytest", "tests/families/test_contract.py", "-k", chosen, "-p", "no:cacheprovider")
    assert ran.returncode == 0, ran.stdout
    assert " passed" in ran.stdout


def test_its_types_are_checked(bench: Bench) -> None:
    """As strictly as those of the package."""
    ran = bench.python("-m", "mypy", "--strict", "--cache-dir", str(ROOT / ".mypy_cache"), "partsbin/families/relay.py")
    assert ran.returncode == 0, ran.stdout


def test_a_family_from_outside_the_package_is_made_known(tmp_path: Path) -> None:
    """By `register`, before the catalogue is opened."""
    (tmp_path / "relay.py").write_text(RELAY, encoding="utf-8")
    program = (
        "import sys\nfrom relay import FAMILY\nfrom partsbin.families import register\nfrom partsbin.cli.main import main\n"
        "register(FAMILY)\nsys.argv = ['partsbin', *sys.argv[1:]]\nmain()\n"
    )
    bench = Bench(tmp_path)
    bench.environment["PYTHONPATH"] = os.pathsep.join([str(tmp_path), str(ROOT)])
    assert bench.python("-c", program, "shelve", "relay 24 V 2x changeover 5 A", "--condition", "new").returncode == 0
    found = bench.python("-c", program, *MUTING)
    assert (found.returncode, found.stderr) == (0, "")
    assert "FITS     P-0001  relay 24 V, changeover 5 A, changeover 5 A, contact 1, new, 1 on hand" in found.stdout
