"""The workshop's overrides: windows may change, walls may only be tightened."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin import families
from partsbin.errors import RulesError
from partsbin.rules import Line, Rules, load_rules
from partsbin.rules.overrides import CLASSES, apply_overrides, classes_of

LINES = [
    (family, section, name)
    for family in families.names()
    for section, lines in load_rules(family).sections.items()
    for name in lines
]


def _of_class(word: str) -> list[tuple[str, str, str]]:
    return [line for line in LINES if classes_of(*line[1:]) == (word,)]


def _override(tmp_path: Path, text: str, family: str = "capacitor") -> Rules:
    file = tmp_path / "workshop.toml"
    file.write_text(text)
    return load_rules(family, file)


def _apply(family: str, section: str, name: str, value: Any) -> Any:
    """Put one override in force and return the line's value after it."""
    sections = {key: dict(lines) for key, lines in load_rules(family).sections.items()}
    apply_overrides(sections, {section: {name: Line(value, "practice")}}, "workshop.toml", family)
    return sections[section][name].value


@pytest.mark.parametrize(("family", "section", "name"), LINES)
def test_every_line_is_in_exactly_one_class(family: str, section: str, name: str) -> None:
    """Lower, higher, fewer, more, fixed or free: decided for each line, none by default."""
    assert len(classes_of(section, name)) == 1


def test_no_class_names_a_line_that_no_rules_have() -> None:
    """A word left over from a rule that is gone promises a wall that is not there."""
    there = {name for _, _, name in LINES} | {f"{section}.*" for _, section, _ in LINES}
    assert {name for names in CLASSES.values() for name in names} - there == set()


def test_a_window_may_widen(tmp_path: Path) -> None:
    """The workshop's ear decides how far a coupling capacitor may differ."""
    rules = _override(tmp_path, "[capacitor.position.coupling]\nfits = [0.7, 2]\ncare = [0.4, 4.0]\n")
    assert (rules.of("coupling", "fits"), rules.of("coupling", "care")) == ((0.7, 2), (0.4, 4.0))


def test_a_window_may_narrow(tmp_path: Path) -> None:
    """As well as widen."""
    rules = _override(tmp_path, "[transformer.position.output]\nfits = [0.9, 1.1]\n", "transformer")
    assert rules.of("output", "fits") == (0.9, 1.1)


def test_what_was_overridden_is_named(tmp_path: Path) -> None:
    """Each change with both values and its file, as the answer prints it."""
    rules = _override(tmp_path, "[capacitor.general]\nthin_above = 0.9\n[capacitor.position.tuned]\nusual = 1e-10\n")
    assert rules.overridden == (
        "general thin_above: 0.9 (was 0.95), workshop.toml",
        "tuned usual: 1e-10 (was 2e-10), workshop.toml",
    )


def test_without_overrides_nothing_is_named() -> None:
    """The answer's list of changed rules is empty."""
    assert load_rules("capacitor").overridden == ()


def test_a_line_may_bring_its_source(tmp_path: Path) -> None:
    """In the form that the shipped rules have."""
    rules = _override(tmp_path, '[capacitor.position.agc]\nfits = { is = [0.8, 1.25], source = "memory" }\n')
    assert rules.source_of("agc", "fits") == "memory"


@pytest.mark.parametrize("line", ["fits = [0.8, 1.2]", "fits = { is = [0.8, 1.2] }"])
def test_a_line_without_a_source_is_the_workshops_practice(tmp_path: Path, line: str) -> None:
    """Its own habits need no citation."""
    rules = _override(tmp_path, f"[capacitor.position.agc]\n{line}\n")
    assert rules.source_of("agc", "fits") == "practice"


LOOSE = [
    ("general", "thin_above = 0.96", "0.96 is looser than 0.95", "only be lowered"),
    ("general", "touch_limit_peak = 0.001", "0.001 is looser than 0.0007", "only be lowered"),
    ("general", "grid_shift_care = 5", "5 is looser than 0.5", "only be lowered"),
    ("general", "insulation_floor_film = 1e12", "is looser than 30000000000.0", "only be lowered"),
    ("general", "insulation_supply = 1e6", "1000000.0 is looser than 20000000.0", "only be raised"),
    ("general", 'label_thin = ["reservoir"]', r"\[reservoir\] strikes words out of", "only be added"),
    ("derating", "electrolytic = 0.95", "0.95 is looser than 0.8", "only be lowered"),
    ("derating", "other = 0.8", "0.8 is looser than 0.5", "only be lowered"),
    ("position.output-tone", "swing = 1.5", "1.5 is looser than 2.0", "only be raised"),
    ("position.aerial-isolation", 'classes = ["Y1", "Y2", "X1"]', "adds to", "only be struck out"),
    ("position.coupling", 'dielectrics = ["paper-waxed"]', r"\[paper-waxed\] adds to", "only be struck out"),
    ("position.coupling", 'dielectrics_care = ["paper-moulded"]', "adds to", "only be struck out"),
    ("position.mains-across", "cautions = []", "strikes words out of", "only be added"),
]


