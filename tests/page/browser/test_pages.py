"""Every page in a real browser: nothing on the console, nothing asked of a network, within a phone's width, open to everybody."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.page.browser.chromium import Chromium, Tab
from tests.page.browser.walking import walk

HEAVIEST = 100_000
"""Bytes that a page may bring with everything it loads [-]."""

SMALLEST = 44
"""Height of what a thumb must hit, at least [px]."""

AXE = "e63e659f9806d7ae5bd40899043b0871a5062c5442b01b3f1a3edf5eaf50bf5c3a7104a72463293b4ad1b77c661a0d4e40e850dec89de9d6ece70a8c13a9af17"
"""SHA-512 of axe.min.js of axe-core 4.14.1."""


class View(NamedTuple):
    """How a page is looked at."""

    width: int
    dark: bool
    scripts: bool


VIEWS = (
    View(390, dark=False, scripts=True),
    View(390, dark=True, scripts=False),
    View(1280, dark=True, scripts=True),
    View(1280, dark=False, scripts=False),
)
"""Both widths, both schemes, with scripts and without: each pair of these once."""

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


@pytest.fixture(scope="session")
def axe() -> str:
    """The checker's own script."""
    named = os.environ.get("PARTSBIN_TEST_AXE")
    if not named:
        pytest.skip("no accessibility checker: npm pack axe-core@4.14.1, PARTSBIN_TEST_AXE names its axe.min.js")
    script = Path(named).read_bytes()
    assert hashlib.sha512(script).hexdigest() == AXE, "another axe-core than the one that was looked at"
    return script.decode()


def look_at(
    browser: Chromium, site: str, pages: dict[str, int], view: View, told: Callable[[Tab], list[str]]
) -> list[str]:
    """Return what is wrong with the pages in a view, each with its address."""
    wrong = []
    with browser.tab(width=view.width, dark=view.dark, scripts=view.scripts) as tab:
        for address in pages:
            tab.open(site + address)
            wrong += [f"{address}: {each}" for each in told(tab)]
    return wrong


@pytest.mark.parametrize("view", VIEWS, ids=str)
def test_a_page_is_quiet_light_and_within_its_width(
    view: View, browser: Chromium, site: str, pages: dict[str, int], keep: Keep
) -> None:
    """No word on the console, nothing from elsewhere, under 100 kB, nothing cut off, a thumb's height, names, order."""

    def told(tab: Tab) -> list[str]:
        weight = tab.weight
        keep(
            tab,
            f"{tab.address.removeprefix(site).strip('/').replace('/', '-')[:40] or 'first'}-{'-'.join(map(str, view))}",
        )
        tab.value(_UNFOLD)
        wide = tab.value("document.documentElement.scrollWidth")
        tab.listen()
        found = [f"console: {line}" for line in tab.console if "favicon" in line or "status of 40" not in line]
        found += [f"asked for {each}" for each in tab.asked if not each.startswith(f"{site}/")]
        found += [f"{weight} bytes"] if weight >= HEAVIEST else []
        found += [f"{wide} px wide"] if wide > view.width else []
        found += [f"small: {each}" for each in tab.value(_SMALL % SMALLEST)]
        levels = [0, *tab.value(_HEADINGS)]
        skipped = any(later > level + 1 for level, later in pairwise(levels))
        found += [f"headings {levels}"] if skipped or levels.count(1) != 1 else []
        found += [f"{role} without a name" for role, name, _ in tab.outline() if role in _NAMED and not name.strip()]
        tab.console.clear()
        tab.asked.clear()
        return found

    assert look_at(browser, site, pages, view, told) == []


@pytest.mark.parametrize("view", [view for view in VIEWS if view.scripts], ids=str)
def test_an_accessibility_checker_finds_nothing_serious(
    view: View, browser: Chromium, site: str, pages: dict[str, int], axe: str
) -> None:
    """Everything unfolded, in both schemes: contrast, names, roles, order."""

    def told(tab: Tab) -> list[str]:
        tab.value(_UNFOLD)
        tab.value(f"{axe};0")
        found = tab.value("axe.run(document, {resultTypes: ['violations']}).then(found => found.violations)")
        return [
            f"{each['id']}: {node['html'][:160]}"
            for each in found
            if each["impact"] in ("serious", "critical")
            for node in each["nodes"]
        ]

    assert look_at(browser, site, pages, view, told) == []


def test_the_checker_finds_what_is_wrong(browser: Chromium, site: str, axe: str) -> None:
    """A check that cannot fail proves nothing: a field without its label is found."""
    with browser.tab() as tab:
        tab.open(f"{site}/find")
        tab.value("document.querySelectorAll('label').forEach(each => each.remove())")
        tab.value(f"{axe};0")
        found = tab.value("axe.run(document).then(found => found.violations.map(each => each.id))")
    assert "label" in found


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
