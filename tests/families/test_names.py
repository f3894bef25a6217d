"""Which families there are, and how a person names one."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin import families
from partsbin.errors import UsageError


def test_every_module_without_an_underscore_is_a_family() -> None:
    """A file or a folder; what families share begins with an underscore."""
    folder = Path(families.__file__).parent
    beside = {path.stem for path in folder.glob("*.py")} | {path.parent.name for path in folder.glob("*/__init__.py")}
    assert families.names() == tuple(sorted(name for name in beside if not name.startswith("_")))


def test_the_folder_is_read_once() -> None:
    """A list of ten thousand rows asks for the names with every row."""
    families.names()
    before = families._modules.cache_info().misses
    families.names()
    assert families._modules.cache_info().misses == before == 1


@pytest.mark.parametrize("word", ["capacitor", "Capacitors", "CAPACITOR", " capacitor ", "cap"])
def test_a_family_is_known_in_any_dress(word: str) -> None:
    """Case, a plural, the beginning of it."""
    assert families.named(word) == "capacitor"


def test_a_slip_in_a_family_is_met_with_the_nearest() -> None:
    """And with all of them."""
    with pytest.raises(UsageError, match="unknown family 'trasnformer'") as caught:
        families.named("trasnformer")
    assert caught.value.hint.startswith("did you mean 'transformer'? Known: ")
