"""Writes the schema files into a folder."""

import sys
from pathlib import Path

from partsbin.schemas import write

write(Path(sys.argv[1]))
