"""The rules as they are shipped: complete, sourced, ordered."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

import partsbin
from partsbin import families
from partsbin.errors import RulesError
from partsbin.families._mains_checks import CLASSES as SAFETY_CLASSES
from partsbin.families.capacitor.facts import DIELECTRICS, PAPER
from partsbin.rules import Rules, load_rules
from partsbin.sources import SOURCES
from tests.expected import Expected, published

CAPACITOR_POSITIONS = {
    "coupling",
    "decoupling",
    "reservoir",
    "smoothing",
    "bias-smoothing",
    "cathode-bypass",
    "screen-bypass",
    "heater-bypass",
    "agc",
    "detector-filter",
    "tone",
    "output-tone",
    "feedback",
    "rf-bypass",
    "rectifier-shunt",
    "tuned",
    "padder",
    "mains-across",
    "mains-to-chassis",
    "aerial-isolation",
    "earth-isolation",
    "pickup-isolation",
    "crossover",
}
COMMON = {"title", "does", "fits", "care", "also", "after", "cautions"}
OWN = {
    "capacitor": {"stress", "critical", "usual", "dielectrics", "dielectrics_care", "leakage"},
    "transformer": {"kinds"},
}
STRESSES = {"ht", "ht-swing", "low", "ac", "piv", "mains", "isolation"}
FAMILIES = families.names()
PLACES = [(name, position) for name in FAMILIES for position in load_rules(name).positions]


def _rule_lines(rules: Rules) -> list[tuple[str, str, Any]]:
    return [(section, name, line) for section, lines in rules.sections.items() for name, line in lines.items()]


def test_capacitor_positions_are_those_of_the_design() -> None:
    """Each of the 23 places that a capacitor can stand in, and no other."""
    found = load_rules("capacitor").positions
    assert len(found) == 23
    assert set(found) == CAPACITOR_POSITIONS


def test_transformer_positions_are_those_that_this_version_judges() -> None:
    """Those of the design, and the heater transformer."""
    of_the_design = {"output", "mains", "interstage", "driver", "line", "isolating"}
    assert set(load_rules("transformer").positions) == of_the_design | {"heater"}


@pytest.mark.parametrize("family", FAMILIES)
def test_every_line_names_a_source_that_is_listed(family: str) -> None:
    """A figure without a source cannot be weighed."""
    lines = _rule_lines(load_rules(family))
    assert lines
    assert [(section, name) for section, name, line in lines if line.source not in SOURCES] == []


@pytest.mark.parametrize(("family", "position"), PLACES)
def test_every_position_has_its_lines(family: str, position: str) -> None:
    """What the need, the checks and the answer read is there."""
    lines = set(load_rules(family).sections[f"position.{position}"])
    assert lines >= COMMON | OWN.get(family, set())


@pytest.mark.parametrize(("family", "position"), PLACES)
def test_what_fits_lies_within_what_is_taken_with_care(family: str, position: str) -> None:
    """Windows run upwards from above zero, and the narrower lies in the wider."""
    rules = load_rules(family)
    fits, care = rules.of(position, "fits"), rules.of(position, "care")
    assert 0 < care[0] <= fits[0] <= fits[1] <= care[1]


@pytest.mark.parametrize("position", sorted(CAPACITOR_POSITIONS))
def test_the_stress_of_a_position_is_one_that_the_need_knows(position: str) -> None:
    """A stress that no code reads would leave the position without its wall."""
    assert load_rules("capacitor").of(position, "stress") in STRESSES


@pytest.mark.parametrize("position", sorted(CAPACITOR_POSITIONS))
def test_dielectrics_are_words_of_the_family(position: str) -> None:
    """A word that no part can carry would let nothing through, and nobody would see why."""
    rules = load_rules("capacitor")
    named = {*rules.of(position, "dielectrics"), *rules.of(position, "dielectrics_care")}
    assert named <= set(DIELECTRICS) - {""}


@pytest.mark.parametrize("position", sorted(CAPACITOR_POSITIONS))
def test_no_dielectric_both_suits_and_asks_for_care(position: str) -> None:
    """A word stands in one of the two lists."""
    rules = load_rules("capacitor")
    assert set(rules.of(position, "dielectrics")).isdisjoint(rules.of(position, "dielectrics_care"))


@pytest.mark.parametrize("position", sorted(CAPACITOR_POSITIONS))
def test_no_position_takes_waxed_or_moulded_paper(position: str) -> None:
    """The oldest wall of the trade."""
    rules = load_rules("capacitor")
    named = {*rules.of(position, "dielectrics"), *rules.of(position, "dielectrics_care")}
    assert named.isdisjoint(PAPER - {"paper-metallised"})


@pytest.mark.parametrize("position", [p for p in sorted(CAPACITOR_POSITIONS) if "mains" in p or "isolation" in p])
def test_a_position_on_the_mains_asks_for_an_approval(position: str) -> None:
    """Across the mains X will do; where someone can touch the far side, Y alone."""
    classes = set(load_rules("capacitor").of(position, "classes"))
    assert classes <= set(SAFETY_CLASSES) - {""}
    assert classes == ({"X1", "X2", "Y1", "Y2"} if position == "mains-across" else {"Y1", "Y2"})


@pytest.mark.parametrize("name", sorted(load_rules("capacitor").sections["tolerance"]))
def test_a_tolerance_that_is_assumed_spans_the_marked_value(name: str) -> None:
    """Both ends are fractions, the lower at or below zero and above -1."""
    low, high = load_rules("capacitor").get("tolerance", name)
    assert -1 < low <= 0 <= high


@pytest.mark.parametrize("name", sorted(load_rules("capacitor").sections["derating"]))
def test_a_derating_is_a_fraction_of_the_rating(name: str) -> None:
    """No part is run above its rating."""
    assert 0 < load_rules("capacitor").get("derating", name) <= 1


@pytest.mark.parametrize("family", FAMILIES)
def test_no_penalty_of_the_score_is_negative(family: str) -> None:
    """A negative one would make a bound of the search too good to be true."""
    assert all(line.value >= 0 for line in load_rules(family).sections["rank"].values())


CODE = "".join(
    file.read_text("utf-8") for file in Path(partsbin.__file__).parent.rglob("*.py") if file.name != "overrides.py"
)


@pytest.mark.parametrize("name", [name for family in FAMILIES for name in load_rules(family).sections["general"]])
def test_every_general_line_is_read_by_some_code(name: str) -> None:
    """A line that nothing reads could be overridden without effect."""
    assert re.search(f"[\"']{name}[\"']", CODE)


def _read(value: float, key: str, where: str) -> Expected:
    return published(value, key, of=load_rules, where=where)


FIGURES = [
    ("capacitor", "general", "touch_limit_peak", _read(0.7e-3, "sony", "0.7 mA peak")),
    ("capacitor", "general", "touch_limit_earthed", _read(3.5e-3, "iec-60950-touch", "class I, earth 3.5 mA")),
    ("capacitor", "general", "insulation_floor_film", _read(3e10, "mks4", "3e4 Mohm to 0.33 uF, 250 V and more")),
    ("capacitor", "general", "insulation_floor_seconds", _read(1e4, "mks4", "10 000 s above 0.33 uF")),
    ("capacitor", "derating", "electrolytic", _read(0.8, "radexp", "0.80 of the working volts")),
    ("capacitor", "derating", "film", _read(0.8, "film80", "below 80 % of the rating")),
    ("capacitor", "derating", "ceramic-2", _read(0.6, "eee-inst-002", "ceramic 0.60")),
    ("capacitor", "derating", "glass", _read(0.5, "eee-inst-002", "glass 0.50")),
    ("capacitor", "derating", "tantalum", _read(0.5, "eee-inst-002", "solid tantalum 0.50")),
    ("transformer", "general", "primary_open", _read(2000.0, "nostalgiaair-open", "far over 2 k: open")),
]


@pytest.mark.parametrize(("family", "section", "name", "expected"), FIGURES)
def test_a_figure_is_that_of_its_source(family: str, section: str, name: str, expected: Expected) -> None:
    """Walls and deratings as they stand in what they cite."""
    assert load_rules(family).get(section, name) == expected


def test_a_line_that_is_not_there_is_refused() -> None:
    """A check that asks for a rule by a wrong name stops instead of judging without it."""
    with pytest.raises(RulesError, match=r"no rule 'thin' in \[general\] of capacitor"):
        load_rules("capacitor").general("thin")


def test_a_position_without_a_line_of_its_own_gives_the_default() -> None:
    """Only the output tone position states a swing."""
    rules = load_rules("capacitor")
    assert rules.of("coupling", "swing", 1.0) == 1.0
    assert rules.of("output-tone", "swing", 1.0) == 2.0


def test_the_source_of_a_line_is_told() -> None:
    """A line that does not exist counts as common practice."""
    rules = load_rules("capacitor")
    assert (rules.source_of("tuned", "fits"), rules.source_of("tuned", "nothing")) == ("philC", "practice")


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A file of overrides that makes the margin stricter."""
    file = tmp_path / "workshop.toml"
    file.write_text("[capacitor.general]\nthin_above = 0.9\n")
    return file


