"""Pages in a real browser: nothing on the console, nothing asked of a network, plots and tables there."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.command import partsbin

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt-get install chromium")


def _opened(page: Path, profile: Path) -> tuple[str, str]:
    """The document as the browser has it, and what it wrote on its console; every name of a network leads nowhere."""
    command = [
        str(CHROMIUM), "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--enable-logging=stderr",
        "--host-resolver-rules=MAP * ~NOTFOUND", f"--user-data-dir={profile}", "--dump-dom", page.as_uri(),
    ]  # fmt: skip
    ran = subprocess.run(command, capture_output=True, text=True, timeout=120, env={**os.environ, "HOME": str(profile)})
    console = "\n".join(line for line in ran.stderr.splitlines() if "CONSOLE" in line)
    return ran.stdout, console


@pytest.fixture(scope="module")
def used(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's catalogue with a donor stripped and a job done."""
    folder = tmp_path_factory.mktemp("pages")
    db = folder / "c.sqlite"
    assert partsbin("demo", "--db", str(db)).code == 0
    partsbin("job", "open", "<b>intercom</b>", "--with", "rail=200", db=db)
    fitted = partsbin("fit", "P-0002", "-j", "J-1", "-p", "coupling", "--original", "0.02uF 350V", db=db)
    assert fitted.code == 0, fitted.err
    return db


@pytest.mark.parametrize("name", ["stock", "fitted", "usage", "donors", "unknown"])
def test_a_report_opens_without_a_word_on_the_console(name: str, used: Path, tmp_path: Path) -> None:
    """Its table has rows; where there is a plot, it is drawn, and told in words."""
    page = tmp_path / f"{name}.html"
    assert partsbin("report", name, "--html", str(page), db=used).code == 0
    document, console = _opened(page, tmp_path / "profile")
    assert console == ""
    assert len(re.findall("<tr>", document)) > 1
    assert all("aria-label=" in drawn for drawn in re.findall("<svg[^>]*>", document))
    assert ("<svg" in document) == (name != "unknown")


def test_a_sheet_opens_without_a_word_on_the_console(used: Path, tmp_path: Path) -> None:
    """Somebody's markup stands there as words."""
    page = tmp_path / "sheet.html"
    assert partsbin("job", "sheet", "J-1", "--html", str(page), db=used).code == 0
    document, console = _opened(page, tmp_path / "profile")
    assert console == ""
    assert "&lt;b&gt;intercom" in document
