"""The contract: the estimators here keep it, and each trial catches an estimator that breaks it."""

from dataclasses import replace

import numpy as np
import pytest

from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.named import NAMED
from sim.fields import FieldError
from sim.results import Reading
from sim.study.contract import TRIALS, check

USUAL = FixedRatio()


@pytest.mark.parametrize("name", NAMED)
def test_the_estimators_here_keep_it(name):
    report = check(NAMED[name])
    print(report)
    assert report.ok, str(report)


def filled(reading: Reading, sbp, dbp) -> Reading:
    """Numbers in place of every reason."""
    sbp, dbp = np.broadcast_to(sbp, reading.sbp.shape), np.broadcast_to(dbp, reading.sbp.shape)
    return replace(
        reading,
        sbp=np.where(reading.ok, reading.sbp, sbp),
        dbp=np.where(reading.ok, reading.dbp, dbp),
        map=np.where(reading.ok, reading.map, (sbp + dbp) / 2),
        pulse_rate=np.where(reading.ok, reading.pulse_rate, 70.0),
        reason=np.full(len(reading.reason), ""),
    )


def never(recording):
    nothing = np.full(len(recording), np.nan)
    return Reading(nothing, nothing, nothing, nothing, np.full(len(recording), "cannot say"))


def always(recording):
    """Never at a loss for a number."""
    return filled(USUAL(recording), 190.0, 40.0)


def moved(seconds_or_rate):
    """Adds a number of its own, by what it is told of the recording."""

    def estimate(recording):
        reading = USUAL(recording)
        by = seconds_or_rate(recording)
        return replace(reading, sbp=reading.sbp + by, map=reading.map, dbp=reading.dbp)

    return estimate


def by_samples(recording):
    """Takes every recording for one of 100 Hz that falls by 3 mmHg/s."""
    reading = USUAL(recording)
    return replace(reading, sbp=reading.sbp + (recording.samples - 4500) * 0.03)


def absolute(recording):
    """Rounds systolic to the next higher 20: no offset is passed on as it is."""
    reading = USUAL(recording)
    return replace(reading, sbp=np.ceil(reading.sbp / 20) * 20)


def spoils(recording):
    reading = USUAL(recording)
    recording.pressure_mmhg[:] -= 1
    return reading


class Moody:
    """Another answer each time."""

    def __init__(self):
        self.asked = 0

    def __call__(self, recording):
        self.asked += 1
        reading = USUAL(recording)
        return replace(reading, sbp=reading.sbp + 0.5 * self.asked)


def levels(recording):
    """Takes the mean of all recordings into account."""
    reading = USUAL(recording)
    mean = np.nanmean(reading.sbp) if reading.ok.any() else 0.0
    return replace(reading, sbp=reading.sbp + 0.05 * (mean - reading.sbp))


def strict(recording):
    """Cannot do with nothing."""
    if not len(recording):
        raise ValueError("no recordings")
    return USUAL(recording)


def gullible(what):
    """Reads on where the usual estimator refuses, or reads something else: wrong by 40 mmHg where `what` holds."""

    def estimate(recording):
        there = np.array([what(recording, row) for row in range(len(recording))], dtype=bool)
        reading = filled(USUAL(recording), 190.0, 40.0)
        usual = USUAL(recording)
        merged = {
            name: np.where(there, getattr(reading, name), getattr(usual, name))
            for name in ("sbp", "dbp", "map", "pulse_rate", "reason")
        }
        merged["sbp"] = np.where(there, merged["sbp"] + 60, merged["sbp"])
        return replace(usual, **merged)

    return estimate


def _values(recording, row):
    return recording.pressure_mmhg[row, : recording.samples[row]]


