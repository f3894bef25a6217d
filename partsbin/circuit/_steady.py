"""The steady state of a reservoir of its real size: how its voltage moves while the pulse recharges it.

`_pulse` takes the reservoir as endless. Here its voltage v moves. In angles x from the crest of the winding, with v and
the winding in units of the crest P, the diode opens at -a and closes at b, and between them

    v = cos x - q j,    j = k + dv/dx,    q = w R C,    k = I / (w C P),

where j w C P is the current of the diode. Its solution is j = k + (q cos x - sin x) / (1 + q**2) - B exp(-(x + a) / q),
with B such that j(-a) = 0. From b on the load alone empties the reservoir until the next crest, n of them a period:

    j(b) = 0    and    cos b - cos a = k (2 pi / n - a - b).

The load draws a steady current. Leakage inductance of the winding is neglected.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number
from partsbin.circuit._pulse import half_angle

_STEPS = 6  # Newton in two unknowns, from the angle of an endless reservoir
_SAMPLES = 96  # points over one pulse: crest and ripple to a thousandth, to a hundredth without any resistance
_LEAST_Q = 1e-4  # no resistance at all: a pulse as of a thousandth of an ohm
_LEAST_K = 1e-9  # no load at all: a droop of a thousand millionth of the crest
_ENDLESS = 10.0  # F, beyond which a reservoir changes nothing but the last digits
_CLOSED = 1e-6  # what is left of the two equations when Newton is through


def angles(q: Number, k: Number, pulses: int) -> tuple[Number, Number]:
    """Return the angles before and after the crest at which the rectifier opens and closes; NaN where it never closes."""
    period = 2 * np.pi / pulses
    start = half_angle(np.minimum(k * q * np.pi / pulses, 0.999))
    droop = np.cos(start) - k * (period - 2 * start) / 2  # an endless reservoir opens and closes at the same angle
    a, b = np.arccos(np.clip(droop, -0.9, 1.0)), np.maximum(start * 0.9, np.arcsin(np.minimum(k, 1.0)))
    weight = 1 / (1 + q**2)
    for _ in range(_STEPS):
        sin_a, cos_a, sin_b, cos_b = np.sin(a), np.cos(a), np.sin(b), np.cos(b)
        decay = np.exp(-(a + b) / q)
        opening = (q * cos_a + sin_a) * weight + k
        span = cos_b - cos_a - k * (period - a - b)
        last = (q * cos_b - sin_b) * weight + k - opening * decay
        span_a, span_b = sin_a + k, k - sin_b
        last_a = (q * sin_a - cos_a) * weight * decay + opening * decay / q
        last_b = -(q * sin_b + cos_b) * weight + opening * decay / q
        determinant = span_a * last_b - span_b * last_a
        a = np.clip(a - (span * last_b - last * span_b) / determinant, 1e-9, period)
        b = np.clip(b - (last * span_a - span * last_a) / determinant, 1e-9, np.pi)
    sound = (np.abs(span) + np.abs(last) < _CLOSED) & (a + b < period)
    return np.where(sound, a, np.nan), np.where(sound, b, np.nan)


def steady(
    peak: Number,
    resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    pulses: int,
    reservoirs: int,
) -> tuple[Number, Number, Number, Number, Number]:
    """Return mean, ripple and hum of the rail, crest and RMS of the pulses into each of `reservoirs` in series."""
    reactance = 1 / (2 * np.pi * frequency * np.minimum(capacitance, _ENDLESS))
    k = np.where(current == 0, _LEAST_K, current * reactance / peak)
    q = np.maximum(resistance / reactance, _LEAST_Q)
    a, b = angles(q, k, pulses)
    period = 2 * np.pi / pulses
    opening = (q * np.cos(a) + np.sin(a)) / (1 + q**2) + k

    charged = np.sin(a) + np.sin(b) - q * k * period  # integral of v over the pulse: what flows in is what flows out
    discharged = (np.cos(a) + np.cos(b)) / 2 * (period - a - b)
    mean = reservoirs * peak * (charged + discharged) / period

    share = np.linspace(0.0, 1.0, _SAMPLES)
    x = share * (a + b)[..., None] - a[..., None]
    q, k, opening = q[..., None], k[..., None], opening[..., None]
    decay = np.exp(-(x + a[..., None]) / q)
    flow = np.maximum(k + (q * np.cos(x) - np.sin(x)) / (1 + q**2) - opening * decay, 0.0)
    step = (a + b) / (_SAMPLES - 1)
    ripple = peak * step * np.maximum(flow - reservoirs * k, 0.0).sum(axis=-1)
    order = pulses * reservoirs  # of the lowest harmonic: that of the mains cancels in a doubler
    wave = np.abs((flow * np.exp(1j * order * x)).sum(axis=-1)) * step * 2 / period
    hum = np.sqrt(0.5) * peak * wave * reservoirs / order
    crest = peak / reactance * flow.max(axis=-1)
    rms = peak / reactance * np.sqrt((flow**2).sum(axis=-1) * step / period)
    return mean, ripple, hum, crest, rms
