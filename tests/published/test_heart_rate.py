"""How much the heart's rate and its intervals vary, as published, and what the model's do."""

from __future__ import annotations

import numpy as np
import pytest

from sim import Instrument, Subject, measure
from sim.record import planned
from sim.setup import Setup

# Wang X-X, et al. Hypertens Res 2016, DOI 10.1038/hr.2016.31 (abstract seen): highest less lowest pulse rate of three
# readings, 4.10 ± 3.21 per min in 154 people in sinus rhythm, 12.1 ± 8.6 in 251 in atrial fibrillation.
WANG = "Wang 2016"
PEOPLE = 400


def ranges(rhythm: str) -> np.ndarray:
    """Highest less lowest rate shown in three readings of each of PEOPLE people [beats/min]."""
    who = Subject(sbp=130, dbp=80, heart_rate=72, rhythm=rhythm)
    rates = [measure(who, rng=np.random.default_rng(k), n=PEOPLE).reading.pulse_rate for k in (1, 2, 3)]
    return np.ptp(rates, axis=0)


@pytest.mark.parametrize(
    ("rhythm", "mean", "sd", "n"), [("regular", 4.10, 3.21, 154), ("atrial-fibrillation", 12.1, 8.6, 251)]
)
def test_three_readings_of_one_person_differ_in_rate(report, rhythm, mean, sd, n):
    half = 1.96 * sd / np.sqrt(n)
    found = float(np.nanmean(ranges(rhythm)))
    what = f"range of three pulse rates, {rhythm} [per min]"
    report.within(what, found, mean - half, mean + half, WANG, f"{mean:g} ({mean - half:.1f} to {mean + half:.1f})")


@pytest.fixture(scope="module")
def intervals_ms():
    """Intervals (readings, beats) of one person at rest at 926 ms on average."""
    setup = Setup(Subject(heart_rate=60 / 0.926), instrument=Instrument(deflation_mmhg_per_s=1)).spread(400)
    sweep, chance = planned(setup, np.random.default_rng(5))
    return np.diff(sweep.beats(chance).start_s, axis=1) * 1000


def test_intervals_vary_by_as_much_as_published(report, intervals_ms):
    # Nunan D, et al. Pacing Clin Electrophysiol 2010;33:1407-1417: SDNN over five minutes 50 ms (quoted), ± 16 between
    # studies (from memory). Five minutes hold what differs between readings minutes apart, too.
    report.spread("SDNN at rest [ms]", float(intervals_ms.std()), 50, 16, "Nunan 2010")


def test_neighbouring_intervals_differ_by_as_much_as_published(report, intervals_ms):
    # The same source, from memory: root mean square of successive differences 42 ± 15 ms.
    successive = float(np.sqrt((np.diff(intervals_ms, axis=1) ** 2).mean()))
    report.spread("RMSSD at rest [ms]", successive, 42, 15, "Nunan 2010 (from memory)")
