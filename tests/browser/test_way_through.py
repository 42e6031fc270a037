"""The way through the app by clicks: the address names what is shown, and whatever is new starts at its top."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from sim.screens.lesson.address import STEPS
from sim.teach.lesson import Lesson, load_all
from tests.browser.driving import choose, move_first_lever, numbers, open_address, predict, settle

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
SIZES: list[ViewportSize] = [{"width": 1280, "height": 800}, {"width": 375, "height": 812}]
SIZE = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size['width']} px")


def addressed(page: Page) -> tuple[str, str]:
    """Lesson and step that the address names; no step before the prediction."""
    values = {name: given[0] for name, given in parse_qs(urlparse(page.url).query).items()}
    return values["lesson"], values.get("step", "try") if "predicted" in values else ""


def shown(page: Page, lesson: Lesson, step: str) -> None:
    """The lesson is shown at this step, and the address says so."""
    settle(page)
    expect(page.get_by_role("heading", name=lesson.title, exact=True)).to_be_visible()
    if step:
        expect(page.locator('button[role="radio"][aria-checked="true"]').first).to_have_text(STEPS[step])
    else:
        expect(page.get_by_role("button", name="This is my prediction")).to_be_visible()
    assert addressed(page) == (lesson.name, step)


def onward(page: Page) -> None:
    """The next step, or the next lesson."""
    page.locator(".st-key-onward").locator("button, a").first.click()
    settle(page)


def starts_at_its_top(page: Page, heading: str) -> None:
    """Nothing is scrolled away, and the keyboard is at this heading, which is in sight."""
    settle(page)
    focused = page.locator("h1:focus, h2:focus")
    expect(focused).to_have_text(heading)
    expect(focused).to_be_in_viewport()
    assert focused.get_attribute("tabindex") == "-1"
    assert page.locator('[data-testid="stMain"]').evaluate("main => main.scrollTop") == 0


def to_the_foot(page: Page) -> None:
    page.locator('[data-testid="stMain"]').evaluate("main => main.scrollTo(0, main.scrollHeight)")


def test_three_lessons_in_a_row_by_clicks_with_back_and_reload(server, page: Page):
    open_address(page, server)
    page.locator(f".st-key-card-{LESSONS[0].name}").get_by_role("link").click()
    for lesson in LESSONS[:3]:
        shown(page, lesson, "")
        predict(page, lesson, 1)
        shown(page, lesson, "try")
        onward(page)
        shown(page, lesson, "why")
        onward(page)
        shown(page, lesson, "check")
        choose(page.locator(".st-key-check-0").get_by_role("radio").first)
        shown(page, lesson, "check")
        page.go_back()
        shown(page, lesson, "why")
        page.go_forward()
        shown(page, lesson, "check")
        page.reload()
        shown(page, lesson, "check")
        choose(page.locator(".st-key-case").get_by_role("radio").first)
        shown(page, lesson, "check")
        expect(page.locator(".number.truth")).to_be_visible()
        if lesson is LESSONS[2]:
            break
        onward(page)
        shown(page, lesson, "do")
        onward(page)
    page.get_by_role("radio", name=STEPS["do"]).click()
    shown(page, LESSONS[2], "do")


def test_the_first_answer_after_next_lesson_stays_in_it(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={LESSONS[1].name}&predicted=1&step=do")
    onward(page)
    shown(page, LESSONS[2], "")
    choose(page.get_by_role("radio", name=LESSONS[2].predict.choices[0].text))
    shown(page, LESSONS[2], "")
    page.go_back()
    shown(page, LESSONS[1], "do")


def test_back_undoes_a_lever_and_forward_does_it_again(server, page: Page):
    lesson = next(lesson for lesson in LESSONS if lesson.levers[0].is_choice)
    open_address(page, f"{server}/lesson?lesson={lesson.name}&predicted=1")
    before = numbers(page)
    move_first_lever(page, lesson)
    after = numbers(page)
    assert after != before
    page.go_back()
    settle(page)
    assert numbers(page) == before
    page.go_forward()
    settle(page)
    assert numbers(page) == after


def test_a_link_for_a_class_that_is_clicked_on_its_own_page_takes_the_address_along(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={LESSONS[0].name}&predicted=1&step=check")
    page.get_by_role("button", name="Share this lesson").click()
    page.get_by_role("link", name="Link for your class").click()
    shown(page, LESSONS[0], "")


@SIZE
def test_each_step_and_lesson_starts_at_its_top_with_the_keyboard_at_its_heading(server, page: Page, size):
    page.set_viewport_size(size)
    open_address(page, server)
    to_the_foot(page)
    page.locator(f".st-key-card-{LESSONS[1].name}").get_by_role("link").click()
    starts_at_its_top(page, LESSONS[1].title)
    predict(page, LESSONS[1], 0)
    starts_at_its_top(page, STEPS["try"])
    for step in ("why", "check", "do"):
        to_the_foot(page)
        onward(page)
        starts_at_its_top(page, STEPS[step])
    to_the_foot(page)
    onward(page)
    starts_at_its_top(page, LESSONS[2].title)


@SIZE
def test_a_lever_moves_neither_the_page_nor_the_keyboard(server, page: Page, size):
    page.set_viewport_size(size)
    lesson = LESSONS[0]
    open_address(page, f"{server}/lesson?lesson={lesson.name}&predicted=1&step=check")
    page.get_by_role("radio", name=STEPS["try"]).click()
    starts_at_its_top(page, STEPS["try"])
    slider = page.get_by_role("slider", name=lesson.levers[0].label)
    slider.focus()
    scrolled = page.locator('[data-testid="stMain"]').evaluate("main => main.scrollTop")
    for _ in range(4):
        slider.press("ArrowRight")
        settle(page)
        expect(slider).to_be_focused()
    # The numbers above may grow by a line, and the browser keeps the lever where it is.
    now = page.locator('[data-testid="stMain"]').evaluate("main => main.scrollTop")
    assert abs(now - scrolled) < 60
    assert scrolled == 0 or now > 0


def test_a_page_that_is_just_opened_takes_the_keyboard_nowhere(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={LESSONS[0].name}&predicted=1&step=check")
    assert page.evaluate("document.activeElement.tagName") == "BODY"


def test_every_page_has_a_name_of_its_own_in_the_tab(server, page: Page):
    open_address(page, server)
    names = [page.title()]
    for lesson in LESSONS[:3]:
        page.locator(f".st-key-card-{lesson.name}").get_by_role("link").click()
        settle(page)
        assert lesson.title in page.title()
        names.append(page.title())
        page.locator(".st-key-masthead").get_by_role("link", name="Lessons").click()
        settle(page)
    for name in ("Practice", "Averages", "Algorithms", "Evidence", "Cautions"):
        page.locator(".st-key-masthead").get_by_role("link", name=name).click()
        expect(page).to_have_title(re.compile(name))  # the rest of the page may take long
        names.append(page.title())
    open_address(page, f"{server}/watch?lesson={LESSONS[0].name}&predicted=1")
    assert "Watch" in page.title()
    names.append(page.title())
    assert len(set(names)) == len(names)


def test_a_page_starts_as_by_its_address_whatever_was_asked_on_another(server, page: Page):
    open_address(page, f"{server}/averages")
    page.locator(".st-key-masthead").get_by_role("link", name="Algorithms").click()
    settle(page)
    assert urlparse(page.url).query == ""
    expect(page.get_by_role("radio", name="One recording")).to_be_checked()
    expect(page.get_by_text("must be at least")).to_have_count(0)
