"""A process in which a command starts at once: everything that commands load is loaded, so that a kill meets the work itself.

Only the server of `multiprocessing` that forks such processes imports this module.
"""

from __future__ import annotations

import os
import sys
from multiprocessing.connection import Connection

import numpy  # noqa: F401 as below: loaded before the clock runs
import scipy.optimize  # noqa: F401
import sqlalchemy  # noqa: F401

import partsbin.jobs.fitting
import partsbin.jobs.plan
import partsbin.schemas
import partsbin.stock.keeping.verify
import partsbin.stock.stripping
import partsbin.stock.taking
import partsbin.store.copies
import partsbin.store.restoring
import partsbin.store.schema  # noqa: F401
from partsbin import families
from partsbin.cli.main import main

for _name in families.names():
    families.load(_name)


def run(words: tuple[str, ...], db: str, ready: Connection) -> None:
    """Run one command, silent; say first that it begins."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nowhere, stream)
    sys.stdout = sys.stderr = os.fdopen(nowhere, "w")
    sys.argv = ["partsbin", *words]
    os.environ["PARTSBIN_DB"] = db
    ready.send_bytes(b"now")
    main()
