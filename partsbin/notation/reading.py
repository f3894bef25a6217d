"""What a description was understood to say: one sure reading, or several with the reason, or none."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
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
    """

    family: str
    fields: dict[str, object] = field(default_factory=dict)
    sure: bool = True
    notes: tuple[str, ...] = ()
    rest: str = ""

    def as_json(self) -> dict[str, object]:
        """Return the reading as an object of the answer of ``read``."""
        return {"family": self.family, "fields": self.fields, "sure": self.sure, "notes": list(self.notes), "rest": self.rest}
