"""Progress on the screens: on the cards, on its own page, in questions that come back, in the final test."""

import json

import pytest

from sim.screens.progress import browser_store
from sim.teach import path
from sim.teach.final_test import CASES, NO_CERTIFICATE, numbers
from sim.teach.lesson import load_all
from sim.teach.practice import case
from sim.teach.practice_answers import Verdict
from sim.teach.progress import LessonProgress, Progress, Recall, merge
from sim.teach.progress_text import from_text, to_code, to_text
from tests.screens.opening import address, html, links, open_home, open_page, texts
from tests.screens.test_practice import answer
from tests.teach.learners import finished

LESSONS, _ = load_all()
FIRST, SECOND = path.parts(LESSONS)[0][:2]
DONE = Progress(lessons={FIRST.name: finished(FIRST, wrong=("check-0",))})
RIGHT = Verdict((), (), (), True, True, True)
MISSED = Verdict((), ("Talking",), (), False, True, True)


def with_progress(page, progress):
    """The page again for somebody with this progress."""
    page.session_state["progress"] = progress
    return page.run()


def known(page):
    """What the session knows."""
    return page.session_state["progress"] if "progress" in page.session_state else Progress()


def given_to_browser(page):
    """What the script that keeps the progress is given."""
    (component,) = (c for c in page.get("bidi_component") if c.proto.component_name == "cuffbias_browser_store")
    return json.loads(component.proto.json)


def labels(page):
    """What the links say."""
    return [link.label.replace("\\", "") for link in links(page)]


# The first screen


def test_the_first_screen_begins_with_the_first_lesson_of_the_path_and_goes_on_with_the_next():
    page = open_home()
    assert f"Begin with lesson 1: {FIRST.title}" in labels(page)
    page = with_progress(page, DONE)
    assert not page.exception
    assert f"Continue with lesson 2: {SECOND.title}" in labels(page)
    all_ = Progress(lessons={lesson.name: finished(lesson) for lesson in LESSONS})
    assert "Take the final test" in labels(with_progress(page, all_))


def test_cards_say_what_is_begun_what_is_done_and_how_well_at_the_first_try():
    begun = {**DONE.lessons, SECOND.name: LessonProgress(2, False, {"check-0": True}, 5)}
    page = with_progress(open_home(), Progress(lessons=begun))
    total = len(FIRST.checks) + 2
    words = texts(page).replace("\\", "")
    assert f"Done · {total - 1} of {total} right at the first try" in words
    assert f"Begun · 2 of {len(SECOND.checks) + 2} questions answered" in words
    assert labels(page).count("Open this lesson") == labels(page).count("Continue this lesson") == 1
    (link,) = (link for link in links(page) if link.label == "Continue this lesson")
    assert f"lesson={SECOND.name}" in link.query_string
    assert "predicted=2" in link.query_string
    assert "step=check" in link.query_string


def test_one_question_from_an_earlier_lesson_comes_back_and_its_answer_counts():
    page = open_home()
    assert "One question from an earlier lesson" not in texts(page)
    page = with_progress(page, DONE)
    assert "One question from an earlier lesson" in texts(page)
    question = page.radio(key="recall/choice")
    assert question.label == FIRST.checks[0].question  # the one that was answered wrongly
    right = next(number for number, choice in enumerate(FIRST.checks[0].choices) if choice.right)
    wrong = next(number for number, choice in enumerate(FIRST.checks[0].choices) if not choice.right)
    page = question.set_value(wrong).run()
    assert FIRST.checks[0].choices[wrong].reason in texts(page)
    page = page.radio(key="recall/choice").set_value(right).run()
    (kept,) = known(page).recalls
    assert (kept.lesson, kept.question, kept.right) == (FIRST.name, "check-0", False)
    page = page.button(key="recall/over").click().run()
    assert page.radio(key="recall/choice").label != FIRST.checks[0].question


# In a lesson and in practice


