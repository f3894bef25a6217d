"""By keyboard alone, and when things go wrong: the way past the bar, order, where one stands after a form, a server that is gone."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.page.browser.chromium import Chromium, Tab
from tests.page.browser.conftest import copied, serving_here
from tests.page.browser.test_repairs import say_name

ASK = "/find?text=choke+10H+80mA&family=choke&position=smoothing"
_SEEN = """(() => { const one = document.activeElement, look = getComputedStyle(one), box = one.getBoundingClientRect();
  return (look.outlineStyle !== 'none' && parseFloat(look.outlineWidth) >= 2) && box.right > 0 && box.bottom > 0; })()"""


def test_the_first_stop_leads_past_the_bar(browser: Chromium, site: str) -> None:
    """Enter on it, and the next stop is the page's own first field."""
    with browser.tab() as tab:
        tab.open(f"{site}/find")
        tab.press("Tab")
        assert tab.focused == "link to the page"
        tab.press("Enter")
        tab.press("Tab")
        assert tab.focused == "textbox the dead part, as it is marked"


def test_every_stop_is_seen_and_none_holds_one_fast(browser: Chromium, site: str) -> None:
    """Round the whole page by Tab: a frame round each stop, no stop twice before the end, fields before the button."""
    with browser.tab(width=390) as tab:
        tab.open(f"{site}/find?text=choke+10H+80mA")
        stops = []
        for _ in range(60):
            tab.press("Tab")
            if not tab.value("document.hasFocus() && document.activeElement !== document.body"):
                break
            assert tab.value(_SEEN), tab.focused
            stops.append(tab.focused)
        assert stops.index("link to the page") < stops.index("textbox the dead part, as it is marked")
        assert stops.index("textbox the dead part, as it is marked") < stops.index("combobox family")
        assert stops.index("combobox family") < stops.index("button find")


def test_a_part_is_found_by_keys_alone(browser: Chromium, site: str) -> None:
    """Typed, sent with Enter; the answer's own heading is where the page then stands."""
    with browser.tab(scripts=False) as tab:
        tab.open(f"{site}/find")
        tab.press("Tab")
        tab.press("Enter")
        tab.press("Tab")
        tab.tell("Input.insertText", text="choke 10H 80mA")
        tab.press("Enter", leads=True)
        for _ in range(20):
            if tab.focused.startswith("radio"):
                break
            tab.press("Tab")
        tab.press(" ")
        tab.press("Enter", leads=True)
        assert tab.address.endswith("#next")
        assert "On the shelf" in tab.text


def test_what_was_done_is_where_one_stands_after_a_form(browser: Chromium, own_site: str) -> None:
    """A screen reader begins there, and Tab goes on from there."""
    with browser.tab(scripts=False) as tab:
        say_name(tab, own_site)
        tab.open(own_site + ASK)
        tab.type("P-0339, insulation", "200M@500V")
        tab.press("Enter", leads=True)
        stands = "document.activeElement.textContent == 'insulation of P-0339 written down'"
        tab.until(lambda: bool(tab.value(stands)), "standing at what was done")


def test_the_second_of_two_is_told_and_writes_nothing(browser: Chromium, own_site: str) -> None:
    """Two people hold the same card; what the second typed is not written over what the first read."""
    with browser.tab() as first, browser.tab(scripts=False) as second:
        for tab in (first, second):
            say_name(tab, own_site)
            tab.open(own_site + ASK)
            tab.type("P-0339, insulation", "200M@500V" if tab is first else "1M@500V")
        first.tap("button", "write down", leads=True)
        second.tap("button", "write down", leads=True)
        assert "has been changed since the page was shown; nothing was written" in second.text


@pytest.fixture
def asked(browser: Chromium, demo: Path, tmp_path: Path) -> object:
    """A tab with a reading typed, whose server has gone; where it was, and its catalogue."""
    file = copied(demo, tmp_path / "gone.sqlite")
    with browser.tab(width=390) as tab:
        with serving_here(file) as address:
            say_name(tab, address)
            tab.open(address + ASK)
            tab.type("P-0339, insulation", "200M@500V")
        yield tab


def test_a_server_that_is_gone_is_told_and_what_was_typed_stays(asked: Tab) -> None:
    """The page stays, says so, and holds the words."""
    asked.tap("button", "write down")
    asked.until(lambda: "The bench machine does not answer" in asked.text, "told that nobody answers")
    kept = "[...document.querySelectorAll('input[name=value]')].map(each => each.value)"
    assert "200M@500V" in asked.value(kept)