@pytest.mark.parametrize(("section", "line", "fault", "hint"), LOOSE)
def test_an_override_that_loosens_a_wall_is_refused(
    tmp_path: Path, section: str, line: str, fault: str, hint: str
) -> None:
    """Both values are quoted, and the hint says which way the line may move."""
    name = line.split(" ")[0]
    with pytest.raises(RulesError, match=rf"^workshop\.toml: \[capacitor\.{section}\] {name}: .*{fault}") as caught:
        _override(tmp_path, f"[capacitor.{section}]\n{line}\n")
    assert hint in caught.value.hint


TIGHT = [
    ("general", "thin_above = 0.5", 0.5),
    ("general", "line_ratio_fits = 200", 200),
    ("general", 'label_thin = ["smoothing", "reservoir", "coupling"]', ("smoothing", "reservoir", "coupling")),
    ("derating", "film = 0.5", 0.5),
    ("position.coupling", 'dielectrics = ["mica", "film"]', ("mica", "film")),
    ("position.coupling", "dielectrics_care = []", ()),
    ("position.aerial-isolation", 'classes = ["Y1"]', ("Y1",)),
    ("rank", "salvaged = 0", 0),
]


@pytest.mark.parametrize(("section", "line", "value"), TIGHT)
def test_an_override_that_tightens_is_in_force(tmp_path: Path, section: str, line: str, value: Any) -> None:
    """Fewer words let through, smaller limits, larger demands."""
    rules = _override(tmp_path, f"[capacitor.{section}]\n{line}\n")
    assert rules.get(section, line.split(" ")[0]) == value


@pytest.mark.parametrize(("family", "section", "name"), _of_class("fixed"))
def test_a_fixed_line_is_refused_even_with_its_own_value(family: str, section: str, name: str) -> None:
    """What a position is, and what the stored search keys rest on, is not the workshop's to say."""
    old = load_rules(family).line(section, name).value
    why = "it says what the position is" if section.startswith("position.") else "stored search keys rest on it"
    with pytest.raises(RulesError, match=f"{name}: cannot be overridden, {why}"):
        _apply(family, section, name, old)


def test_an_unknown_line_is_refused_with_those_that_there_are(tmp_path: Path) -> None:
    """A mistyped wall would otherwise stay where it was."""
    with pytest.raises(RulesError, match=r"no rule 'thin_abve' in \[capacitor\.general\] to override") as caught:
        _override(tmp_path, "[capacitor.general]\nthin_abve = 0.9\n")
    assert "thin_above" in caught.value.hint


def test_an_unknown_section_is_refused_with_those_that_there_are(tmp_path: Path) -> None:
    """A position that does not exist."""
    with pytest.raises(RulesError, match=r"no section \[capacitor\.position\.copling\] to override") as caught:
        _override(tmp_path, "[capacitor.position.copling]\nfits = [0.8, 1.2]\n")
    assert "position.coupling" in caught.value.hint


def test_an_unknown_family_is_refused_whichever_family_is_asked_for(tmp_path: Path) -> None:
    """Its lines would be in force nowhere."""
    with pytest.raises(RulesError, match="no rules of a family 'capcitor' to override") as caught:
        _override(tmp_path, "[capcitor.general]\nthin_above = 0.9\n", "transformer")
    assert {"capacitor", "transformer"} <= set(caught.value.hint.split(", "))


WRONG_FORM = [
    ("general", 'thin_above = "much"', "much is not a number"),
    ("general", "thin_above = true", "True is not a number"),
    ("general", "thin_above = nan", "nan is not a number"),
    ("general", "insulation_supply = inf", "inf is not a number"),
    ("general", "thin_above = 0", "0 is impossible, expected more than 0"),
    ("general", "thin_above = -0.5", "-0.5 is impossible, expected more than 0"),
    ("general", "comfortable = 1.0", "1.0 is impossible, expected less than 1"),
    ("rank", "margin = -1", "-1 is impossible, expected at least 0"),
    ("position.coupling", "fits = 1.2", r"1\.2 is not a window \[low, high\]"),
    ("position.coupling", "fits = [0.8]", r"\[0\.8\] is not a window"),
    ("position.coupling", "fits = [1.5, 0.8]", r"\[1\.5, 0\.8\] is not a window"),
    ("position.coupling", "fits = [0.0, 1.5]", r"\[0\.0, 1\.5\] is not a window"),
    ("position.coupling", "care = [0.5, inf]", r"\[0\.5, inf\] is not a window"),
    ("position.coupling", "fits = [true, 2]", r"\[True, 2\] is not a window"),
    ("position.coupling", 'dielectrics = "film"', "film is not a list of words"),
    ("position.coupling", 'dielectrics = [["film"]]', "is not a list of words"),
    ("position.coupling", "title = 3", "3 is not a text"),
    ("position.coupling", "dielectrics = []", "an empty list lets nothing through"),
    ("position.coupling", "fits = [0.1, 1.5]", r"\[0\.1, 1\.5\] reaches beyond care: \[0\.5, 3\.0\]"),
    ("position.coupling", 'fits = { is = [0.8, 1.2], source = "hearsay" }', "names unknown source 'hearsay'"),
    ("position.coupling", "fits = { is = [0.8, 1.2], source = [1] }", r"names unknown source \[1\]"),
]


