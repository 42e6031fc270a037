"""Why an oscillogram gives no reading, told alike by every estimator here."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.estimate.envelope import at_beats, over_peak
from sim.estimate.oscillogram import usual
from sim.results import Oscillogram, Reading
from sim.say import mark

# The reasons why there may be no reading, and when each holds.
WEAK = mark("the pulse in the cuff is too weak to read")
FEW = mark("too few beats while the cuff emptied")
MOVEMENT = mark("too much movement")
STEPS = mark("the cuff emptied by steps, and too few beats lie whole between two of them")
NOT_HIGH_ENOUGH = mark("the cuff was not pumped high enough: the pulse was already there at the start")
NOT_LOW_ENOUGH = mark("the measurement ended too early: the pulse had not faded")
REASONS = (WEAK, FEW, MOVEMENT, STEPS, NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH)

# All chosen here, on 300 simulated adults at rest, with moving arms, with atrial fibrillation, and with a cuff that
# empties by steps (as in `sim.estimate.beats`). No reading at all in 0, 44, 0.3 and 1 % of these.

# Between what the sensor's noise alone makes (0.17 to 0.21 mmHg, four cuffs without a pulse) and the lowest peak seen
# of an arm at rest (1.17 mmHg; by steps 0.84). Half and double change nothing in those people.
_LEAST_PEAK_MMHG = 0.4
# Beats of at least half the peak: fewer than these do not tell where the envelope runs. Fewest seen: at rest 12, with
# fibrillation 10, by steps 6, and 10 refuses 5 % of the last.
_LEAST_BEATS = 5
# Beats this close to the peak tell where the envelope runs, whose width at half its height is 57 ± 11 mmHg (Liu C,
# Zheng D, Griffiths C, Murray A, 2014). Where the cuff took so long to pass them that a heart of this rate beats often
# enough, and few beats are found all the same, something hides them. Half and double change no reading here: only which
# of two reasons is given. The rate is assumed, below what most hearts have at rest.
_CLOSE_MMHG, _SLOW_PER_MIN = 25.0, 40.0
# Among beats between the first and last of half the peak: more artefacts than this share is movement; so is a scatter
# of the kept ones about the envelope, over the peak, larger than this. Largest seen at rest: below 0.01 and 0.07; with
# fibrillation 0.20 and 0.15 (95 % of people up to 0.11 and 0.12). Half of the first refuses 11 % by steps, half of the
# second 64 % with fibrillation; double of the first reads 5 % more of the moving arms, off by more than 20 mmHg in 5
# instead of 4 %.
_MOST_ARTEFACTS = 0.25
_MOST_SCATTER = 0.15
# What would be movement are steps of the valve where more than this share of the cuff's fall lies in gaps between
# beats, where the valve spoilt some. Of 150 adults, with a moving arm (jolts of 5 mmHg): up to 0.41 in 95 % of those
# refused; with steps of 10 mmHg for two beats each: half above 0.83. A half calls a third of moving arms steps, a
# double nobody.
_FALL_IN_GAPS = 0.6
# An envelope that rises so high again beyond the pressures found, at so great a distance from them, with a dip of so
# much of that height before it, has a second hump: one of the two is movement, and nobody can say which. Of readings of
# a moving arm (bursts of 2 mmHg) that were more than 20 mmHg off, two in three had one; of 1,500 adults who sat still
# none. Height 0.35: refuses 14 % with fibrillation; 1 or more, which refuses nobody: 9 % of moving arms are more than
# 20 mmHg off. Distance: no change from 4 to 16 mmHg. Dip 0.4: 5 % are; above 1, so that none is needed: refuses 4 %
# with fibrillation.
_SECOND_HUMP, _BEYOND_MMHG, _DIP = 0.7, 8.0, 0.8


def reading(
    osc: Oscillogram,
    peak_mmhg: np.ndarray,
    sbp: np.ndarray,
    dbp: np.ndarray,
    mean: np.ndarray,
    sd: Sequence[np.ndarray] | None = None,
    most_sd_mmhg: float = np.inf,
) -> Reading:
    """The readings of n oscillograms whose pressures were found, or the reasons why there are none.

    peak_mmhg: (n,) height of the envelope's peak; sbp, dbp, mean: (n,) NaN where not found; sd: standard errors of sbp
    and dbp, (n,) each; all in mmHg. One beyond most_sd_mmhg counts as movement, as do pressures that are not in order.
    """
    reason = why_not(osc, peak_mmhg, sbp, dbp)
    doubtful = ~((sbp > mean) & (mean > dbp))
    if sd is not None:
        doubtful |= np.maximum(*sd) > most_sd_mmhg
    reason = np.where((reason == "") & doubtful, np.where(_by_steps(osc), STEPS, MOVEMENT), reason)
    ok = reason == ""
    rate = 60 / usual(osc.end_s - osc.time_s, osc.kept & (osc.amplitude_mmhg >= 0.3 * peak_mmhg[:, None]))
    sbp, dbp, mean, rate = (np.where(ok, values, np.nan) for values in (sbp, dbp, mean, rate))
    sbp_sd, dbp_sd = (None, None) if sd is None else (np.where(ok, values, np.nan) for values in sd)
    return Reading(sbp, dbp, mean, rate, reason, osc, sbp_sd, dbp_sd)


def why_not(osc: Oscillogram, peak: np.ndarray, sbp: np.ndarray, dbp: np.ndarray) -> np.ndarray:
    """Why each recording gives no reading, or "": (n,) of the texts in REASONS.

    peak, sbp, dbp: (n,) height of the envelope's peak and the pressures found [mmHg]

    >>> from sim import Subject, measure
    >>> osc = measure(Subject(), ideal=True).reading.oscillogram
    >>> why_not(osc, np.array([0.1]), np.array([120.0]), np.array([80.0])).tolist()
    ['the pulse in the cuff is too weak to read']
    """
    there = np.isfinite(osc.amplitude_mmhg)
    amplitude = np.where(there, osc.amplitude_mmhg, 0.0)
    kept = osc.kept
    high = kept & (amplitude >= 0.5 * peak[:, None])
    many = high.sum(axis=1)
    # Beats, kept or not, from the first to the last high one.
    if there.shape[1]:
        first, last = np.argmax(high, axis=1), high.shape[1] - 1 - np.argmax(high[:, ::-1], axis=1)
        place = np.arange(high.shape[1])
        span = there & (place >= first[:, None]) & (place <= last[:, None])
    else:
        span = there
    artefacts = (span & ~kept).sum(axis=1) / np.maximum(span.sum(axis=1), 1)
    residual = np.where(span & kept, amplitude - at_beats(osc), 0.0)
    scatter = over_peak(np.sqrt((residual**2).sum(axis=1) / np.maximum((span & kept).sum(axis=1), 1)), peak)
    nothing = there.sum(axis=1) == 0
    few = ~np.isfinite(peak) | (many < _LEAST_BEATS)
    fast = _seconds_close(osc) * _SLOW_PER_MIN / 60 < _LEAST_BEATS
    spoilt = few | (artefacts > _MOST_ARTEFACTS) | (scatter > _MOST_SCATTER) | _second_hump(osc, peak, sbp, dbp)
    tests = [
        (nothing | (peak < _LEAST_PEAK_MMHG), WEAK),
        (spoilt & _by_steps(osc), STEPS),
        (few & fast, FEW),
        (spoilt, MOVEMENT),
        (~np.isfinite(sbp), NOT_HIGH_ENOUGH),
        (~np.isfinite(dbp), NOT_LOW_ENOUGH),
    ]
    return np.select([test for test, _ in tests], [text for _, text in tests], default="")


def _by_steps(osc: Oscillogram) -> np.ndarray:
    """Whether the cuff's pressure fell between beats rather than during them, (n,)."""
    fall = np.nan_to_num(np.abs(np.diff(osc.cuff_mmhg, axis=1)))
    gap = osc.time_s[:, 1:] > osc.end_s[:, :-1]
    found: np.ndarray = (fall * gap).sum(axis=1) > _FALL_IN_GAPS * fall.sum(axis=1)
    return found


