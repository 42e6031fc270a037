"""Progress, the final test and averages in Spanish: no English sentence is left, nor on what is printed from them."""

from __future__ import annotations

import re

import pytest

from sim.explain.schedules import schedules
from sim.logs.read import read_log
from sim.logs.summary import summarise
from sim.say import catalogue, spoken
from sim.teach import path
from sim.teach.document import to_html
from sim.teach.final_test import numbers
from sim.teach.lesson import load_all
from sim.teach.log_page import log_page
from sim.teach.practice_answers import Verdict
from sim.teach.progress import Progress
from sim.teach.summary import checklist, summary
from tests.languages.english import ENGLISH_WORDS
from tests.languages.test_screens import SOURCES, english
from tests.screens.opening import open_page, texts
from tests.teach.learners import finished


def learnt() -> Progress:
    """Somebody who has done a lesson, some cases and a test, not all of it right."""
    lesson = path.parts(load_all()[0])[0][0]
    missed, named = (
        Verdict((), ("Talking",), (), False, True, True),
        Verdict((), (), ("Legs crossed",), True, True, True),
    )
    test = dict.fromkeys(numbers(1), missed) | {numbers(1)[0]: named}
    return Progress(
        lessons={lesson.name: finished(lesson, wrong=("check-0",))},
        cases={1001: missed, 1002: named},
        tests={1: test, 2: {numbers(2)[0]: missed}},
    )


@pytest.mark.parametrize("view", ["done", "summary", "checklist", "along"])
def test_my_progress_is_in_spanish_with_and_without_any(view):
    page = open_page("progress", lang="es", view=view)
    assert not page.exception
    assert not english(page)
    page.session_state["progress"] = learnt()
    page.run()
    assert not page.exception
    assert not english(page)


def test_what_comes_of_bringing_progress_is_said_in_spanish():
    page = open_page("progress", lang="es", view="along")
    for code, line in (("", "Copy a code into the field, or choose a file."), ("P1-x.y", "Letters of this code")):
        page.text_area(key="progress/code").set_value(code).run()
        page.button(key="progress/bring").click().run()
        whole = next(text for text in catalogue("es") if text.startswith(line))
        assert catalogue("es")[whole] in [warning.value.replace("\\", "") for warning in page.warning]


def test_the_final_test_is_in_spanish_before_at_a_case_and_after_the_last():
    page = open_page("final_test", lang="es", seed="2")
    assert not english(page)
    page.button(key="final_test/begin").click().run()
    assert not page.exception
    assert not english(page)
    page = open_page("final_test", lang="es", seed="1")
    page.session_state["progress"] = learnt()
    page.run()
    assert not page.exception
    assert catalogue("es")["Your result"] in texts(page)
    assert not english(page)


def test_what_a_learner_prints_says_that_it_is_spanish():
    lessons, _ = load_all(language="es")
    with spoken("es"):
        pages = [to_html(summary(learnt(), lessons, "Ana", "")), to_html(checklist(learnt(), ""))]
    for page in pages:
        assert '<html lang="es">' in page
        shown = re.sub(r"(?s)<style>.*?</style>|<[^>]+>", "\n", page)
        assert not [line for line in shown.split("\n") if ENGLISH_WORDS.search(line) and line.strip() not in SOURCES]


@pytest.mark.parametrize(
    ("view", "more"),
    [
        ("repeat", {}),
        ("repeat", {"wrong": "both", "schedule": "own"}),
        ("repeat", {"schedule": "office-three-last-two"}),
        ("name", {}),
        ("name", {"scheme": "esh-2023", "mean": "home-week", "beforehand": "people"}),
        ("people", {"error": "small"}),
        ("surprise", {}),
        ("surprise", {"shown-sbp": "80", "shown-dbp": "78", "usual-sbp": ""}),
        ("surprise", {"shown-sbp": "192", "seen": "low"}),
    ],
)
def test_averages_are_in_spanish(view, more):
    page = open_page("averages", lang="es", view=view, **more)
    assert not page.exception
    assert not english(page)
    charts = [chart.proto.spec + chart.proto.alt for chart in page.get("vega_lite_chart")]
    assert not [chart for chart in charts if ENGLISH_WORDS.search(chart)]


# A log with something of everything: a reading that cannot be, one twice, doubtful ones, a very high one, rows that
# cannot be read.
LOG = """date,time,sbp,dbp,pulse
2024-05-01,07:30,130,80,70
2024-05-01,07:31,130,80,400
2024-05-01,19:30,128,82,70
2024-05-02,07:30,80,146,
2024-05-02,19:30,190,100,
2024-05-03,07:30,126,118,
2024-05-03,07:30,126,118,
2024-05-03,19:31,350,80,
2024-05-04,25:30,130,80,
2024-13-04,07:30,130,80,
2024-05-05,07:30,high,80,
2024-05-05,19:30,,80,
2024-05-05,19:32,181,79,
2024-05-06,07:32,132,79,
"""


@pytest.mark.parametrize("rule", ["home-week-drop", "office-two-visits", "office-one"])
def test_a_log_is_in_spanish_whatever_is_wrong_with_it(rule):
    page = open_page("averages", lang="es", view="log", rule=rule)
    assert not english(page)
    page.session_state["log"] = LOG.encode()
    page.run()
    assert not page.exception
    assert len(page.warning) > 1
    assert not english(page)
    for radio in page.radio:
        radio.set_value("leave-out")
    page.run()
    assert not english(page)


def test_the_invented_log_is_in_spanish():
    page = open_page("averages", lang="es", view="log")
    next(button for button in page.button if button.label == catalogue("es")["Use an invented example"]).click().run()
    assert not page.exception
    assert not english(page)


@pytest.mark.parametrize(
    ("text", "english_text"),
    [
        ("", "the file is empty: must be {expected}"),
        ("when,what\nnow,that\n", "line {line}: no column {missing}: must be {expected}"),
        ("{", "the file is no JSON: must be {expected}"),
        ('{"resourceType": "Bundle"}', "the file has no blood pressure panel: must be {expected}"),
    ],
)
def test_a_file_that_is_no_log_is_refused_in_spanish(text, english_text):
    page = open_page("averages", lang="es", view="log")
    page.session_state["log"] = text.encode()
    page.run()
    (warning,) = page.warning
    words = catalogue("es")[english_text].rpartition(": ")[0].split("}")[-1]
    assert words in warning.value.replace("\\", "").replace("El archivo", "el archivo")
    assert not english(page)


def test_the_printed_page_of_a_log_is_in_spanish():
    with spoken("es"):
        log = read_log(LOG.encode())
        page = log_page(log, summarise(log, schedules()["home-week-drop"]))
    assert '<html lang="es">' in page
    shown = re.sub(r"(?s)<style>.*?</style>|<[^>]+>", "\n", page)
    assert not [line for line in shown.split("\n") if ENGLISH_WORDS.search(line)]
    assert not re.search(r'aria-label="[^"]*\b(the|and|not)\b', page)


def test_a_decision_about_a_reading_stays_when_the_language_is_changed():
    page = open_page("averages", view="log")
    page.session_state["log"] = LOG.encode()
    page.run()
    page.radio[0].set_value("leave-out").run()
    page.button(key="language-es").click().run()
    assert page.radio[0].value == "leave-out"
