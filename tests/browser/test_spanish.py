"""The app in Spanish in a browser: the switch by a click, a lesson from end to end, and the next one stays Spanish."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from sim.say import say, spoken
from sim.screens.lesson.address import STEPS
from sim.teach.lesson import load_all
from tests.browser.driving import choose, move_first_lever, numbers, open_address, settle, sideways

pytestmark = pytest.mark.browser
LESSONS, _ = load_all(language="es")
FIRST, SECOND = LESSONS[:2]


def _speaks(page: Page, name: str) -> None:
    """The page says to browsers and readers which language it is in."""
    expect(page.locator(f'html[lang="{name}"]')).to_have_count(1)
    assert ("lang=es" in page.url) == (name == "es")


@spoken("es")
def test_a_lesson_in_spanish_from_the_switch_to_the_next_lesson(server, phone: Page):
    open_address(phone, f"{server}/lesson?lesson={FIRST.name}")
    _speaks(phone, "en")
    phone.get_by_role("button", name="Español").click()
    expect(phone.get_by_role("heading", name=FIRST.title)).to_be_visible()
    settle(phone)
    _speaks(phone, "es")
    assert not sideways(phone)
    choose(phone.get_by_role("radio", name=FIRST.predict.choices[0].text))
    phone.get_by_role("button", name=say("This is my prediction")).click()
    expect(phone.locator(".numbers")).to_be_visible()
    move_first_lever(phone, FIRST)
    # The lever's part of the page ran alone: it must not have gone back to English.
    assert numbers(phone)[1].startswith("137")
    expect(phone.locator(".numbers")).to_contain_text(say("Resting pressure"))
    expect(phone.get_by_text(say("cuff {cm} cm below the heart", cm=12)).first).to_be_attached()
    _speaks(phone, "es")
    for step in STEPS:
        expect(phone.locator('button[role="radio"][aria-checked="true"]').first).to_have_text(say(STEPS[step]))
        assert not sideways(phone), step
        phone.locator(".st-key-onward").locator("button, a").first.click()
        settle(phone)
    expect(phone.get_by_role("heading", name=SECOND.title)).to_be_visible()
    _speaks(phone, "es")
    phone.get_by_role("button", name="English").click()
    expect(phone.locator('html[lang="en"]')).to_have_count(1)
    settle(phone)
    expect(phone.get_by_role("heading", name=load_all()[0][1].title)).to_be_visible()
