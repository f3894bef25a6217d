"""What every circuit formula owes to its callers: float in, float out; array equals scalar; NaN in, NaN out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

_FACTORS = np.array([0.9, 1.0, 1.1])


def _outputs(result: Any) -> tuple[Any, ...]:
    return result if isinstance(result, tuple) else (result,)


def breaches(function: Callable[..., Any], args: tuple[Any, ...], kwargs: dict[str, Any]) -> list[str]:
    """Return which of the three promises a call with these numbers breaks; words and switches stay as they are."""
    found = []
    if not all(type(one) is float for one in _outputs(function(*args, **kwargs))):
        found.append("floats do not give a float")

    def scaled(by: Any) -> tuple[list[Any], dict[str, Any]]:
        return (
            [value * by if isinstance(value, float) else value for value in args],
            {name: value * by if isinstance(value, float) else value for name, value in kwargs.items()},
        )

    positional, named = scaled(_FACTORS)
    arrays = _outputs(function(*positional, **named))
    singles = [_outputs(function(*scaled(float(by))[0], **scaled(float(by))[1])) for by in _FACTORS]
    if not all(np.array_equal(array, [row[i] for row in singles]) for i, array in enumerate(arrays)):
        found.append("an array differs from its single numbers")

    for i, value in enumerate(args):
        if isinstance(value, float):
            result = function(*(np.nan if j == i else one for j, one in enumerate(args)), **kwargs)
            found += [f"NaN as argument {i} does not give NaN"] * (not all(np.isnan(_outputs(result))))
    for name, value in kwargs.items():
        if isinstance(value, float):
            result = function(*args, **(kwargs | {name: np.nan}))
            found += [f"NaN as {name} does not give NaN"] * (not all(np.isnan(_outputs(result))))
    return found
