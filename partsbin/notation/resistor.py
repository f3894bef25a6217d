"""A resistor's description to its fields: one sure reading, several with the reason, or none."""

from __future__ import annotations

from partsbin.notation.reading import Reading


def read_resistor(text: str) -> list[Reading]:
    """Read the description of a resistor.

    Parameters
    ----------
    text : str
        Such as ``470k 1/2W composition``.

    Returns
    -------
    list of Reading
        Empty if nothing in the text speaks of a resistor; several if it can be read in several ways, the likelier first.
    """
    return []
