"""The recordings that the neural network is trained on: many kinds of people, still and moving, on several instruments.

Their seeds calibrate and never score (sim.study.seeds).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sim.cuff.instrument import Instrument
from sim.record import record
from sim.results import Recording, Truth
from sim.setup import Setup
from sim.study.people import draw
from sim.study.seeds import calibration_stream
from sim.technique import Technique

# Who is measured in a batch (sim.study.people), one after another. Chosen: mostly those who are usual, so that special
# people weigh in without ruling.
PEOPLE = (
    *("population", "standard", "large-arms", "irregular", "low-pulse-pressure"),
    *("population", "standard", "population", "standard", "population"),
)
# The last of each ten batches leaves nothing to chance: the program shows such recordings, too. Without it 95 % of them
# are unlike all that was trained.
STEADY = len(PEOPLE) - 1
# Half of the arms move, most of them by jolts, up to so high [mmHg] as movement is tried elsewhere (sim.study.contract
# has 4). All chosen: without them 9 instead of 1 % of what is read of moving arms is more than 15 mmHg off.
MOVING_SHARE, MOVEMENT_MMHG = 0.5, (0.5, 6.0)
KINDS = ("jolts",) * 6 + ("tremor", "shivering", "arm", "vehicle")
# Three in ten instruments are unusual: other rates [mmHg/s], by steps of other heights [mmHg], or while the cuff fills.
# Each ten batches have another sampling rate [Hz]. Chosen as wide as what the contract tries.
UNUSUAL_SHARE, RATES, STEPS_MMHG = 0.3, (1.0, 5.0), (6.0, 12.0)
COURSES = ("deflating", "deflating", "deflating", "steps", "inflating")
SAMPLING_HZ = (100.0, 100.0, 50.0, 200.0)


def batches(count: int, size: int, seed: int) -> Iterator[tuple[Recording, Truth]]:
    """`count` batches of `size` recordings with their truth, each of people of one kind; arrays of shape (size, ...).

    Raises FieldError on a seed that may score.

    >>> recording, truth = next(batches(1, 4, seed=20_100))
    >>> len(recording), truth.at_measurement.sbp.shape
    (4, (4,))
    """
    for number in range(count):
        rng = calibration_stream(seed, number)
        people = draw(PEOPLE[number % len(PEOPLE)], size, rng)
        technique = _technique(size, rng)
        instrument = _instrument(size, SAMPLING_HZ[number // len(PEOPLE) % len(SAMPLING_HZ)], rng)
        steady = number % len(PEOPLE) == STEADY
        yield record(Setup(people, technique, instrument).spread(size), None if steady else rng)


def _technique(n: int, rng: np.random.Generator) -> Technique:
    moving = rng.random(n) < MOVING_SHARE
    return Technique(
        movement_mmhg=np.where(moving, rng.uniform(*MOVEMENT_MMHG, n), 0.0),
        movement=rng.choice(np.array(KINDS), n),
    )


def _instrument(n: int, sampling_hz: float, rng: np.random.Generator) -> Instrument:
    unusual = rng.random(n) < UNUSUAL_SHARE
    usual = Instrument()
    return Instrument(
        deflation_mmhg_per_s=np.where(unusual, rng.uniform(*RATES, n), usual.deflation_mmhg_per_s),
        course=np.where(unusual, rng.choice(np.array(COURSES), n), usual.course),
        step_mmhg=rng.uniform(*STEPS_MMHG, n),
        sampling_hz=sampling_hz,
    )
