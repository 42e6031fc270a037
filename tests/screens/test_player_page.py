"""The page of the player: its address, its links, what it says and hands to the browser."""

import json
import math
import re
from importlib import resources

import numpy as np
import pytest

from sim import measure
from sim.explain.same_arm import FIRST_SEED, same_arm
from sim.figures.numbers import pair
from sim.screens.lesson import address
from sim.screens.watch import player
from sim.screens.watch.sides import sides
from sim.screens.watch.watched_reading import caption, watch
from sim.teach.lesson import load_all
from tests.screens.opening import address as address_of
from tests.screens.opening import links, open_page, texts

LESSONS, _ = load_all()
LESSON = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
LOW = {"technique.cuff_below_heart_cm": "12"}


def given_to_browser(page):
    """The player's data, as the page sends them."""
    (component,) = (each for each in page.get("bidi_component") if each.proto.component_name == "cuffbias_player")
    return json.loads(component.proto.json)


@LESSON
def test_the_address_reopens_the_same_reading(lesson):
    state = address.start(lesson)
    state.predicted, state.values, state.seed, state.reading = 1, dict(lesson.tempting), 7, 3
    query = address.write(state, lesson)
    page = open_page("watch", **query)
    assert not page.exception
    assert not page.warning
    given = given_to_browser(page)
    expected = [watch(side, 7, False, 3) for side in sides(lesson, lesson.inputs(state.values))]
    assert given["sides"] == json.loads(json.dumps(player.data(tuple(expected))))["sides"]
    for each in expected:
        shown = each.track["display"] or str(each.result.reading.reason[0])
        assert shown in texts(page).replace("\\", "")


def test_another_seed_is_another_reading():
    query = {"lesson": "01-arm-height", "predicted": "1"} | LOW
    ids = [given_to_browser(open_page("watch", **query, seed=seed))["id"] for seed in ("7", "7", "8")]
    assert ids[0] == ids[1] != ids[2]


def test_the_lessons_link_leads_to_its_very_reading():
    lesson = open_page("lesson", lesson="01-arm-height", predicted="1", seed="5", reading="3", **LOW)
    query = next(link.query_string for link in links(lesson) if link.label == "Watch this reading happen")
    given = dict(part.split("=") for part in query.split("&"))
    assert given == address_of(lesson)
    this = re.search(r"this reading, number 3 of 20: <b>(\d+/\d+)</b>", _html(lesson))
    assert this
    display = given_to_browser(open_page("watch", **given))["sides"][0]["track"]["display"]
    assert display == this[1]


@LESSON
def test_every_reading_played_is_that_of_the_lesson_and_so_is_correct_technique(lesson):
    """One reading, one seed, one number: the side with correct technique shows what the lesson shows there, too."""
    for number in (1, 12):
        for side in sides(lesson, lesson.inputs({lesson.levers[0].field: lesson.levers[0].tempting})):
            if side.estimator != "fixed-ratio":
                continue
            played, shown = watch(side, 3, False, number).result, same_arm(side.inputs, 3, number=number).this
            np.testing.assert_array_equal(played.recording.pressure_mmhg, shown.recording.pressure_mmhg)
            np.testing.assert_array_equal(played.reading.sbp, shown.reading.sbp)
            np.testing.assert_array_equal(played.truth.at_cuff.dbp, shown.truth.at_cuff.dbp)


def test_the_display_is_not_printed_before_it_is_reached():
    """The numbers stand behind a click while the player says "not yet"."""
    page = open_page("watch", lesson="01-arm-height", predicted="1", **LOW)
    (behind,) = [each for each in page.expander if each.label.startswith("In words")]
    assert not behind.proto.expanded
    words = [caption.value.replace("\\", "") for caption in page.caption]
    assert not any("display shows" in each for each in words)


def _html(page):
    return "\n".join(element.proto.body for element in page.get("html"))


def test_chance_left_out_is_left_out_here_too():
    given = given_to_browser(open_page("watch", lesson="01-arm-height", chance="no", predicted="none"))
    seconds = given["sides"][0]["track"]["artery"]
    beat = round(60 / 70 / given["sides"][0]["track"]["step"])
    assert abs(seconds[10] - seconds[10 + 10 * beat]) < 2000
    ideal = measure(*LESSONS[0].inputs(), ideal=True).reading
    assert given["sides"][0]["track"]["display"] == pair(ideal.sbp[0], ideal.dbp[0])


def test_the_caption_has_the_numbers_and_the_page_its_cautions():
    page = open_page("watch", lesson="01-arm-height", predicted="1", **LOW)
    words = texts(page).replace("\\", "")
    watched = tuple(
        watch(side, FIRST_SEED, False) for side in sides(LESSONS[0], LESSONS[0].inputs(dict.fromkeys(LOW, 12.0)))
    )
    assert caption(watched) in words
    assert len(re.findall(r"\d+/\d+", caption(watched))) >= 5
    assert "One reading diagnoses nothing." in words
    assert "not a medical device" in words


def test_where_there_is_no_reading_the_page_says_why():
    lesson = next(each for each in LESSONS if "technique.movement_mmhg" in each.correct)
    lever = next(lever for lever in lesson.levers if lever.name == "movement_mmhg")
    page = open_page("watch", lesson=lesson.name, predicted="1", **{lever.field: f"{lever.high:g}"})
    given = given_to_browser(page)["sides"][0]["track"]
    if given["display"]:
        pytest.skip("this lesson's worst movement still gives a reading")
    reason = str(
        watch(sides(lesson, lesson.inputs({lever.field: lever.high}))[0], FIRST_SEED, False).result.reading.reason[0]
    )
    assert f"there is no reading: {reason}." in texts(page).replace("\\", "")
    assert all(map(math.isfinite, given["cuff"]))


def test_bad_parameters_are_named_and_the_reading_is_still_played():
    page = open_page("watch", lesson="01-arm-height", seed="0", **{"technique.cuff_below_heart_cm": "90"})
    messages = [warning.value.replace("\\", "") for warning in page.warning]
    assert any("cuff_below_heart_cm = 90: must be a number from -20 to 20" in m for m in messages)
    assert any("seed = 0: must be a whole number from 1 to 9999" in m for m in messages)
    assert given_to_browser(page)["sides"]


def test_an_unknown_lesson_is_named_with_those_there_are():
    message = open_page("watch", lesson="99-nothing").warning[0].value.replace("\\", "")
    assert "lesson = 99-nothing" in message
    assert "01-arm-height" in message


@pytest.mark.parametrize("name", ["drawing.js", "player.js", "player.css"])
def test_the_players_own_code_asks_nobody_for_anything(name):
    code = resources.files("sim.screens.watch").joinpath(name).read_text(encoding="utf-8")
    for word in ("http", "fetch(", "XMLHttpRequest", "WebSocket", "import ", "@import", "url(", "setStateValue"):
        assert word not in code, word
    assert "setTriggerValue" not in code
