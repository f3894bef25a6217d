"""Windings of a mains transformer: heater volts as they stand in the set, flux, RMS over direct current, HT for a rail.

`tap` is the volts that the primary in use was wound for, at which every winding gives its rated volts under full load.
Leakage inductance and the core's own loss are neglected throughout.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP, pulses_a_period

__all__ = ["Connection", "Rectifier", "flux_ratio", "heater_volts", "winding_current", "winding_for_rail"]

Connection = Literal["centre-tap", "bridge", "half-wave"]
Rectifier = Literal["valve", "silicon"]

_FACTORS = {
    ("centre-tap", "valve", False): (1.0, 1.2),
    ("centre-tap", "silicon", False): (1.0, 1.4),
    ("bridge", "valve", False): (1.6, 1.8),
    ("bridge", "silicon", False): (1.6, 2.0),
    ("half-wave", "valve", False): (2.6, 3.6),
    ("half-wave", "silicon", False): (2.6, 3.6),
    ("centre-tap", "valve", True): (0.65, 0.8),
    ("centre-tap", "silicon", True): (0.65, 0.8),
    ("bridge", "valve", True): (1.0, 1.1),
    ("bridge", "silicon", True): (1.0, 1.1),
}
_STEPS = 60  # halvings of a right angle: more than the digits of a float


@elementwise
def heater_volts(rated: Number, mains: Number, tap: Number, share: Number, regulation: Number) -> Number:
    """Return what a heater winding gives in the set.

    Parameters
    ----------
    rated : float or array
        Volts marked, at full load [V]
    mains : float or array
        Mains on the primary, RMS [V]
    tap : float or array
        Volts of the primary tap in use [V]
    share : float or array
        Current drawn over rated current [-]
    regulation : float or array
        Rise of the winding from full load to none as a fraction [-]

    Returns
    -------
    float or array
        Rated mains / tap (1 + regulation (1 - share)) [V]

    Notes
    -----
    The rise is taken as linear in the current. Beyond full load the volts sink below the rated ones.

    References
    ----------
    worked: proportion; the regulation is defined over the loaded volts.

    Examples
    --------
    >>> heater_volts(6.3, 230.0, 220.0, 1.0, 0.05)
    6.59
    """
    return rated * mains / tap * (1 + regulation * (1 - share))


@elementwise
def flux_ratio(mains: Number, tap: Number, frequency: Number, rated_frequency: Number) -> Number:
    """Return the flux in the core over the flux that it was wound for.

    Parameters
    ----------
    mains : float or array
        Mains on the primary, RMS [V]
    tap : float or array
        Volts of the primary tap in use [V]
    frequency : float or array
        Frequency of the mains [Hz]
    rated_frequency : float or array
        Lowest frequency that it was wound for [Hz]

    Returns
    -------
    float or array
        (mains / tap) (rated frequency / frequency) [-]

    Notes
    -----
    Above 1 the magnetising current rises steeply; how steeply depends on what the maker left in hand.

    References
    ----------
    worked: flux follows volts over frequency; amwindow-transformers says the same of saturation.

    Examples
    --------
    >>> flux_ratio(230.0, 240.0, 50.0, 60.0)
    1.15
    """
    return mains / tap * rated_frequency / frequency


@elementwise
def winding_current(
    current: Number, connection: Connection, rectifier: Rectifier, *, choke_input: bool = False
) -> tuple[Number, Number]:
    """Return the RMS current that a rectified winding carries for a direct current, as the lenient and the strict source say.

    Parameters
    ----------
    current : float or array
        Direct current drawn [A]
    connection : {"centre-tap", "bridge", "half-wave"}
        How the winding is used [-]
    rectifier : {"valve", "silicon"}
        What rectifies: a valve's resistance makes the pulses longer and lower [-]
    choke_input : bool
        Whether the filter starts with a choke [-]

    Returns
    -------
    low, high : float or array
        RMS current of the winding, of each half where it is tapped [A]

    Raises
    ------
    ValueError
        If the connection or the rectifier is none of those.

    Notes
    -----
    Sources disagree: into a capacitor 0.8, 1.0 or 1.2 to 1.4 times the direct current for a tapped winding, 1.6 to 2.0
    for a bridge, 2.6 to 3.6 half-wave. The 0.8 is left out: simulations of both rectifiers lie well above it.

    References
    ----------
    hammond: direct over RMS current 1.00, 0.62, 0.28 into a capacitor, 1.54 and 0.94 into a choke. petra-toroid: RMS
    over direct 0.8, 1.8, 2.6. worked: simulated 1.18 with 375 ohm a side, 1.41 and 1.99 with 100 ohm and silicon.

    Examples
    --------
    >>> winding_current(0.080, "centre-tap", "valve")
    (0.08, 0.096)
    """
    try:
        low, high = _FACTORS[connection, rectifier, choke_input]
    except KeyError:
        raise ValueError(
            f"unknown connection {connection!r} of {rectifier!r}, expected centre-tap, bridge or half-wave of valve or silicon"
        ) from None
    return current * low, current * high


@elementwise
def winding_for_rail(
    rail: Number,
    series_resistance: Number,
    current: Number,
    *,
    half_wave: bool = False,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the volts that a winding must give for a rail across the reservoir of a capacitor-input supply.

    Parameters
    ----------
    rail : float or array
        Mean rail wanted under load [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse, a rectifier valve's included [ohm]
    current : float or array
        Direct current drawn [A]
    half_wave : bool
        One pulse a period instead of two [-]
    diode_drop : float or array
        Voltage lost in the diodes in the path [V]

    Returns
    -------
    float or array
        RMS volts off load, one side of the tap [V]

    Notes
    -----
    tan t - t = pi I R / (n V) by halving, then (V / cos t + drop) / sqrt(2): the inverse of `rail_capacitor_input`, with
    its limits.

    References
    ----------
    worked: conduction pulse, see `_pulse`.

    Examples
    --------
    >>> winding_for_rail(320.1, 100.0, 0.060)
    250.0
    """
    wanted = np.pi * current * series_resistance / (pulses_a_period(half_wave) * rail)
    low, high = np.zeros_like(wanted), np.full_like(wanted, np.pi / 2)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        beyond = np.tan(middle) - middle > wanted
        low, high = np.where(beyond, low, middle), np.where(beyond, middle, high)
    angle = np.where(np.isnan(wanted), np.nan, low)
    return (rail / np.cos(angle) + diode_drop) / np.sqrt(2)
