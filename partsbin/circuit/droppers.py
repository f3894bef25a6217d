"""Self-bias and series heaters: the cathode's resistor, the dropper of a chain, resistive and capacitive."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise


@elementwise
def cathode_resistor(bias: Number, anode_current: Number, screen_current: Number) -> Number:
    """Return the resistor in the cathode lead that gives a valve its bias.

    Parameters
    ----------
    bias : float or array
        Grid bias at the working point; its sign is of no account [V]
    anode_current : float or array
        Anode current at the working point [A]
    screen_current : float or array
        Screen current, 0 for a triode [A]

    Returns
    -------
    float or array
        Cathode resistor [ohm]

    Notes
    -----
    |Vg1| / (Ia + Ig2), one valve. Valves that share a resistor add their currents.

    References
    ----------
    worked: Ohm's law at the working point of the valve's sheet.

    Examples
    --------
    >>> cathode_resistor(-7.3, 48e-3, 5.5e-3)
    136.4
    """
    return np.abs(bias) / (anode_current + screen_current)


@elementwise
def dropper_resistance(mains: Number, heaters: Number, current: Number) -> Number:
    """Return the resistor that takes up what the heaters of a series chain leave of the mains.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    heaters : float or array
        Sum of the heater volts, lamps included [V]
    current : float or array
        Current of the chain [A]

    Returns
    -------
    float or array
        Resistance; 0 or less where the chain needs no dropper [ohm]

    Notes
    -----
    (Vm - Vh) / I, mains fed straight to the chain. Behind a half-wave diode the RMS voltage is Vm / sqrt(2), not half.

    References
    ----------
    vr-dropper: formula and the chain of 117 V.

    Examples
    --------
    >>> dropper_resistance(240.0, 116.6, 0.1)
    1234.0
    """
    return (mains - heaters) / current


@elementwise
def chain_current(mains: Number, dropper: Number, heaters: Number, current: Number) -> Number:
    """Return the current of a heater chain with a given dropper at a given mains.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    dropper : float or array
        Resistance of the dropper [ohm]
    heaters : float or array
        Sum of the heater volts at rated current [V]
    current : float or array
        Rated current of the chain [A]

    Returns
    -------
    float or array
        Current [A]

    Notes
    -----
    Vm / (R + Vh / I): heaters taken as resistors of their hot value. Real ones rise with the current, so that it moves less.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> chain_current(253.0, 1230.0, 116.6, 0.1)
    0.1056
    """
    return mains / (dropper + heaters / current)


@elementwise
def capacitive_dropper(mains: Number, heaters: Number, current: Number, frequency: Number) -> Number:
    """Return the capacitor that takes the place of a heater chain's dropper, on AC only.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    heaters : float or array
        Sum of the heater volts [V]
    current : float or array
        Current of the chain [A]
    frequency : float or array
        Mains frequency [Hz]

    Returns
    -------
    float or array
        Capacitance; inf where the chain needs no dropper [F]

    Notes
    -----
    Xc = sqrt(Vm^2 - Vh^2) / I, since the volts of a capacitor stand at right angles to those of the heaters; taking the
    resistor's ohms for Xc overheats the valves. The part must be made for the mains, and the switch-on surge limited.

    References
    ----------
    cool2: that the ohms may not be taken over; the figure is worked here.

    Examples
    --------
    >>> capacitive_dropper(240.0, 117.0, 0.1, 50.0)
    1.519e-6
    """
    reactance = np.sqrt(np.maximum(mains**2 - heaters**2, 0.0)) / current
    return 1 / (2 * np.pi * frequency * reactance)
