"""Watching a reading happen: what is played of it, and beside what."""

import json

import numpy as np
import pytest

from sim import Instrument, Subject, Technique, measure
from sim.body.artery import area
from sim.estimate.fixed_ratio import SYSTOLIC_RATIO
from sim.estimate.named import NAMED
from sim.explain.mistakes import mistakes
from sim.explain.playback import playback
from sim.figures.numbers import pair
from sim.screens.watch import player
from sim.screens.watch.moments import AFTER_S, moments
from sim.screens.watch.sides import sides
from sim.screens.watch.tracks import pulses, track
from sim.screens.watch.watched_reading import watch
from sim.teach.lesson import load_all

LESSONS, _ = load_all()
LESSON = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
MOVING = Technique(movement_mmhg=20)


@pytest.fixture(scope="module")
def played():
    return playback(Subject(), Technique(cuff_below_heart_cm=10), rng=np.random.default_rng(4))


# The reading


def test_the_reading_played_is_the_one_that_measure_makes(played):
    made = measure(Subject(), Technique(cuff_below_heart_cm=10), rng=np.random.default_rng(4))
    np.testing.assert_array_equal(played.result.recording.pressure_mmhg, made.recording.pressure_mmhg)
    np.testing.assert_array_equal(played.result.reading.sbp, made.reading.sbp)
    assert played.artery_mmhg.shape == played.opening.shape == made.recording.pressure_mmhg[0].shape


