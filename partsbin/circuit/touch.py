"""Touch current: what flows from the mains through a person who touches a part, by capacitors and by resistors."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit.capacitors import parallel_capacitance


@elementwise
def touch_current(capacitance: Number, mains_rms: Number, frequency: Number, *, peak: bool = False) -> Number:
    """Return the current that a capacitor lets through from the mains to an earthed hand.

    Parameters
    ----------
    capacitance : float or array
        Capacitance between the mains and the touchable part, at the upper end of its tolerance [F]
    mains_rms : float or array
        Highest mains voltage [V]
    frequency : float or array
        Frequency of the mains [Hz]
    peak : bool
        Peak of the sine instead of its RMS value [-]

    Returns
    -------
    float or array
        Touch current [A]

    Notes
    -----
    2 pi f C V. The body, about 2 kohm, is neglected, which errs on the safe side.

    References
    ----------
    respuestas: 4.5 mA for 0.1 microfarads at 120 V 60 Hz.

    Examples
    --------
    >>> touch_current(4.7e-9, 253.0, 50.0)
    0.374e-3
    """
    return 2 * np.pi * frequency * capacitance * mains_rms * (np.sqrt(2) if peak else 1.0)


def touch_current_of_paths(
    capacitances: Iterable[Number], mains_rms: Number, frequency: Number, *, peak: bool = False
) -> Number:
    """Return the current through all capacitors that lead from the mains to one touchable part.

    Parameters
    ----------
    capacitances : iterable of float or array
        Capacitance of each path; one that is not known makes the sum unknown [F]
    mains_rms : float or array
        Highest mains voltage [V]
    frequency : float or array
        Frequency of the mains [Hz]
    peak : bool
        Peak of the sine instead of its RMS value [-]

    Returns
    -------
    float or array
        Touch current of all paths together; 0 without any [A]

    Notes
    -----
    The paths are parallel from one pole of the mains, so their capacitances add.

    References
    ----------
    worked: sum of the paths.

    Examples
    --------
    >>> touch_current_of_paths([2.2e-9, 2.2e-9], 253.0, 50.0)
    0.350e-3
    """
    return touch_current(parallel_capacitance(*capacitances), mains_rms, frequency, peak=peak)


@elementwise
def largest_capacitance(limit_peak: Number, mains_rms: Number, frequency: Number) -> Number:
    """Return the largest capacitance from the mains to a touchable part that keeps the touch current within a limit.

    Parameters
    ----------
    limit_peak : float or array
        Largest touch current, peak [A]
    mains_rms : float or array
        Highest mains voltage [V]
    frequency : float or array
        Frequency of the mains [Hz]

    Returns
    -------
    float or array
        Capacitance of all paths together, upper end of the tolerance [F]

    Notes
    -----
    I / (2 pi f sqrt(2) V), the inverse of `touch_current` with `peak`.

    References
    ----------
    worked: from the limit; sony: the limit of 0.7 mA peak.

    Examples
    --------
    >>> largest_capacitance(0.7e-3, 253.0, 50.0)
    6.23e-09
    """
    return limit_peak / (2 * np.pi * frequency * np.sqrt(2) * mains_rms)


@elementwise
def touch_current_resistive(resistance: Number, mains_rms: Number) -> Number:
    """Return the RMS current that a resistor lets through from the mains to an earthed hand.

    Parameters
    ----------
    resistance : float or array
        Resistance between the mains and the touchable part, at the lower end of its tolerance [ohm]
    mains_rms : float or array
        Highest mains voltage [V]

    Returns
    -------
    float or array
        Touch current, RMS [A]

    Notes
    -----
    V / R, the body neglected. Beside a capacitor the two add in quadrature.

    References
    ----------
    pantv: 0.75 V across 1.5 kohm is 0.5 mA.

    Examples
    --------
    >>> touch_current_resistive(1e6, 253.0)
    0.253e-3
    """
    return mains_rms / resistance
