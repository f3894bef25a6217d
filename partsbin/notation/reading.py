"""What a description was understood to say, and the frame in which every family sorts the pieces of one."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from partsbin.notation.scan import Token

NOT_UNDERSTOOD = "not understood: "
NOTHING = Token("mark", "")
"""Stands for the neighbour that a first or last piece does not have."""

# fmt: off
_NAMED_OR_PACKED = frozenset((
    "vpe", "pack", "packs", "packung", "package", "pkt", "pk", "bag", "beutel", "box", "karton", "schachtel", "reel", "rolle", "gurt",
    "tape", "strip", "lot", "set", "satz", "of", "à", "moq", "qty", "quantity", "menge", "per", "je", "pro", "series", "serie", "reihe",
    "type", "typ", "model", "modell", "bauform", "style", "ref", "no", "nr", "art", "order",
))
# fmt: on
"""Words behind which a bare number says how many are in a pack, or which type it is: ``VPE 1000``, ``series 400``."""


@dataclass(frozen=True)
class Reading:
    """One way of understanding a description.

    Parameters
    ----------
    family : str
        Such as ``capacitor``.
    fields : dict
        Field name to value, in SI; a field that the text does not give is absent, never zero.
    sure : bool
        False where something was assumed that could well be otherwise, or a number in the text was not understood.
    notes : tuple of str
        What was assumed, and why.
    rest : str
        The words that were not understood.
    bare : bool
        True where nothing in the text speaks of the family: the reading holds only if the family is named beside it.
    damage : str
        The words that call the part broken, "" where none does.
    wear : str
        The words that call it worn, or that leave open whether it is broken, "" where none does.
    """

    family: str
    fields: dict[str, object] = field(default_factory=dict)
    sure: bool = True
    notes: tuple[str, ...] = ()
    rest: str = ""
    bare: bool = False
    damage: str = ""
    wear: str = ""

    def told(self) -> list[str]:
        """Return what to say of the reading: its notes, and what was not understood, once."""
        if not self.rest:
            return list(self.notes)
        return [*(note for note in self.notes if not self._in_rest(note)), f"{NOT_UNDERSTOOD}{self.rest!r}"]

    def _in_rest(self, note: str) -> bool:
        """Whether a note only names numbers that stand in the rest anyway."""
        told, found, names = note.partition(NOT_UNDERSTOOD)
        return bool(found) and not told and all(name.strip("'") in self.rest for name in names.split("', '"))

    def as_json(self) -> dict[str, object]:
        """Return the reading as an object of the answer of ``read``."""
        return {
            "family": self.family, "fields": self.fields, "sure": self.sure, "notes": list(self.notes), "rest": self.rest,
        }  # fmt: skip


class Sorter:
    """The pieces of a description, sorted one after the other by what they say. A family overrides the takers that it needs.

    A taker returns False for a piece that it does not understand; that piece goes to `rest`.

    Parameters
    ----------
    pieces : list of Token
        The description, scanned with the family's words.
    """

    def __init__(self, pieces: list[Token]) -> None:
        self.pieces = pieces
        self.meanings = [piece.meaning for piece in pieces if piece.meaning is not None]
        self.rest: list[Token] = []
        self.notes: list[str] = []
        self.sure = True
        self.before = self.after = NOTHING

    def sort(self, used: Collection[int] = ()) -> None:
        """Sort every piece that is not used up already, with its neighbours in `before` and `after`."""
        takers = {
            "word": self.take_word, "code": self.take_code, "quantity": self.take_quantity, "number": self.take_number,
            "list": self.take_list, "tolerance": self.take_tolerance, "ratio": self.take_ratio, "size": self.take_size,
            "multiple": self.take_multiple,
        }  # fmt: skip
        for at, piece in enumerate(self.pieces):
            self.before = self.pieces[at - 1] if at else NOTHING
            self.after = self.pieces[at + 1] if at + 1 < len(self.pieces) else NOTHING
            if piece.kind == "mark" or at in used:
                continue
            if takers[piece.kind](piece):
                self.notes += piece.notes
            else:
                self.rest.append(piece)

    def behind_a_name(self) -> bool:
        """Whether the word before a bare number says that it counts pieces of a pack or names a type, and is no rating."""
        return self.before.text.lower().rstrip(".") in _NAMED_OR_PACKED

    def words(self, field: str) -> list[object]:
        """Every word of the vocabulary about that field, without repeats."""
        return list(dict.fromkeys(value for name, value in self.meanings if name == field))

    def doubt(self, note: str) -> None:
        """Note something that makes the reading unsure."""
        self.sure = False
        self.notes.append(note)

    def take_word(self, piece: Token) -> bool:
        """Take a word of the vocabulary."""
        return piece.meaning is not None

    def take_code(self, piece: Token) -> bool:
        """Take a run of letters and digits."""
        return False

    def take_quantity(self, piece: Token) -> bool:
        """Take a number with a unit or a multiplier letter."""
        return False

    def take_number(self, piece: Token) -> bool:
        """Take a bare number."""
        return False

    def take_list(self, piece: Token) -> bool:
        """Take numbers joined by the same sign."""
        return False

    def take_tolerance(self, piece: Token) -> bool:
        """Take a tolerance."""
        return False

    def take_ratio(self, piece: Token) -> bool:
        """Take a ratio of two bare numbers."""
        return False

    def take_size(self, piece: Token) -> bool:
        """Take two or three lengths."""
        return False

    def take_multiple(self, piece: Token) -> bool:
        """Take the 2 of ``2x``."""
        return False


def unread(left: Iterable[Token]) -> tuple[str, str]:
    """Return the words that were left over, and a note on the numbers among them, "" if there are none.

    Parameters
    ----------
    left : iterable of Token
        Pieces that nothing took.

    Returns
    -------
    tuple of (str, str)
        The rest, and the note: a number that is not understood makes a reading unsure, a word does not.
    """
    pieces = list(left)
    numbers = ", ".join(f"'{piece.text}'" for piece in pieces if piece.kind not in ("word", "code"))
    return " ".join(piece.text for piece in pieces), f"{NOT_UNDERSTOOD}{numbers}" if numbers else ""
