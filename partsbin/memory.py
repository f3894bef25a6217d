"""Memory while very many things are made that stay."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def growing() -> Iterator[None]:
    """Look for no cycles of dead objects meanwhile: of a list of 200,000 lines none die, and each look walks over all of them."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
