"""Expected numbers and their sources: the comparison can fail, and two hundred of them stand in published sources.

``python -m tests.test_expected`` prints the table of sources.
"""

from __future__ import annotations

import ast
import math
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from partsbin.sources import source
from tests.expected import by_hand

TESTS = Path(__file__).parent


def test_a_wrong_number_differs_and_a_right_one_agrees() -> None:
    """The comparison works both ways round and refuses a value outside the tolerance."""
    expected = by_hand(2.0, "sqrt 4", of=math.sqrt, rel=1e-3)
    assert math.sqrt(4) == expected
    assert math.sqrt(4.1) != expected


def _name(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _key_of(call: ast.Call, at: int, name: str) -> ast.expr | None:
    """Return what a call gives as its key: by place, else by name."""
    given = call.args[at] if len(call.args) > at else None
    return next((word.value for word in call.keywords if word.arg == name), given)


def _short_hands(tree: ast.Module) -> dict[str, str | int]:
    """Return a module's own short hands for `published`: the key that each fixes, or the place of its parameter for one."""
    found: dict[str, str | int] = {}
    for function in tree.body:
        if not isinstance(function, ast.FunctionDef) or not isinstance(function.body[-1], ast.Return):
            continue
        call = function.body[-1].value
        if isinstance(call, ast.Call) and _name(call) == "published":
            key, names = _key_of(call, 1, "key"), [arg.arg for arg in function.args.args]
            if isinstance(key, ast.Constant):
                found[function.name] = str(key.value)
            elif isinstance(key, ast.Name) and key.id in names:
                found[function.name] = names.index(key.id)
    return found


def citations(text: str) -> Iterator[str]:
    """Yield the source of each value that a module of tests cites; values made in a loop over a table count as none."""
    tree = ast.parse(text)
    short = _short_hands(tree)
    for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
        place = short.get(_name(call), 1 if _name(call) == "published" else None)
        if isinstance(place, str):
            if not all(isinstance(value, ast.Name) for value in call.args):
                yield place
        elif place is not None:
            key = _key_of(call, place, "key")
            if (
                isinstance(key, ast.Constant)
                and _name(call) in (*short, "published")
                and not _inside(tree, call, short)
            ):
                yield str(key.value)


def _inside(tree: ast.Module, call: ast.Call, short: dict[str, str | int]) -> bool:
    """Return whether a call is the one that a short hand stands for."""
    bodies = [node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name in short]
    return any(call is node for body in bodies for node in ast.walk(body))


def sources() -> Counter[str]:
    """Return how many values of the whole suite each published source stands behind."""
    cited = Counter(key for file in sorted(TESTS.rglob("test_*.py")) for key in citations(file.read_text("utf-8")))
    return Counter({key: n for key, n in cited.items() if source(key).standing == "read"})


def table(found: Counter[str]) -> str:
    """Return the table of sources, the most cited first."""
    rows = [
        f"{n:4}  {key:24} {source(key).cite()}" for key, n in sorted(found.items(), key=lambda row: (-row[1], row[0]))
    ]
    return "\n".join([*rows, f"{found.total():4}  values from {len(found)} sources that were read"])


def test_two_hundred_values_stand_in_twenty_five_sources(capsys: pytest.CaptureFixture[str]) -> None:
    """Counted from the citations; what is from memory, of common practice or worked by hand does not count."""
    found = sources()
    print(table(found))
    assert found.total() >= 200
    assert len(found) >= 25
    assert f"values from {len(found)} sources" in capsys.readouterr().out


def test_no_source_stands_behind_most_of_them() -> None:
    """And none is counted twice under another key."""
    found = sources()
    assert max(found.values()) < found.total() / 4
    assert len({source(key).cite() for key in found}) == len(found)


@pytest.mark.parametrize(
    ("text", "cited"),
    [
        ('A = published(1.0, "sony", of=f)', ["sony"]),
        ('A = published(1.0, key="sony", of=f)', ["sony"]),
        ('A = by_hand(1.0, "sony", of=f)', []),
        ('def r(v):\n    return published(v, "sony", of=f)\nA = [r(1.0), r(2.0)]', ["sony", "sony"]),
        ('def r(v, k):\n    return published(v, k, of=f)\nA = [r(1.0, "sony"), r(2.0, "pantv")]', ["sony", "pantv"]),
        ("for k, v in T:\n    published(v, k, of=f)", []),
    ],
)
def test_a_citation_is_counted_once_where_its_source_is_named(text: str, cited: list[str]) -> None:
    """Directly or through a module's short hand; a loop names none."""
    assert sorted(citations(text)) == sorted(cited)


if __name__ == "__main__":
    print(table(sources()))
