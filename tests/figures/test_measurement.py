"""The page for one measurement: what it draws is what was measured."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from sim import Instrument, Subject, Technique, breakdown
from sim.figures.colours import DISPLAY, TRUTH
from sim.figures.measurement import caption, measurement_figure
from sim.figures.numbers import pair

SYSTOLIC, DIASTOLIC = 4, 5  # where the axes of the steps stand in the figure


@pytest.fixture(scope="module")
def explained():
    technique = Technique(cuff_below_heart_cm=10, talking="conversation")
    return breakdown(Subject(sbp=130, dbp=85), technique, Instrument(), rng=np.random.default_rng(3), n=3)


@pytest.fixture(scope="module")
def figure(explained):
    return measurement_figure(explained)


def words(figure):
    return [text.get_text() for text in figure.findobj(Text)]


def test_the_two_numbers_stand_at_the_top(figure, explained):
    reading = explained.result.reading
    assert f"{TRUTH.symbol} resting pressure 130/85" in words(figure)
    assert f"{DISPLAY.symbol} display {pair(reading.sbp[0], reading.dbp[0])}" in words(figure)


def test_every_axis_says_what_it_is_and_in_which_unit(figure):
    for axes in figure.axes[1:-1]:
        assert axes.get_title(loc="left")
        assert "mmHg" in axes.get_xlabel() + axes.get_ylabel()


@pytest.mark.parametrize(("place", "name"), [(SYSTOLIC, "sbp"), (DIASTOLIC, "dbp")])
def test_the_steps_lead_from_the_truth_to_the_mean_of_the_display(figure, explained, place, name):
    bars = figure.axes[place].patches
    resting = getattr(explained.result.truth.resting, name)[0]
    mean = getattr(explained.result.reading, name).mean()
    assert len(bars) == len(explained.contributions)
    assert sum(bar.get_width() for bar in bars) == pytest.approx(mean - resting, abs=1e-9)
    assert bars[0].get_x() == pytest.approx(resting)


def test_both_steps_have_one_scale(figure):
    spans = [float(np.diff(figure.axes[place].get_xlim())[0]) for place in (SYSTOLIC, DIASTOLIC)]
    assert spans[0] == pytest.approx(spans[1])


def test_the_recording_is_drawn_as_it_was_made(figure, explained):
    drawn = figure.axes[1].lines[0].get_ydata()
    samples = explained.result.recording.samples[0]
    assert np.array_equal(drawn, explained.result.recording.pressure_mmhg[0, :samples])


def test_markers_sit_where_the_cuff_passed_the_pressure(figure, explained):
    recording = explained.result.recording
    marks = {line.get_marker(): line.get_xydata()[0] for line in figure.axes[1].lines[1:3]}
    time_s, mmhg = marks[TRUTH.marker]
    assert mmhg == 130
    assert np.interp(time_s, recording.time_s, recording.pressure_mmhg[0]) == pytest.approx(130, abs=0.5)


def test_the_beats_are_those_that_the_algorithm_found(figure, explained):
    oscillogram = explained.result.reading.oscillogram
    dots = figure.axes[2].lines[0].get_xydata()
    kept = oscillogram.kept[0]
    assert np.allclose(dots, np.column_stack([oscillogram.cuff_mmhg[0][kept], oscillogram.amplitude_mmhg[0][kept]]))


def test_time_runs_from_left_to_right_in_the_envelope(figure):
    high, low = figure.axes[2].get_xlim()
    assert high > low  # the cuff emptied


def test_the_caption_has_the_numbers(explained):
    text = caption(explained)
    assert "130/85" in text
    assert "reading 1 of 3" in text
    for part in explained.contributions:
        assert part.cause in text
    assert "nan" not in text


def test_without_a_reading_the_page_says_why():
    cut_off = breakdown(Subject(sbp=150), Technique(), Instrument(start_mmhg=100), rng=np.random.default_rng(1))
    page = measurement_figure(cut_off)
    assert f"{DISPLAY.symbol} display no numbers" in words(page)
    assert str(cut_off.result.reading.reason[0]) in " ".join(words(page))
    assert "no numbers" in caption(cut_off)
    assert not any("nan" in word for word in words(page))


def test_every_word_lies_on_the_page(figure):
    FigureCanvasAgg(figure).draw()  # lays the page out
    for axes in figure.axes:
        causes = axes.get_yticklabels() if axes.axison else []
        for text in [*axes.texts, *causes, axes.xaxis.label, axes.yaxis.label, axes.title]:
            if text.get_text() and text.get_visible():
                box = text.get_window_extent()
                assert box.x0 >= 0, text.get_text()
                assert box.x1 <= figure.bbox.x1, text.get_text()
                assert box.y0 >= 0, text.get_text()
                assert box.y1 <= figure.bbox.y1, text.get_text()
