"""A reading is the same whatever else is worked out with it, in which order, and on how many threads.

To the last bit for blocks of other sizes, another order and other numbers of threads. With fewer readings beside it the
sums over beats have other lengths: the same to ALIKE_MMHG, which is rounding in double precision.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import sim.blocks
from sim.estimate import model_fit
from sim.estimate.door import read
from sim.estimate.named import NAMED
from sim.fields import FieldError
from tests.numbers.corners import STAGES, Case, anywhere, recorded

ROOT = Path(__file__).resolve().parents[2]
ALIKE_MMHG = 1e-12
CASES, FEW = 18, 6
_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")

Numbered = tuple[int, Case]
# The recording of a case, and its true pressures and readings.
Made = dict[int, tuple[np.ndarray, np.ndarray]]


def possible(count: int) -> list[Numbered]:
    """Random cases at the usual sampling rate, with their numbers."""
    found: list[Numbered] = []
    number = 0
    while len(found) < count:
        number += 1
        case = {**anywhere(np.random.default_rng([7, number])), "sampling_hz": 100.0}
        try:
            recorded([case], [(7, number)])
        except FieldError:
            continue
        found.append((number, case))
    return found


def made(cases: list[Numbered]) -> Made:
    """All numbers of each case, measured together."""
    recording, truth = recorded([case for _, case in cases], [(7, number) for number, _ in cases])
    columns = [getattr(getattr(truth, stage), part) for stage in STAGES for part in ("sbp", "dbp", "map")]
    for name in NAMED:
        reading = read(name, recording)
        columns += [reading.sbp, reading.dbp, reading.map, reading.pulse_rate]
    numbers = np.stack(columns, axis=1)
    return {number: (recording.recorded(row), numbers[row]) for row, (number, _) in enumerate(cases)}


def digest() -> str:
    """Of all bits of a few cases."""
    found = hashlib.sha256()
    for recording, numbers in made(possible(FEW)).values():
        found.update(recording.tobytes() + numbers.tobytes())
    return found.hexdigest()


@pytest.fixture(scope="module")
def cases():
    return possible(CASES)


@pytest.fixture(scope="module")
def usual(cases):
    return made(cases)


def assert_same(some: Made, usual: Made, most_mmhg: float = 0.0) -> None:
    for number, parts in some.items():
        for part, as_usual in zip(parts, usual[number], strict=True):
            np.testing.assert_allclose(part, as_usual, rtol=0, atol=most_mmhg, equal_nan=True)


def test_there_are_readings(usual):
    assert np.isfinite([numbers for _, numbers in usual.values()]).all(axis=1).sum() >= 5


@pytest.mark.parametrize("rows", [1, 1000])
def test_size_of_the_blocks(cases, usual, rows, monkeypatch):
    monkeypatch.setattr(sim.blocks, "ROWS", rows)
    monkeypatch.setattr(model_fit, "_TOGETHER", rows)
    assert max(len(block) for block, _ in sim.blocks.blocks(np.full(40, 100))) == min(rows, 40)
    assert_same(made(cases), usual)


def test_order(cases, usual):
    assert_same(made(cases[::-1]), usual)


def test_fewer_beside_it(cases, usual):
    assert_same(made(cases[5:12]), usual, ALIKE_MMHG)
    for case in cases[::9]:
        assert_same(made([case]), usual, ALIKE_MMHG)


def test_number_of_threads():
    """Of the libraries that numpy calls; each number in a process of its own, since it is read when numpy is loaded."""
    asked = "from tests.numbers.test_same_bits import digest; print(digest())"
    found = []
    for threads in ("1", "4"):
        environment = {**os.environ, **dict.fromkeys(_THREADS, threads), "PYTHONPATH": str(ROOT)}
        done = subprocess.run(
            [sys.executable, "-c", asked], env=environment, cwd=ROOT, capture_output=True, text=True, check=True
        )
        found.append(done.stdout.strip())
    assert len(found[0]) == 64
    assert found[0] == found[1]
