"""Files that are made anew: whole or not at all, and never over one that is there."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL)
"""What disks say that know one name a file alone, as memory sticks do."""


@contextmanager
def new_file(path: Path) -> Iterator[Path]:
    """Give a name to write under; what was written gets its own when it is whole, and nothing of it stays otherwise.

    Parameters
    ----------
    path : Path
        A file that is not there yet.

    Raises
    ------
    OSError
        If it is there, or came to be meanwhile, or the disk refuses.
    """
    _refuse(path)
    half = path.with_name(f"{path.stem}.partial{path.suffix}")  # what writes it may go by the name's end
    try:
        yield half
        second_name(half, path)
    finally:
        half.unlink(missing_ok=True)


def second_name(file: Path, name: Path) -> None:
    """Give a file a name that nothing has; on a disk that knows one name a file alone, in the place of the one it has.

    Raises
    ------
    OSError
        If there is a file of that name, or the disk refuses.
    """
    try:
        os.link(file, name)  # refuses a file that came into being meanwhile, where a rename would write over it
    except OSError as fault:
        if fault.errno not in NO_LINKS:
            raise
        _refuse(name)
        file.rename(name)


def _refuse(path: Path) -> None:
    if path.exists():
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
