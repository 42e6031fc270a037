"""Seeds: those that calibrate an estimator never score one."""

from __future__ import annotations

import numpy as np

from sim.fields import FieldError, generator

# Seeds of cohorts on which estimators are calibrated; all other seeds may score them. Chosen: ten thousand that nobody
# takes by habit. The largest seed fits a column of 64-bit integers.
CALIBRATION_SEEDS = range(20_000, 30_000)
LARGEST_SEED = 2**63 - 1


def scoring_seed(seed: int) -> int:
    """`seed`, which may score an estimator. Raises FieldError where it belongs to calibration.

    >>> scoring_seed(1)
    1
    """
    if isinstance(seed, bool) or not isinstance(seed, (int, np.integer)) or not 0 <= seed <= LARGEST_SEED:
        raise FieldError("seed", repr(seed), f"a whole number from 0 to {LARGEST_SEED}")
    if seed in CALIBRATION_SEEDS:
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


def scoring_generator(rng: np.random.Generator) -> int | None:
    """The seed that a generator was made from, None where it does not tell. Raises FieldError as `scoring_seed`.

    >>> scoring_generator(np.random.default_rng(7))
    7
    """
    sequence = generator(rng).bit_generator.seed_seq
    entropy = getattr(sequence, "entropy", None)
    if not isinstance(entropy, int):
        return None
    if entropy <= LARGEST_SEED:
        scoring_seed(entropy)
    return entropy
