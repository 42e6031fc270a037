"""Which part of a recording is read: a span of time that somebody names, or the longest fall in a whole cycle.

A recording of a person often holds more than the algorithms want: the cuff is filled, falls slowly, and is let go. What
is slow and falls is found by its rate alone, with no look at the pulses.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import uniform_filter1d

from sim.fields import FieldError
from sim.results import Recording

# Over so long a beat's own rise and fall is lost, and a filling is not yet [s]. Chosen.
_SMOOTHED_S = 1.0
# Faster than this the cuff is filled, or let go [mmHg/s]. Chosen between the 2 to 3 mmHg/s of deflation and the tens of
# a pump or an open valve; steps of 10 mmHg a second are still a fall.
_FILLED, _LET_GO = 5.0, -20.0
# A fall that is worth reading goes through so much [mmHg]. Chosen: a narrow pulse pressure and something on each side.
LEAST_FALL_MMHG = 40.0
# Below this nobody's diastolic pressure lies, and an open valve lets the rest out slowly [mmHg]. Chosen below
# the 30 mmHg that the model's people have at least.
_LOWEST_MMHG = 20.0
# What is cut away is worth a word from so long on [s]. Chosen.
_WORTH_S = 1.0


@dataclass(frozen=True)
class Span:
    """From when to when a recording is read [s]."""

    start_s: float
    end_s: float

    def __str__(self) -> str:
        return f"{self.start_s:.1f} to {self.end_s:.1f} s"


def cut(recording: Recording, start_s: float | None = None, end_s: float | None = None) -> Recording:
    """The part of the only recording between two times [s]; None: from its beginning, to its end.

    Raises FieldError where a time is not inside or nothing is left.

    >>> whole = Recording(1.0, np.array([[180.0, 170.0, 160.0, 150.0]]), np.array([4]))
    >>> cut(whole, 1.0, 3.0).pressure_mmhg
    array([[170., 160.]])
    """
    length_s = recording.seconds()
    start = 0.0 if start_s is None else start_s
    end = length_s if end_s is None else end_s
    if not 0 <= start < length_s:
        raise FieldError("from", f"{start:g}", f"from 0 to {length_s:g} s, the length of the recording")
    if not start < end:
        raise FieldError("to", f"{end:g}", f"later than {start:g} s, where the part begins")
    if end > length_s + 1 / recording.sampling_hz:
        raise FieldError("to", f"{end:g}", f"at most {length_s:g} s, the length of the recording")
    first, last = (round(at * recording.sampling_hz) for at in (start, end))
    part = recording.recorded()[first:last]
    if len(part) < 2:
        raise FieldError("to", f"{end:g}", "so late that the part has at least two samples")
    return Recording(recording.sampling_hz, part[None, :], np.array([len(part)]))


def longest_fall(recording: Recording) -> Span | None:
    """The slow fall through the most pressure in the only recording, or None where the whole is to be read.

    That is so where nothing is filled or let go besides, or where nothing falls far enough (a recording during
    inflation, say).
    """
    rate, value = recording.sampling_hz, recording.recorded()
    known = np.isfinite(value)
    if len(value) < 4 * _SMOOTHED_S * rate or not known.any():
        return None
    at = np.arange(len(value))
    smooth = uniform_filter1d(np.interp(at, at[known], value[known]), max(1, round(_SMOOTHED_S * rate)), mode="nearest")
    half = max(1, round(_SMOOTHED_S * rate / 2))
    slope = (smooth[np.minimum(at + half, len(at) - 1)] - smooth[np.maximum(at - half, 0)]) / _SMOOTHED_S
    pieces = _pieces((slope > _LET_GO) & (slope < _FILLED) & (smooth >= _LOWEST_MMHG))
    falls = [(smooth[a:b].max() - smooth[b - 1], a, b) for a, b in pieces]
    fallen, first, last = max(falls, default=(0.0, 0, 0))
    if fallen < LEAST_FALL_MMHG:
        return None
    first += int(np.argmax(smooth[first:last]))
    if (len(value) - (last - first)) / rate < _WORTH_S:
        return None
    return Span(first / rate, last / rate)


def _pieces(there: np.ndarray) -> list[tuple[int, int]]:
    """From where to where each run of true values goes, (n,) bool."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], there, [False]]).astype(int)))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]
