"""Every lesson in a real browser: predict, move a lever, see the number change, reopen the link."""

from __future__ import annotations

from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, expect

from sim.screens.address import STEPS
from sim.screens.leads import looks
from sim.teach.lesson import load_all
from tests.browser.driving import (
    cut_texts,
    move_first_lever,
    numbers,
    open_address,
    predict,
    settle,
    sideways,
)

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
LESSON = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)


@LESSON
def test_predict_move_a_lever_and_reopen_the_link(server, page: Page, lesson):
    open_address(page, f"{server}/lesson?lesson={lesson.name}")
    assert page.locator(".numbers").count() == 0
    wrong = next(i for i, choice in enumerate(lesson.predict.choices) if not choice.right)
    predict(page, lesson, wrong)
    expect(page.get_by_text(lesson.predict.choices[wrong].reply[:60])).to_be_visible()
    correct = numbers(page)
    move_first_lever(page, lesson)
    moved = numbers(page)
    if lesson in LESSONS[:4]:  # elsewhere a mistake may hardly matter, or make another person
        assert moved[0] == correct[0]
        assert moved[1:] != correct[1:]
    address = page.url
    values = parse_qs(urlparse(address).query)
    tempting = lesson.levers[0].tempting
    assert values["predicted"] == [str(wrong + 1)]
    assert values[lesson.levers[0].field] == [f"{tempting:g}" if isinstance(tempting, float) else tempting]
    open_address(page, address)
    assert numbers(page) == moved
    page.get_by_role("button", name="Back to correct technique").click()
    settle(page)
    assert numbers(page) == correct


@LESSON
def test_on_a_phone_nothing_is_wider_than_the_window_or_cut(server, phone: Page, lesson):
    open_address(phone, f"{server}/lesson?lesson={lesson.name}")
    assert ("", sideways(phone), cut_texts(phone)) == ("", [], [])
    open_address(phone, f"{server}/lesson?lesson={lesson.name}&predicted=1")
    for step in [label for name, label in STEPS.items() if name != "why" or lesson in LESSONS[:4]]:
        phone.get_by_role("radio", name=step).click()
        settle(phone)
        assert (step, sideways(phone), cut_texts(phone)) == (step, [], [])


def test_on_a_phone_every_view_fits(server, phone: Page):
    open_address(phone, f"{server}/lesson?lesson=04-talking&predicted=1&technique.talking=stressful")
    for look in looks(LESSONS[3]).values():
        phone.get_by_role("radio", name=look).click()
        settle(phone)
        assert (look, sideways(phone), cut_texts(phone)) == (look, [], [])


def test_on_a_phone_the_numbers_stay_in_sight_while_a_lever_is_moved(server, phone: Page):
    open_address(phone, f"{server}/lesson?lesson=01-arm-height&predicted=1")
    slider = phone.get_by_role("slider", name=LESSONS[0].levers[0].label)
    phone.locator(".stSlider").first.scroll_into_view_if_needed()
    before = numbers(phone)
    slider.focus()
    slider.press("End")
    settle(phone)
    assert numbers(phone) != before
    expect(phone.locator(".number.display .pair")).to_be_in_viewport()


def test_from_the_first_screen_into_a_lesson_and_to_the_cautions(server, page: Page):
    open_address(page, server)
    expect(page.get_by_text("emergency services at once")).to_be_visible()
    page.locator(f".st-key-card-{LESSONS[0].name}").get_by_role("link").click()
    expect(page.get_by_role("heading", name=LESSONS[0].title)).to_be_visible()
    page.get_by_role("link", name="Cautions").click()
    expect(page.get_by_role("heading", name="Arms not to use")).to_be_visible()


def test_on_a_phone_the_first_screen_and_the_cautions_fit(server, phone: Page):
    for path in ("", "/cautions"):
        open_address(phone, server + path)
        assert (path, sideways(phone), cut_texts(phone)) == (path, [], [])


def test_bad_parameters_are_named_and_the_lesson_opens(server, page: Page):
    open_address(page, f"{server}/lesson?lesson=01-arm-height&predicted=1&technique.cuff_below_heart_cm=90")
    message = page.get_by_role("alert").filter(has_text="cuff_below_heart_cm = 90")
    expect(message).to_contain_text("from -20 to 30")
    assert len(numbers(page)) == 3


def test_the_link_for_a_class_starts_before_the_prediction(server, page: Page):
    open_address(page, f"{server}/lesson?lesson=01-arm-height&predicted=3&technique.cuff_below_heart_cm=12")
    page.get_by_role("button", name="Links to pass on").click()
    address = page.get_by_role("link", name="Link for your class").evaluate("link => link.href")
    other = page.context.new_page()
    open_address(other, address)
    expect(other.get_by_role("button", name="This is my prediction")).to_be_visible()
    assert other.locator(".numbers").count() == 0


def test_nothing_is_fetched_from_elsewhere(server, page: Page):
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    open_address(page, f"{server}/lesson?lesson=02-cuff-size&predicted=1")
    host = urlparse(server).netloc
    assert [url for url in asked if urlparse(url).scheme in ("http", "https") and urlparse(url).netloc != host] == []
