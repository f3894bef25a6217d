"""The public functions of the circuit package, found by walking it, so that no list has to be kept."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable

import partsbin.circuit


def public_functions() -> dict[str, Callable[..., object]]:
    """Return each public function of each public module under the name by which expected numbers know it."""
    found: dict[str, Callable[..., object]] = {}
    for module_info in pkgutil.walk_packages(partsbin.circuit.__path__, "partsbin.circuit."):
        if module_info.name.rpartition(".")[2].startswith("_"):
            continue
        module = importlib.import_module(module_info.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):  # not what it imports
                found[f"{module.__name__}.{name}"] = function
    return found
