"""Output and line transformers: what the valve sees, what reaches the loudspeaker, and what the iron and copper bear.

Words: *ratio* is primary turns to secondary turns; *load* is what hangs on the secondary; *optimum* is what the valve
wants. Floats or numpy arrays; a value not known (NaN) makes the result unknown. Core loss, leakage inductance and
winding capacitance are neglected throughout: the formulas hold in mid-band. Finding and measuring a ratio is in
``ratio``, and is offered here too.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit.ratio import (
    best_ratio,
    magnetising_error,
    ratio_from_impedances,
    ratio_interval,
    secondary_for_ratio,
    test_band,
    turns_ratio,
)

__all__ = [
    "bass_corner",
    "best_ratio",
    "core_power",
    "dc_drop",
    "dc_loss",
    "efficiency",
    "half_primary",
    "insertion_loss",
    "line_impedance",
    "load_with_copper",
    "magnetising_error",
    "mismatch_power",
    "push_pull_load",
    "ratio_from_impedances",
    "ratio_interval",
    "reflected_load",
    "secondary_for_ratio",
    "test_band",
    "turns_ratio",
]

_VA_PER_CM4 = 0.64  # at 50 Hz, centre limb squared


@elementwise
def reflected_load(ratio: Number, load: Number) -> Number:
    """Return what the primary shows of a load on the secondary, copper left out.

    Parameters
    ----------
    ratio : float or array
        Primary turns to secondary turns [-].
    load : float or array
        Impedance on the secondary [ohm].

    Returns
    -------
    float or array
        N^2 Zs [ohm].

    Notes
    -----
    A ratio in error by x is a load in error by about 2 x.

    References
    ----------
    R. G. Keen, Tube Amp FAQ (1999): a transformer has an impedance ratio, not an impedance.

    Examples
    --------
    >>> reflected_load(20.0, 8.0)
    3200.0
    """
    return ratio**2 * load


@elementwise
def load_with_copper(ratio: Number, load: Number, primary_resistance: Number, secondary_resistance: Number) -> Number:
    """Return the load that the valve sees, copper of both windings included.

    Parameters
    ----------
    ratio : float or array
        Primary turns to secondary turns [-].
    load : float or array
        Impedance on the secondary [ohm].
    primary_resistance : float or array
        Resistance of the primary [ohm].
    secondary_resistance : float or array
        Resistance of the secondary [ohm].

    Returns
    -------
    float or array
        N^2 (Zs + Rs) + Rp [ohm].

    References
    ----------
    ampbooks.com, transformer page (the model only).

    Examples
    --------
    >>> load_with_copper(36.0, 4.0, 350.0, 0.4)
    6052.4
    """
    return ratio**2 * (load + secondary_resistance) + primary_resistance


@elementwise
def efficiency(ratio: Number, load: Number, primary_resistance: Number, secondary_resistance: Number) -> Number:
    """Return the share of the valve's power that reaches the load.

    Parameters
    ----------
    ratio : float or array
        Primary turns to secondary turns [-].
    load : float or array
        Impedance on the secondary [ohm].
    primary_resistance : float or array
        Resistance of the primary [ohm].
    secondary_resistance : float or array
        Resistance of the secondary [ohm].

    Returns
    -------
    float or array
        N^2 Zs / (N^2 (Zs + Rs) + Rp) [-].

    Notes
    -----
    Copper only; from memory, and the iron takes more at low frequencies.

    Examples
    --------
    >>> round(efficiency(36.0, 4.0, 350.0, 0.4), 3)
    0.857
    """
    return ratio**2 * load / (ratio**2 * (load + secondary_resistance) + primary_resistance)


@elementwise
def insertion_loss(efficiency: Number) -> Number:
    """Return an efficiency as a loss.

    Parameters
    ----------
    efficiency : float or array
        Share of the power that gets through [-].

    Returns
    -------
    float or array
        10 log10(1 / efficiency) [dB].

    Examples
    --------
    >>> round(insertion_loss(0.857), 2)
    0.67
    """
    return 10 * np.log10(np.divide(1.0, efficiency))


@elementwise
def mismatch_power(actual: Number, optimum: Number) -> Number:
    """Return the share of full power that is left when the load is not the optimum.

    Parameters
    ----------
    actual : float or array
        Load that the valve sees [ohm].
    optimum : float or array
        Load that gives full power [ohm].

    Returns
    -------
    float or array
        k below 1, 1/k above, with k = actual / optimum [-].

    Notes
    -----
    Ideal class-A pentode, limited by current below the optimum and by voltage above. Distortion is another matter: the
    load of most power and the load of least distortion differ.

    References
    ----------
    R. G. Keen, Tube Amp FAQ (1999): about half the power at 2:1 either way.

    Examples
    --------
    >>> mismatch_power(2600.0, 5200.0)
    0.5
    """
    k = np.divide(actual, optimum)
    return np.minimum(k, np.divide(1.0, k))


@elementwise
def half_primary(impedance: Number) -> Number:
    """Return the impedance of one half of a centre-tapped primary, the other half left open.

    Parameters
    ----------
    impedance : float or array
        Impedance of the whole primary, anode to anode [ohm].

    Returns
    -------
    float or array
        A quarter of the whole: half the turns [ohm].

    Examples
    --------
    >>> half_primary(8000.0)
    2000.0
    """
    return impedance / 4


@elementwise
def push_pull_load(half: Number) -> Number:
    """Return the anode-to-anode load of which one half of the primary is a quarter.

    Parameters
    ----------
    half : float or array
        Impedance that one half of the primary shows alone [ohm].

    Returns
    -------
    float or array
        Four times the half [ohm].

    Notes
    -----
    A valve sees the half alone only while the other is cut off (class B); while both conduct (class A) it sees twice
    that.

    Examples
    --------
    >>> push_pull_load(2000.0)
    8000.0
    """
    return 4 * half


@elementwise
def line_impedance(volts: Number, power: Number) -> Number:
    """Return the impedance that takes a power from a loudspeaker line.

    Parameters
    ----------
    volts : float or array
        RMS volts of the line at full power, such as 100 or 70.7 [V].
    power : float or array
        Power of the tap [W].

    Returns
    -------
    float or array
        V^2 / W [ohm].

    Examples
    --------
    >>> line_impedance(100.0, 5.0)
    2000.0
    """
    return np.divide(volts**2, power)


@elementwise
def dc_drop(current: Number, resistance: Number) -> Number:
    """Return the volts that a standing current loses in a winding.

    Parameters
    ----------
    current : float or array
        Direct current [A].
    resistance : float or array
        Resistance of the winding [ohm].

    Returns
    -------
    float or array
        I R: the anode stands below the supply by so much, the screen does not [V].

    Examples
    --------
    >>> round(dc_drop(0.048, 350.0), 1)
    16.8
    """
    return current * resistance


@elementwise
def dc_loss(current: Number, resistance: Number) -> Number:
    """Return the power that a standing current turns to heat in a winding.

    Parameters
    ----------
    current : float or array
        Direct current [A].
    resistance : float or array
        Resistance of the winding [ohm].

    Returns
    -------
    float or array
        I^2 R [W].

    Examples
    --------
    >>> round(dc_loss(0.048, 350.0), 2)
    0.81
    """
    return current**2 * resistance


@elementwise
def bass_corner(inductance: Number, source_resistance: Number, load: Number) -> Number:
    """Return the frequency at which the primary inductance has taken 3 dB.

    Parameters
    ----------
    inductance : float or array
        Primary inductance, with the standing current flowing [H].
    source_resistance : float or array
        Anode resistance of the valve; infinite for an ideal pentode [ohm].
    load : float or array
        Load that the primary shows [ohm].

    Returns
    -------
    float or array
        R / (2 pi L), R the two resistances in parallel [Hz].

    References
    ----------
    amwindow.org, transformer notes: the same with the load on the secondary, rg Rl / (2 pi Lp (n^2 rg + Rl)).

    Examples
    --------
    >>> round(bass_corner(8.0, 40e3, 5200.0), 1)
    91.5
    """
    parallel = np.divide(1.0, np.divide(1.0, source_resistance) + np.divide(1.0, load))
    return parallel / (2 * np.pi * inductance)


@elementwise
def core_power(area: Number, frequency: Number) -> Number:
    """Return the power that a core of laminations carries, estimated from its centre limb.

    Parameters
    ----------
    area : float or array
        Section of the centre limb, stack times tongue [m^2].
    frequency : float or array
        Lowest frequency of full power [Hz].

    Returns
    -------
    float or array
        0.64 A^2 with A in square centimetres at 50 Hz, in proportion to the frequency [VA].

    Notes
    -----
    E-and-I cores of 20 to 500 VA; modern grain-oriented iron carries more. A gapped single-ended core delivers about
    half (from memory).

    References
    ----------
    audiokit.myftp.org; Reference Data for Radio Engineers, 2nd edition 1946, as quoted on hazchem.smoke.com.au.

    Examples
    --------
    >>> round(core_power(15e-4, 50.0), 1)
    144.0
    """
    return _VA_PER_CM4 * (area * 1e4) ** 2 * frequency / 50