def test_a_lesson_tells_its_first_answers():
    page = open_page("lesson", lesson=FIRST.name)
    right = next(number for number, choice in enumerate(FIRST.predict.choices) if choice.right)
    page.radio(key=f"{FIRST.name}/choice").set_value(right).run()
    page.button(key=f"{FIRST.name}/commit").click().run()
    assert known(page).lesson(FIRST.name).predicted == right + 1
    assert known(page).lesson(FIRST.name).prediction_right
    page.query_params["step"] = "check"
    page.run()
    wrong = next(number for number, choice in enumerate(FIRST.checks[0].choices) if not choice.right)
    for choice in (wrong, 1 - wrong if wrong < 2 else 0):
        page.radio(key=f"{FIRST.name}/check-0").set_value(choice).run()
    assert known(page).lesson(FIRST.name).first == {"check-0": False}


def test_who_comes_back_to_the_questions_is_told_what_was_answered():
    page = open_page("lesson", lesson=FIRST.name, predicted="1", step="check")
    assert "Still to answer" not in texts(page)
    begun = Progress(lessons={FIRST.name: LessonProgress(1, False, {"check-0": True, "check-2": True}, 5)})
    words = texts(with_progress(page, begun))
    assert f"You answered 2 of {len(FIRST.checks) + 1} here before" in words
    assert "Still to answer: question 2, question 4, the fresh case" in words


def test_the_first_answer_to_a_practice_case_is_kept_and_counted():
    page = answer(open_page("practice", case="1001"), case(1001))
    assert known(page).cases[1001].mistakes
    page = page.button(key="practice/1001/again").click().run()
    page = answer(page, case(1001), named=["Cold room"])
    assert known(page).cases[1001].mistakes
    assert "kept in this browser" in texts(page)


# The browser's storage


def test_the_browser_is_given_nothing_before_anything_was_done_and_then_all_of_it():
    page = open_home()
    assert given_to_browser(page)["text"] is None
    assert from_text(given_to_browser(with_progress(page, DONE))["text"]) == DONE


def test_what_the_browser_has_stored_is_added_whatever_it_is(monkeypatch):
    import streamlit as st

    state: dict[str, object] = {}
    monkeypatch.setattr(st, "session_state", state)
    for found in (
        None,
        "x",
        {},
        {"number": "1"},
        {"number": 1, "text": 5},
        {"number": 2, "text": "{]", "today": "<b>"},
    ):
        browser_store.take(found)
    assert state.get("progress", Progress()) == Progress()
    assert browser_store.today() == ""
    browser_store.take({"number": 3, "text": to_text(DONE), "today": "2026-11-27", "keeps": False})
    assert state["progress"] == DONE
    assert (browser_store.today(), browser_store.keeps()) == ("2026-11-27", False)
    more = Progress(cases={1001: RIGHT})
    browser_store.take({"number": 3, "text": to_text(more)})  # the same once more
    assert state["progress"] == DONE
    browser_store.take({"number": 4, "text": to_text(more), "today": "2026-11-27"})
    assert state["progress"] == merge(DONE, more)
    browser_store.take({"number": 5, "text": None, "gone": True})
    assert "progress" not in state


# The page


@pytest.mark.parametrize("view", ["done", "summary", "checklist", "along"])
def test_every_view_of_the_progress_says_that_it_is_no_medical_device(view):
    page = open_page("progress", view=view)
    assert not page.exception
    assert "not a medical device" in texts(page)
    assert "Never correct a real reading" in texts(page)


def test_the_page_shows_lessons_first_answers_and_tests():
    given = dict(zip(numbers(7), [MISSED] + [RIGHT] * 9, strict=True))
    page = with_progress(open_page("progress"), Progress(DONE.lessons, {1001: MISSED}, {}, {7: given}))
    words = texts(page).replace("\\", "")
    assert "right at the first try" in words
    assert "Talking: 0 of 1" in words
    assert "Cases with exactly the right mistakes named: 9 of 10" in words


