"""One way for every formula to take floats or numpy arrays and give the same back."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Any, ParamSpec, TypeAlias

import numpy as np

Number: TypeAlias = Any  # a float or an array of floats; a union would make every caller narrow the result

P = ParamSpec("P")

REMEMBERED = 512
"""Answers of each formula that are kept [-]."""

_PLAIN = frozenset((float, int, str, bool, type(None)))


def elementwise(formula: Callable[P, Any]) -> Callable[P, Any]:
    """Let a formula written for arrays take floats, and return floats for floats.

    Words, switches and None pass as they are. Dividing by nothing gives infinity, and what has no value gives NaN, for
    floats as for arrays: nothing is raised. What was asked of plain numbers is remembered: a shelf has few values, and the
    same need is reckoned for every part that is judged.
    """

    def work(*args: P.args, **kwargs: P.kwargs) -> Any:
        positional = [_array(value) for value in args]
        named = {name: _array(value) for name, value in kwargs.items()}
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            result = formula(*positional, **named)
        return tuple(_plain(item) for item in result) if isinstance(result, tuple) else _plain(result)

    remembered: Callable[..., Any] = lru_cache(maxsize=REMEMBERED, typed=True)(work)

    @wraps(formula)
    def call(*args: P.args, **kwargs: P.kwargs) -> Any:
        plain = _PLAIN.issuperset(map(type, args)) and _PLAIN.issuperset(map(type, kwargs.values()))
        return remembered(*args, **kwargs) if plain else work(*args, **kwargs)

    return call


def _array(value: Any) -> Any:
    return value if value is None or isinstance(value, (str, bool)) else np.asarray(value, dtype=float)


def _plain(value: Any) -> Any:
    return value if np.ndim(value) else float(value)
