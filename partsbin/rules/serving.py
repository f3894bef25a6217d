"""Which positions of other families may serve a need: silicon where a valve rectifier was, for instance.

The serving family says so, in its own rules: ``serves = { is = ["valve/rectifier"], … }`` under its position.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

_HERE = Path(__file__).parent
_SAYS = re.compile(r"^serves\s*=.*$", re.MULTILINE)


@cache
def servers(family: str, position: str) -> tuple[tuple[str, str], ...]:
    """Return the families and positions that may serve a need of another family, in the order of their names.

    Parameters
    ----------
    family, position : str
        The need's.

    Notes
    -----
    Only files that name the need are parsed: a question about a capacitor pays next to nothing for this.
    """
    found = []
    asked = f'"{family}/{position}"'
    for path in sorted(_HERE.glob("*.toml")):
        said = _SAYS.findall(path.read_text(encoding="utf-8")) if path.stem != family else ()
        if any(asked in line for line in said):
            from partsbin.rules import load_rules

            rules = load_rules(path.stem)
            found += [
                (path.stem, name) for name in rules.positions if f"{family}/{position}" in rules.of(name, "serves", ())
            ]
    return tuple(found)
