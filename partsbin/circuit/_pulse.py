"""The charging pulse of a rectifier into a large reservoir, from which the rail, the ripple and the currents follow.

The reservoir is taken as so large that its voltage E stands still. A winding of peak P behind a resistance R drives
(P cos a - E) / R into it while the angle a lies within t on either side of the crest, where cos t = E / P. The mean
of n such pulses a period (n = 2 full-wave, 1 half-wave) is the direct current I, which gives

    sin t - t cos t = pi I R / (n P).

The left side is called the area of the pulse here. It grows from 0 at t = 0 to 1 at t = pi/2, the short circuit.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number

SILICON_DROP = 0.8  # V, the value with which this closed form meets simulated supplies
_STEPS = 4  # Newton on a convex curve: each step doubles the digits, and the fourth reaches the last one


def pulses_a_period(half_wave: bool) -> int:
    """Return how many pulses charge the reservoir in one period of the mains."""
    return 1 if half_wave else 2


def area(angle: Number) -> Number:
    """Return the area of a pulse that flows for `angle` [rad] on either side of the crest."""
    return np.sin(angle) - angle * np.cos(angle)


def half_angle(wanted: Number) -> Number:
    """Return the angle [rad] whose pulse has the area `wanted`; NaN outside 0 to 1, where there is none."""
    angle = np.cbrt(3 * np.asarray(wanted))  # the area of a narrow pulse is t**3 / 3
    for _ in range(_STEPS):
        angle = np.where(angle > 0, angle - (area(angle) - wanted) / (angle * np.sin(angle)), angle)
    return np.where((wanted >= 0) & (wanted <= 1), angle, np.nan)


def pulse(
    secondary_rms: Number, series_resistance: Number, current: Number, pulses: int, drop: Number
) -> tuple[Number, Number]:
    """Return the peak [V] behind the diode and half the angle [rad] of each pulse; NaN if the diode never conducts."""
    crest = np.sqrt(2) * secondary_rms - drop
    peak = np.where(crest > 0, crest, np.nan)
    return peak, half_angle(np.pi * current * series_resistance / (pulses * peak))
