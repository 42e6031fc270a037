"""From where to where the cuff's pressure runs: what an instrument chooses that knows nothing of the person.

Left to itself an instrument fills to a pressure chosen without regard to the person, higher a second time where the
first proved too low, and empties to a pressure chosen likewise. So neither the first sample nor the last, nor the
length of a recording, says what the pressure is; only that somebody had to be pumped up twice says a little, and three
people in ten are pumped up as high at once. An instrument that feels for the pulse while it fills
(`filling="by-pulse"`) stops where the pulse has gone and has faded: its recordings begin and end at a distance from the
pressures that they are made to find, and an algorithm that looks only there would read well.
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


def span(
    instrument: Instrument, closes_mmhg: np.ndarray, opens_mmhg: np.ndarray, draws: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Upper and lower end of n courses, each (n,) [mmHg].

    closes_mmhg, opens_mmhg: (n,) cuff pressures at which each artery closes and opens
    draws: (n, 4) uniform: whether filled high at once, where to, where to the second time, where emptying ends

    Raises FieldError where they leave less than LEAST_S seconds of recording.

    >>> felt = Instrument(filling="by-pulse").spread(1)
    >>> span(felt, np.array([130.0]), np.array([80.0]), np.zeros((1, 4)))
    (array([170.]), array([45.]))
    """
    by_pulse = instrument.filling == "by-pulse"
    start = np.where(by_pulse, closes_mmhg + BY_PULSE_ABOVE_MMHG, _filled(closes_mmhg, draws))
    end = np.where(by_pulse, np.maximum(opens_mmhg - BY_PULSE_BELOW_MMHG, LOWEST_MMHG), _within(END_MMHG, draws[:, 3]))
    start = np.where(instrument.start_mmhg > 0, instrument.start_mmhg, np.minimum(start, HIGHEST_MMHG))
    end = np.where(instrument.end_mmhg > 0, instrument.end_mmhg, end)
    low = end > start - LEAST_S * instrument.deflation_mmhg_per_s
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


def _within(limits: tuple[float, float], draws: np.ndarray) -> np.ndarray:
    return limits[0] + (limits[1] - limits[0]) * draws
