"""Many changed inputs of every kind: `python -m tests.fuzzing --inputs 100000`, or `--only log --seed 7`.

Printed for each kind: how many were read and how many refused with a clear line, the worst time of the processor and
the most memory; then each foreign exception once, with the number that makes its input again. Ends with 1 where there
is one, or where a limit is passed.
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from tests.fuzzing.kinds import KINDS
from tests.fuzzing.trying import tried

MOST_S, MOST_MB = 2.0, 300.0


def main() -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzzing", description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--inputs", type=int, default=1000, help="of each kind (default 1000)")
    parser.add_argument("--only", choices=KINDS, action="append", help="only this kind; may be given again")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    failed = False
    for kind in options.only or KINDS:
        # A new process for each kind, so that its memory is its own.
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
            found = pool.submit(tried, kind, options.inputs, options.seed).result()
        late = found.worst_s > MOST_S or found.memory_mb > MOST_MB
        print(
            f"{kind:9} {found.read:7,} read, {found.refused:7,} refused, {len(found.foreign)} foreign; worst "
            f"{found.worst_s:.2f} s (number {found.worst}), {found.memory_mb:.0f} MB{'  MISSED' if late else ''}",
            flush=True,
        )
        for fault, number in found.foreign.items():
            print(f"    number {number}: {fault}")
        failed |= late or bool(found.foreign)
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
