"""The accessibility checker: axe-core, as it was looked at once, run on the page of a tab."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from tests.page.browser.chromium import Tab

AXE = "e63e659f9806d7ae5bd40899043b0871a5062c5442b01b3f1a3edf5eaf50bf5c3a7104a72463293b4ad1b77c661a0d4e40e850dec89de9d6ece70a8c13a9af17"
"""SHA-512 of axe.min.js of axe-core 4.14.1."""

OF_COLOURS = ("color-contrast", "link-in-text-block")
"""Rules of it that another scheme may break."""


def checker() -> str:
    """Return its script, "" where ``PARTSBIN_TEST_AXE`` names none."""
    named = os.environ.get("PARTSBIN_TEST_AXE")
    if not named:
        return ""
    script = Path(named).read_bytes()
    assert hashlib.sha512(script).hexdigest() == AXE, "another axe-core than the one that was looked at"
    return script.decode()


def serious(tab: Tab, axe: str, *, colours: bool = False) -> list[str]:
    """Return what it finds serious or worse on the page as it stands, everything unfolded; only of its `colours` if so asked."""
    tab.value("document.querySelectorAll('details').forEach(each => each.open = true)")
    if not tab.value("'axe' in window"):
        tab.value(f"{axe};0")
    only = f", runOnly: {list(OF_COLOURS)}" if colours else ""
    found = tab.value(f"axe.run(document, {{resultTypes: ['violations']{only}}}).then(found => found.violations)")
    return [
        f"{each['id']}: {node['html'][:160]}"
        for each in found
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"]
    ]
