"""A small study whose readings are kept as text, so that other versions of Python and numpy are held to the same.

`python -m tests.numbers.golden` writes them anew, after a change of the physics or of an estimator.
"""

from __future__ import annotations

import csv
import platform
from pathlib import Path
from typing import Any

import numpy as np
import scipy

from sim import PARAMETERS_VERSION, Instrument, Technique, measure
from sim.estimate.door import read
from sim.estimate.named import NAMED
from sim.setup import Setup
from sim.study.cohort import cohort

KEPT = Path(__file__).with_suffix(".csv")
PEOPLE, SEED = 30, 11
NUMBERS = ("sbp", "dbp", "map", "pulse_rate")
# More than any digit that a reading means [mmHg].
_DIGITS = 4


def setup() -> Setup:
    """Thirty people: a third measured correctly, a third with mistakes, a third with other instruments."""
    rng = np.random.default_rng(SEED)
    third = np.arange(PEOPLE) % 3
    wrong, other = third == 1, third == 2
    technique = Technique(
        cuff_below_heart_cm=np.where(wrong, rng.uniform(-15, 20, PEOPLE), 0),
        slack_cm=np.where(wrong, rng.uniform(0, 4, PEOPLE), 0),
        sleeve_mm=np.where(wrong, rng.uniform(0, 4, PEOPLE), 0),
        talking=np.where(wrong, "conversation", "no"),
    )
    instrument = Instrument(
        bladder=np.where(other, "regular", "fitting"),
        course=np.where(
            other, np.array(["deflating", "steps", "inflating"])[rng.integers(3, size=PEOPLE)], "deflating"
        ),
        polytropic_index=np.where(other, 1.2, 1.0),
    )
    subject = cohort(PEOPLE, rng)
    rhythm = np.where(rng.random(PEOPLE) < 0.1, "atrial-fibrillation", "regular")
    return Setup(subject.replace(rhythm=rhythm), technique, instrument)


def rows() -> list[dict[str, Any]]:
    """The study's readings as a table: person, estimator, numbers (NaN where there is none), reason, true pressures."""
    result = measure(setup(), rng=np.random.default_rng(SEED))
    readings = {name: read(name, result.recording) for name in NAMED}
    true = result.truth.at_measurement
    return [
        {
            "person": person,
            "estimator": name,
            **{part: float(getattr(reading, part)[person]) for part in NUMBERS},
            "reason": str(reading.reason[person]),
            "true_sbp": float(true.sbp[person]),
            "true_dbp": float(true.dbp[person]),
        }
        for name, reading in readings.items()
        for person in range(PEOPLE)
    ]


def made_with() -> dict[str, str]:
    """The versions that made them."""
    return {
        "parameters": PARAMETERS_VERSION,
        "python": platform.python_version(),
        "numpy": np.__version__,
        "scipy": scipy.__version__,
    }


def write() -> None:
    """Writes the readings to KEPT."""
    table = rows()
    with KEPT.open("w", encoding="utf-8", newline="") as file:
        file.write("# " + ", ".join(f"{name} {version}" for name, version in made_with().items()) + "\n")
        out = csv.DictWriter(file, list(table[0]), lineterminator="\n")
        out.writeheader()
        for row in table:
            out.writerow({k: f"{v:.{_DIGITS}f}" if isinstance(v, float) else v for k, v in row.items()})


def kept() -> tuple[dict[str, str], list[dict[str, str]]]:
    """The versions that the kept readings were made with, and the rows as text."""
    with KEPT.open(encoding="utf-8", newline="") as file:
        head = file.readline().removeprefix("# ").strip()
        return dict(part.split(" ", 1) for part in head.split(", ")), list(csv.DictReader(file))


if __name__ == "__main__":
    write()
