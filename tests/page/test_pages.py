"""Pages are loaded when they are asked for: every module is found by the first word of its addresses, and the start waits for none."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import partsbin.page
from partsbin.page.pages import MODULES, routes_of
from tests.page.hostile import filled


def test_every_module_is_found_by_its_addresses() -> None:
    """The list of words is that of the modules' own routes, no more and no fewer."""
    named: dict[str, set[str]] = {}
    for file in Path(str(partsbin.page.__file__)).parent.glob("*.py"):
        if "\nROUTES" in file.read_text("utf-8") and file.stem != "pairing":
            for route in routes_of(file.stem):
                named.setdefault(str(getattr(route, "path", "")).split("/")[1], set()).add(file.stem)
    assert {word: set(names) for word, names in MODULES.items()} == named


def test_the_first_answer_waits_for_no_table_and_no_array(tmp_path: Path) -> None:
    """What takes longest to load is not there yet when the server first answers."""
    filled(tmp_path / "page.sqlite").dispose()
    code = """if True:
        import sys
        from starlette.testclient import TestClient
        from partsbin.page.app import create
        from partsbin.store.engine import open_store
        app = create(open_store(sys.argv[1], create=False))
        answer = TestClient(app, base_url="http://127.0.0.1").get("/", follow_redirects=False)
        print(answer.status_code, *sorted({"numpy", "sqlmodel", "pydantic", "scipy", "pandas"} & set(sys.modules)))
    """
    ran = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "page.sqlite")], capture_output=True, text=True, check=True
    )
    assert ran.stdout == "303\n"
