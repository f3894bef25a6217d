"""Every page in a real browser: nothing on the console, nothing asked of a network, within a phone's width, open to everybody."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest

from tests.page.browser.checker import serious
from tests.page.browser.chromium import Chromium, Tab
from tests.page.browser.walking import walk
from tests.page.browser.workshop import View

HEAVIEST = 100_000
"""Bytes that a page may bring with everything it loads [-]."""

SMALLEST = 44
"""Height of what a thumb must hit, at least [px]."""

LOOKED_AT = tuple((width, scripts) for width in (390, 1280) for scripts in (True, False))
"""Each page is opened four times; either scheme is looked at then."""

Keep = Callable[[Tab, str], None]
_UNFOLD = "document.querySelectorAll('details').forEach(each => each.open = true)"
_SMALL = """[...document.querySelectorAll('button, input:not([type=hidden]), select, textarea, summary, nav a')]
  .map(each => each.matches('[type=radio], [type=checkbox]') ? each.closest('label') || each : each)
  .filter(each => each.checkVisibility() && each.getBoundingClientRect().height < %d - 0.5)
  .map(each => each.outerHTML.slice(0, 120))"""
_HEADINGS = "[...document.querySelectorAll('h1, h2, h3, h4')].map(each => +each.tagName[1])"
_NAMED = ("button", "link", "textbox", "combobox", "radio", "checkbox", "heading", "image", "DisclosureTriangle")


@pytest.fixture(scope="session")
def pages(site: str) -> dict[str, int]:
    """Every kind of page, with its status."""
    return walk(site)


def wrong_in(tab: Tab, width: int) -> list[str]:
    """Return what is wrong with a page as it is drawn: cut off, or too small for a thumb."""
    wide = tab.value("document.documentElement.scrollWidth")
    small = [f"small: {each}" for each in tab.value(_SMALL % SMALLEST)]
    return [*([f"{wide} px wide"] if wide > width else []), *small]


def heard(tab: Tab, site: str) -> list[str]:
    """Return what a page wrote on the console, what it asked for elsewhere, and its weight where that is too much."""
    tab.listen()
    found = [f"console: {line}" for line in tab.console if "favicon" in line or "status of 40" not in line]
    found += [f"asked for {each}" for each in tab.asked if not each.startswith(f"{site}/")]
    found += [f"{tab.weight} bytes"] if tab.weight >= HEAVIEST else []
    tab.console.clear()
    tab.asked.clear()
    return found


def named(tab: Tab) -> list[str]:
    """Return what of a page has no name for a screen reader, and headings out of order."""
    levels = [0, *tab.value(_HEADINGS)]
    skipped = any(later > level + 1 for level, later in pairwise(levels))
    found = [f"headings {levels}"] if skipped or levels.count(1) != 1 else []
    return found + [f"{role} without a name" for role, name, _ in tab.outline() if role in _NAMED and not name.strip()]


@pytest.mark.parametrize(("width", "scripts"), LOOKED_AT)
def test_a_page_is_quiet_light_within_its_width_and_open_to_everybody(
    width: int, scripts: bool, browser: Chromium, site: str, pages: dict[str, int], keep: Keep, axe: str
) -> None:
    """No word on the console, nothing from elsewhere, under 100 kB; in both schemes nothing cut off, a thumb's height, names, order.

    Where scripts run, an accessibility checker finds nothing serious: all its rules in one scheme, those of colours in the other.
    """
    wrong = []
    with browser.tab(width=width, scripts=scripts) as tab:
        for address in pages:
            tab.open(site + address)
            told = heard(tab, site)
            tab.value(_UNFOLD)
            for dark in (False, True):
                tab.scheme(dark=dark)
                keep(tab, f"{address.strip('/').replace('/', '-')[:40] or 'first'}-{View(width, scripts, dark)}")
                told += wrong_in(tab, width)
                told += serious(tab, axe, colours=dark) if axe and scripts else []
            told += named(tab) + heard(tab, site)
            wrong += [f"{address}: {each}" for each in told]
    assert wrong == []


@pytest.mark.parametrize("colours", [False, True])
def test_the_checker_finds_what_is_wrong(browser: Chromium, site: str, axe: str, colours: bool) -> None:
    """A check that cannot fail proves nothing: a field without its label is found, and words that are hardly seen."""
    if not axe:
        pytest.skip("no accessibility checker: npm pack axe-core@4.14.1, PARTSBIN_TEST_AXE names its axe.min.js")
    with browser.tab() as tab:
        tab.open(f"{site}/find")
        tab.value("document.querySelectorAll('label').forEach(each => each.remove())")
        tab.value("document.querySelector('h1').style.color = 'color-mix(in srgb, canvas 90%, red)'")
        found = {each.split(":")[0] for each in serious(tab, axe, colours=colours)}
    assert {"color-contrast"} if colours else {"label", "color-contrast"} <= found


def test_no_link_leads_nowhere(pages: dict[str, int]) -> None:
    """Every page that a link leads to is there; the one that is not was asked for."""
    assert {address for address, status in pages.items() if status >= 400} <= {"/none"}


def test_a_page_is_printed_whole_and_without_what_is_for_fingers(browser: Chromium, site: str) -> None:
    """On paper nothing is folded, and there is no button, no field and no bar."""
    import pypdfium2

    with browser.tab(dark=True) as tab:
        tab.open(f"{site}/find?text=22n+630V&family=capacitor&position=coupling&set.rail=200")
        pages = pypdfium2.PdfDocument(tab.printed())
        said = " ".join(page.get_textpage().get_text_bounded() for page in pages)
    assert "bass corner" in said
    assert [word for word in ("write down", "set one of", "who is working", "donors") if word in said] == []
