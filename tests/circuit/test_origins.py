"""Every public circuit function is checked by at least one number from outside: published, or worked by hand."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterable

import tests.circuit
from tests.circuit.walk import public_functions
from tests.expected import REGISTER, Expected


def unchecked(functions: Iterable[str], register: Iterable[Expected]) -> list[str]:
    """Return the functions without a published or hand-worked number."""
    outside = {expected.of for expected in register if expected.origin in {"published", "by hand"}}
    return sorted(set(functions) - outside)


def test_every_public_function_has_a_number_from_outside() -> None:
    """Numbers of our own making, simulated or from an earlier run, do not count; the functions without are printed."""
    for module_info in pkgutil.iter_modules(tests.circuit.__path__, "tests.circuit."):
        importlib.import_module(module_info.name)
    missing = unchecked(public_functions(), REGISTER)
    assert missing == [], "no published or by_hand number at module level for " + ", ".join(missing)


def test_a_function_with_only_our_own_numbers_counts_as_unchecked() -> None:
    """The count would notice a missing number."""
    register = [Expected(1.0, "published", "m.a", "", 0.1), Expected(1.0, "regression", "m.b", "", 0.1)]
    assert unchecked(["m.a", "m.b", "m.c"], register) == ["m.b", "m.c"]
