"""Reading a loudspeaker: ``3 ohm 8in``, ``15Ω 10W 12"``, ``Lautsprecher 4 Ohm 13x18 cm``, ``field coil 1k2 60mA 8 inch``."""

from __future__ import annotations

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

WORDS = {
    **CONDITION,
    **dict.fromkeys(
        (
            *("loudspeaker", "speaker", "lautsprecher", "ls", "pm speaker", "driver unit", "chassis lautsprecher"),
            *("tweeter", "woofer", "full range", "elliptical", "oval", "hochtöner", "tieftöner", "breitbänder"),
        ),
        ("noun", "loudspeaker"),
    ),
    **dict.fromkeys(
        (
            *("field", "field coil", "energised", "energized", "mains energised", "feldspule", "elektrodynamisch"),
            *("electrodynamic", "electro dynamic", "fremderregt", "fremderregter", "erregerspule", "field wound"),
        ),
        ("field", "yes"),
    ),
    **dict.fromkeys(
        (
            *("pm", "permanent", "permanent magnet", "permanentmagnet", "permanent dynamisch", "permanentdynamisch"),
            *(
                "no field",
                "no field coil",
                "without field",
                "without field coil",
                "ohne feldspule",
                "alnico",
                "ferrite",
            ),
        ),
        ("field", "no"),
    ),
    **dict.fromkeys(("dcr", "dc resistance", "rdc", "dc", "measured"), ("label", "resistance")),
    **dict.fromkeys(("voice coil", "speech coil", "schwingspule"), ("label", "voice")),
}
LEAST_AXIS = 50  # mm; fewer may be inches or centimetres
LEAST_FIELD = 100.0  # ohm; a voice coil has fewer, a field coil more


class _Pieces(Sorter):
    """The pieces of a loudspeaker's description."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.sort()

    def take_quantity(self, piece: Token) -> bool:
        """Take ohms, watts, the field's amperes, and a diameter."""
        value = float(piece.value)
        if piece.unit == "ohm" or piece.letter in ("R", "k"):
            dc = self.before.means("label") and self.before.meaning == ("label", "resistance")
            dc = dc or (self.after.means("label") and self.after.meaning == ("label", "resistance"))
            field = value >= LEAST_FIELD and "yes" in self.words("field")
            name = "field_resistance" if field else "resistance" if dc else "impedance"
        else:
            name = {"W": "power", "A": "field_current", "m": "diameter"}.get(piece.unit, "")
        if not name or name in self.found:
            return False
        self.found[name] = value
        return True

    def take_multiple(self, piece: Token) -> bool:
        """Take the two axes of an oval one in millimetres: 180x130."""
        if self.after.kind != "number" or not min(piece.value, self.after.value) >= LEAST_AXIS:
            return False
        self.found.setdefault("diameter", float(max(piece.value, self.after.value)) / 1000)
        return True

    def take_number(self, piece: Token) -> bool:
        """Take the second axis."""
        return self.before.kind == "multiple" and self.before.value >= LEAST_AXIS <= piece.value

    def take_size(self, piece: Token) -> bool:
        """Take the two axes of an oval one: the longer counts."""
        self.found.setdefault("diameter", float(max(piece.values)))
        return True


def says_field(text: str) -> bool:
    """Whether a description says that the loudspeaker has a field coil.

    Parameters
    ----------
    text : str
        In trade notation.

    Examples
    --------
    >>> says_field("3 ohm 8 in, field coil"), says_field("3 ohm, permanent magnet, no field coil"), says_field("3 ohm 8 in")
    (True, False, False)
    """
    said = {
        piece.meaning[1] for piece in scan(text, WORDS) if piece.meaning is not None and piece.meaning[0] == "field"
    }
    return said == {"yes"}


def read_loudspeaker(text: str) -> list[Reading]:
    """Read a description of a loudspeaker.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is a loudspeaker.
    """
    pieces = _Pieces(text)
    fields = pieces.found
    named = pieces.words("noun") or ("yes" in pieces.words("field") and "diameter" in fields)
    if not named and "impedance" not in fields:
        return []
    conditions = pieces.words("condition")
    if conditions:
        fields["condition"] = conditions[0]
    rest, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("loudspeaker", fields, pieces.sure, tuple(pieces.notes), rest, bare=not named)]
