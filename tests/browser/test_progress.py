"""A learner's progress in a real browser: kept over a reload, carried to another browser, read back where damaged."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from sim.estimate.named import NAMED
from sim.teach import path
from sim.teach.lesson import load_all
from sim.teach.progress import Progress
from sim.teach.progress_text import to_text
from tests.browser.driving import choose, cut_texts, open_address, predict, settle, sideways
from tests.browser.test_practice import answer

pytestmark = pytest.mark.browser

LESSON, SECOND = path.parts(load_all()[0])[0][:2]
TOTAL = len(LESSON.checks) + 2
DONE = f"Done · {TOTAL} of {TOTAL} right at the first try"
KEY = "cuffbias-progress"


@pytest.fixture
def windows(browser: Browser):
    """Makes browsers that know nothing of each other."""
    made: list[BrowserContext] = []

    def new(width: int = 1280, height: int = 800) -> Page:
        made.append(browser.new_context(viewport={"width": width, "height": height}))
        return made[-1].new_page()

    yield new
    for context in made:
        context.close()


def stored(page: Page) -> str | None:
    """What this browser keeps."""
    return page.evaluate(f"localStorage.getItem('{KEY}')")


def wait_stored(page: Page, text: str | None) -> None:
    """Until this browser keeps exactly this."""
    page.wait_for_function(f"text => localStorage.getItem('{KEY}') === text", arg=text, timeout=30_000)


def do_lesson(page: Page) -> None:
    """The whole first lesson, all of it right."""
    predict(page, LESSON, next(n for n, choice in enumerate(LESSON.predict.choices) if choice.right))
    page.get_by_test_id("stButtonGroup").get_by_text("Check yourself").click()
    settle(page)
    for number, check in enumerate(LESSON.checks):
        right = next(choice for choice in check.choices if choice.right)
        choose(page.locator(f".st-key-check-{number}").get_by_role("radio", name=right.text))
        settle(page)
    assert LESSON.case is not None
    right = next(choice for choice in LESSON.case.choices if choice.right)
    choose(page.locator(".st-key-case").get_by_role("radio", name=right.text))
    settle(page)


def test_a_lesson_a_case_a_reload_another_browser_and_a_damaged_store(server, windows):
    page = windows()
    open_address(page, server)
    start = page.locator(".st-key-next").get_by_role("link")
    expect(start).to_contain_text(f"Begin with lesson 1: {LESSON.title}")
    assert start.bounding_box()["y"] + start.bounding_box()["height"] < 800
    start.click()
    settle(page)
    do_lesson(page)
    open_address(page, f"{server}/practice?case=1001")  # loads the app anew: a new session
    answer(page, 1001)
    open_address(page, server)
    card = page.locator(f".st-key-card-{LESSON.name}")
    expect(card).to_contain_text(DONE)
    expect(page.locator(".st-key-next")).to_contain_text(f"Continue with lesson 2: {SECOND.title}")
    expect(page.locator(".st-key-next")).to_contain_text("1 of ")

    open_address(page, f"{server}/progress?view=along")
    code = page.locator('[data-testid="stCode"] code').inner_text()
    other = windows(375, 812)
    open_address(other, f"{server}/progress?view=along")
    assert stored(other) is None
    other.get_by_role("textbox", name="The code").fill(code)
    other.get_by_role("textbox", name="The code").press("Control+Enter")
    settle(other)
    other.get_by_role("button", name="Bring it in").click()
    expect(other.get_by_text("Your progress is here now.")).to_be_visible()
    settle(other)
    wait_stored(other, stored(page))
    open_address(other, server)
    expect(other.locator(f".st-key-card-{LESSON.name}")).to_contain_text(DONE)
    start = other.locator(".st-key-next").get_by_role("link")
    assert start.bounding_box()["y"] + start.bounding_box()["height"] < 812
    assert (sideways(other), cut_texts(other)) == ([], [])
    for view in ("done", "summary", "checklist", "along"):
        open_address(other, f"{server}/progress?view={view}")
        assert (sideways(other), cut_texts(other)) == ([], []), view

    # The store breaks off in the middle of the cases: the lesson is still there.
    other.evaluate(f"localStorage.setItem('{KEY}', localStorage.getItem('{KEY}').split('\"cases\"')[0] + '\"ca')")
    open_address(other, server)
    expect(other.locator(f".st-key-card-{LESSON.name}")).to_contain_text(DONE)
    other.evaluate(f"localStorage.setItem('{KEY}', '[5, null')")
    open_address(other, server)
    expect(other.locator(".st-key-next")).to_contain_text("Begin with lesson 1")
    expect(other.locator('[data-testid="stException"]')).to_have_count(0)


def test_what_another_window_did_is_not_written_over_and_deleting_reaches_it(server, windows):
    page = windows()
    open_address(page, f"{server}/practice?case=1001")
    beside = page.context.new_page()
    open_address(beside, f"{server}/practice?case=1002")
    answer(page, 1001)
    answer(beside, 1002)
    settle(beside)
    for number in ("1001", "1002"):
        assert f'"{number}"' in (stored(page) or "")
    open_address(page, f"{server}/progress?view=along")
    page.get_by_text("Yes, delete all of it").click()
    settle(page)
    page.get_by_role("button", name="Delete my progress here").click()
    wait_stored(page, None)
    settle(page)
    beside.locator(".st-key-masthead").get_by_role("link", name="Progress").click()
    settle(beside)
    beside.locator(".st-key-masthead").get_by_role("link", name="Lessons").click()
    settle(beside)
    assert stored(page) is None
    open_address(page, server)
    expect(page.locator(".st-key-next")).to_contain_text("Begin with lesson 1")


def test_the_final_test_can_be_left_and_gone_on_with(server, windows):
    from sim.teach.final_test import numbers

    page = windows(375, 812)
    open_address(page, f"{server}/final_test?seed=7")
    page.get_by_role("button", name="Begin the test").click()
    expect(page.locator(".st-key-practice-questions")).to_be_visible()
    settle(page)
    assert (sideways(page), cut_texts(page)) == ([], [])
    assert str(numbers(7)[0]) not in page.locator('[data-testid="stMain"]').inner_text()
    choose(page.get_by_role("checkbox", name="Nothing was wrong"))
    for words in ("about the same: less than 3 mmHg apart", "Keep this one, and take the next reading of the protocol"):
        choose(page.get_by_role("radio", name=words, exact=True))
        settle(page)
    page.get_by_role("button", name="This is my answer").click()
    expect(page.get_by_text("case 2 of 10")).to_be_visible()
    settle(page)
    expect(page.locator(".number.truth")).to_have_count(0)
    open_address(page, f"{server}/final_test?seed=7")
    expect(page.get_by_text("case 2 of 10")).to_be_visible()


def test_a_touch_before_a_slow_phone_has_settled_moves_nothing_else(server, windows):
    page = windows(360, 780)
    address = f"{server}/algorithms?view=one"
    open_address(page, address)
    page.evaluate(f"text => localStorage.setItem('{KEY}', text)", to_text(Progress()))
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    for moment_ms in (0, 300, 600):  # whether the touch falls before, while or after the progress is told
        page.goto(address)
        expect(page.locator("table.steps").first).to_be_visible()
        page.wait_for_timeout(moment_ms)
        page.get_by_role("slider", name="Systolic resting pressure").press("ArrowRight")
        expect(page).to_have_url(f"{address.split('?')[0]}?sbp=121")
        settle(page)
        page.wait_for_timeout(3_000)
        expect(page).to_have_url(f"{address.split('?')[0]}?sbp=121")
        expect(page.locator("input[type=checkbox]:checked")).to_have_count(len(NAMED))
