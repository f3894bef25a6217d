"""Capacitors: the frequencies that they set, the stress on them, their energy and their losses.

Series and parallel connection are in ``networks``, and are offered here too.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit.networks import (
    balance_resistor,
    parallel_capacitance,
    parallel_resistance,
    series_capacitance,
    series_shares,
    worst_series_share,
)

__all__ = [
    "balance_resistor",
    "cathode_resistance_seen",
    "corner_frequency",
    "discharge_time",
    "esr_from_tan_delta",
    "parallel_capacitance",
    "parallel_resistance",
    "series_capacitance",
    "series_shares",
    "stored_energy",
    "stress_ratio",
    "tuned_shift",
    "worst_series_share",
]


@elementwise
def corner_frequency(resistance: Number, capacitance: Number) -> Number:
    """Return the frequency at which a resistance and a capacitance pass 3 dB less.

    Parameters
    ----------
    resistance : float or array
        All that the capacitor sees: for coupling the grid leak plus the source [ohm]
    capacitance : float or array
        Capacitance [F]

    Returns
    -------
    float or array
        Corner frequency [Hz]

    Notes
    -----
    1 / (2 pi R C).

    References
    ----------
    worked: first-order section.

    Examples
    --------
    >>> corner_frequency(470e3, 0.01e-6)
    33.86
    """
    return 1 / (2 * np.pi * resistance * capacitance)


@elementwise
def cathode_resistance_seen(
    cathode_resistor: Number,
    transconductance: Number | None = None,
    *,
    mu: Number | None = None,
    anode_resistance: Number | None = None,
    anode_load: Number | None = None,
) -> Number:
    """Return the resistance that a cathode bypass capacitor sees.

    Parameters
    ----------
    cathode_resistor : float or array
        Cathode resistor [ohm]
    transconductance : float or array, optional
        Transconductance, enough for a pentode [S]
    mu : float or array, optional
        Amplification factor of a triode, with the two that follow; used before `transconductance` [-]
    anode_resistance : float or array, optional
        Anode resistance of the triode [ohm]
    anode_load : float or array, optional
        Anode load of the triode [ohm]

    Returns
    -------
    float or array
        Cathode resistor in parallel with the cathode itself [ohm]

    Raises
    ------
    ValueError
        If the triode's three are given in part, or neither they nor the transconductance.

    Notes
    -----
    Triode: Rk || (ra + Ra) / (mu + 1). Pentode: Rk || 1 / gm, which neglects its anode resistance and screen current.

    References
    ----------
    gdiy, aasyk: corner of the cathode bypass.

    Examples
    --------
    >>> cathode_resistance_seen(150.0, 11.3e-3)
    55.7
    >>> cathode_resistance_seen(1500.0, mu=100.0, anode_resistance=62.5e3, anode_load=100e3)
    776.
    """
    if mu is not None and anode_resistance is not None and anode_load is not None:
        return parallel_resistance(cathode_resistor, (anode_resistance + anode_load) / (mu + 1))
    if not (mu is None and anode_resistance is None and anode_load is None):
        raise ValueError("a triode given in part, expected mu, anode_resistance and anode_load together")
    if transconductance is None:
        raise ValueError("no valve given, expected transconductance, or mu, anode_resistance and anode_load")
    return parallel_resistance(cathode_resistor, 1 / transconductance)


@elementwise
def stress_ratio(dc: Number, ac_rms: Number, rating: Number) -> Number:
    """Return the voltage on a capacitor as a fraction of its rating.

    Parameters
    ----------
    dc : float or array
        Direct voltage [V]
    ac_rms : float or array
        RMS alternating voltage on top, taken as a sine [V]
    rating : float or array
        Rated DC voltage [V]

    Returns
    -------
    float or array
        Stress over rating; above 1 the rating is exceeded [-]

    Notes
    -----
    (Vdc + sqrt(2) Vac) / Vr. It says nothing about use across the mains, which a DC rating never covers.

    References
    ----------
    ptc: definition of the voltage ratio.

    Examples
    --------
    >>> stress_ratio(200.0, 30.0, 400.0)
    0.606
    """
    return (dc + np.sqrt(2) * ac_rms) / rating


@elementwise
def stored_energy(c: Number, v: Number) -> Number:
    """Return the energy in a charged capacitor.

    Parameters
    ----------
    c : float or array
        Capacitance [F]
    v : float or array
        Voltage across it [V]

    Returns
    -------
    float or array
        Energy [J]

    Notes
    -----
    C V**2 / 2.

    References
    ----------
    worked: work to charge it.

    Examples
    --------
    >>> stored_energy(50e-6, 350.0)
    3.06
    """
    return c * v**2 / 2


@elementwise
def discharge_time(r: Number, c: Number, start: Number, end: Number) -> Number:
    """Return how long a resistor needs to bring a capacitor down to a voltage.

    Parameters
    ----------
    r : float or array
        Resistor across it [ohm]
    c : float or array
        Capacitance [F]
    start : float or array
        Voltage at the beginning [V]
    end : float or array
        Voltage to reach [V]

    Returns
    -------
    float or array
        Time; 0 if it is there already, inf to reach 0 V [s]

    Notes
    -----
    R C ln(V0 / Vt). What creeps back out of the dielectric afterwards is neglected: measure, and keep it shorted.

    References
    ----------
    worked: exponential decay.

    Examples
    --------
    >>> discharge_time(10e3, 50e-6, 350.0, 60.0)
    0.88
    """
    return r * c * np.where(start <= end, 0.0, np.log(start / end))


@elementwise
def esr_from_tan_delta(tan_delta: Number, c: Number, f: Number) -> Number:
    """Return the series resistance that belongs to a loss factor.

    Parameters
    ----------
    tan_delta : float or array
        Loss factor [-]
    c : float or array
        Capacitance [F]
    f : float or array
        Frequency at which the loss factor holds, mostly 100 or 120 Hz for electrolytics [Hz]

    Returns
    -------
    float or array
        Equivalent series resistance [ohm]

    Notes
    -----
    tan d / (2 pi f C). At the 100 kHz of most ESR meters a good electrolytic reads several times less.

    References
    ----------
    v038: formula; pana: limits of the loss factor.

    Examples
    --------
    >>> esr_from_tan_delta(0.20, 8e-6, 120.0)
    33.2
    """
    return tan_delta / (2 * np.pi * f * c)


@elementwise
def tuned_shift(relative_change: Number) -> Number:
    """Return by how much a tuned circuit shifts when its total capacitance changes.

    Parameters
    ----------
    relative_change : float or array
        Change of the total capacitance, strays included, as a fraction [-]

    Returns
    -------
    float or array
        Change of the resonant frequency as a fraction; NaN for a capacitance below nothing [-]

    Notes
    -----
    1 / sqrt(1 + x) - 1, without loss of digits for a small x. About -x / 2.

    References
    ----------
    worked: resonance at 1 / (2 pi sqrt(L C)).

    Examples
    --------
    >>> tuned_shift(0.10)
    -0.0465
    """
    return np.expm1(-0.5 * np.log1p(relative_change))
