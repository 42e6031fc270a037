"""In a real browser: numbers are guessed, shown beside display and truth, and outlast a reload; the order of choices
stays; first answers count."""

from __future__ import annotations

from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Locator, Page, ViewportSize, expect

from sim.screens.lesson.address import STEPS
from sim.teach.choice_order import shown_order
from sim.teach.lesson import Lesson, load_all
from tests.browser.driving import choose, cut_texts, open_address, predict, settle, sideways

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
ARM = LESSONS[0]
CASE_CHOICES = ARM.case.choices if ARM.case else ()
SIZES: list[ViewportSize] = [{"width": 1280, "height": 800}, {"width": 375, "height": 812}]
SIZE = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size['width']} px")


def guess(page: Page, sbp: str, dbp: str) -> None:
    """Type two numbers, as a learner does: the second field is left by the click that follows."""
    page.get_by_label("Systolic, mmHg").fill(sbp)
    page.get_by_label("Diastolic, mmHg").fill(dbp)


def parameters(page: Page) -> dict[str, str]:
    return {name: given[0] for name, given in parse_qs(urlparse(page.url).query).items()}


def stand_in_order(question: Locator, texts: list[str]) -> None:
    """The choices of a question stand in this order, from above."""
    expect(question.get_by_role("radiogroup").locator("label")).to_have_text(texts)


def in_order(lesson: Lesson, name: str, choices, seed: int) -> list[str]:
    return [choices[number].text for number in shown_order(lesson.name, name, len(choices), seed)]


def reload(page: Page) -> None:
    page.reload()
    expect(page.locator(".st-key-footer")).to_be_visible()
    settle(page)


def to_step(page: Page, step: str) -> None:
    page.get_by_role("radio", name=STEPS[step]).click()
    settle(page)


@SIZE
def test_a_guess_is_shown_beside_display_and_truth_and_outlasts_a_reload(server, page: Page, size):
    page.set_viewport_size(size)
    open_address(page, f"{server}/lesson?lesson={ARM.name}")
    expect(page.get_by_label("Systolic, mmHg")).to_have_value("")
    assert (sideways(page), cut_texts(page)) == ([], [])
    guess(page, "149", "84")
    predict(page, ARM, 2)
    told = page.locator(".st-key-guessed")
    expect(told).to_contain_text("You guessed 149/84; the display shows")
    expect(told).to_contain_text("the resting pressure was 128/78.")
    expect(told.locator("svg.marks")).to_be_visible()
    expect(told.locator("svg.marks")).to_contain_text("your guess 149")
    assert (sideways(page), cut_texts(page)) == ([], [])
    sentence = told.locator("strong").inner_text()
    assert parameters(page)["guess"] == "149/84"
    reload(page)
    expect(told.locator("strong")).to_have_text(sentence)
    expect(told.locator("svg.marks")).to_contain_text("your guess 149")
    to_step(page, "do")
    expect(page.locator(".st-key-own-answers")).to_contain_text("You guessed the numbers in 1 lesson.")
    page.locator(".st-key-masthead").get_by_role("link", name="Lessons").click()
    expect(page.locator(".st-key-own-guesses")).to_contain_text("You guessed the numbers in 1 lesson.")
    settle(page)
    assert (sideways(page), cut_texts(page)) == ([], [])


def test_half_a_guess_shows_nothing_until_it_is_whole(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={ARM.name}")
    choose(page.get_by_role("radio", name=ARM.predict.choices[0].text))
    page.get_by_label("Systolic, mmHg").fill("149")
    page.get_by_role("button", name="This is my prediction").click()
    expect(page.get_by_text("guess = one number")).to_be_visible()
    expect(page.locator(".numbers")).to_have_count(0)
    page.get_by_label("Diastolic, mmHg").fill("84")
    page.get_by_role("button", name="This is my prediction").click()
    expect(page.locator(".st-key-guessed")).to_contain_text("You guessed 149/84;")


def test_a_bad_guess_in_the_address_is_told(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={ARM.name}&predicted=1&guess=84/149")
    expect(page.get_by_text("guess = 84/149: must be systolic/diastolic")).to_be_visible()
    expect(page.locator(".st-key-guessed")).to_have_count(0)
    assert "guess" not in parameters(page)


def test_a_shuffled_order_stays(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={ARM.name}&seed=7")
    asked = in_order(ARM, "prediction", ARM.predict.choices, 7)
    stand_in_order(page.locator(".st-key-prediction"), asked)
    reload(page)
    stand_in_order(page.locator(".st-key-prediction"), asked)
    predict(page, ARM, 2)
    assert parameters(page)["predicted"] == "3"
    for _ in range(2):
        page.get_by_role("button", name="New reading").click()
        settle(page)
    to_step(page, "check")
    case = in_order(ARM, "case", CASE_CHOICES, 7)
    stand_in_order(page.locator(".st-key-case"), case)
    choose(page.locator(".st-key-case").get_by_role("radio", name=CASE_CHOICES[0].text))
    settle(page)
    stand_in_order(page.locator(".st-key-case"), case)
    reload(page)
    stand_in_order(page.locator(".st-key-case"), case)
    assert case != [choice.text for choice in CASE_CHOICES]


def test_first_answers_are_counted(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={ARM.name}")
    right = next(i for i, choice in enumerate(ARM.predict.choices) if choice.right)
    predict(page, ARM, right)
    to_step(page, "check")
    counted = page.locator(".st-key-first-answers")
    expect(counted).to_contain_text("Your first answers: 1 of 1 right")
    first = page.locator(".st-key-check-0")
    for choice in sorted(ARM.checks[0].choices, key=lambda choice: choice.right):
        choose(first.get_by_role("radio", name=choice.text))
        expect(first.get_by_text(choice.reason[:40])).to_be_visible()
        settle(page)
        expect(counted).to_contain_text("Your first answers: 1 of 2 right")
    expect(first.get_by_text("Your first answer counts")).to_be_visible()
