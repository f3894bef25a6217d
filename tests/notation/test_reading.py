"""The frame in which a family sorts pieces: what nothing takes is left over, and numbers among it are noted."""

from __future__ import annotations

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan

WORDS = {"lin": ("taper", "linear"), "log": ("taper", "log")}


class Potentiometer(Sorter):
    """A family of the future, in a few lines: ohms and tapers, nothing else."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.ohms: list[str] = []
        self.sort()

    def take_quantity(self, piece: Token) -> bool:
        """Take ohms, and see the neighbours."""
        if piece.letter not in ("k", "M"):
            return False
        self.ohms.append(f"{self.before.text}|{piece.text}|{self.after.text}")
        return True


def test_a_family_takes_what_it_knows_with_its_neighbours_in_sight() -> None:
    """The first has none before it."""
    assert Potentiometer("250k lin").ohms == ["|250k|lin"]


def test_what_nothing_takes_is_left_over_in_order() -> None:
    """Words and numbers; marks are dropped."""
    pot = Potentiometer("250k, lin SP sw 45mm")
    assert unread(pot.rest) == ("SP sw 45mm", "not understood: '45mm'")


def test_words_of_a_field_come_without_repeats() -> None:
    """Two different ones are a contradiction for the family to see."""
    assert Potentiometer("lin lin log").words("taper") == ["linear", "log"]


def test_a_doubt_makes_the_reading_unsure() -> None:
    """And is noted."""
    pot = Potentiometer("250k")
    pot.doubt("no taper")
    assert (pot.sure, pot.notes) == (False, ["no taper"])


def test_a_number_that_stands_in_the_rest_is_not_told_twice() -> None:
    """Other notes stay, and a note on a number that the rest does not hold."""
    noted = Reading("valve", notes=("not understood: '80%'", "another"), rest="tests at 80%")
    assert noted.told() == ["another", "not understood: 'tests at 80%'"]
    assert Reading("valve", notes=("not understood: '80%'",), rest="tests").told() == [
        "not understood: '80%'",
        "not understood: 'tests'",
    ]
