"""Whether every reading is a reading at the limits of all fields: `python benchmarks/corners.py`.

All corners of every pair of fields, then random cases until each estimator has given so many readings. Prints how many
were read, why the others were not, and every fault with the number of its case. Leaves with 1 where there is a fault.
numpy's and Python's warnings count as faults.
"""
# ruff: noqa: E402, T201 - the number of threads is set before numpy is loaded, and it prints

from __future__ import annotations

import os

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[threads] = "1"

import argparse
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from sim.estimate.named import NAMED
from tests.numbers.corners import Case, Found, anywhere, corners, gone_through

# Random cases that are drawn at a time.
_AT_A_TIME = 500


def random_cases(seed: int, first: int, count: int) -> list[Case]:
    """Random cases by their numbers: each has a generator of its own."""
    return [anywhere(np.random.default_rng([seed, number])) for number in range(first, first + count)]


def told(what: str, cases: int, found: Found) -> None:
    """Prints what was found."""
    print(f"{what}: {cases} cases, {sum(found.impossible.values())} of them impossible: {dict(found.impossible)}")
    for name in NAMED:
        print(f"  {name}: {found.readings[name]} readings; none: {dict(found.reasons[name].most_common())}")
    for fault in found.faults:
        print(f"  FAULT {fault}")


def add(found: Found, more: Found) -> None:
    """Takes up what was found in more cases."""
    found.readings.update(more.readings)
    found.impossible.update(more.impossible)
    found.faults += more.faults
    for name, reasons in more.reasons.items():
        found.reasons[name].update(reasons)


def random_until(readings: int, seed: int) -> tuple[int, Found]:
    """Random cases until every estimator has given so many readings: how many cases, and what was found."""
    found, cases = Found(), 0
    while min(found.readings[name] for name in NAMED) < readings:
        more = gone_through(random_cases(seed, cases, _AT_A_TIME), seed, cases)
        add(found, more)
        for fault in more.faults:  # at once, since the whole takes a while
            print(f"  FAULT {fault}", file=sys.stderr)
        cases += _AT_A_TIME
        print(f"  {cases} random cases so far, {dict(found.readings)}", file=sys.stderr)
    return cases, found


def main() -> int:
    parser = argparse.ArgumentParser(description="Readings at the limits of all fields.")
    parser.add_argument("--seed", type=int, default=1, help="of the random cases and of all draws (default 1)")
    parser.add_argument(
        "--readings", type=int, default=20000, help="of each estimator, random (default 20000: about 40,000 cases)"
    )
    parser.add_argument("--case", type=int, help="only the random case of this number")
    parser.add_argument("--no-corners", action="store_true", help="random cases only")
    asked = parser.parse_args()

    if asked.case is not None:
        one = random_cases(asked.seed, asked.case, 1)
        print(one[0])
        found = gone_through(one, asked.seed, asked.case)
        told("one case", 1, found)
        return int(bool(found.faults))
    faults = 0
    if not asked.no_corners:
        at_corners = list(corners())
        found = gone_through(at_corners, asked.seed)
        told("corners of pairs", len(at_corners), found)
        faults += len(found.faults)
    cases, found = random_until(asked.readings, asked.seed)
    told(f"random, seed {asked.seed}", cases, found)
    return int(bool(faults + len(found.faults)))


if __name__ == "__main__":
    sys.exit(main())
