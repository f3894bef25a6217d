"""A mains transformer as iron and copper: power from the core, power of the windings, regulation, resistance.

What the windings give in the set is in ``mains_windings``; heaters on them are in ``heaters``, fuse and
switch-on in ``primary``.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise

_CORE = 0.64e8  # VA / m^4 at 50 Hz: 0.64 A**2 with A in cm2, old steel


@elementwise
def core_rating(area: Number, frequency: Number) -> Number:
    """Return the power that a mains transformer of unknown make can be trusted with, from its core.

    Parameters
    ----------
    area : float or array
        Section of the centre limb, stack times tongue [m^2]
    frequency : float or array
        Mains frequency [Hz]

    Returns
    -------
    float or array
        Sum of what all windings deliver [VA]

    Notes
    -----
    0.64 A**2 with A in cm2 at 50 Hz, in proportion to the frequency; cores of 20 to 500 VA, plates of the valve era. Three
    sources agree within 3 %. Grain-oriented steel carries more.

    References
    ----------
    audiokit-core: formula, 144 VA for 15 cm2. golborne-29783: 26 A**2 in square inches. hazchem-core: 31.1 A**2 at 60 Hz.

    Examples
    --------
    >>> core_rating(15e-4, 50.0)
    144.0
    """
    return _CORE * area**2 * frequency / 50


@elementwise
def core_area(power: Number, frequency: Number) -> Number:
    """Return the core that a power asks for.

    Parameters
    ----------
    power : float or array
        Sum of what all windings deliver [VA]
    frequency : float or array
        Mains frequency [Hz]

    Returns
    -------
    float or array
        Section of the centre limb [m^2]

    Notes
    -----
    The inverse of `core_rating`.

    References
    ----------
    audiokit-core: formula, 15 cm2 for 144 VA.

    Examples
    --------
    >>> core_area(144.0, 50.0)
    15.0e-4
    """
    return np.sqrt(power * 50 / (_CORE * frequency))


@elementwise
def windings_power(ht_volts: Number, ht_current: Number, *heaters: Number) -> Number:
    """Return what a set of windings delivers together.

    Parameters
    ----------
    ht_volts : float or array
        RMS volts across the whole HT winding, or one side of its tap [V]
    ht_current : float or array
        RMS current through all of it, or through both sides of the tap together, not the direct current [A]
    *heaters : float or array
        Volts times amperes of each heater winding [VA]

    Returns
    -------
    float or array
        Sum [VA]

    Notes
    -----
    A rectified winding heats by its RMS current, 1.2 to 1.4 times the direct current a side with a tap and a capacitor:
    `rectification.capacitor_input` gives it.

    References
    ----------
    worked: sum; audiokit-core: 63 VA of heaters and 0.2 A at 400 V fill 144 VA.

    Examples
    --------
    >>> windings_power(400.0, 0.2025, 63.0)
    144.0
    """
    return sum(heaters, ht_volts * ht_current)


@elementwise
def regulation(off_load: Number, loaded: Number) -> Number:
    """Return the regulation of a winding from two readings at the same mains.

    Parameters
    ----------
    off_load : float or array
        Volts with nothing on any winding [V]
    loaded : float or array
        Volts with all windings fully loaded [V]

    Returns
    -------
    float or array
        Rise from full load to none as a fraction [-]

    Notes
    -----
    (V0 - V) / V. Some makers divide by the off-load volts, which gives a smaller figure.

    References
    ----------
    talema: 10 % for 11 V off load and 10 V loaded.

    Examples
    --------
    >>> regulation(11.0, 10.0)
    0.1
    """
    return (off_load - loaded) / loaded


@elementwise
def path_resistance(
    secondary_resistance: Number, primary_resistance: Number, secondary_volts: Number, primary_volts: Number
) -> Number:
    """Return the resistance of a transformer as a load on one winding sees it.

    Parameters
    ----------
    secondary_resistance : float or array
        Copper of the winding, of one side of its tap [ohm]
    primary_resistance : float or array
        Copper of the primary on the tap in use [ohm]
    secondary_volts : float or array
        Volts of that winding off load, of one side of its tap [V]
    primary_volts : float or array
        Volts on the primary then [V]

    Returns
    -------
    float or array
        Resistance [ohm]

    Notes
    -----
    Rs + Rp (Vs / Vp)**2. With the rectifier and a surge limiter it is the resistance in the path of a charging pulse.

    References
    ----------
    worked: impedances go by the square of the turns.

    Examples
    --------
    >>> path_resistance(150.0, 30.0, 250.0, 230.0)
    185.4
    """
    return secondary_resistance + primary_resistance * (secondary_volts / primary_volts) ** 2


@elementwise
def regulation_of_copper(off_load: Number, resistance: Number, current: Number) -> Number:
    """Return the regulation of a winding from the resistance in its way.

    Parameters
    ----------
    off_load : float or array
        Volts with nothing on any winding [V]
    resistance : float or array
        Resistance seen from the winding, see `path_resistance` [ohm]
    current : float or array
        RMS current at full load [A]

    Returns
    -------
    float or array
        Rise from full load to none as a fraction; inf where the copper takes everything [-]

    Notes
    -----
    I R / (V0 - I R), for a load without pulses; what other windings drop in the primary comes on top.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> regulation_of_copper(6.93, 0.3, 2.1)
    0.1
    """
    left = np.maximum(off_load - current * resistance, 0.0)
    return current * resistance / left
