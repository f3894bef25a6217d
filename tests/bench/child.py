"""Run one command; print its wall time [s], peak memory [byte] and exit code as JSON.

A small process of its own, because a child's peak counts the pages of the process that started it until it runs its program.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time


def main() -> None:
    """Run what the arguments say."""
    start = time.perf_counter()
    process = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    assert process.stderr is not None  # asked for above
    said = process.stderr.read()
    _, status, usage = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)  # wait4 has taken it, Popen must not wait again
    unit = 1 if sys.platform == "darwin" else 1024
    print(
        json.dumps(
            {"seconds": seconds, "peak": usage.ru_maxrss * unit, "exit": process.returncode, "said": said[-2000:]}
        )
    )


if __name__ == "__main__":
    main()
