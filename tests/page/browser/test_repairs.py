"""Repairs played on the page by touch, in every view: the four evenings of tests/cli/test_plays.py, each until the part sits in the
set; and a stranger with a phone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from tests.command import partsbin
from tests.page.browser.checker import serious
from tests.page.browser.chromium import Chromium, Tab
from tests.page.browser.conftest import copied, serving_here
from tests.page.browser.workshop import Workshop

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


def fit(tab: Tab, part: str, job: str, change: str = "") -> None:
    """Fit a part from its card into the job that the page asks for, and see that it sits there."""
    tab.tap("button", f"fit {part} to {job}", leads=True)
    if change:
        tab.tap("DisclosureTriangle", "how many, where, what was changed")
        tab.type("change made for it", change)
    tab.tap("button", "fit it", leads=True)
    assert f"fitted in {job}" in tab.text
    assert f"/job/{job}/fitted/" in tab.address


def test_a_mains_transformer_burnt_out_in_a_receiver_of_unknown_make(workshop: Workshop, keep: Keep) -> None:
    """From six valves alone: the first part owes two things; once both are read and written down, it is the one to fit."""
    tab, job = workshop.tab, workshop.job("receiver of unknown make", f"lineup={SIX}")
    tab.open(f"{workshop.site}/find?job={job}")
    find(tab, "transformer", "", "mains", {"Which valves are in the set?": SIX})
    assert "What did the HT winding give" in tab.text
    for reading, said, done in (
        ("P-0130, insulation", "200M@500V", "insulation of P-0130 written down"),
        ("P-0130, primary", "primary 230V", "primary of P-0130 written down"),
    ):
        tab.type(reading, said)
        tab.tap("button", "write down", leads=True)
        assert done in tab.text
    assert [name for role, name, _ in tab.outline() if role == "textbox" and name.startswith("P-0130")] == []
    assert "fits with care P-0130 mains transformer 250-0-250 V 80 mA" in tab.text.replace("\n", " ")
    keep(tab, f"repair-transformer-{workshop.view}")
    fit(tab, "P-0130", job)
    assert "heaters 5.86 to 6.74 V" in tab.text.split("After power-up")[1]


def test_a_selenium_rectifier_in_a_small_mains_set(workshop: Workshop) -> None:
    """Silicon with its resistor: both lie on the shelf, the change is named, and what went in says which rail to expect."""
    tab, job = workshop.tab, workshop.job("small mains set", "lineup=UCH81 UBF89 UCL82")
    tab.open(f"{workshop.site}/find?job={job}")
    find(tab, "rectifier", "", "replaces-selenium", {"lineup:": "UCH81 UBF89 UCL82"})
    assert "47 Ω in its AC lead" in tab.text
    assert "P-0195" in tab.text.split("in the lead to the rectifier")[1]
    fit(tab, "P-0329", job, "47 Ω 7 W in the lead")
    assert "47 Ω 7 W in the lead" in tab.text
    assert "rail 2" in tab.text.split("After power-up")[1]


def test_an_output_valve_without_an_exact_replacement(workshop: Workshop) -> None:
    """What does instead, with all its changes, and what to buy; it is fitted as what it is, read first, with the change said."""
    tab, job = workshop.tab, workshop.job("mains receiver", "lineup=ECH42 EAF42 EAF42 EL41 AZ41")
    tab.open(f"{workshop.site}/find?job={job}")
    find(tab, "", "EL41", "output", {"lineup:": "ECH42 EAF42 EAF42 EL41 AZ41"})
    assert "nothing fits, with care or without" in tab.text
    assert "cathode resistor 135 Ω" in tab.text
    assert "buy: EL41, also sold as 6CK5 or N150" in tab.text
    assert "P-0328" in tab.text.split("6V6GT for EL41, not as plugged in")[1]
    tab.type("the dead part", "6V6GT")
    tab.tap("button", "find", leads=True)
    tab.type("P-0328, emission", "90%")
    tab.tap("button", "write down", leads=True)
    piece = tab.text.split("emission of ")[1].split()[0]  # of two that lay there
    fit(tab, piece, job, "IO socket, 253 Ω in the cathode")
    assert "IO socket, 253 Ω in the cathode" in tab.text


def test_a_dead_field_coil_loudspeaker(workshop: Workshop, axe: str) -> None:
    """A loudspeaker of the shelf, choke and resistor in the field's place; the page of what went in is open to everybody."""
    tab, job = workshop.tab, workshop.job("receiver with a field coil", "current=65mA")
    tab.open(f"{workshop.site}/find?job={job}")
    find(tab, "", "8 inch 3 ohm field 1140 ohm", "field", {"current:": "65mA"})
    assert all(part in tab.text.split("with: choke for 65 mA")[1] for part in ("P-0339", "P-0200"))
    fit(tab, "P-0336", job, "choke and 1 kΩ in the field's place")
    if axe and workshop.view.scripts:
        assert serious(tab, axe) == []


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
