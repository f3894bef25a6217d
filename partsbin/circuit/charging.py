"""What a rectifier has to bear: the surge into an empty reservoir, the least resistance, the largest reservoir."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP
from partsbin.circuit.rectification import Connection, capacitor_input

_SMALLEST, _LARGEST = 1e-7, 1e-2  # F, between which a reservoir is sought
_HALVINGS = 24
_SAMPLES = 256


@elementwise
def switch_on_surge(
    secondary_rms: Number, series_resistance: Number, capacitance: Number, frequency: Number
) -> tuple[Number, Number]:
    """Return the crest of the current into an empty reservoir, switched on at a crossing and at a crest of the mains.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding at the highest mains, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse [ohm]
    capacitance : float or array
        Reservoir [F]
    frequency : float or array
        Frequency of the mains [Hz]

    Returns
    -------
    mild : float or array
        Switched on as the mains cross zero [A]
    worst : float or array
        Switched on at a crest; inf without any resistance [A]

    Notes
    -----
    At a crossing the crest of P w C (cos x + q sin x - exp(-x / q)) / (1 + q**2), q = w R C; at a crest P / R. Silicon, or
    a valve switched on hot; a cold valve warms up into it. The drop of the rectifier is left out, to be on the safe side.

    References
    ----------
    worked: capacitor and resistor switched on to a sine.

    Examples
    --------
    >>> switch_on_surge(250.0, 100.0, 32e-6, 50.0)
    (1.80, 3.54)
    """
    peak = np.sqrt(2) * secondary_rms
    q = 2 * np.pi * frequency * series_resistance * capacitance
    x = np.linspace(0.0, np.pi, _SAMPLES)[1:]
    wide = np.maximum(q, 1e-12)[..., None]
    flow = (np.cos(x) + wide * np.sin(x) - np.exp(-x / wide)) / (1 + wide**2)
    mild = peak * 2 * np.pi * frequency * capacitance * flow.max(axis=-1)
    return mild, np.where(np.isnan(mild), np.nan, peak / series_resistance)


@elementwise
def least_resistance(secondary_rms: Number, limit: Number) -> Number:
    """Return the resistance in the path of a pulse that keeps the worst surge within what a rectifier stands.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding at the highest mains, one side of the tap [V]
    limit : float or array
        Surge that the rectifier stands [A]

    Returns
    -------
    float or array
        Resistance [ohm]

    Notes
    -----
    sqrt(2) V / I. Where the sheet of a valve gives a least resistance, that holds.

    References
    ----------
    worked: Ohm's law; ge-6x4: 1.1 A for 0.2 s.

    Examples
    --------
    >>> least_resistance(325.0, 1.1)
    417.8
    """
    return np.sqrt(2) * secondary_rms / limit


@elementwise
def largest_reservoir(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    frequency: Number,
    limit: Number,
    connection: Connection = "centre-tap",
    *,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the largest reservoir with which the repeated crest stays within what a rectifier stands.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding at the highest mains, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse, the valve's included [ohm]
    current : float or array
        Direct current drawn [A]
    frequency : float or array
        Frequency of the mains [Hz]
    limit : float or array
        Peak current that the rectifier stands in every period [A]
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected [-]
    diode_drop : float or array
        Voltage lost in one rectifier, 0 for a valve [V]

    Returns
    -------
    float or array
        Reservoir; inf where none is too large, 0 where every one is, NaN where the winding cannot deliver [F]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    By halving between 0.1 uF and 10 mF: the crest rises with the reservoir, and soon no more. A sheet's own limit also
    covers the surge at switch-on, and holds where it is lower.

    References
    ----------
    worked: `rectification.capacitor_input`.

    Examples
    --------
    >>> largest_reservoir(250.0, 100.0, 0.0782, 50.0, 0.380)
    11.2e-6
    """
    winding, resistance, drawn, mains, most, drop = np.broadcast_arrays(
        secondary_rms, series_resistance, current, frequency, limit, diode_drop
    )

    def crest(reservoir: Number) -> Number:
        return capacitor_input(winding, resistance, drawn, reservoir, mains, connection, diode_drop=drop)[3]

    small, large = np.full(winding.shape, np.log(_SMALLEST)), np.full(winding.shape, np.log(_LARGEST))
    at_most = crest(np.exp(large))
    for _ in range(_HALVINGS):
        middle = (small + large) / 2
        over = crest(np.exp(middle)) > most  # no crest: so small that the rectifier never rests, and not too large
        small, large = np.where(over, small, middle), np.where(over, middle, large)
    within = crest(np.exp(small)) <= most
    found = np.where(at_most <= most, np.inf, np.where(within, np.exp(small), 0.0))
    return np.where(np.isnan(at_most + most), np.nan, found)
