"""A lesson of one's own, from its beginning to a class: written, checked, walked through; then its file breaks."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from sim.teach.lesson import load
from tests.browser.conftest import ROOT, serve
from tests.browser.driving import choose, move_first_lever, numbers, open_address, predict, settle, sideways

pytestmark = pytest.mark.browser


def command(*arguments: str) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-m", "sim", *arguments]
    return subprocess.run(line, cwd=ROOT, capture_output=True, text=True, check=False)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the lesson that the command writes, checked."""
    folder = tmp_path / "ours"
    folder.mkdir()
    assert command("lesson", "new", "our-table", "--lessons", str(folder)).returncode == 0
    assert command("lesson", "check", str(folder)).returncode == 0
    return folder


@pytest.fixture
def own_server(folder: Path, tmp_path: Path) -> Iterator[str]:
    """The app with the folder; yields its address."""
    log = tmp_path / "log.txt"
    yield from serve(log, "127.0.0.1", "--lessons", str(folder))
    assert "Traceback" not in log.read_text()


def test_a_lesson_of_ones_own_is_walked_through_and_then_breaks(page: Page, folder: Path, own_server: str):
    file = folder / "our-table.md"
    lesson = load(file, local=True)
    open_address(page, own_server)
    card = page.locator(".st-key-card-our-table")
    expect(card).to_contain_text("From this clinic")
    card.get_by_role("link", name="Begin this lesson").click()
    expect(page.locator(".eyebrow")).to_have_text("From this clinic · about 5 minutes")
    predict(page, lesson, 0)
    expect(page.get_by_text("Yes, that is right.")).to_be_visible()
    before = numbers(page)
    move_first_lever(page, lesson)
    expect(page.locator(".numbers .big").nth(1)).not_to_contain_text(before[1])
    page.get_by_role("button", name="Next: why, and how we know").click()
    expect(page.get_by_text("No published figures stand behind this lesson.")).to_be_visible()
    page.get_by_role("button", name="Next: check yourself").click()
    right = next(choice for choice in lesson.checks[0].choices if choice.right)
    choose(page.get_by_role("radio", name=right.text))
    expect(page.get_by_text(right.reason)).to_be_visible()

    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('title = "Our low table"', "title = “Our low table”"), encoding="utf-8")
    page.wait_for_timeout(6000)  # the files are read again after five seconds
    page.get_by_role("button", name="Next: what to do").click()
    expect(page.get_by_text(lesson.takeaway.text)).to_be_visible()
    assert not sideways(page)
    page.get_by_role("link", name="All lessons").click()
    expect(page.get_by_text("1 lesson file of this clinic could not be read")).to_be_visible()
    settle(page)
    expect(page.locator(".st-key-card-our-table")).to_have_count(0)
    expect(page.locator(".st-key-card-01-arm-height")).to_be_visible()
    expect(page.locator('[data-testid="stException"]')).to_have_count(0)
    told = command("lesson", "check", str(file))
    assert told.returncode == 1
    line = text[: text.index("title = ")].count("\n") + 1
    assert f"line {line}: expected straight quotes" in told.stdout
