"""A patient and cuffs of one's own by clicks, kept from lesson to lesson and in the link; a log on one side."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, expect

from sim.cuff.bladder import printed
from sim.explain.schedules import schedules
from sim.logs.read_csv import read_csv
from sim.logs.summary import summarise
from sim.teach.log_page import log_page
from tests.browser.driving import choose, cut_texts, numbers, open_address, settle, sideways
from tests.logs.files import week

pytestmark = pytest.mark.browser
SIZE = "02-cuff-size"


def own(address: str) -> dict[str, list[str]]:
    return {name: text for name, text in parse_qs(urlparse(address).query).items() if name.startswith("my.")}


def test_a_patient_set_in_a_lesson_stays_in_the_next_and_a_fresh_link_shows_the_same(server, page: Page, phone: Page):
    open_address(page, f"{server}/lesson?lesson=01-arm-height&predicted=1")
    page.get_by_text("My patient, my cuffs").click()
    for label, value in (("Systolic at rest", "150"), ("Diastolic at rest", "86"), ("Arm, cm round", "38")):
        page.get_by_label(re.compile(label)).fill(value)
    for name in ("regular", "large"):
        page.get_by_text(printed(name), exact=True).click()
    page.get_by_role("button", name="Use this patient and these cuffs").click()
    expect(page.locator(".number.truth .pair")).to_have_text("150/86")
    settle(page)
    assert own(page.url) == {
        "my.sbp": ["150"],
        "my.dbp": ["86"],
        "my.arm_circumference_cm": ["38"],
        "my.cuffs": ["regular,large"],
    }
    page.get_by_role("radio", name="What to do").click()
    settle(page)
    page.get_by_role("link", name=re.compile("Next lesson")).click()
    expect(page.get_by_text("The size of the cuff").first).to_be_visible()
    settle(page)
    mine = own(page.url)
    assert mine["my.sbp"] == ["150"]
    choose(page.get_by_role("radio", name=re.compile("^Higher, systolic")))
    page.get_by_role("button", name="This is my prediction").click()
    expect(page.locator(".number.truth .pair")).to_have_text("150/86")
    settle(page)
    expect(page.get_by_role("radio", name=printed("large"))).to_be_checked()
    choose(page.get_by_role("radio", name=printed("regular")))
    settle(page)
    seen = numbers(page)
    open_address(phone, page.url)
    assert numbers(phone) == seen
    assert own(phone.url) == mine
    phone.get_by_text("My patient, my cuffs").click()
    settle(phone)
    assert (sideways(phone), cut_texts(phone)) == ([], [])


@pytest.mark.parametrize(("days", "readings"), [(14, 2), (60, 3)])
def test_a_log_prints_on_one_side_of_a4_and_of_letter(page: Page, days, readings):
    """Two weeks of four readings a day with all that may be wrong with them, and a log too long to be listed."""
    odd = "{0},07:00,90,146,,\n{0},07:05,1320,84,,\n{0},07:10,188,124,,\n{0},19:10,150,140,,\n{0},20:00,abc,80,,\n"
    for rows in (week(days, readings), week(days, readings) + odd.format("2024-05-19")):
        log = read_csv(rows)
        page.set_content(log_page(log, summarise(log, next(iter(schedules().values())))))
        for paper in ("A4", "Letter"):
            printed_pages = page.pdf(format=paper, prefer_css_page_size=True)
            assert len(re.findall(rb"/Type\s*/Page\b", printed_pages)) == 1, (paper, days)


def test_the_page_to_print_is_downloaded_from_the_averages_page(server, page: Page, tmp_path):
    open_address(page, f"{server}/averages?view=log")
    page.get_by_role("button", name="Use an invented example").click()
    expect(page.get_by_role("button", name="One page to print")).to_be_visible()
    with page.expect_download() as found:
        page.get_by_role("button", name="One page to print").click()
    file = tmp_path / "page.html"
    found.value.save_as(file)
    assert "A log of blood pressures to talk over" in file.read_text(encoding="utf-8")
