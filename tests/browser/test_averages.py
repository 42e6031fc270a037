"""The page of averages in a real browser: charts are drawn, links reopen, a log goes in and comes out."""

from __future__ import annotations

import json

import jsonschema
import pytest
from playwright.sync_api import Page, expect

from sim.screens.averages.page import VIEWS
from tests.browser.driving import cut_texts, open_address, settle, sideways
from tests.logs.files import week
from tests.logs.r4 import BUNDLE

pytestmark = pytest.mark.browser
CHARTS = {"repeat": 1, "name": 1, "people": 1, "surprise": 1, "log": 0}


def drawn(page: Page, count: int) -> None:
    """So many charts, each with marks in it."""
    expect(page.locator('[data-testid="stVegaLiteChart"] :is(canvas, svg)')).to_have_count(count)


@pytest.mark.parametrize("view", VIEWS)
def test_every_question_is_drawn_on_a_desk_and_fits_a_phone(server, page: Page, phone: Page, view):
    for window in (page, phone):
        open_address(window, f"{server}/averages?view={view}")
        expect(window.get_by_role("heading", level=1)).to_have_text(VIEWS[view][1])
        drawn(window, CHARTS[view])
        assert ("", sideways(window), cut_texts(window)) == ("", [], [])


def test_a_mistake_moves_the_fan_and_the_link_holds_it(server, page: Page):
    open_address(page, f"{server}/averages")
    expect(page.get_by_text("The fan narrows around the resting pressure")).to_be_visible()
    page.get_by_role("combobox", name="How every reading is taken").click()
    page.get_by_role("option", name="cuff one size too small").click()
    settle(page)
    expect(page.get_by_text("averaging does not bring it nearer")).to_be_visible()
    assert "wrong=small" in page.url
    open_address(page, page.url)
    expect(page.get_by_text("averaging does not bring it nearer")).to_be_visible()


def test_a_log_goes_in_and_comes_out_as_fhir_and_is_forgotten(server, phone: Page):
    open_address(phone, f"{server}/averages?view=log")
    content = week().replace("2024-05-08,07:11", "2024-05-08,late")
    chooser = phone.locator('input[type="file"]')
    chooser.set_input_files({"name": "log.csv", "mimeType": "text/csv", "buffer": content.encode()})
    settle(phone)
    expect(phone.get_by_text("1 of 28 rows could not be read")).to_be_visible()
    expect(phone.locator(".number.display")).to_contain_text("of 23 readings")
    drawn(phone, 2)
    assert ("", sideways(phone), cut_texts(phone)) == ("", [], [])
    with phone.expect_download() as download:
        phone.get_by_role("button", name="As FHIR R4").click()
    bundle = json.loads(download.value.path().read_text(encoding="utf-8"))
    jsonschema.validate(bundle, BUNDLE)
    assert len(bundle["entry"]) == 27
    phone.emulate_media(media="print")  # on paper nothing can be pressed
    expect(phone.locator('[data-testid="stButton"]:visible, [data-testid="stFileUploader"]:visible')).to_have_count(0)
    phone.emulate_media(media="screen")
    phone.get_by_role("button", name="Remove this file").click()
    settle(phone)
    expect(phone.locator(".number.display")).to_have_count(0)
