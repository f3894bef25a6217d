"""Inputs without end for what reads other people's text: nothing comes out but faults of ours, soon, and in bounded memory.

``python -m tests.hardship.fuzz csv --inputs 100000`` tries one target in this process. With atheris (``pip install atheris``, no
dependency of ours) the inputs are led by what the code does with them; without it they are changed at random, from a seed.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import resource
import signal
import sys
import time
from pathlib import Path
from types import FrameType
from typing import Any, NoReturn

DEADLINE = 2.0
"""An input that works longer hangs; it is the processor's time, so that a machine with other work tells no tales [s]."""

STUCK = 120
"""An input that takes longer by the clock waits for something [s]."""

MEMORY = 1500
"""What the process may take, whatever it reads [MB]."""

LONGEST = 4096
"""Bytes of an input."""


class Hangs(BaseException):
    """An input takes too long: no handler of ordinary faults may swallow it."""


def _hangs(number: int, frame: FrameType | None) -> NoReturn:
    raise Hangs(f"not done after {DEADLINE:g} s")


def guarded(name: str, data: bytes) -> None:
    """Try one input against the clock."""
    from tests.hardship.targets import tried

    signal.setitimer(signal.ITIMER_PROF, DEADLINE)
    try:
        tried(name, data)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


ODD = (
    *("\0", "\x1b[31m", "\u202e", "²", "٣", "½", "Ω", "µ", "±", "\ufeff", "\ufffe", "\\ud800", "🔧", "'", '"', "''", '""', "=", "\r"),
    *("nan", "inf", "-inf", "1e999", "1e-999", "-0", "9" * 400, "0x1", "1_0", "1/0", "%s", "{0}", "[" * 50, "(" * 50, "null"),
    *("\x1f", "\t", "|", ";", ",", "\u2028", "_x0041_", "&#0;", "&a;", '<c r="A1">', '<row r="99999">', 't="e"', 't="d"', "1e5"),
    *("[[", "]]", '"""', "is = ", "[a]", "1979-05-27", "0b1", "+", "~", "about", "x", "@", "D-007", "P-1", "C1-C9999999", "true"),
)  # fmt: skip
"""Pieces that readers of text stumble over."""


def changed(whole: tuple[bytes, ...], chance: random.Random) -> bytes:
    """Return an input made from good ones: pieces cut, doubled, moved, exchanged, odd ones put in."""
    data = bytearray(chance.choice(whole))
    for _ in range(chance.randint(1, 6)):
        at, to = sorted((chance.randint(0, len(data)), chance.randint(0, len(data))))
        match chance.randrange(6):
            case 0:
                data[at:at] = chance.choice(ODD).encode("utf-8", "surrogatepass")
            case 1:
                del data[at : min(to, at + 20)]
            case 2:
                data[at:at] = data[at : min(to, at + 200)]
            case 3 if data:
                data[min(at, len(data) - 1)] = chance.randrange(256)
            case 4:
                other = chance.choice(whole)
                start = chance.randint(0, len(other))
                data[at:to] = other[start : start + chance.randint(0, 60)]
            case _:
                figures = [*re.finditer(rb"[0-9]+", data)]
                if figures:
                    found = chance.choice(figures)
                    data[found.start() : found.end()] = chance.choice(ODD).encode("utf-8", "surrogatepass")
    return bytes(data[:LONGEST])


def at_random(name: str, inputs: int, seed: int) -> dict[str, Any]:
    """Try inputs changed at random; return the figures, faults that are not ours with the input that brings them about."""
    from tests.hardship.targets import seeds

    chance, whole, wrong = random.Random(f"{name} {seed}"), seeds(name), {}
    start, longest = time.perf_counter(), 0.0
    for _ in range(inputs):
        data = changed(whole, chance)
        before = time.process_time()
        try:
            guarded(name, data)
        except (Exception, Hangs) as fault:
            trace = fault.__traceback__
            while trace and trace.tb_next:
                trace = trace.tb_next
            where = f"{Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}" if trace else ""
            wrong.setdefault(f"{type(fault).__name__} {where}: {fault}"[:160], repr(data[:400]))
            if len(wrong) >= 20:
                break
        longest = max(longest, time.process_time() - before)
    return {
        "target": name,
        "led by": "chance",
        "inputs": inputs,
        "a second": round(inputs / (time.perf_counter() - start)),
        "longest ms": round(1000 * longest),
        "memory MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
        "wrong": wrong,
    }


def led(name: str, inputs: int, seed: int, folder: Path) -> NoReturn:
    """Let atheris make the inputs; it prints how many there were, and ends the process."""
    import atheris

    with atheris.instrument_imports(include=["partsbin"]):
        from tests.hardship import targets
    for number, whole in enumerate(targets.seeds(name)):
        (folder / f"seed{number}").write_bytes(whole)
    limits = [
        f"-runs={inputs}",
        f"-seed={seed}",
        f"-max_len={LONGEST}",
        f"-timeout={STUCK}",
        f"-rss_limit_mb={MEMORY}",
    ]
    atheris.Setup([sys.argv[0], *limits, "-verbosity=0", "-print_final_stats=1", f"-artifact_prefix={folder}/", str(folder)],
                  lambda data: guarded(name, data))  # fmt: skip
    atheris.Fuzz()
    raise SystemExit


def main() -> int:
    """Run one target and print the figures."""
    words = argparse.ArgumentParser(prog="python -m tests.hardship.fuzz")
    words.add_argument("target")
    words.add_argument("--inputs", type=int, default=10_000)
    words.add_argument("--seed", type=int, default=7)
    words.add_argument(
        "--led", type=Path, metavar="FOLDER", help="by atheris, which keeps in a folder what leads further"
    )
    given = words.parse_args()
    resource.setrlimit(resource.RLIMIT_DATA, (2 * MEMORY * 1024**2,) * 2)
    signal.signal(signal.SIGPROF, _hangs)
    if given.led:
        led(given.target, given.inputs, given.seed, given.led)
    figures = at_random(given.target, given.inputs, given.seed)
    print(json.dumps(figures, ensure_ascii=False))
    return 1 if figures["wrong"] or figures["memory MB"] > MEMORY else 0


if __name__ == "__main__":
    sys.exit(main())
