"""A donor stripped and a job planned on the page, by touch: line after line, what is owed read one after another, parts set aside."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.page.browser.chromium import Chromium, Tab
from tests.page.browser.test_repairs import say_name

Keep = Callable[[Tab, str], None]


WAYS = pytest.mark.parametrize(
    ("width", "scripts", "dark"), [(390, True, True), (1280, False, False)], ids=["phone, dark", "wide, no scripts"]
)


@pytest.fixture(params=[(390, True), (1280, False)], ids=["phone", "wide, no scripts"])
def tab(request: pytest.FixtureRequest, browser: Chromium, own_site: str) -> object:
    """Somebody who has said their name."""
    width, scripts = request.param
    with browser.tab(width=width, scripts=scripts) as opened:
        say_name(opened, own_site)
        yield opened
        opened.listen()
        assert opened.console == []


def test_a_donor_is_stripped_line_after_line(tab: Tab, own_site: str, keep: Keep) -> None:
    """Each line is read back, the field is ready for the next, and the last one is taken back with one tap."""
    tab.open(f"{own_site}/donor/D-015/strip")
    for line, said in (("2x 22n 630V film", "22 nF 630 V film"), ("1M log pot ; place R9", "1 MΩ log potentiometer")):
        tab.type("a part, as you would say it", line)
        tab.press("Enter", leads=True)
        tab.until(lambda: tab.focused.startswith("textbox a part"), "ready for the next line")
        assert said in tab.text
    tab.tap("button", "take back", leads=True)
    assert "1 part, 2 pieces in this sitting" in tab.text
    keep(tab, "strip")


def test_what_a_donor_still_owes_is_read_one_after_another(tab: Tab, own_site: str) -> None:
    """With the meter in the other hand: a figure, a tap; the part stays until it owes nothing, the next is a tap away."""
    tab.open(f"{own_site}/donor/D-015/owed")
    assert "P-0245" in tab.text.split("After that")[0]
    tab.type("resistance, one leg lifted", "12k")
    tab.tap("radio", "all 3 of them")
    tab.tap("button", "write down, next", leads=True)
    assert "P-0245; read" in tab.text
    tab.tap("link", "from the beginning", leads=True)
    assert "P-0247" in tab.text.split("After that")[0]


def test_a_job_is_opened_listed_and_planned(tab: Tab, own_site: str, keep: Keep) -> None:
    """From the words on the bench to parts that are set aside for it."""
    tab.open(f"{own_site}/jobs")
    tab.type("what the set is", "intercom")
    tab.type("lineup:", "ECC83 EL84 EZ80")
    tab.tap("button", "open it", leads=True)
    tab.tap("DisclosureTriangle", "paste a list")
    tab.type("a line a part", "C7 coupling 0.02uF 350V\nC1 reservoir 32uF 350V")
    tab.tap("button", "note what it wants", leads=True)
    tab.tap("link", "the plan", leads=True)
    assert "2 of 2 pieces served" in tab.text
    tab.tap("button", "set aside what the plan says", leads=True)
    keep(tab, "planned")
    tab.open(f"{own_site}/jobs")
    assert tab.value("document.getElementById('what').value") == ""


@WAYS
def test_what_runs_short_is_ordered_and_booked(
    browser: Chromium, shop_site: str, keep: Keep, width: int, scripts: bool, dark: bool
) -> None:
    """From the job's shortage to the supplier's box on the shelf, which says what it would serve."""
    with browser.tab(width=width, scripts=scripts, dark=dark) as tab:
        say_name(tab, shop_site)
        tab.open(f"{shop_site}/orders")
        tab.tap("checkbox", "J-0001")
        tab.tap("button", "what is to be ordered?", leads=True)
        assert "K1" in tab.text.split("The least dear order")[1]
        keep(tab, "order")
        tab.tap("button", "it is sent", leads=True)
        if "order 1 to" in tab.text:
            tab.tap("link", "order 1 to", leads=True)
        tab.type("where what is new lies now", "drawer E1")
        tab.tap("button", "put what came on the shelf", leads=True)
        assert "would serve C7 of J-0001" in tab.text
        tab.listen()
        assert tab.console == []
