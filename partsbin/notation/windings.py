"""The windings of a mains transformer's description: 250-0-250 80mA 6.3V 3A 5V 2A, with the primary and its taps."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from partsbin.notation.scan import Token
from partsbin.notation.writing import format_quantity

_MAINS_VOLTS = (Decimal(100), Decimal(260))
_MOST = 12
_HT_MOST = Decimal("0.3")


@dataclass
class Winding:
    """One winding: volts RMS (each side of a centre tap), the current where it is given, and its taps."""

    name: str
    voltage: Decimal
    current: Decimal | None = None
    taps: list[Decimal] = field(default_factory=list)

    def fields(self) -> dict[str, object]:
        """The winding as a row of the field `windings`."""
        row: dict[str, object] = {"name": self.name, "voltage": float(self.voltage)}
        if self.current is not None:
            row["current"] = float(self.current)
        if self.taps:
            row["taps"] = "/".join(str(volts) for volts in self.taps) + " V"
        return row


class Windings:
    """Windings collected in the order of the text."""

    def __init__(self) -> None:
        self.rows: list[Winding] = []
        self.notes: list[str] = []
        self._guessed: Winding | None = None
        self._waiting = 0  # how many of the last rows still want a current

    def volts(self, piece: Token, *, primary: bool, times: int) -> bool:
        """Take volts, or a list of them: 250-0-250, or taps such as 0-110-230."""
        numbers = piece.values
        if not any(numbers) or any(volts < 0 for volts in numbers) or len(self.rows) + times > _MOST:
            return False
        if len(numbers) == 3 and numbers[1] == 0 and numbers[0] == numbers[2]:
            self._add(Winding(f"{numbers[0]}-0-{numbers[2]} V", numbers[0]), times)
            return True
        taps = [volts for volts in numbers if volts > 0]
        first = not self.rows and _MAINS_VOLTS[0] <= max(taps) <= _MAINS_VOLTS[1]
        if primary or first:
            if not primary:
                self.notes.append(f"'{piece.text}' stands first: taken as the primary")
            self._add(Winding("primary", max(taps), taps=taps if len(taps) > 1 else []), 1)
            self._guessed = None if primary or len(taps) > 1 else self.rows[-1]
            return True
        self._add(Winding(format_quantity(max(taps), "V"), max(taps), taps=taps if len(taps) > 1 else []), times)
        return True

    def amperes(self, current: Decimal) -> bool:
        """Give a current to the winding that it follows."""
        if not self._waiting or current <= 0:
            return False
        for row in self.rows[-self._waiting :]:
            row.current = current
            if row is self._guessed and current <= _HT_MOST:  # no primary is marked in milliamperes
                row.name = format_quantity(row.voltage, "V")
                self.notes = [note for note in self.notes if "taken as the primary" not in note]
        self._waiting = 0
        return True

    def _add(self, winding: Winding, times: int) -> None:
        self.rows += [Winding(winding.name, winding.voltage, taps=list(winding.taps)) for _ in range(times)]
        self._waiting = times


def is_split(piece: Token) -> bool:
    """Return whether a list is a winding with a centre tap: 250-0-250."""
    return (
        piece.kind == "list"
        and piece.unit in ("", "V")
        and not piece.letter
        and len(piece.values) == 3
        and (piece.values[1] == 0 and piece.values[0] == piece.values[2] > 0)
    )
