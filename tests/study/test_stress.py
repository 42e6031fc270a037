"""Stress maps: which inputs they go over, what follows from them, and pictures whose ticks can be read."""

from itertools import pairwise

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from sim.cli import main
from sim.cuff.bladder import sizes_cm
from sim.fields import FieldError
from sim.figures.stress_map import stress_picture
from sim.setup import Setup
from sim.study.axes import axis, changed, together
from sim.study.origin import Origin
from sim.study.stress import StressMap, stress
from sim.technique import Technique

PEOPLE = Setup.of(sbp=[120.0, 150.0, 170.0], dbp=[80.0, 95.0, 70.0], arm_circumference_cm=[25.0, 30.0, 40.0])


@pytest.mark.parametrize(
    ("others", "sbp", "dbp"),
    [
        ({}, [110, 125, 100], [80, 95, 70]),  # systolic pressure follows
        ({"dbp": 60.0}, [90, 90, 90], [60, 60, 60]),
        ({"sbp": 100.0}, [100, 100, 100], [70, 70, 70]),  # lower than the diastolic pressure of some before
    ],
)
def test_a_pressure_follows_the_pulse_pressure(others, sbp, dbp):
    found = changed(PEOPLE, {**others, "pulse_pressure_mmhg": 30.0}).subject
    assert np.broadcast_to(found.sbp, 3).tolist() == sbp
    assert np.broadcast_to(found.dbp, 3).tolist() == dbp


def test_each_arm_gets_a_bladder_as_wide_for_it():
    found = changed(PEOPLE, {"bladder_width_ratio": 0.4})
    width, length = sizes_cm(found.instrument.bladder)
    assert width / PEOPLE.subject.arm_circumference_cm == pytest.approx(0.4, abs=0.001)
    assert length / width == pytest.approx(2, abs=0.01)
    beside = changed(PEOPLE, {"bladder_width_ratio": 0.4, "arm_circumference_cm": 35.0})
    assert sizes_cm(beside.instrument.bladder)[0] == pytest.approx(14.0)


def test_rhythms_are_those_of_the_share():
    assert (changed(PEOPLE, {"fibrillation_share": 2 / 3}).subject.rhythm == "atrial-fibrillation").sum() == 2
    assert set(np.atleast_1d(changed(PEOPLE, {"early_beat_share": 0.2}).subject.rhythm)) == {"early-beats"}
    assert str(changed(PEOPLE, {"early_beat_share": 0.2, "rhythm": "regular"}).subject.rhythm) == "regular"


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        ("movement", "slack_cm", "input = 'movement': must be beside movement_mmhg"),
        ("bladder_width_ratio", "bladder", "input = 'bladder': must be an input that leaves bladder alone"),
        ("rhythm", "fibrillation_share", "input = 'rhythm': must be an input that leaves rhythm alone"),
        ("fibrillation_share", "early_beat_share", "'early_beat_share': must be an input that leaves rhythm alone"),
    ],
)
def test_two_inputs_that_make_no_map(x, y, words):
    with pytest.raises(FieldError, match=words):
        together(axis(x), axis(y))


def test_kinds_of_movement_need_somebody_who_moves():
    together(axis("movement"), axis("slack_cm"), Technique(movement_mmhg=2))
    together(axis("movement"), axis("movement_mmhg"))


def test_a_range_is_that_of_the_quantity():
    assert axis("sbp", (90.0, 200.0)).values == (90.0, 200.0)  # whatever the usual diastolic pressure is
    with pytest.raises(FieldError, match=r"bladder_width_ratio = 2: must be from 0\.2 to 0\.75"):
        axis("bladder_width_ratio", [2.0])


def test_movement_and_cuffs_break_it():
    """The narrow cuff reads high (a regular cuff on arms that need larger ones, Ishigami J, et al. JAMA Intern Med
    2023;183:1061-1068), and the arm that moves all the time leaves no number or a wrong one."""
    cuffs = stress("fixed-ratio", axis("bladder_width_ratio", [0.28, 0.42]), axis("heart_rate", [70]), people=8)
    assert cuffs.mean_sbp[0, 0] > cuffs.mean_sbp[0, 1] + 3
    kinds = axis("movement", ["jolts", "arm"])
    moved = stress("fixed-ratio", kinds, axis("movement_mmhg", [0, 3]), people=8)
    assert moved.tolerable[0, 0] == moved.tolerable[0, 1]  # nobody moves
    assert moved.tolerable[1, 1] < moved.tolerable[0, 1]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ("heart_rate=50:110:0.5", "COUNT = 0.5: must be a whole number from 2 to 50: how many values, not how far"),
        ("heart_rate=50:110:1", "COUNT = 1: must be a whole number from 2 to 50"),
        ("movement=jolts,tremor", "--stress movement: must be beside movement_mmhg"),
        ("pulse_pressure_mmhg=5:60:3", "pulse_pressure_mmhg = 5: must be from 10 to 130 mmHg"),
    ],
)
def test_a_wrong_axis_gets_one_line_before_anybody_is_measured(given, words, capsys):
    assert main(["study", "--stress", given, "--stress", "slack_cm"]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert words in error


def test_a_pair_of_values_that_cannot_be_is_told_before_anybody_is_measured(capsys):
    assert main(["study", "--stress", "pulse_pressure_mmhg=20:80:2", "--stress", "sbp=100:120:2"]) == 2
    assert capsys.readouterr().err == "cuffbias: --stress dbp = 20: must be from 30 to 160 mmHg\n"


def _map(x, y):
    share = np.linspace(0, 1, len(x.values) * len(y.values)).reshape(len(y.values), len(x.values))
    return StressMap("mine", "at_measurement", Origin(1), x, y, share, share, share, share, 1 - share, share)


def _axis(name, low, high, count):
    return axis(name, np.linspace(low, high, count).tolist())


MAPS = {
    "many numbers": (_axis("slack_cm", 0, 8, 50), _axis("artery_b_mmhg", 10, 60, 50)),
    "long numbers": (_axis("heart_rate", 40, 140, 12), _axis("fibrillation_share", 0, 1, 14)),
    "words": (axis("movement"), axis("rhythm")),
    "long words": (axis("legs"), axis("position")),
}


@pytest.mark.parametrize("name", MAPS)
def test_ticks_and_labels_of_a_map_can_be_read(name):
    """No tick stands over another, no number of a cell over its neighbour, every label is on the picture."""
    x, y = MAPS[name]
    figure = stress_picture(_map(x, y)).figure()
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    renderer = canvas.get_renderer()
    for axes in figure.axes[:2]:
        upward = [label.get_window_extent(renderer) for label in axes.get_yticklabels()]
        assert all(low.y1 <= high.y0 for low, high in pairwise(upward))
        across = axes.get_xticklabels()
        if not across[0].get_rotation():  # words stand aslant
            boxes = [label.get_window_extent(renderer) for label in across]
            assert all(left.x1 < right.x0 for left, right in pairwise(boxes))
        numbers = [text.get_window_extent(renderer) for text in axes.texts[: len(x.values)]]
        assert all(left.x1 < right.x0 for left, right in pairwise(numbers))
        for label in (axes.yaxis.label, axes.xaxis.label):
            box = label.get_window_extent(renderer)
            assert 0 <= box.y0 < box.y1 <= figure.bbox.height
            assert 0 <= box.x0 < box.x1 <= figure.bbox.width