def _second_hump(osc: Oscillogram, peak: np.ndarray, sbp: np.ndarray, dbp: np.ndarray) -> np.ndarray:
    """Whether the envelope falls and rises high again beyond the pressures found, (n,)."""
    cuff, envelope = osc.envelope_cuff_mmhg, np.nan_to_num(osc.envelope_mmhg)
    beyond = (cuff > sbp[:, None] + _BEYOND_MMHG) | (cuff < dbp[:, None] - _BEYOND_MMHG)
    # The lowest value on the way from the peak, up and down in pressure.
    place, top = np.arange(envelope.shape[1]), np.argmax(envelope, axis=1)[:, None]
    after = np.minimum.accumulate(np.where(place >= top, envelope, np.inf), axis=1)
    before = np.minimum.accumulate(np.where(place <= top, envelope, np.inf)[:, ::-1], axis=1)[:, ::-1]
    dip = np.where(place >= top, after, before) < _DIP * envelope
    return (beyond & dip & (envelope > _SECOND_HUMP * peak[:, None])).any(axis=1)


def _seconds_close(osc: Oscillogram) -> np.ndarray:
    """How long the cuff took (n,) to pass the pressures close to the peak, at its mean pace from the first beat to the
    last; no longer than all of that [s]."""
    count = np.isfinite(osc.time_s).sum(axis=1)
    if not osc.time_s.shape[1]:
        return np.zeros(len(count))
    rows, last = np.arange(len(count)), np.maximum(count - 1, 0)
    span_s = osc.time_s[rows, last] - osc.time_s[:, 0]
    passed_mmhg = np.abs(osc.cuff_mmhg[rows, last] - osc.cuff_mmhg[:, 0])
    return np.where(count > 1, span_s * 2 * _CLOSE_MMHG / np.maximum(passed_mmhg, 2 * _CLOSE_MMHG), 0.0)
