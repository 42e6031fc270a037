"""Seeds: the people on whom an algorithm was calibrated or trained never score one, whatever the seed.

Calibration has seeds of its own. Training has every seed, but a stream of its own: what a seed is for goes into the
numpy SeedSequence beside it, as the first word of its spawn key. Two sequences that differ in any word give streams
that have nothing in common but by a chance of 1 in 2^128.
"""

from __future__ import annotations

import numpy as np

from sim.fields import FieldError, generator

# Seeds of cohorts on which estimators are calibrated; all other seeds may score them. Chosen: ten thousand that nobody
# takes by habit. The largest seed fits a column of 64-bit integers.
CALIBRATION_SEEDS = range(20_000, 30_000)
LARGEST_SEED = 2**63 - 1
# What a seed is for. Any numbers would do; for the first the standard's was taken. Whoever draws people from a seed has
# the number here, and nowhere else.
STUDY, MAP, TRIAL, TRAINING = 81060, 81061, 81062, 81063


def scoring_seed(seed: int) -> int:
    """`seed`, which may score an estimator. Raises FieldError where it belongs to calibration.

    >>> scoring_seed(1)
    1
    """
    if _whole(seed) in CALIBRATION_SEEDS:
        raise FieldError(
            "seed",
            int(seed),
            f"outside {CALIBRATION_SEEDS[0]} to {CALIBRATION_SEEDS[-1]}: those draw the people on whom algorithms are "
            "calibrated, and who calibrates an algorithm must not score it",
        )
    return int(seed)


def calibration_seed(seed: int) -> int:
    """`seed`, which may calibrate an estimator. Raises FieldError where it may score one.

    >>> calibration_seed(20_000)
    20000
    """
    if seed not in CALIBRATION_SEEDS:
        raise FieldError("seed", seed, f"from {CALIBRATION_SEEDS[0]} to {CALIBRATION_SEEDS[-1]} to calibrate with")
    return seed


def calibration_stream(seed: int, part: int) -> np.random.Generator:
    """The generator of one part of what calibrates under a seed, counted from 0. Raises FieldError as above."""
    return np.random.default_rng(np.random.SeedSequence(calibration_seed(seed), spawn_key=(part,)))


def stream(seed: int, purpose: int, *part: int) -> np.random.Generator:
    """The generator of a seed for STUDY, MAP, TRIAL or TRAINING, or of one part of that, such as a chunk.

    >>> bool(stream(1, STUDY, 0).random() != stream(1, TRAINING, 0).random())
    True
    """
    return np.random.default_rng(np.random.SeedSequence(int(seed), spawn_key=(purpose, *part)))


def training_generator(seed: int) -> np.random.Generator:
    """The generator of recordings to train on; no study, map, trial or calibration draws the same people from any seed.

    Raises FieldError where `seed` is no whole number from 0 to LARGEST_SEED.

    >>> scoring_generator(training_generator(1))
    Traceback (most recent call last):
        ...
    sim.fields.FieldError: seed = a generator of recordings to train on: must be another: who trains an algorithm \
must not score it
    """
    return stream(_whole(seed), TRAINING)


def scoring_generator(rng: np.random.Generator) -> int | None:
    """The seed that a generator was made from, None where it does not tell. Raises FieldError as `scoring_seed`, and
    where it draws people to train on.

    >>> scoring_generator(np.random.default_rng(7))
    7
    """
    sequence = generator(rng).bit_generator.seed_seq
    if tuple(getattr(sequence, "spawn_key", ()))[:1] == (TRAINING,):
        raise FieldError(
            "seed", "a generator of recordings to train on", "another: who trains an algorithm must not score it"
        )
    entropy = getattr(sequence, "entropy", None)
    if not isinstance(entropy, int):
        return None
    if entropy <= LARGEST_SEED:
        scoring_seed(entropy)
    return entropy


def _whole(seed: int) -> int:
    """`seed`, as a whole number from 0 to LARGEST_SEED. Raises FieldError."""
    if isinstance(seed, bool) or not isinstance(seed, (int, np.integer)) or not 0 <= seed <= LARGEST_SEED:
        raise FieldError("seed", repr(seed), f"a whole number from 0 to {LARGEST_SEED}")
    return int(seed)
