"""How fast the engine is: `python benchmarks/engine.py`.

A thousand readings of a thousand different arms at 100 Hz and 3 mmHg/s, physics, recording and estimation, on one core.
Beside it, in the same run: the plain reference that the tests hold the engine to, and what numpy takes merely to draw
as many normal numbers as there are samples. Times are the processor's, so that whatever else the machine does counts
little.
"""
# ruff: noqa: E402, T201 - the number of threads is set before numpy is loaded, and it prints

from __future__ import annotations

import os

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[threads] = "1"

import argparse
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from sim import Instrument, Subject, Technique, measure
from sim.cuff.bladder import choose
from sim.estimate.door import read
from sim.study.cohort import cohort
from tests.reference.engine import case_of

SEED = 1


def best_s(task: Callable[[], object], repeats: int) -> float:
    """Shortest processor time of some repeats [s]."""
    times = []
    for _ in range(repeats):
        started = time.process_time()
        task()
        times.append(time.process_time() - started)
    return min(times)


def peak_mb() -> float:
    """Most memory that this process has held so far [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def of_one(subject: Subject, instrument: Instrument, row: int) -> tuple[Subject, Instrument]:
    """One person and instrument, every field a scalar."""
    return subject.spread(subject.size).take(row), instrument.spread(instrument.size).take(row)


def by_reference(subject: Subject, instrument: Instrument) -> None:
    """One reading by the plain evaluation of the same equations, and the same estimate."""
    recording = case_of(subject, Technique(), instrument).recording()
    read(None, recording)


def main() -> None:
    parser = argparse.ArgumentParser(description="Readings per second of the engine, on one core.")
    parser.add_argument("--readings", type=int, default=1000, help="different arms, one reading each (default 1000)")
    parser.add_argument("--repeats", type=int, default=3, help="the shortest of so many runs counts (default 3)")
    parser.add_argument("--reference", type=int, default=4, help="arms that the plain reference reads (default 4)")
    asked = parser.parse_args()

    subject = cohort(asked.readings, np.random.default_rng(SEED))
    instrument = Instrument(
        bladder=choose(subject.arm_circumference_cm), deflation_mmhg_per_s=3.0, sampling_hz=100.0
    ).spread(asked.readings)
    before_mb = peak_mb()

    def engine() -> None:
        measure(subject, Technique(), instrument, rng=np.random.default_rng(SEED))

    engine_s = best_s(engine, asked.repeats) / asked.readings
    used_mb = peak_mb()
    shape = measure(subject, Technique(), instrument, rng=np.random.default_rng(SEED)).recording.pressure_mmhg.shape

    noise_s = (
        best_s(lambda: np.random.default_rng(SEED).standard_normal(shape, dtype=np.float32), asked.repeats)
        / asked.readings
    )
    rows = range(0, asked.readings, max(1, asked.readings // asked.reference))[: asked.reference]
    reference_s = best_s(lambda: [by_reference(*of_one(subject, instrument, row)) for row in rows], 1) / len(rows)

    print(f"{asked.readings} arms, {shape[1]} samples at most, one core, shortest of {asked.repeats} runs")
    print(f"engine             {1 / engine_s:9.0f} readings/s {1e3 * engine_s:10.3f} ms a reading")
    print(f"peak memory        {used_mb:9.0f} MB         {before_mb:10.0f} MB of it before measuring")
    print(
        f"plain reference    {1 / reference_s:9.2f} readings/s {reference_s / engine_s:10.0f} times the engine's time"
    )
    print(f"noise alone        {1 / noise_s:9.0f} readings/s {engine_s / noise_s:10.1f} times as long takes the engine")


if __name__ == "__main__":
    main()
