"""The check of the three promises must be able to fail."""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.circuit.shapes import breaches


def test_a_function_that_keeps_no_promise_is_caught() -> None:
    """Each broken promise is named."""

    def careless(volts: Any, *, ratio: float = 1.0) -> Any:
        return np.float64(1.0) if np.ndim(volts) == 0 else np.asarray(volts)

    assert breaches(careless, (2.0,), {"ratio": 3.0}) == [
        "floats do not give a float",
        "an array differs from its single numbers",
        "NaN as argument 0 does not give NaN",
        "NaN as ratio does not give NaN",
    ]


def test_a_function_that_keeps_them_passes() -> None:
    """Multiplication keeps all three; a switch is left alone."""

    def careful(volts: Any, *, half: bool = False) -> Any:
        return volts / (2.0 if half else 1.0)

    assert breaches(careful, (2.0,), {"half": True}) == []
