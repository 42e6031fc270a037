"""The engineer's page in a real browser: a recording goes out and comes in, a study runs and is read, on a phone."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.driving import cut_texts, open_address, settle, sideways

pytestmark = pytest.mark.browser


def test_a_lever_moves_the_table_and_a_recording_goes_out_and_comes_in(server, phone: Page, tmp_path):
    open_address(phone, f"{server}/algorithms?view=one")
    table = phone.locator("table.steps").first
    before = table.inner_text()
    lever = phone.get_by_role("slider", name="Systolic resting pressure")
    lever.focus()
    lever.press("ArrowRight")
    settle(phone)
    assert table.inner_text() != before
    assert "sbp=" in phone.url
    assert ("simulated", sideways(phone), cut_texts(phone)) == ("simulated", [], [])
    with phone.expect_download() as download:
        phone.get_by_role("button", name="Recording (CSV)").click()
    download.value.save_as(tmp_path / "recording.csv")
    phone.get_by_role("radio", name="A file of my own").click()
    phone.locator('input[type="file"]').set_input_files(tmp_path / "recording.csv")
    expect(phone.get_by_text("so no error can be given").first).to_be_visible()
    settle(phone)
    assert ("file", sideways(phone), cut_texts(phone)) == ("file", [], [])
    phone.get_by_role("button", name="Remove this file").click()
    settle(phone)
    broken = "time_s,pressure_mmhg\n0,180\n0.01,high\n"
    file = {"name": "broken.csv", "mimeType": "text/csv", "buffer": broken.encode()}
    phone.locator('input[type="file"]').set_input_files(file)  # type: ignore[arg-type]
    expect(phone.get_by_role("alert").filter(has_text="line 3, column 2")).to_be_visible()


def test_a_study_is_run_read_and_taken_away(server, phone: Page, tmp_path):
    open_address(phone, f"{server}/algorithms?view=many&people=85&by=fixed-ratio")
    phone.get_by_role("button", name="Run the study").click()
    expect(phone.get_by_text("What the study says")).to_be_visible(timeout=60_000)
    settle(phone)
    for question, shown in (("Where does it fail?", None), ("Which is better?", "Choose a second algorithm")):
        phone.get_by_role("radio", name=question).click()
        settle(phone)
        if shown:
            expect(phone.get_by_text(shown).first).to_be_visible()
        assert (question, sideways(phone), cut_texts(phone)) == (question, [], [])
    with phone.expect_download() as download:
        phone.get_by_role("button", name="Every reading (Parquet)").click()
    assert download.value.path().read_bytes()[:4] == b"PAR1"
