"""Potentiometers: the law of the track, what a load or a resistor across it does to the law, what part of a track bears."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise


@elementwise
def taper_base(mid: Number) -> Number:
    """Return the base of the exponential law that passes through a given fraction at half rotation.

    Parameters
    ----------
    mid : float or array
        Fraction of the track below the wiper at half rotation, between 0 and 1 [-]

    Returns
    -------
    float or array
        Base; 1 for a linear law, above it logarithmic, below it antilogarithmic [-]

    Notes
    -----
    (1 / mid - 1)^2.

    References
    ----------
    worked: the exponential law solved at half rotation.

    Examples
    --------
    >>> taper_base(0.10)
    81.0
    """
    return (1 / mid - 1) ** 2


@elementwise
def exponential_taper(rotation: Number, mid: Number) -> Number:
    """Return the fraction of an ideal track below the wiper.

    Parameters
    ----------
    rotation : float or array
        Rotation as a fraction of the whole, from the cold end [-]
    mid : float or array
        The fraction at half rotation: 0.5 linear, 0.10 to 0.15 logarithmic, 0.85 to 0.90 antilogarithmic [-]

    Returns
    -------
    float or array
        Fraction of the track between cold end and wiper [-]

    Notes
    -----
    (b^x - 1) / (b - 1) with b = (1 / mid - 1)^2; x itself where mid is 0.5. Dead travel at the ends is left out.

    References
    ----------
    worked: smooth law; real tracks are two straight pieces (rick), see `two_piece_taper`.

    Examples
    --------
    >>> exponential_taper(0.25, 0.10)
    0.025
    """
    base = taper_base(mid)
    return np.where(np.abs(base - 1) < 1e-9, rotation + 0 * base, (base**rotation - 1) / (base - 1))


@elementwise
def two_piece_taper(rotation: Number, mid: Number) -> Number:
    """Return the fraction of a commercial track below the wiper: two straight pieces that meet at half rotation.

    Parameters
    ----------
    rotation : float or array
        Rotation as a fraction of the whole, from the cold end [-]
    mid : float or array
        The fraction at half rotation [-]

    Returns
    -------
    float or array
        Fraction of the track between cold end and wiper [-]

    Notes
    -----
    2 mid x up to half, 1 - 2 (1 - mid) (1 - x) above. Tracks of three pieces exist.

    References
    ----------
    rick: commercial logarithmic tracks are two linear segments; the formula is worked.

    Examples
    --------
    >>> two_piece_taper(0.75, 0.10)
    0.55
    """
    return np.where(rotation <= 0.5, 2 * mid * rotation, 1 - 2 * (1 - mid) * (1 - rotation))


@elementwise
def level(fraction: Number) -> Number:
    """Return a fraction of the volts in decibels.

    Parameters
    ----------
    fraction : float or array
        Fraction of the volts [-]

    Returns
    -------
    float or array
        Level, 0 at full up [dB]

    Notes
    -----
    20 log10.

    References
    ----------
    worked: definition.

    Examples
    --------
    >>> level(0.10)
    -20.0
    """
    return 20 * np.log10(fraction)


@elementwise
def loaded_fraction(fraction: Number, load: Number) -> Number:
    """Return the fraction of the volts at a wiper that is loaded to the cold end.

    Parameters
    ----------
    fraction : float or array
        Fraction of the track below the wiper [-]
    load : float or array
        Load from wiper to cold end over the resistance of the track [-]

    Returns
    -------
    float or array
        Volts at the wiper over volts at the top [-]

    Notes
    -----
    x k / (k + x (1 - x)). For a track of another law, x is that law's fraction, not the rotation.

    References
    ----------
    worked: the loaded divider.

    Examples
    --------
    >>> loaded_fraction(0.5, 1 / 16)
    0.10
    """
    return fraction * load / (load + fraction * (1 - fraction))


@elementwise
def loaded_taper(rotation: Number, mid: Number, load: Number) -> Number:
    """Return the law that is left of a track when its wiper is loaded.

    Parameters
    ----------
    rotation : float or array
        Rotation as a fraction of the whole [-]
    mid : float or array
        Fraction of the track at half rotation [-]
    load : float or array
        Load from wiper to cold end over the resistance of the track [-]

    Returns
    -------
    float or array
        Volts at the wiper over volts at the top [-]

    Notes
    -----
    The exponential law, then the loaded divider. A volume control that feeds a low grid leak or a low input is such a track.

    References
    ----------
    worked: `exponential_taper` into `loaded_fraction`.

    Examples
    --------
    >>> loaded_taper(0.5, 0.5, 0.5)
    0.333
    """
    return loaded_fraction(exponential_taper(rotation, mid), load)


@elementwise
def load_for_mid(mid: Number) -> Number:
    """Return the load that pulls a linear track down to a given fraction at half rotation.

    Parameters
    ----------
    mid : float or array
        Volts wanted at half rotation over volts at the top, below 0.5 [-]

    Returns
    -------
    float or array
        Load from wiper to cold end over the resistance of the track [-]

    Notes
    -----
    mid / (4 (0.5 - mid)). What it costs is `loaded_input`: a source of high resistance cannot drive it, so that a log volume
    control behind a detector is not made in this way.

    References
    ----------
    worked: the loaded divider solved at half rotation. k0cq calls a load of half to one track nearly logarithmic; it is not.

    Examples
    --------
    >>> load_for_mid(0.15)
    0.1071
    """
    return mid / (4 * (0.5 - mid))


@elementwise
def loaded_input(track: Number, load: Number) -> Number:
    """Return what the source sees of a loaded control that is full up.

    Parameters
    ----------
    track : float or array
        Resistance of the track [ohm]
    load : float or array
        Load from wiper to cold end over the resistance of the track [-]

    Returns
    -------
    float or array
        Input resistance, the least of the whole travel [ohm]

    Notes
    -----
    R k / (1 + k).

    References
    ----------
    worked: track and load side by side.

    Examples
    --------
    >>> loaded_input(500e3, 1 / 16)
    29.4e3
    """
    return track * load / (1 + load)


@elementwise
def across_track(track: Number, wanted: Number) -> Number:
    """Return the resistor that brings a track down to the resistance wanted, end to end.

    Parameters
    ----------
    track : float or array
        Resistance of the track [ohm]
    wanted : float or array
        Resistance wanted, less than the track's [ohm]

    Returns
    -------
    float or array
        Resistor across the whole track; inf for a track that is right, NaN for one that is too low [ohm]

    Notes
    -----
    R W / (R - W). As a divider the track keeps its law; as a variable resistor it does not, see `shunted_rheostat`.

    References
    ----------
    worked: conductances subtract.

    Examples
    --------
    >>> across_track(1e6, 500e3)
    1e6
    """
    return np.where(track < wanted, np.nan, track * wanted / (track - wanted))


@elementwise
def shunted_rheostat(fraction: Number, track: Number, across: Number) -> Number:
    """Return a variable resistor with a fixed one from its wiper to the end in use.

    Parameters
    ----------
    fraction : float or array
        Fraction of the track in use [-]
    track : float or array
        Resistance of the track [ohm]
    across : float or array
        The fixed resistor [ohm]

    Returns
    -------
    float or array
        Resistance of both [ohm]

    Notes
    -----
    x R A / (x R + A): the law is bent, most of the change comes early.

    References
    ----------
    worked: the two side by side. sony97: a resistor across a rheostat bends the law the wrong way.

    Examples
    --------
    >>> shunted_rheostat(0.5, 100e3, 100e3)
    33.3e3
    """
    used = fraction * track
    return used * across / (used + across)


@elementwise
def track_current(power: Number, resistance: Number) -> Number:
    """Return the current that any part of a track bears.

    Parameters
    ----------
    power : float or array
        Rated power of the whole track [W]
    resistance : float or array
        Resistance of the whole track [ohm]

    Returns
    -------
    float or array
        Current, end to end or through the wiper [A]

    Notes
    -----
    sqrt(P / R): a part of the track bears its share of the power, so that the current is the same whatever part is in use. The
    wiper of a carbon track wants less; no figure was found.

    References
    ----------
    ital: a tapped resistor carries only the pro-rata power; the rest is worked.

    Examples
    --------
    >>> track_current(0.25, 50e3)
    2.24e-3
    """
    return np.sqrt(power / resistance)
