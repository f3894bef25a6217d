"""What the shell offers at the tab key: families, positions of the family named, facts of the set and their words."""

from __future__ import annotations

from collections.abc import Iterable

import typer


def families(incomplete: str) -> list[str]:
    """Return the families that begin so."""
    from partsbin.families import names

    return _begin(names(), incomplete)


def positions(context: typer.Context, incomplete: str) -> list[str]:
    """Return the positions of the family on the line, of all families where it names none."""
    from partsbin.families import names
    from partsbin.rules import load_rules

    chosen = [name for name in names() if name in (*context.args, *context.params.values())] or list(names())
    return _begin(dict.fromkeys(place for name in chosen for place in load_rules(name).positions), incomplete)


def facts(incomplete: str) -> list[str]:
    """Return ``rail=`` and so on; behind the sign the words that the fact takes."""
    from partsbin.sets.facts import FACTS

    name, sign, _ = incomplete.partition("=")
    if sign and name in FACTS:
        return _begin((f"{name}={word}" for word in FACTS[name].choices), incomplete)
    return _begin((f"{name}=" for name in FACTS), incomplete)


def _begin(words: Iterable[str], incomplete: str) -> list[str]:
    return [word for word in words if word.startswith(incomplete)]
