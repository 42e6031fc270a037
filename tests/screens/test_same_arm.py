"""A lesson's numbers are those of many readings of one arm; one of them is looked at."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from sim.explain.same_arm import FIRST_SEED, READINGS, SameArm, same_arm
from sim.figures.numbers import pair
from sim.screens import numbers_panel
from sim.screens.lesson.address import HIGHEST_SEED
from sim.setup import Setup
from sim.teach.lesson import load_all
from tests.screens.opening import address, html, open_page, texts

LESSONS = {lesson.name: lesson for lesson in load_all()[0]}
TALK = {"technique.talking": "conversation"}


def this(page) -> str:
    (found,) = re.findall(r"this reading, number (\d+ of \d+: <b>[^<]*)</b>", html(page))
    return found.replace("<b>", "")


def mean(page) -> str:
    return re.findall(r'number display.*?class="pair">(\d+)<i>/</i>(\d+)', html(page), re.DOTALL)[0]


def points(page, name="strip") -> list[str]:
    """What the points of the chart say, each once."""
    specs = [json.loads(chart.proto.spec) for chart in page.get("vega_lite_chart")]
    spec = next(s for s in specs if "reading 1: " in json.dumps(s) or "reading 2: " in json.dumps(s))
    return sorted(set(re.findall(r"reading \d+: \d+/\d+", json.dumps(spec))))


def test_the_display_is_the_mean_of_the_points_and_one_of_them_is_named():
    found = same_arm(LESSONS["04-talking"].inputs(TALK), FIRST_SEED, number=3)
    page = open_page("lesson", lesson="04-talking", predicted="1", reading="3", **TALK)
    shown = found.mean.result.reading
    assert "/".join(mean(page)) == pair(shown.sbp[0], shown.dbp[0])
    assert f"mean of {READINGS}" in html(page)
    assert this(page) == f"3 of {READINGS}: {pair(found.this.reading.sbp[0], found.this.reading.dbp[0])}"
    every = found.every.reading
    expected = sorted(f"reading {k + 1}: {pair(every.sbp[k], every.dbp[k])}" for k in range(READINGS))
    assert points(page) == expected


def test_a_new_reading_is_the_next_of_them_and_leaves_the_mean_alone():
    page = open_page("lesson", lesson="04-talking", predicted="1", reading="19", **TALK)
    before = mean(page)
    page.button(key="04-talking/again").click().run()
    assert (mean(page), this(page)[:8]) == (before, f"20 of {READINGS}:"[:8])
    assert (address(page)["seed"], address(page)["reading"]) == (str(FIRST_SEED), "20")
    page.button(key="04-talking/again").click().run()
    assert address(page)["seed"] == str(FIRST_SEED % HIGHEST_SEED + 1)
    assert "reading" not in address(page)
    assert this(page).startswith(f"1 of {READINGS}")


def test_recording_and_envelope_are_of_the_reading_that_is_looked_at():
    for look in ("recording", "envelope"):
        words = texts(open_page("lesson", lesson="04-talking", predicted="1", reading="5", look=look))
        assert f"Reading number 5 of {READINGS}" in words


def test_readings_without_numbers_are_counted_and_said():
    values = {"technique.movement_mmhg": "3"}
    found = same_arm(LESSONS["11-moving"].inputs({"technique.movement_mmhg": 3.0}), FIRST_SEED)
    missing = found.count - found.with_numbers
    assert 0 < missing < READINGS
    page = open_page("lesson", lesson="11-moving", predicted="1", **values)
    assert f"{missing} of {READINGS} gave no reading: " in texts(page).replace("\\", "")
    assert f"mean of {found.with_numbers}" in html(page)
    assert "nan" not in re.findall(r"\w+", (html(page) + texts(page)).lower())


def test_people_differ_and_by_how_much_is_said_in_words():
    page = open_page("lesson", lesson="10-before-you-measure", predicted="1", **{"technique.full_bladder": "yes"})
    # 4.2 with an SD of 10.7, less twice the variance within a person (3.7): Choi EJ, et al. 2011.
    assert re.search(r"responds as people do on average .*two in three lie within [\d.]+/[\d.]+ mmHg", html(page))


def test_with_correct_technique_the_pressure_at_heart_level_is_the_truth_or_breath_and_beats_are_said():
    for name, lesson in LESSONS.items():
        found = same_arm(lesson.inputs(), FIRST_SEED)
        truth = found.mean.result.truth
        for pressure in ("sbp", "dbp"):
            off = getattr(truth.at_measurement, pressure)[0] - getattr(truth.resting, pressure)[0]
            assert abs(off) < 1, name
    words = numbers_panel.remarks(found, "acc-aha-2017")
    assert "Breathing and beats move both from one reading to the next." in words


def test_the_case_shows_its_readings_and_the_truth_only_after_an_answer():
    page = open_page("lesson", lesson="01-arm-height", predicted="1", step="check")
    assert len(points(page)) == READINGS
    assert "truth" not in texts(page)
    assert "Resting pressure" not in html(page)
    page.radio(key="01-arm-height/case").set_value(0).run()
    assert "146/90" in texts(page).replace("\\", "")


# The advice for very high numbers


def crowd(sbp: list[float], dbp: list[float], resting=(130.0, 80.0)) -> SameArm:
    """Readings that show these numbers, the first of them looked at."""
    found = same_arm(Setup.of(sbp=resting[0], dbp=resting[1], bladder="13.5x26"), 1).found
    result = found.result.take(np.arange(len(sbp)))
    reading = replace(result.reading, sbp=np.array(sbp), dbp=np.array(dbp), reason=np.full(len(sbp), ""))
    return SameArm(replace(found, result=replace(result, reading=reading), contributions=()))


BOX = "call the emergency services at once"


@pytest.mark.parametrize(
    ("sbp", "dbp", "resting", "said"),
    [
        ([130, 131, 129], [80, 81, 79], (182, 100), "as the truth here"),
        ([181, 183, 182], [100, 99, 98], (150, 90), "as the mean display here"),
        ([181, 160, 162], [100, 99, 98], (150, 90), "as this single reading"),
        ([170, 150, 148], [121, 95, 94], (150, 90), "as this single reading"),
    ],
)
def test_the_box_stands_where_truth_mean_or_a_reading_of_a_high_mean_is_one(sbp, dbp, resting, said):
    told = numbers_panel.urgent(crowd(sbp, dbp, resting))
    assert BOX in told
    assert said in told


def test_a_chance_reading_of_a_mean_that_is_not_high_brings_no_box_but_a_line():
    """152/138 once among readings of 132/80, as a jolt may make it."""
    told = numbers_panel.urgent(crowd([152, *[132] * 19], [138, *[80] * 19]))
    assert BOX not in told
    assert 'class="urgent"' not in told
    assert "is far from the others" in told
    assert "repeat it after some minutes of rest" in told.replace("&#x27;", "'")


def test_ordinary_readings_bring_nothing():
    assert numbers_panel.urgent(crowd([132] * 5, [84] * 5)) == ""
