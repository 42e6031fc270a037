"""From where to where the cuff's pressure runs: what an instrument chooses that knows nothing of the person.

Left to itself an instrument fills to a pressure chosen without regard to the person, higher a second time where the
first proved too low, and empties to a pressure chosen likewise. So neither the first sample nor the last, nor the
length of a recording, says what the pressure is; only that somebody had to be pumped up twice says a little, and three
people in ten are pumped up as high at once. An instrument that feels for the pulse while it fills
(`filling="by-pulse"`) stops where the pulse has gone and has faded: its recordings begin and end at a distance from the
pressures that they are made to find, and an algorithm that looks only there would read well. So it is with each of the
fields that say how far beyond (`fill_beyond_mmhg`, `fall_beyond_mmhg`, `refill_mmhg`): `gives_away`.

A recording is the last fall alone: a fill that proved too low leaves nothing in it, and what waiting with a filled cuff
does to the arm has no mechanism here. Where the pulse has gone and where the artery opens is taken from the person, not
from the recording: the instrument finds both without an error of its own.
"""

from __future__ import annotations

import numpy as np

from sim.cuff.instrument import Instrument
from sim.fields import FieldError

# Where the first fill ends, and where a high one does; how many are filled high at once; where emptying ends [mmHg].
# Chosen so that 97 in 100 people of a study by the standard need no second fill, and so that the best guess at systolic
# pressure from the first sample explains under 5 % of how they differ (tests/study/test_nothing_tells.py).
LOW_MMHG, HIGH_MMHG, HIGH_SHARE = (195.0, 220.0), (220.0, 295.0), 0.3
END_MMHG = (18.0, 32.0)
# How far above the pressure at which the artery closes a fill must be, or there are pulses at its start: a second fill.
ENOUGH_MMHG = 20.0
# By the pulse: how far beyond the pressures at which the artery closes and opens the cuff goes.
BY_PULSE_ABOVE_MMHG, BY_PULSE_BELOW_MMHG = 40.0, 35.0
HIGHEST_MMHG, LOWEST_MMHG = 320.0, 12.0
LEAST_S = 3.0


def gives_away(instrument: Instrument) -> np.ndarray:
    """Which of n instruments begin or end at a distance from the pressures that they are made to find, (n,)."""
    beyond = (instrument.fill_beyond_mmhg > 0) | (instrument.fall_beyond_mmhg > 0)
    refilled = (instrument.start_mmhg > 0) & (instrument.refill_mmhg > 0)
    found: np.ndarray = (instrument.filling == "by-pulse") | beyond | refilled
    return found


def span(
    instrument: Instrument,
    closes_mmhg: np.ndarray,
    opens_mmhg: np.ndarray,
    draws: np.ndarray,
    rate_mmhg_per_s: np.ndarray,
) -> tuple[np.ndarray, np.ndarray]:
    """Upper and lower end of n courses, each (n,) [mmHg].

    closes_mmhg, opens_mmhg: (n,) cuff pressures at which each artery closes and opens
    draws: (n, 4) uniform: whether filled high at once, where to, where to the second time, where emptying ends
    rate_mmhg_per_s: (n,) the mean rate of valve or pump

    Raises FieldError where they leave less than LEAST_S seconds of recording.

    >>> felt = Instrument(filling="by-pulse").spread(1)
    >>> span(felt, np.array([130.0]), np.array([80.0]), np.zeros((1, 4)), np.array([3.0]))
    (array([170.]), array([45.]))
    """
    by_pulse = instrument.filling == "by-pulse"
    start = np.where(by_pulse, closes_mmhg + BY_PULSE_ABOVE_MMHG, _filled(closes_mmhg, draws))
    end = np.where(by_pulse, np.maximum(opens_mmhg - BY_PULSE_BELOW_MMHG, LOWEST_MMHG), _within(END_MMHG, draws[:, 3]))
    beyond = instrument.fill_beyond_mmhg
    start = np.minimum(np.where(beyond > 0, closes_mmhg + beyond, start), HIGHEST_MMHG)
    start = np.where(instrument.start_mmhg > 0, _refilled(instrument, closes_mmhg), start)
    end = np.where(instrument.end_mmhg > 0, instrument.end_mmhg, end)
    beyond = instrument.fall_beyond_mmhg
    stopped = np.maximum(opens_mmhg - beyond, np.where(instrument.end_mmhg > 0, instrument.end_mmhg, LOWEST_MMHG))
    end = np.where(beyond > 0, stopped, end)
    low = end > start - LEAST_S * rate_mmhg_per_s
    if low.any():
        row = int(np.argmax(low))
        raise FieldError(
            "start_mmhg",
            f"{start[row]:g}",
            f"far enough above the end of deflation, {end[row]:.0f} mmHg, for {LEAST_S:g} s of recording",
        )
    return start, end


def _filled(closes_mmhg: np.ndarray, draws: np.ndarray) -> np.ndarray:
    """Where filling ends, (n,): a pressure set beforehand, or a higher one where that was too low."""
    high_at_once = draws[:, 0] > 1 - HIGH_SHARE
    first = np.where(high_at_once, _within(HIGH_MMHG, draws[:, 1]), _within(LOW_MMHG, draws[:, 1]))
    needed = closes_mmhg + ENOUGH_MMHG
    return np.where(first < needed, np.maximum(_within(HIGH_MMHG, draws[:, 2]), needed), first)


def _refilled(instrument: Instrument, closes_mmhg: np.ndarray) -> np.ndarray:
    """Where filling to start_mmhg ends, (n,): there, or as many times refill_mmhg higher as it takes."""
    more = instrument.refill_mmhg
    lacking = np.maximum(closes_mmhg + ENOUGH_MMHG - instrument.start_mmhg, 0)
    times = np.where(more > 0, np.ceil(lacking / np.where(more > 0, more, 1.0)), 0.0)
    return np.maximum(np.minimum(instrument.start_mmhg + times * more, HIGHEST_MMHG), instrument.start_mmhg)


def _within(limits: tuple[float, float], draws: np.ndarray) -> np.ndarray:
    return limits[0] + (limits[1] - limits[0]) * draws