def test_overrides_come_from_the_file_that_the_environment_names(
    workshop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`PARTSBIN_RULES` is read at each call."""
    assert load_rules("capacitor").general("thin_above") == 0.95
    monkeypatch.setenv("PARTSBIN_RULES", str(workshop))
    assert load_rules("capacitor").general("thin_above") == 0.9


def test_overrides_of_one_family_leave_another_alone(workshop: Path) -> None:
    """The file may hold tables of several families."""
    assert load_rules("transformer", workshop).overridden == ()


def test_a_file_of_overrides_that_is_missing_is_named(tmp_path: Path) -> None:
    """Rules that were meant to be in force are never silently left out."""
    with pytest.raises(RulesError, match=r"cannot read rules '.*nowhere\.toml': No such file"):
        load_rules("capacitor", tmp_path / "nowhere.toml")


def test_a_file_of_overrides_that_is_no_toml_is_named(tmp_path: Path) -> None:
    """With the line that cannot be parsed."""
    file = tmp_path / "workshop.toml"
    file.write_text("[capacitor.general]\nthin_above = = 0.9\n")
    with pytest.raises(RulesError, match=r"workshop\.toml: .*line 2"):
        load_rules("capacitor", file)


def test_overrides_changed_on_disk_are_read_again(workshop: Path) -> None:
    """The cache goes by the file's time."""
    assert load_rules("capacitor", workshop).general("thin_above") == 0.9
    workshop.write_text("[capacitor.general]\nthin_above = 0.8\n")
    os.utime(workshop, (1e9, 1e9))
    assert load_rules("capacitor", workshop).general("thin_above") == 0.8
