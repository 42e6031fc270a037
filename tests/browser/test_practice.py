"""The page to practise on in a real browser: from the first screen to the truth, and its widths on a phone."""

from __future__ import annotations

from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, expect

from sim.teach.practice import case
from sim.teach.practice_answers import DIRECTIONS, NEXT, band_words, following
from tests.browser.driving import choose, cut_texts, open_address, settle, sideways

pytestmark = pytest.mark.browser


def answer(page: Page, number: int) -> None:
    """Tick what is right, and commit."""
    found = case(number)
    for name in [m.name for m in found.possible] or ["Nothing was wrong"]:
        choose(page.get_by_role("checkbox", name=name))
        settle(page)
    chosen = [DIRECTIONS[found.direction], NEXT[following(found)]]
    chosen += [band_words(found.band)] if found.direction != "alike" else []
    for words in chosen:
        choose(page.get_by_role("radio", name=words, exact=True))
        settle(page)
    page.get_by_role("button", name="This is my answer").click()
    expect(page.locator("table.steps")).to_be_visible()
    settle(page)


def test_from_the_first_screen_to_the_truth_and_on_to_a_lesson(server, page: Page):
    open_address(page, server)
    page.locator(".st-key-card-practice").get_by_role("link").click()
    expect(page.get_by_role("heading", name="Find what went wrong")).to_be_visible()
    settle(page)
    number = int(parse_qs(urlparse(page.url).query)["case"][0])
    expect(page.locator(".number.truth")).to_have_count(0)
    answer(page, number)
    expect(page.locator(".number.truth .pair")).to_be_visible()
    expect(page.locator(".number.difference")).to_have_count(1)
    page.get_by_role("link", name="Lesson:").first.click()
    expect(page.get_by_role("button", name="This is my prediction")).to_be_visible()
    page.locator(".st-key-masthead").get_by_role("link", name="Practice").click()
    expect(page.locator("table.steps")).to_be_visible()
    page.get_by_role("button", name="Next case").click()
    settle(page)
    expect(page.locator(".st-key-practice-questions")).to_be_visible()
    expect(page.locator(".number.truth")).to_have_count(0)
    assert int(parse_qs(urlparse(page.url).query)["case"][0]) != number


def test_a_number_given_by_a_teacher_opens_the_same_case_elsewhere(server, page: Page):
    seen = []
    for _ in range(2):
        open_address(page, f"{server}/practice?case=2041")
        expect(page.locator(".number.display .pair")).to_be_visible()
        seen.append(page.locator(".st-key-card-practice-setup, .number.display").all_inner_texts())
    assert seen[0] == seen[1]


@pytest.mark.parametrize("number", [1503, 3002, 4003])
def test_on_a_phone_the_page_fits_before_and_after_the_answer(server, phone: Page, number: int):
    open_address(phone, f"{server}/practice?case={number}")
    assert (sideways(phone), cut_texts(phone)) == ([], [])
    if number < 4000:
        answer(phone, number)
    else:
        for words in ("adult, 16 × 30 cm", "in the lap", "at once"):
            choose(phone.get_by_role("radio", name=words, exact=True))
            settle(phone)
        phone.get_by_role("button", name="Take the readings").click()
        expect(phone.locator("table.steps")).to_be_visible()
        settle(phone)
    assert (sideways(phone), cut_texts(phone)) == ([], [])
