"""The look: contrast of every pair of colours by the formula of WCAG, in the light, the dark and on paper."""

from __future__ import annotations

import re
from itertools import product

import pytest

from partsbin.page.desk import FOLDER

CSS = (FOLDER / "assets" / "page.css").read_text(encoding="utf-8")
WORDS, SIGNS = 4.5, 3.0
"""Least contrast of words, and of edges and drawings that mean something: WCAG 2.2, 1.4.3 and 1.4.11 (AA) [-]."""

PAIRS = (
    *(product(("ink", "soft", "accent", "warn"), ("paper", "card"), (WORDS,))),
    ("on", "accent", WORDS),
    ("ink", "band", WORDS),
    *(product(("line",), ("paper", "card"), (SIGNS,))),
    *(product(("accent", "warn", "ink"), ("rated", "band"), (SIGNS,))),
)
"""What stands on what."""


def schemes() -> dict[str, dict[str, str]]:
    """Return the named colours of each scheme."""
    blocks = re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)
    found = [dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", block)) for block in blocks]
    return dict(zip(("light", "dark", "paper"), found, strict=True))


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour, as WCAG defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colours, as WCAG defines it."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_what_its_definition_says() -> None:
    """Black on white is 21 to 1; a colour on itself 1 to 1."""
    assert (round(contrast("#000000", "#ffffff"), 3), contrast("#123456", "#123456")) == (21.0, 1.0)


@pytest.mark.parametrize("scheme", ["light", "dark", "paper"])
@pytest.mark.parametrize(("front", "back", "least"), PAIRS)
def test_a_pair_is_told_apart(scheme: str, front: str, back: str, least: float) -> None:
    """As much as WCAG asks."""
    colours = schemes()[scheme]
    assert contrast(colours[front], colours[back]) >= least


@pytest.mark.parametrize("scheme", ["light", "dark", "paper"])
def test_what_is_read_at_arms_length_has_more(scheme: str) -> None:
    """Words of the page reach the stricter 7 to 1 (1.4.6)."""
    colours = schemes()[scheme]
    assert min(contrast(colours[front], colours["paper"]) for front in ("ink", "soft")) >= 7


def test_a_colour_stands_by_its_name_alone() -> None:
    """Else a pair would escape the reckoning: below the names there is no colour, and each scheme names the same."""
    rules = re.sub(r":root \{.*?\}", "", CSS, flags=re.DOTALL)
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?! *[,{])|rgb|hsl", re.sub(r"/\*.*?\*/", "", rules, flags=re.DOTALL)) == []
    named = [set(colours) for colours in schemes().values()]
    assert named[0] == named[1] == named[2]


def test_every_colour_of_words_is_reckoned() -> None:
    """Whoever adds a colour adds its pairs."""
    used = set(re.findall(r"(?<![-\w])(?:color|fill|stroke|background): var\(--(\w+)\)", CSS))
    reckoned = {name for front, back, _ in PAIRS for name in (front, back)}
    assert used - reckoned == set()


def test_no_word_of_a_template_brings_a_colour_of_its_own() -> None:
    """The policy would block it, and the reckoning would not see it."""
    for template in (FOLDER / "templates").glob("*.html"):
        assert not re.search(r"style=|<style|bgcolor|fill=\"(?!none)", template.read_text(encoding="utf-8")), (
            template.name
        )
