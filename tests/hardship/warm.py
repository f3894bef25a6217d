"""A process in which a command starts at once, and which tells how far it is: a kill meets the work itself, not its overture.

Everything that commands load is loaded. Only the server of `multiprocessing` that forks such processes imports this module.
"""

from __future__ import annotations

import os
import sys
from multiprocessing.connection import Connection

import numpy  # noqa: F401 as below: loaded before the clock runs
import scipy.optimize  # noqa: F401
from sqlalchemy import event
from sqlalchemy.engine import Engine

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


STEP, DONE = b"step", b"done"
"""What is told: a file is opened, named or removed, or a transaction is about to be ended; and that all is done."""

_FILES = ("sqlite3.connect", "os.link", "os.rename", "os.remove")


def run(words: tuple[str, ...], db: str, told: Connection) -> None:
    """Run one command, silent; tell each step from the first catalogue that it opens, and the end."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nowhere, stream)
    sys.stdout = sys.stderr = os.fdopen(nowhere, "w")
    sys.argv = ["partsbin", *words]
    os.environ["PARTSBIN_DB"] = db
    began = False

    def file(name: str, _: tuple[object, ...]) -> None:
        nonlocal began
        if name in _FILES and (began := began or name == _FILES[0]):
            told.send_bytes(STEP)

    sys.addaudithook(file)
    event.listen(Engine, "commit", lambda connection: told.send_bytes(STEP))
    try:
        main()
    finally:
        told.send_bytes(DONE)
