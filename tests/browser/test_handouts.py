"""Pages to print in a real browser: put together by clicks, downloaded, counted."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from sim.teach.lesson import load_all
from tests.browser.driving import cut_texts, open_address, settle, sideways
from tests.teach.pdf_pages import run_together, words_on

pytestmark = pytest.mark.browser

FIRST, SECOND = load_all()[0][:2]


def downloaded(page: Page, button: str) -> PdfReader:
    """What the button gives."""
    with page.expect_download(timeout=60_000) as found:
        page.get_by_role("button", name=button).click()
    assert found.value.suggested_filename.endswith(".pdf")
    return PdfReader(io.BytesIO(Path(found.value.path()).read_bytes()))


def test_two_lessons_for_a_clinic_from_the_first_screen(page: Page, server: str) -> None:
    open_address(page, server)
    page.locator(".st-key-card-handouts").get_by_role("link").click()
    expect(page.get_by_role("heading", name="Pages to print")).to_be_visible()
    settle(page)
    for lesson in (FIRST, SECOND):
        page.locator(".st-key-handout-lessons").get_by_text(lesson.title, exact=False).click()
        settle(page)
    page.get_by_label("Telephone").fill("555 0199")
    page.get_by_label("Telephone").press("Tab")
    settle(page)
    reader = downloaded(page, "Make the PDF")
    assert len(reader.pages) == 2
    for lesson, text in zip((FIRST, SECOND), words_on(reader), strict=True):
        assert run_together(lesson.title) in text
        assert "5550199" in text
    assert "555" not in page.url
    assert sideways(page) == []
    assert cut_texts(page) == []


def test_the_page_of_a_lesson_and_on_to_more(phone: Page, server: str) -> None:
    page = phone
    open_address(page, f"{server}/lesson?lesson={FIRST.name}&predicted=1&step=do")
    assert len(downloaded(page, "Page to print for patients").pages) == 1
    page.get_by_role("link", name="More pages to print").click()
    expect(page.get_by_role("checkbox", name=FIRST.title)).to_be_checked()
    assert sideways(page) == []
    assert cut_texts(page) == []
