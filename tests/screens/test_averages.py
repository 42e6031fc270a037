"""The page of averages: every question opens, its link holds what was set, and nothing is corrected or kept."""

from __future__ import annotations

import json
import re

import pytest

from sim.explain.averaging import mean_error
from sim.explain.schedules import schedule
from sim.explain.variation import usual
from sim.screens.averages.page import VIEWS
from sim.screens.averages.surprising import SEEN
from sim.technique import Technique
from tests.logs.files import week
from tests.screens.opening import address, html, open_page, texts


def charts(page):
    return [json.loads(element.proto.spec) for element in page.get("vega_lite_chart")]


@pytest.mark.parametrize("view", VIEWS)
def test_every_question_opens_with_its_title_and_the_caution(view):
    page = open_page("averages", view=view)
    assert not page.exception
    assert page.title[0].value == VIEWS[view][1]
    assert "One reading diagnoses nothing" in texts(page)


def test_the_numbers_are_those_of_the_closed_form():
    page = open_page("averages", schedule="home-week", sbp="140")
    law = mean_error(schedule("home-week"), usual("home", 140, 87))
    assert f"{100 * law.within(5):.0f}<i> %" in html(page)


def test_a_mistake_moves_what_the_fan_narrows_around():
    right, wrong = (texts(open_page("averages", wrong=name)) for name in ("none", "low"))
    assert "The fan narrows around the resting pressure, 130 (●)" in right
    found = re.search(r"narrows around (\d+), (\d+) above the resting pressure of 130", wrong)
    assert found
    assert int(found[2]) in (7, 8, 9)
    assert "averaging does not bring it nearer" in wrong


def test_a_link_opens_what_was_left_and_a_bad_one_is_passed_over():
    page = open_page("averages", view="name", scheme="esc-2024", **{"a-sbp": "145"})
    assert address(page) == {"view": "name", "scheme": "esc-2024", "a-sbp": "145"}
    bad = open_page("averages", view="nowhere", sbp="9999", margin="x", schedule="never")
    assert not bad.exception
    assert address(bad) == {}


def test_129_and_131_stand_beside_each_other():
    said = texts(open_page("averages", view="name"))
    assert "129/79 by itself is called elevated" in said
    assert "131/79 by itself is called hypertension, stage 1" in said


def test_no_category_has_a_colour_of_its_own():
    """Bars of one reading have one colour, whatever the category."""
    page = open_page("averages", view="name")
    assert charts(page)
    for spec in charts(page):
        for layer in spec["layer"]:
            encoding = layer["encoding"]
            assert "color" not in encoding


def test_a_population_shows_its_monte_carlo_error():
    page = open_page("averages", view="people", bias="5")
    assert "±" in html(page)
    assert "200,000 people drawn" in texts(page)
    assert "27 million" in texts(page)


def test_a_surprising_reading_asks_for_the_person_first_and_corrects_nothing():
    page = open_page("averages", view="surprise", seen="low,talk", **{"shown-sbp": "190"})
    said = texts(page)
    assert said.index("how does the person feel?") < said.index("The display minus what was expected")
    assert "180/120 or more" in said
    assert "The pressure may really be this." in said
    assert "Repeat it properly" in said
    assert "corrected" not in said


def test_without_an_expected_pressure_there_is_no_gap():
    page = open_page("averages", view="surprise", **{"usual-sbp": ""})
    assert "Nothing was expected" in texts(page)


def test_everything_that_may_have_been_seen_is_a_mistake_and_can_be_ticked():
    page = open_page("averages", view="surprise", seen=",".join(SEEN))
    assert not page.exception
    assert all(box.value for box in page.checkbox)
    assert len(page.checkbox) == len(SEEN)
    for name, (_, fields) in SEEN.items():
        assert any(v != getattr(Technique(), f) for f, v in fields.items()), name


def test_a_log_is_shown_under_a_rule_and_forgotten():
    page = open_page("averages", view="log")
    assert not page.get("download_button")
    next(b for b in page.button if b.label == "Use an invented example").click().run()
    said, drawn = texts(page), html(page)
    assert "1 reading is set aside" in said
    assert "Mean <small>" not in drawn
    (choice,) = [r for r in page.radio if "line" in r.label]
    assert "13/84" in choice.label
    assert choice.options == ["not decided yet", "leave it out"]
    choice.set_value("leave-out").run()
    said, drawn = texts(page), html(page)
    assert "Mean <small>of 21 readings" in drawn
    assert "From 21 readings on 6 days" in said
    assert "Readings still expected by the schedule" in said
    assert "doubtful" in said
    next(b for b in page.button if b.label == "Remove this file").click().run()
    assert "Mean <small>" not in html(page)
    assert "log" not in page.session_state


def opened_with(text):
    page = open_page("averages", view="log")
    page.session_state["log"] = text.encode()
    return page.run()


def choices(page):
    return [r for r in page.radio if "line" in r.label]


def test_what_was_decided_about_one_file_says_nothing_of_another():
    page = opened_with(week() + "2024-05-08,07:12,90,146,70,\n")
    choices(page)[0].set_value("swapped").run()
    assert "Mean <small>" in html(page)
    page.session_state["log"] = (week() + "2024-05-08,07:12,95,151,70,\n").encode()
    page.run()
    assert choices(page)[0].value == ""
    assert "Mean <small>" not in html(page)


def test_the_advice_for_180_over_120_goes_with_what_is_decided():
    page = opened_with(week() + "2024-05-08,07:12,100,190,70,\n")
    assert "Readings of 180" not in texts(page)
    assert "two numbers were swapped, it is 180" in texts(page).replace("\\", "")
    choices(page)[0].set_value("swapped").run()
    assert "Readings of 180/120 or more: 08 May 2024 07:12 190/100" in texts(page).replace("\\", "")
    assert "emergency" not in texts(opened_with(week() + "2024-05-08,07:12,90,146,70,\n"))


def test_few_readings_get_no_category_but_how_many_are_needed():
    page = opened_with("date,time,sbp,dbp\n2024-05-06,07:10,165,98\n2024-05-07,07:12,168,99\n2024-05-08,07:14,162,97\n")
    said = texts(page).replace("\\", "")
    assert "Too few readings for a category: 2 readings that count, where the schedule needs at least 8 (ESH" in said
    assert "over 99" not in said
    assert "hypertension" not in said
    assert "2 count (filled) and 1 does not (hollow)" in said
