"""Which part of the package may import which: read from the source with ast, imports inside functions included."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

PACKAGE = Path(__file__).parents[1] / "partsbin"

LAYERS = (
    ("errors",),
    ("notation", "sources", "resources", "files", "memory"),
    ("words",),
    ("circuit",),
    ("reference",),
    ("rules",),
    ("sets",),
    ("needs",),
    ("checks",),
    ("paper",),
    ("families",),
    ("store",),
    ("stock",),
    ("matching",),
    ("jobs",),
    ("reports", "labels"),
    ("schemas",),
    ("page",),
    ("cli",),
)
"""Lower lines may import upper ones, never the reverse; what stands on one line does not import its neighbour."""

ORDER = {unit: rank for rank, layer in enumerate(LAYERS) for unit in layer}
HEAVY = (
    *("PIL", "fontTools", "fpdf", "jinja2", "numpy", "pandas", "rapidfuzz", "scipy", "segno", "sqlalchemy", "sqlmodel"),
    *("starlette", "uvicorn"),
)
LANGUAGE = {"__future__", "collections", "functools", "math", "typing"}


class Import(NamedTuple):
    """One import statement's name, and where it stands."""

    by: str
    name: str
    line: int

    def said(self) -> str:
        """Return ``module:line imports name``."""
        return f"{self.by}:{self.line} imports {self.name}"


def imports(source: str, module: str) -> Iterator[Import]:
    """Yield every name that a module imports; ``from a import b`` counts as ``a.b``, which may be a module."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (Import(module, alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = "." * node.level + (node.module or "")
            yield from (Import(module, f"{start}.{alias.name}", node.lineno) for alias in node.names)


def modules() -> dict[str, Path]:
    """Return every module of the package by its dotted name."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        found[".".join(parts).removesuffix(".__init__")] = path
    return found


def all_imports() -> list[Import]:
    """Return every import of the package."""
    return [entry for module, path in modules().items() for entry in imports(path.read_text("utf-8"), module)]


def unit(name: str) -> str:
    """Return which entry of the table a module belongs to, "" for the package itself and for what is not ours."""
    parts = name.split(".")
    return parts[1] if parts[0] == "partsbin" and len(parts) > 1 and parts[1] in ORDER else ""


def upward(entries: list[Import]) -> list[str]:
    """Return the imports that go against the order."""
    return [
        entry.said()
        for entry in entries
        if unit(entry.by)
        and unit(entry.name)
        and unit(entry.by) != unit(entry.name)
        and ORDER[unit(entry.name)] >= ORDER[unit(entry.by)]
    ]


IMPORTS = all_imports()


def test_every_module_stands_in_the_table() -> None:
    """A new module or package is given its place before it is used."""
    names = {name.split(".")[1] for name in modules() if "." in name}
    assert names - set(ORDER) == set()


def test_no_module_imports_one_of_a_lower_line() -> None:
    """Imports go upward in the table only."""
    assert upward(IMPORTS) == []


def test_an_import_against_the_order_is_seen_even_inside_a_function() -> None:
    """The walk would notice the reverse, and a neighbour of the same line."""
    source = (
        "def f():\n    from partsbin.cli import main\n    import partsbin.sources\n    from partsbin import errors\n"
    )
    assert upward(list(imports(source, "partsbin.notation.text"))) == [
        "partsbin.notation.text:2 imports partsbin.cli.main",
        "partsbin.notation.text:3 imports partsbin.sources",
    ]


def test_imports_are_absolute() -> None:
    """A relative import would escape the walk."""
    assert [entry.said() for entry in IMPORTS if entry.name.startswith(".")] == []


def test_nobody_imports_the_command_line() -> None:
    """The command line is a face of the services, not one of them."""
    assert [e.said() for e in IMPORTS if unit(e.name) == "cli" and unit(e.by) != "cli"] == []


def test_circuit_imports_mathematics_only() -> None:
    """Formulas know numbers, not the program around them."""
    allowed = LANGUAGE | {"numpy"}
    foreign = [
        entry.said()
        for entry in IMPORTS
        if unit(entry.by) == "circuit" and unit(entry.name) != "circuit" and entry.name.split(".")[0] not in allowed
    ]
    assert foreign == []


def test_only_the_families_know_a_family_by_name() -> None:
    """Everything else reads declarations: a new family is one new file."""
    shared = ("Family", "load", "named", "names", "register")
    foreign = [
        entry.said()
        for entry in IMPORTS
        if unit(entry.by) != "families"
        and (name := _in_families(entry.name))
        and name not in shared
        and not name.startswith("_")
    ]
    assert foreign == []


def test_families_do_not_import_each_other() -> None:
    """What two families share lies in a module whose name begins with an underscore, which imports neither."""
    crossing = [
        entry.said()
        for entry in IMPORTS
        if (by := _in_families(entry.by))
        and (name := _in_families(entry.name))
        and name not in (by, "Family")
        and not name.startswith("_")
    ]
    assert crossing == []


def _in_families(name: str) -> str:
    """Return the part of a dotted name after ``partsbin.families``, "" if it lies elsewhere."""
    return name.removeprefix("partsbin.families.").split(".")[0] if name.startswith("partsbin.families.") else ""


@pytest.mark.parametrize("command", ["--help", "--version", "find --help", "import --help"])
def test_help_imports_nothing_heavy(command: str) -> None:
    """Libraries that take long to load are imported where they are used."""
    program = (
        "import sys\n"
        "from partsbin.cli.main import main\n"
        f"sys.argv = ['partsbin', *{command!r}.split()]\n"
        "try:\n    main()\n"
        "finally:\n"
        f"    sys.stderr.write(' '.join(sorted(set({HEAVY!r}) & set(sys.modules))))\n"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, "")
