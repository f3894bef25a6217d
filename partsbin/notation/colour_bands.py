"""Bands on tubular ceramics and moulded papers, tantalum beads, striped polyester: all from memory, and therefore never sure."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partsbin.notation.codes import Limits, ceramic_code
from partsbin.notation.colour import DIGITS, MULTIPLIERS
from partsbin.notation.colour_dots import DOT_TOLERANCES, PICO, Painted, either_way, number, pico, within

_MICRO = Decimal("1E-6")
_LARGEST = Decimal("1E-5")  # farad: of paper and polyester
_FROM_MEMORY = "from memory"

_DRIFTS = {
    "black": "C0G", "brown": "N033", "red": "N075", "orange": "N150", "yellow": "N220", "green": "N330", "blue": "N470",
    "violet": "N750", "grey": "P030", "gold": "P100",
}  # fmt: skip
_CERAMIC_POWERS = {
    **{colour: MULTIPLIERS[colour] for colour in ("black", "brown", "red", "orange", "yellow")},
    "grey": Decimal("0.01"),
    "white": Decimal("0.1"),
}
_CERAMIC_PERCENT = {
    "black": Decimal(20), "brown": Decimal(1), "red": Decimal(2), "orange": Decimal("2.5"), "green": Decimal(5), "white": Decimal(10),
}  # fmt: skip
_CERAMIC_PICO = {
    "black": Decimal(2), "brown": Decimal("0.1"), "green": Decimal("0.5"), "grey": Decimal("0.25"), "white": Decimal(1),
}  # fmt: skip
_TEN_PICO = Decimal("1E-11")

_BEAD_POWERS = {
    "black": Decimal(1), "brown": Decimal(10), "red": Decimal(100), "grey": Decimal("0.01"), "white": Decimal("0.1"),
}  # fmt: skip
_BEAD_VOLTS = {
    "white": Decimal(3), "yellow": Decimal("6.3"), "black": Decimal(10), "green": Decimal(16), "blue": Decimal(20),
    "grey": Decimal(25), "pink": Decimal(35),
}  # fmt: skip
_STRIPE_PERCENT = {"black": 20, "white": 10, "green": 5}
_STRIPE_VOLTS = {"brown": Decimal(100), "red": Decimal(250), "yellow": Decimal(400)}


def ceramic_bands(bands: Sequence[str]) -> list[Painted]:
    """Read three, five or six bands of a tubular ceramic capacitor.

    Parameters
    ----------
    bands : sequence of str
        Digits and multiplier; of five, the temperature coefficient before and the tolerance behind them; of six, the coefficient
        takes two.

    Returns
    -------
    list of Painted
        One, or none; never sure.

    References
    ----------
    From memory.

    Examples
    --------
    >>> way = ceramic_bands(["violet", "yellow", "violet", "brown", "white"])[0]
    >>> str(way.capacitance), way.coefficient
    ('4.70E-10', 'U2J')
    """
    if len(bands) not in (3, 5, 6):
        return []
    *drift, first, second, power = bands if len(bands) == 3 else bands[:-1]
    value = number((first, second), power, _CERAMIC_POWERS, PICO)
    if value is None:
        return []
    code = ceramic_code(_DRIFTS[drift[0]]) if len(drift) == 1 and drift[0] in _DRIFTS else None
    limits: Limits | None = None
    if len(bands) > 3:
        small = value <= _TEN_PICO
        table = _CERAMIC_PICO if small else _CERAMIC_PERCENT
        if bands[-1] not in table:
            return []
        limit = table[bands[-1]]
        limits = either_way(limit * 100 * PICO / value if small else limit)
    said = "" if code or not drift else f", {' '.join(drift)} as temperature coefficient is not read"
    notes = (f"{len(bands)} bands of tubular ceramics ({_FROM_MEMORY}){said}",)
    made = code.dielectric if code else "ceramic"
    return within(Painted(value, limits, None, notes, dielectric=made, coefficient=code.code if code else ""))


def paper_bands(bands: Sequence[str]) -> list[Painted]:
    """Read five or six bands of a moulded paper tubular.

    Parameters
    ----------
    bands : sequence of str
        Digit, digit, multiplier, tolerance, hundreds of volts; two bands for those above 900 V.

    Returns
    -------
    list of Painted
        One, or none; never sure.

    References
    ----------
    From memory.

    Examples
    --------
    >>> way = paper_bands(["red", "red", "orange", "silver", "yellow"])[0]
    >>> str(way.capacitance), str(way.voltage)
    ('2.2E-8', '400')
    """
    if len(bands) not in (5, 6) or bands[3] not in DOT_TOLERANCES or not all(band in DIGITS for band in bands[4:]):
        return []
    value, hundreds = pico(bands[:2], bands[2]), int("".join(str(DIGITS[band]) for band in bands[4:]))
    if value is None or not hundreds or value > _LARGEST:
        return []
    limits = either_way(DOT_TOLERANCES[bands[3]])
    notes = (f"{len(bands)} bands of moulded paper ({_FROM_MEMORY})",)
    return [Painted(value, limits, Decimal(100 * hundreds), notes, dielectric="paper-moulded")]


def tantalum_bead(colours: Sequence[str]) -> list[Painted]:
    """Read a tantalum bead: two bands, the spot, and the band of the volts.

    Parameters
    ----------
    colours : sequence of str
        Digit, digit, multiplier in microfarads; volts, if there are four.

    Returns
    -------
    list of Painted
        One, or none; never sure.

    References
    ----------
    From memory.

    Examples
    --------
    >>> way = tantalum_bead(["yellow", "violet", "white", "pink"])[0]
    >>> str(way.capacitance), str(way.voltage)
    ('0.0000047', '35')
    """
    if len(colours) not in (3, 4) or (len(colours) == 4 and colours[3] not in _BEAD_VOLTS):
        return []
    value = number(colours[:2], colours[2], _BEAD_POWERS, _MICRO)
    if value is None:
        return []
    volts = _BEAD_VOLTS[colours[3]] if len(colours) == 4 else None
    notes = (f"tantalum bead, bands, spot and volts ({_FROM_MEMORY}); the spot towards you, positive is on the right",)
    return [Painted(value, None, volts, notes, dielectric="tantalum")]


def polyester_stripes(bands: Sequence[str]) -> list[Painted]:
    """Read three or five stripes of a dipped polyester capacitor.

    Parameters
    ----------
    bands : sequence of str
        From the top: digit, digit, multiplier in picofarads, tolerance, volts; or the first three.

    Returns
    -------
    list of Painted
        One, or none; never sure.

    References
    ----------
    From memory.

    Examples
    --------
    >>> str(polyester_stripes(["brown", "black", "yellow", "white", "red"])[0].voltage)
    '250'
    """
    whole = len(bands) == 5
    if not (len(bands) == 3 or (whole and bands[3] in _STRIPE_PERCENT and bands[4] in _STRIPE_VOLTS)):
        return []
    value = pico(bands[:2], bands[2])
    if value is None or value > _LARGEST:
        return []
    limits = either_way(Decimal(_STRIPE_PERCENT[bands[3]])) if whole else None
    volts = _STRIPE_VOLTS[bands[4]] if whole else None
    notes = (f"{len(bands)} stripes of dipped polyester ({_FROM_MEMORY})",)
    return [Painted(value, limits, volts, notes, dielectric="film-polyester")]