@pytest.mark.parametrize(("section", "line", "fault"), WRONG_FORM)
def test_an_override_of_another_form_is_refused(tmp_path: Path, section: str, line: str, fault: str) -> None:
    """The value given is quoted, with what was expected."""
    with pytest.raises(RulesError, match=fault):
        _override(tmp_path, f"[capacitor.{section}]\n{line}\n")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("capacitor = 3\n", "'rules' is 3, expected a table"),
        ("[capacitor]\nthin_above = 0.9\n", r"'thin_above' is 0\.9, expected a table"),
        ("[capacitor]\nposition = 4\n", "'position' is 4, expected a table"),
        ("[capacitor.position]\ncoupling = 5\n", "'coupling' is 5, expected a table"),
    ],
)
def test_a_line_outside_a_section_is_refused(tmp_path: Path, text: str, fault: str) -> None:
    """The hint shows what a section looks like."""
    with pytest.raises(RulesError, match=fault) as caught:
        _override(tmp_path, text)
    assert caught.value.hint == "for example [capacitor.position.coupling]"


NUMBERS = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True), st.floats(0, 10), st.integers(-5, 10**12), st.booleans(), st.none()
)


@given(st.sampled_from(_of_class("lower")), NUMBERS, st.floats(0, 4))
def test_no_accepted_override_raises_a_line_that_may_only_fall(
    line: tuple[str, str, str], value: Any, times: float
) -> None:
    """Whatever is given, plainly or as a multiple of the shipped value."""
    old = load_rules(line[0]).line(*line[1:]).value
    for given_value in (value, old * times):
        try:
            new = _apply(*line, given_value)
        except RulesError:
            new = old
        assert 0 < new <= old


@given(st.sampled_from(_of_class("higher")), NUMBERS, st.floats(0, 4))
def test_no_accepted_override_lowers_a_line_that_may_only_rise(
    line: tuple[str, str, str], value: Any, times: float
) -> None:
    """As above, the other way round."""
    old = load_rules(line[0]).line(*line[1:]).value
    for given_value in (value, old * times):
        try:
            new = _apply(*line, given_value)
        except RulesError:
            new = old
        assert old <= new < math.inf


WORDS = st.lists(st.sampled_from(["film", "mica", "paper-waxed", "X1", "X2", "Y2", "output", "mains", "reservoir", ""]))


@given(st.sampled_from(_of_class("fewer")), WORDS, st.data())
def test_no_accepted_override_adds_a_word_that_is_let_through(
    line: tuple[str, str, str], words: list[str], data: st.DataObject
) -> None:
    """Nor does any leave a list of what is let through empty, save that of what asks for care."""
    old = load_rules(line[0]).line(*line[1:]).value
    kept = data.draw(st.lists(st.sampled_from(old))) if old else []
    for given_value in (tuple(words), tuple(kept), (*kept, *words)):
        try:
            new = _apply(*line, given_value)
        except RulesError:
            new = old
        assert set(new) <= set(old)
        assert new or line[2] in ("dielectrics_care", "technologies_care")


@given(st.sampled_from(_of_class("more")), WORDS)
def test_no_accepted_override_strikes_out_a_warning(line: tuple[str, str, str], words: list[str]) -> None:
    """Words of the workshop's own may come on top."""
    old = load_rules(line[0]).line(*line[1:]).value
    for given_value in (tuple(words), (*old, *words)):
        try:
            new = _apply(*line, given_value)
        except RulesError:
            new = old
        assert set(old) <= set(new)


@given(st.sampled_from([line for line in LINES if line[2] in ("fits", "care")]), st.tuples(NUMBERS, NUMBERS))
def test_no_accepted_override_turns_a_window_round(line: tuple[str, str, str], window: Any) -> None:
    """Low and high stay numbers in order, above zero, whatever was given."""
    old = load_rules(line[0]).line(*line[1:]).value
    for given_value in (window, (old[0], window[1]), (window[0], old[1])):
        try:
            low, high = _apply(*line, given_value)
        except RulesError:
            low, high = old
        assert 0 < low <= high < math.inf