def test_the_artery_shown_has_the_true_pressure_at_the_cuff(played):
    truth = played.result.truth.at_cuff
    assert played.artery_mmhg.mean() == pytest.approx(truth.map[0], abs=1)
    tops = [piece.max() for piece in np.array_split(played.artery_mmhg, len(played.artery_mmhg) // 100)]
    assert np.mean(tops) == pytest.approx(truth.sbp[0], abs=2)


def test_the_artery_is_shut_above_its_pressure_and_open_below_it(played):
    over = played.outside_mmhg - played.artery_mmhg
    assert played.opening[over > 20].max() < 0.01
    assert played.opening[over < -40].min() > 0.85
    # At no pressure across its wall the area is a of a + b, by the law itself.
    level = area(np.zeros(1), 4.0, 20.0)[0] / 24
    assert np.interp(0.0, *_sorted(over, played.opening)) == pytest.approx(level, abs=0.01)


def _sorted(x, y):
    order = np.argsort(x)
    return x[order], y[order]


def test_pulses_are_as_high_as_the_algorithm_found_them(played):
    oscillogram = played.result.reading.oscillogram
    shown = pulses(played.result.recording, oscillogram)
    hz = played.result.recording.sampling_hz
    there = np.isfinite(oscillogram.amplitude_mmhg[0])
    beats = np.stack([oscillogram.time_s[0], oscillogram.end_s[0], oscillogram.amplitude_mmhg[0]], axis=1)[there]
    assert len(beats) > 30
    for begin, end, height in beats:
        piece = shown[round(begin * hz) : round(end * hz) + 1]
        # Noise of 0.07 mmHg rides on the top and on both feet.
        assert piece.max() == pytest.approx(height, abs=0.35)


def test_the_track_is_the_recording_the_beats_and_the_display(played):
    given = track(played)
    shown = played.result.recording.pressure_mmhg[0, :: round(given["step"] * 100)]
    np.testing.assert_allclose(np.array(given["cuff"]) / 100, shown, atol=0.005)
    oscillogram = played.result.reading.oscillogram
    assert len(given["beats"]) == np.isfinite(oscillogram.amplitude_mmhg[0]).sum()
    assert given["display"] == pair(played.result.reading.sbp[0], played.result.reading.dbp[0])
    taken = np.array(given["points"])
    assert taken[1, 1] == max(taken[:, 1])
    assert taken[0, 1] / taken[1, 1] == pytest.approx(SYSTOLIC_RATIO, abs=0.02)
    assert [len(given[name]) for name in ("pulses", "artery", "outside", "opening")] == [len(given["cuff"])] * 4


def test_moments_fall_where_the_pressure_on_the_artery_passes_the_truth(played):
    told = moments(played)
    assert [m.time_s for m in told] == sorted(m.time_s for m in told)
    hz, truth = played.result.recording.sampling_hz, played.result.truth.at_cuff
    for name, level in (("systolic", truth.sbp[0]), ("diastolic", truth.dbp[0])):
        (moment,) = [m for m in told if f"below the true {name}" in m.words]
        assert played.outside_mmhg[round(moment.time_s * hz)] == pytest.approx(level, abs=0.05)
    seconds = played.result.recording.samples[0] / hz
    assert seconds < told[-1].time_s < seconds + AFTER_S
    assert pair(played.result.reading.sbp[0], played.result.reading.dbp[0]) in told[-1].words


def test_while_the_cuff_fills_the_moments_come_the_other_way_round():
    rising = playback(Subject(), None, Instrument(course="inflating"), ideal=True)
    words = [m.words for m in moments(rising)]
    first, second = (
        next(i for i, w in enumerate(words) if f"above the true {n}" in w) for n in ("diastolic", "systolic")
    )
    assert first < second
    assert words[0].startswith("The cuff begins to fill")


def test_where_there_is_no_reading_the_last_moment_says_why():
    none = playback(Subject(), MOVING, rng=np.random.default_rng(1))
    reason = str(none.result.reading.reason[0])
    assert reason
    given = track(none)
    assert (given["display"], given["points"]) == ("", [])
    assert moments(none)[-1].words.lower() == f"no reading. {reason}."
    json.dumps(given, allow_nan=False)


# The other side


@LESSON
def test_beside_a_mistake_stands_the_same_arm_without_any(lesson):
    inputs = lesson.inputs(lesson.tempting)
    made = _mistakes(inputs)
    shown = sides(lesson, inputs)
    assert shown[0].inputs is inputs
    if not made:
        return
    first, second = shown
    assert all(mistake.cause in first.how for mistake in made)
    assert _mistakes(second.inputs) == []
    assert second.inputs.subject.sbp == inputs.subject.sbp


def _mistakes(inputs):
    return mistakes(inputs.spread(1))


def test_correct_technique_is_played_alone():
    (alone,) = sides(LESSONS[0], LESSONS[0].inputs())
    assert alone.how == "correct technique"


def test_where_only_the_person_differs_the_lessons_own_stands_beside():
    lesson = next(each for each in LESSONS if any(lever.group == "subject" for lever in each.levers))
    lever = next(lever for lever in lesson.levers if lever.group == "subject")
    first, second = sides(lesson, lesson.inputs({lever.field: lever.tempting}))
    assert second.title == "As the lesson begins"
    assert first.how != second.how
    assert "nan" not in first.how


def test_in_the_lesson_on_two_algorithms_both_read_the_same_recording():
    lesson = next(each for each in LESSONS if each.compare_with)
    mine, other = (watch(side, 3, False) for side in sides(lesson, lesson.inputs(lesson.tempting)))
    assert mine.track["cuff"] == other.track["cuff"]
    assert mine.side.estimator != other.side.estimator == lesson.compare_with
    expected = NAMED[lesson.compare_with](other.result.recording)
    assert other.track["display"] == pair(expected.sbp[0], expected.dbp[0]) != mine.track["display"]
    assert mine.track["moments"][-1] != other.track["moments"][-1]


def test_both_sides_begin_with_the_same_beats():
    lesson = LESSONS[0]
    first, second = (watch(side, 3, False).track for side in sides(lesson, lesson.inputs(lesson.tempting)))
    raised = np.array(first["artery"][:500]) - np.array(second["artery"][:500])
    assert np.ptp(raised) <= 2  # hundredths: the weight of blood alone
    assert raised.mean() / 100 == pytest.approx(12 * 0.78, abs=0.02)


@pytest.mark.parametrize(
    ("values", "drawn"),
    [
        ({"instrument.bladder": "10.5x21"}, True),  # far too small: less arrives than is in the cuff
        ({"technique.cuff_turned_deg": 90.0}, False),
    ],
)
def test_the_pressure_on_the_artery_is_drawn_where_it_is_not_that_in_the_cuff(values, drawn):
    lesson = next(each for each in LESSONS if each.name == "02-cuff-size")
    watched = tuple(watch(side, 1, False) for side in sides(lesson, lesson.inputs(values)))
    assert player.data(watched)["shared"]["outside"] is drawn


def test_beats_of_a_disturbed_recording_do_not_flatten_the_other():
    lesson = LESSONS[0]
    disturbed = lesson.inputs().replace(movement_mmhg=20)
    watched = tuple(watch(side, 1, False) for side in sides(lesson, disturbed))
    tallest = max(height for _, _, height, kept in watched[1].track["beats"] if kept)
    assert player.data(watched)["shared"]["top"] <= 2 * tallest
