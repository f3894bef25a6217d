"""Repairs played on the page by touch: the four evenings of tests/cli/test_plays.py, and a stranger with a phone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests.command import partsbin
from tests.page.browser.chromium import Chromium, Tab
from tests.page.browser.conftest import copied, serving_here

Keep = Callable[[Tab, str], None]
SIX = "ECH81 EBF89 EABC80 EL84 EM80 EZ80"


def say_name(tab: Tab, site: str) -> None:
    """Open the page and say who is working."""
    tab.open(f"{site}/find")
    tab.type("who is working", "bench")
    tab.tap("button", "that is me", leads=True)


def find(tab: Tab, family: str, text: str, position: str, facts: Mapping[str, str]) -> None:
    """Ask as somebody does who has only the page before them: what is not asked for is under `more of the set`."""
    if text:
        tab.type("the dead part", text)
    if family:
        tab.choose("family", family)
    tab.tap("button", "go on", leads=True)
    tab.tap("radio", position)
    tab.tap("button", "find", leads=True)
    for name, said in facts.items():
        if not any(role == "textbox" and name in each for role, each, _ in tab.outline()):
            tab.tap("DisclosureTriangle", "more of the set")
        tab.type(name, said)
        tab.tap("button", "find", leads=True)


@pytest.fixture(params=[(390, True, False), (1280, False, True)], ids=["phone", "wide, no scripts, dark"])
def tab(request: pytest.FixtureRequest, browser: Chromium) -> object:
    """Somebody's browser: a phone with scripts, a laptop without."""
    width, scripts, dark = request.param
    with browser.tab(width=width, scripts=scripts, dark=dark) as opened:
        yield opened
        opened.listen()
        assert [line for line in opened.console if "status of 409" not in line] == []


def test_a_mains_transformer_burnt_out_in_a_receiver_of_unknown_make(tab: Tab, own_site: str, keep: Keep) -> None:
    """From six valves alone: the first part owes two things; once both are read and written down, it is the one to fit."""
    say_name(tab, own_site)
    find(tab, "transformer", "", "mains", {"Which valves are in the set?": SIX})
    assert "What did the HT winding give" in tab.text
    tab.type("P-0130, insulation", "200M@500V")
    tab.tap("button", "write down", leads=True)
    assert "insulation of P-0130 written down" in tab.text
    left = [name for role, name, _ in tab.outline() if role == "textbox" and name.startswith("P-0130")]
    assert [name.split(":")[0] for name in left] == ["P-0130, primary"]
    tab.type("P-0130, primary", "primary 230V")
    tab.tap("button", "write down", leads=True)
    left = [name for role, name, _ in tab.outline() if role == "textbox" and name.startswith("P-0130")]
    assert left == []
    assert tab.text.split("On the shelf")[1].split("\n")[1:3] == [
        "fits with care",
        "P-0130 mains transformer 250-0-250 V 80 mA, 6.3 V 3 A, 5 V 2 A, primary 230 V",
    ]
    keep(tab, "repair-transformer")


def test_a_selenium_rectifier_in_a_small_mains_set(tab: Tab, site: str) -> None:
    """Silicon with its resistor: both lie on the shelf, and the change is named."""
    tab.open(f"{site}/find")
    find(tab, "rectifier", "", "replaces-selenium", {"lineup:": "UCH81 UBF89 UCL82"})
    said = tab.text
    assert "fits with care" in said
    assert "47 Ω in its AC lead" in said
    assert "P-0195" in said.split("in the lead to the rectifier")[1]


def test_an_output_valve_without_an_exact_replacement(tab: Tab, site: str) -> None:
    """What does instead, with all its changes, and what to buy."""
    tab.open(f"{site}/find")
    find(tab, "", "EL41", "output", {"lineup:": "ECH42 EAF42 EAF42 EL41 AZ41"})
    assert "nothing fits, with care or without" in tab.text
    assert "cathode resistor 135 Ω" in tab.text
    assert "buy: EL41, also sold as 6CK5 or N150" in tab.text


def test_a_dead_field_coil_loudspeaker(tab: Tab, site: str) -> None:
    """A loudspeaker of the shelf, choke and resistor in the field's place."""
    tab.open(f"{site}/find")
    find(tab, "", "8 inch 3 ohm field 1140 ohm", "field", {"current:": "65mA"})
    assert "fits with care" in tab.text
    assert all(part in tab.text.split("with: choke for 65 mA")[1] for part in ("P-0339", "P-0200"))


@pytest.fixture
def one_job(demo: Path, tmp_path: Path) -> object:
    """The demonstration with one job open that wants nothing yet."""
    file = copied(demo, tmp_path / "job.sqlite")
    assert partsbin("job", "open", "intercom", "--with", "rail=200", db=file).code == 0
    with serving_here(file) as address:
        yield address


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_stranger_with_a_phone_finds_measures_and_fits(
    scripts: bool, browser: Chromium, one_job: str, keep: Keep
) -> None:
    """No manual: the part that asks for a reading gets it and is fitted in under two minutes of taps.

    Reckoned at 2 s a tap and 4 letters a second, which a hesitant thumb manages (common practice, no source).
    """
    with browser.tab(width=390, height=844, scripts=scripts) as tab:
        say_name(tab, one_job)
        tab.type("the dead part", "choke 10H 80mA")
        tab.tap("button", "go on", leads=True)
        tab.tap("radio", "smoothing")
        tab.tap("button", "find", leads=True)
        tab.type("P-0339, insulation", "200M@500V")
        tab.tap("button", "write down", leads=True)
        assert "insulation of P-0339 written down" in tab.text
        tab.tap("button", "fit P-0339", leads=True)
        tab.tap("radio", "as asked")
        tab.tap("button", "go on", leads=True)
        tab.tap("button", "fit it", leads=True)
        assert "P-0339 choke 5 H 120 mA: care" in tab.text
        keep(tab, f"stranger-{scripts}")
        seconds = 2 * tab.taps + tab.letters / 4
        print(f"{tab.taps} taps, {tab.fields} fields typed into, {tab.letters} letters: about {seconds:.0f} s")
        assert seconds < 120
