"""Logs for the tests; the numbers are invented."""

from datetime import date, timedelta

import numpy as np

FIRST = date(2024, 5, 6)


def week(days=7, readings=2, seed=3, sbp=132, dbp=82):
    """A table of `days` days, mornings and evenings, in the order of time."""
    rng = np.random.default_rng(seed)
    lines = ["date,time,sbp,dbp,pulse,note"]
    for day in range(days):
        shift = rng.normal(0, 6)
        for hour in (7, 19):
            for k in range(readings):
                s, d = round(sbp + shift + rng.normal(0, 5)), round(dbp + shift / 2 + rng.normal(0, 3))
                lines.append(f"{FIRST + timedelta(days=day)},{hour:02d}:{10 + k},{s},{d},{70 + k},")
    return "\n".join(lines) + "\n"
