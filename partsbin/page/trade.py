"""What a form says in trade notation: how it is read, of which family it plainly is, what such a part may do."""

from __future__ import annotations

from partsbin.families import names
from partsbin.page.desk import Form
from partsbin.rules import load_rules
from partsbin.stock.describe import readings_of


def with_family(form: Form) -> Form:
    """Return a form with the family that its text plainly is, where it names none."""
    found = readings_of(form["text"], "") if form["text"] and not form["family"] else []
    families = {entry.family for entry in found}
    return {**form, "family": families.pop()} if len(families) == 1 else form


def positions_of(family: str) -> list[str]:
    """Return what a part of a family may do in a set, nothing where there is no such family."""
    return list(load_rules(family).positions) if family in names() else []
