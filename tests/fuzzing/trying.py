"""Reading changed inputs, one after the other, and what came of it."""

from __future__ import annotations

import contextlib
import resource
import time
import traceback
import warnings
from dataclasses import dataclass, field

import numpy as np

from tests.fuzzing.kinds import KINDS, Files

# No line that people read is longer than this, whatever was in the file.
LONGEST_LINE = 2000


@dataclass
class Found:
    """read, refused: how many inputs; worst_s: of one input; memory_mb: at most; foreign: number of input by fault."""

    read: int = 0
    refused: int = 0
    worst_s: float = 0.0
    worst: int = 0
    memory_mb: float = 0.0
    foreign: dict[str, int] = field(default_factory=dict)


def made(kind: str, seed: int, number: int) -> Files:
    """One input again."""
    return KINDS[kind].changed(np.random.default_rng([seed, number]))


def tried(kind: str, inputs: int, seed: int = 1) -> Found:
    """Read so many inputs of a kind; every warning counts as foreign."""
    found = Found()
    with contextlib.suppress(Exception):  # what is made once, as imports, is nobody's time
        KINDS[kind].read(made(kind, seed + 1, 0))
    warnings.simplefilter("error")
    for number in range(inputs):
        files = made(kind, seed, number)
        before = time.process_time()
        try:
            KINDS[kind].read(files)
            found.read += 1
        except KINDS[kind].raises as error:
            found.refused += 1
            _judge(found, str(error), number)
        except Exception as error:  # noqa: BLE001 - whatever comes is what is looked for
            place = traceback.extract_tb(error.__traceback__)[-1]
            found.foreign.setdefault(f"{type(error).__name__} at {place.name}:{place.lineno}: {error}"[:200], number)
        seconds = time.process_time() - before
        if seconds > found.worst_s:
            found.worst_s, found.worst = seconds, number
    found.memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return found


def _judge(found: Found, line: str, number: int) -> None:
    """A refusal is one line that says something."""
    if not line.strip() or "\n" in line or len(line) > LONGEST_LINE:
        found.foreign.setdefault(f"no clear line: {line[:80]!r}", number)
