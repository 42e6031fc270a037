"""The first screens on a phone and on a laptop: where to begin, and what stays in sight while a lever moves."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from sim.teach.lesson import load_all
from tests.browser.driving import open_address, settle

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
PHONE, LAPTOP = ViewportSize(width=375, height=812), ViewportSize(width=1280, height=800)
# At 375 px home was 10,376 px long: with a picture above the words of each lesson.
MOST_PX_A_LESSON, MOST_PX_BESIDES = 230, 3200


@pytest.mark.parametrize("window", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_where_to_begin_is_on_the_first_screen(page: Page, server: str, window):
    page.set_viewport_size(window)
    open_address(page, server)
    link = page.get_by_role("link", name="Begin with lesson 1")
    expect(link).to_be_visible()
    box = link.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= window["height"]


def test_home_is_not_long_on_a_phone(page: Page, server: str):
    page.set_viewport_size(PHONE)
    open_address(page, server)
    length = page.locator('[data-testid="stMain"]').evaluate("main => main.scrollHeight")
    assert length <= MOST_PX_A_LESSON * len(LESSONS) + MOST_PX_BESIDES


def test_links_of_a_row_of_cards_stand_on_one_line(page: Page, server: str):
    page.set_viewport_size(LAPTOP)
    open_address(page, server)
    cards = page.locator('[class*="st-key-card-0"], [class*="st-key-card-1"], [class*="st-key-card-2"]')
    expect(cards.filter(has=page.locator("a"))).to_have_count(len(LESSONS))  # the last card's link comes last
    places = cards.evaluate_all(
        """cards => cards.map(card => [card.getBoundingClientRect().top,
            [...card.querySelectorAll('a')].at(-1).getBoundingClientRect().bottom])"""
    )
    assert len(places) == len(LESSONS)
    rows: dict[int, set[int]] = {}
    for top, bottom in places:
        rows.setdefault(round(top), set()).add(round(bottom))
    assert all(len(bottoms) == 1 for bottoms in rows.values()), rows


@pytest.mark.parametrize("lesson", LESSONS[:6], ids=lambda lesson: lesson.name)
@pytest.mark.parametrize("window", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_the_numbers_stay_in_sight_while_a_lever_moves_and_on_a_laptop_the_picture(
    page: Page, server: str, lesson, window
):
    page.set_viewport_size(window)
    open_address(page, f"{server}/lesson?lesson={lesson.name}&predicted=1")
    expect(page.locator(".numbers")).to_be_visible()
    settle(page)
    for lever in lesson.levers:
        name = next(o.label for o in lever.options if o.value == lever.correct) if lever.is_choice else lever.label
        widget = page.get_by_role("radio" if lever.is_choice else "slider", name=name).first
        # To the middle of the window, as a hand would have it.
        widget.evaluate("lever => lever.scrollIntoView({block: 'center'})")
        page.wait_for_timeout(300)
        inside = page.locator(".numbers").evaluate(
            "e => { const b = e.getBoundingClientRect(); return b.top >= -1 && b.bottom <= innerHeight; }"
        )
        assert inside, lever.label
        if window is LAPTOP:
            share = page.locator(".st-key-try-it [data-testid='stColumn']").last.evaluate(
                """column => Math.max(...[...column.querySelectorAll('figure img, canvas, svg.marks')].map(e => {
                    const b = e.getBoundingClientRect();
                    return (Math.min(b.bottom, innerHeight) - Math.max(b.top, 0)) / b.height;
                }))"""
            )
            assert share > 0.6, lever.label