def _steps(recording, row):
    """Most of the time level, then a drop."""
    values = _values(recording, row)
    if len(values) < 2000:
        return False
    second = values[: len(values) // 100 * 100].reshape(-1, 100).mean(axis=1)
    return (np.abs(np.diff(second)) < 1).mean() > 0.2


def _rising(recording, row):
    values = _values(recording, row)
    return len(values) > 0 and values[-1] > values[0] + 20


def at_the_ends(recording):
    """Looks at where the cuff began and ended, and at nothing between."""
    rows = np.arange(len(recording))
    last = np.maximum(recording.samples - 1, 0)
    return filled(never(recording), recording.pressure_mmhg[:, 0] - 80, recording.pressure_mmhg[rows, last] + 45)


def _scattered(recording, row):
    """Beats whose intervals or heights differ much."""
    osc = USUAL(recording.take(slice(row, row + 1))).oscillogram
    assert osc is not None
    interval = (osc.end_s - osc.time_s)[osc.kept]
    return len(interval) > 10 and interval.std() / interval.mean() > 0.12


BREAKING = {
    "ordinary recordings": never,
    "no pulse": always,
    "reads the pulses": at_the_ends,
    "pulse too weak": always,
    "clipped": always,
    "dropped samples": gullible(lambda recording, row: not np.isfinite(_values(recording, row)).all()),
    "sampling rates": moved(lambda recording: 10.0 * (recording.sampling_hz != 100)),
    "step deflation": gullible(_steps),
    "inflation": gullible(_rising),
    "irregular rhythm": gullible(_scattered),
    "artefacts": always,
    "time shift": by_samples,
    "pressure offset": absolute,
    "long recordings": gullible(lambda recording, row: recording.samples[row] > 9000),
    "short recordings": always,
    "no recordings": strict,
    "input unchanged": spoils,
    "same again": Moody(),
    "pickles": lambda recording: USUAL(recording),
    "rows on their own": levels,
}


def test_every_trial_has_an_estimator_that_breaks_it():
    assert set(BREAKING) == set(TRIALS)


@pytest.mark.parametrize("name", TRIALS)
def test_a_trial_catches_what_breaks_it(name):
    (finding,) = check(BREAKING[name], only=[name]).findings
    print(finding.wrong)
    assert finding.name == name
    assert not finding.ok
    assert len(finding.wrong) > 10


@pytest.mark.parametrize(
    ("estimator", "words"),
    [
        (lambda recording: 1 / 0, "failed: ZeroDivisionError"),
        (lambda recording: (120, 80), "must give a Reading"),
        (lambda recording: replace(USUAL(recording), sbp=np.zeros(1)), "must give sbp of shape (12,)"),
        (lambda recording: replace(USUAL(recording), reason=np.full(len(recording), "so so")), "numbers and a reason"),
        (lambda recording: replace(USUAL(recording), sbp=USUAL(recording).dbp - 1), "not between"),
        (lambda recording: replace(never(recording), reason=np.full(12, "")), "neither numbers nor a reason"),
        (lambda recording: replace(never(recording), sbp=np.full(12, 120.0)), "a reason and some numbers"),
    ],
)
def test_what_is_no_reading_is_said_in_words(estimator, words):
    report = check(estimator, only=["ordinary recordings"])
    assert words in report.findings[0].wrong
    assert not report.ok


def test_a_trial_that_there_is_not_is_an_error():
    with pytest.raises(FieldError, match="of ordinary recordings, no pulse"):
        check(USUAL, only=["everything"])


def test_a_report_says_what_passed_and_what_failed():
    report = check(strict)
    text = str(report)
    assert f"{len(TRIALS) - 1} of {len(TRIALS)} passed." in text
    assert "FAILED  no recordings: failed: ValueError: no recordings (test_contract.py, line" in text
    assert text.count("passed  ") == len(TRIALS) - 1


def _in_lists(reading: Reading) -> Reading:
    numbers = (getattr(reading, field).tolist() for field in ("sbp", "dbp", "map", "pulse_rate", "reason"))
    return Reading(*numbers)


def test_lists_will_do_for_arrays_and_are_judged_alike():
    kept, broken = (
        check(lambda recording, read=read: _in_lists(read(recording)), only=["no pulse", "ordinary recordings"])
        for read in (USUAL, always)
    )
    assert kept.ok
    assert [finding.name for finding in broken.broken] == ["no pulse"]


def test_an_estimator_may_be_named():
    assert check("fixed-ratio", only=["ordinary recordings"]).ok
    with pytest.raises(FieldError, match="'sloop': must be one of fixed-ratio"):
        check("sloop")
