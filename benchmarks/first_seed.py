"""Which seed's readings are typical ones: `python benchmarks/first_seed.py`, after a change of the model.

That the words of the lessons hold of very many readings is tested (tests/teach/test_claims.py). Twenty readings have
chance left in their mean, about a mmHg, which is as much as some words turn on. The readings that everybody sees first
shall not mislead by chance: of the seeds from 1 on, the first whose readings at rest have a mean like that of very
many, and in which no lesson's words part from what is shown. It becomes `FIRST_SEED` in sim/explain/same_arm.py.
"""
# ruff: noqa: T201 - it prints

from __future__ import annotations

import argparse

import numpy as np

from sim.explain.same_arm import READINGS
from sim.measurement import measure, prepare
from sim.record import planned
from sim.setup import Setup
from sim.teach.claims import check
from sim.teach.lesson import load_all

MANY = 1000
UNEVEN = 0.15  # standard deviations
NEAR_MMHG = 0.6


def main() -> None:
    """Print the seeds, and which lesson's words each of the others parts from."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=1000, help="seeds from 1 to this (default 1000)")
    options = parser.parse_args()
    lessons = load_all()[0]
    at_rest = lessons[0].inputs()
    usual = _mean(at_rest, 10**6, MANY)
    for seed in range(1, options.seeds + 1):
        if _lies_unevenly(at_rest, seed) or np.abs(_mean(at_rest, seed, READINGS) - usual).max() > NEAR_MMHG:
            continue
        parted = next((c for lesson in lessons for c in check(lesson, seed) if not c.holds), None)
        print(f"seed {seed}: {parted or 'all words hold'}", flush=True)


def _lies_unevenly(setup: Setup, seed: int) -> bool:
    """Whether cloth lies, on average over the seed's readings, far from its mean: cheap to see beforehand."""
    _, chance = planned(prepare(setup, None, None, rng=None, n=READINGS, ideal=True), np.random.default_rng(seed))
    return bool(np.abs(chance.cloth.mean(axis=0)).max() > UNEVEN)


def _mean(setup: Setup, seed: int, n: int) -> np.ndarray:
    """Mean systolic and diastolic of n readings."""
    reading = measure(setup, rng=np.random.default_rng(seed), n=n, average_person=True).reading
    return np.array([np.nanmean(reading.sbp), np.nanmean(reading.dbp)])


if __name__ == "__main__":
    main()
