"""Files that travel inside the package: the demonstration inventory and the schemas."""

from __future__ import annotations

from pathlib import Path

from partsbin.errors import StoreError

_PACKAGE = Path(__file__).parent


def resource(name: str) -> Path:
    """Return a file of the package: from the installed wheel, or from the checkout that it is run from.

    Raises
    ------
    StoreError
        If the installation lacks it.
    """
    for folder in (_PACKAGE / "data", _PACKAGE.parent):
        if (folder / name).exists():
            return folder / name
    raise StoreError(f"this installation lacks {name!r}", hint="install partsbin again")
