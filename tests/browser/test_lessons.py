"""Every lesson in a real browser: predict, move a lever, see the number change, reopen the link."""

from __future__ import annotations

from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from sim.screens.lesson.address import STEPS
from sim.screens.lesson_pictures import looks
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
DESK: ViewportSize = {"width": 1280, "height": 900}
LESSON = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)


def fits(phone: Page, where: str) -> None:
    """Nothing is wider than the window or cut."""
    assert (where, sideways(phone), cut_texts(phone)) == (where, [], [])


@LESSON
def test_a_lesson_from_the_prediction_to_its_last_step_on_a_phone_and_its_link_on_a_desk(server, phone: Page, lesson):
    """One walk for all, since each page that opens costs seconds; for that, some links only go to a desk."""
    open_address(phone, f"{server}/lesson?lesson={lesson.name}")
    expect(phone.locator(".numbers")).to_have_count(0)
    fits(phone, "prediction")
    wrong = next(i for i, choice in enumerate(lesson.predict.choices) if not choice.right)
    predict(phone, lesson, wrong)
    expect(phone.get_by_text(lesson.predict.choices[wrong].reply[:60])).to_be_visible()
    correct = numbers(phone)
    move_first_lever(phone, lesson)
    moved = numbers(phone)
    if lesson in LESSONS[:4]:  # elsewhere a mistake may hardly matter, or make another person
        assert moved[0] == correct[0]
        assert moved[1:] != correct[1:]
    fits(phone, STEPS["try"])
    address = phone.url
    values = parse_qs(urlparse(address).query)
    tempting = lesson.levers[0].tempting
    assert values["predicted"] == [str(wrong + 1)]
    assert values[lesson.levers[0].field] == [f"{tempting:g}" if isinstance(tempting, float) else tempting]
    for label in [label for name, label in STEPS.items() if name != "try"]:
        phone.get_by_role("radio", name=label).click()
        settle(phone)
        fits(phone, label)
    if lesson in LESSONS[::4]:
        phone.set_viewport_size(DESK)
        open_address(phone, address)
        assert numbers(phone) == moved
        phone.get_by_role("button", name="Back to correct technique").click()
        settle(phone)
        assert numbers(phone) == correct


def test_on_a_phone_every_view_fits(server, phone: Page):
    open_address(phone, f"{server}/lesson?lesson=04-talking&predicted=1&technique.talking=stressful")
    for look in looks(LESSONS[3]).values():
        phone.get_by_role("radio", name=look).click()
        settle(phone)
        fits(phone, look)


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
        fits(phone, path)


def test_bad_parameters_are_named_and_the_lesson_opens(server, page: Page):
    open_address(page, f"{server}/lesson?lesson=01-arm-height&predicted=1&technique.cuff_below_heart_cm=90")
    message = page.get_by_role("alert").filter(has_text="cuff_below_heart_cm = 90")
    expect(message).to_contain_text("from -20 to 20")
    assert len(numbers(page)) == 3


def test_the_link_for_a_class_starts_before_the_prediction(server, page: Page):
    open_address(page, f"{server}/lesson?lesson=01-arm-height&predicted=3&technique.cuff_below_heart_cm=12")
    page.get_by_role("button", name="Share this lesson").click()
    address = page.get_by_role("link", name="Link for your class").evaluate("link => link.href")
    other = page.context.new_page()
    open_address(other, address)
    expect(other.get_by_role("button", name="This is my prediction")).to_be_visible()
    expect(other.locator(".numbers")).to_have_count(0)


def test_nothing_is_fetched_from_elsewhere(server, page: Page):
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    open_address(page, f"{server}/lesson?lesson=02-cuff-size&predicted=1")
    host = urlparse(server).netloc
    assert [url for url in asked if urlparse(url).scheme in ("http", "https") and urlparse(url).netloc != host] == []