def test_summary_and_checklist_are_shown_as_they_are_printed_and_the_name_is_not_kept():
    page = with_progress(open_page("progress", view="summary"), Progress(DONE.lessons, {1001: MISSED}))
    page = page.text_input(key="progress/name").set_value("Kim <i>Doe</i>").run()
    assert "Kim &lt;i&gt;Doe&lt;/i&gt;" in html(page)
    assert FIRST.title in html(page)
    assert NO_CERTIFICATE in html(page)
    assert "Kim" not in given_to_browser(page)["text"]
    page = with_progress(open_page("progress", view="checklist"), Progress(cases={1001: MISSED}))
    assert "let there be silence for five minutes" in html(page)


def test_a_code_brings_the_progress_and_a_damaged_one_is_told_in_one_line():
    page = open_page("progress", view="along")
    assert "nothing to take along yet" in texts(page)
    assert not page.code
    page.text_area(key="progress/code").set_value(to_code(DONE)[:-3]).run()
    page = page.button(key="progress/bring").click().run()
    assert "missing or changed" in texts(page)
    assert known(page) == Progress()
    page.text_area(key="progress/code").set_value(to_code(DONE)).run()
    page = page.button(key="progress/bring").click().run()
    assert "Your progress is here now" in texts(page)
    assert known(page) == DONE
    assert from_text(given_to_browser(page)["text"]) == DONE


def test_deleting_asks_first_and_leaves_nothing():
    page = with_progress(open_page("progress", view="along"), DONE)
    assert page.button(key="progress/delete").disabled
    page.checkbox(key="progress/sure").check().run()
    page = page.button(key="progress/delete").click().run()
    assert not page.exception
    assert known(page) == Progress()
    given = given_to_browser(page)
    assert (given["text"], given["deleted"]) == (None, 1)


# The final test


def test_the_test_says_what_it_is_and_a_bad_number_is_told():
    page = open_page("final_test", seed="7")
    assert NO_CERTIFICATE in texts(page)
    assert address(page) == {"seed": "7"}
    page = open_page("final_test", seed="0")
    assert "a whole number from 1 to 9999" in texts(page).replace("\\", "")
    assert not page.exception


def test_nothing_is_said_before_the_last_case_and_then_the_result_with_lessons():
    before = dict(zip(numbers(7)[:8], [MISSED] + [RIGHT] * 7, strict=True))
    page = with_progress(open_page("final_test", seed="7"), Progress(tests={7: before}))
    for number in numbers(7)[8:]:
        assert not page.success
        assert "Talking: " not in texts(page)
        assert "Resting pressure" not in html(page)
        page = answer_in_test(page, number)
    assert len(known(page).tests[7]) == CASES
    assert "in **9 of 10** cases" in texts(page)
    assert any(label.startswith("Talking: lesson 4") for label in labels(page))
    assert NO_CERTIFICATE in texts(page)
    assert not known(page).cases


def answer_in_test(page, number):
    """The right answer to a case of test 7."""
    from sim.teach.practice_answers import following

    found, key = case(number), f"final_test/7/{number}"
    for mistake in found.possible:
        page.checkbox(key=f"{key}/named/{mistake.name}").check()
    if not found.possible:
        page.checkbox(key=f"{key}/nothing").check()
    page.radio(key=f"{key}/direction").set_value(found.direction).run()
    if found.direction != "alike":
        page.radio(key=f"{key}/band").set_value(str(found.band))
    page.radio(key=f"{key}/next").set_value(following(found)).run()
    return page.button(key=f"{key}/commit").click().run()


def test_a_question_that_came_back_is_in_the_summary():
    again = Progress(DONE.lessons, recalls=(Recall(5, FIRST.name, "check-1", True),))
    assert "1 of 1 right" in html(with_progress(open_page("progress", view="summary"), again))
