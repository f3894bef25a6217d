"""Dielectrics put together from the words for material, treatment and shape."""

from __future__ import annotations

import pytest

from partsbin.notation.dielectric import dielectric_of


@pytest.mark.parametrize(
    ("materials", "treatments", "shapes", "coefficient", "dielectric", "sure"),
    [
        ("paper", "waxed", "", "", "paper-waxed", True),
        ("", "waxed", "tubular", "", "paper-waxed", True),
        ("paper", "moulded", "", "", "paper-moulded", True),
        ("", "moulded", "", "", "paper-moulded", False),
        ("mica", "moulded", "", "", "mica", True),
        ("paper", "metallised", "", "", "paper-metallised", True),
        ("film-polyester", "metallised", "", "", "film-polyester", True),
        ("", "metallised", "", "", "", True),
        ("paper", "oil", "can", "", "paper-oil", True),
        ("film film-polypropylene", "double metallised", "", "", "film-polypropylene", True),
        ("electrolytic tantalum", "", "", "", "tantalum", True),
        ("ceramic", "", "disc", "ceramic-2", "ceramic-2", True),
        ("", "", "", "ceramic-1", "ceramic-1", True),
        ("", "", "disc", "", "ceramic", True),
        ("film", "", "disc", "", "film", True),
        ("mica paper", "", "", "", "", False),
        ("film-polyester film-polypropylene", "", "", "", "", False),
        ("", "", "tubular", "", "", True),
    ],
)
def test_words_together_name_one_dielectric_or_none(
    materials: str, treatments: str, shapes: str, coefficient: str, dielectric: str, sure: bool
) -> None:
    """The more exact word wins; contradictions win nothing."""
    made = dielectric_of(materials.split(), treatments.split(), shapes.split(), coefficient)
    assert (made.dielectric, made.sure) == (dielectric, sure)
    assert made.sure or made.note
