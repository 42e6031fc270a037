"""A reading played in a real browser: by keyboard, at every speed, still, on a phone, without asking the server."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Page, WebSocket, expect

from sim.screens.watch.sides import sides
from sim.teach.lesson import load_all
from tests.browser.driving import cut_texts, numbers, open_address, settle, sideways

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
LOW = "lesson=01-arm-height&predicted=1&technique.cuff_below_heart_cm=12&seed=1&chance=yes"
ROOT = ".player"  # the locator reaches into the component's shadow root
PLAYER = "[...document.querySelectorAll('*')].map(e => e.shadowRoot?.querySelector('.player')).find(Boolean).player"


def open_player(page: Page, server: str, query: str = LOW) -> None:
    """The player, drawn."""
    open_address(page, f"{server}/watch?{query}")
    page.wait_for_function("() => document.querySelectorAll('*').length > 0")
    expect(page.locator(f"{ROOT} canvas.envelope").first).to_be_visible()
    page.locator(ROOT).evaluate("root => document.fonts.ready")


def time_s(page: Page) -> float:
    """Where the player is."""
    return page.locator(ROOT).evaluate("root => root.player.time")


def ink(page: Page, name: str) -> int:
    """How many pixels of a picture of the first reading are drawn on."""
    return page.locator(f"{ROOT} canvas.{name}").first.evaluate(
        """canvas => canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height)
            .data.filter((v, i) => i % 4 === 3 && v > 0).length"""
    )


def shown(page: Page, number: int = 0) -> str:
    """What the display of a reading shows."""
    return page.locator(f"{ROOT} .display b").nth(number).inner_text()


def test_played_by_keyboard_alone_until_the_number_appears(server, page: Page):
    open_player(page, server)
    page.locator(ROOT).focus()
    assert page.locator(ROOT).evaluate("root => getComputedStyle(root).outlineStyle") == "solid"
    assert (time_s(page), shown(page)) == (0, "not yet")
    drawn = ink(page, "pressure"), ink(page, "envelope")
    page.keyboard.press("Space")
    page.wait_for_function(f"() => {PLAYER}.time > 8")
    page.keyboard.press("Space")
    stopped = time_s(page)
    page.wait_for_timeout(300)
    assert time_s(page) == stopped
    assert ink(page, "pressure") > drawn[0]
    assert ink(page, "envelope") > drawn[1]
    for key, moved in (("ArrowRight", 1), ("ArrowLeft", -1), ("Shift+ArrowRight", 5)):
        before = time_s(page)
        page.keyboard.press(key)
        assert time_s(page) == pytest.approx(before + moved)
    page.keyboard.press("End")
    assert re.fullmatch(r"\d+/\d+", shown(page))
    page.keyboard.press("Home")
    assert (time_s(page), shown(page)) == (0, "not yet")
    page.keyboard.press("PageDown")
    moment = page.locator(f"{ROOT} .moment").first
    assert time_s(page) > 0
    expect(moment).to_contain_text("true systolic")
    assert moment.get_attribute("aria-live") == "polite"


def test_played_to_its_end_at_the_greatest_speed_and_again(server, page: Page):
    open_player(page, server)
    page.get_by_role("button", name="8 times as fast").click()
    page.get_by_role("button", name="Play", exact=True).click()
    expect(page.locator(f"{ROOT} .display b").first).to_have_text(re.compile(r"\d+/\d+"), timeout=20_000)
    expect(page.get_by_role("button", name="Play", exact=True)).to_be_visible(timeout=10_000)
    end = time_s(page)
    assert end == page.locator(ROOT).evaluate("root => root.player.total")
    page.get_by_role("button", name="From the start").click()
    page.wait_for_function(f"() => {PLAYER}.time > 0")
    assert time_s(page) < end
    page.get_by_role("button", name="Pause").click()


def test_the_number_is_that_of_the_lesson_and_the_links_lead_there_and_back(server, page: Page):
    open_address(page, f"{server}/lesson?{LOW}")
    # The lesson's display is the mean of twenty readings; the player plays the one that is looked at.
    this, mean = page.locator("p.this b").inner_text(), numbers(page)[1]
    page.get_by_role("link", name="Watch this reading happen").click()
    expect(page.get_by_role("heading", name="Watch a reading happen")).to_be_visible()
    settle(page)
    assert parse_qs(urlparse(page.url).query) == parse_qs(LOW)
    page.locator(ROOT).focus()
    page.keyboard.press("End")
    assert shown(page) == this
    page.get_by_role("link", name="Back to the lesson").click()
    settle(page)
    assert (page.locator("p.this b").inner_text(), numbers(page)[1]) == (this, mean)


def test_the_servers_rest_while_it_plays(server, page: Page):
    messages: list[object] = []

    def listen(socket: WebSocket) -> None:
        for event in ("framesent", "framereceived"):
            socket.on(event, lambda payload: messages.append(payload))

    page.on("websocket", listen)
    open_player(page, server)
    page.wait_for_timeout(1500)
    page.get_by_role("button", name="Real time").click()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    messages.clear()
    page.locator(ROOT).evaluate("root => root.player.replay()")
    page.wait_for_function(f"() => {PLAYER}.frames >= 30")
    page.locator(ROOT).evaluate("root => root.player.pause()")
    assert (messages, asked) == ([], [])


def test_real_time_is_real_time(server, page: Page):
    """By a clock of our own: the window's frames come when the machine has time."""
    open_player(page, server)
    page.get_by_role("button", name="Real time").click()
    time, frames = page.locator(ROOT).evaluate(
        """root => {
            const usual = window.requestAnimationFrame, waiting = [];
            window.requestAnimationFrame = (frame) => waiting.push(frame);
            root.player.replay();
            for (let ms = 1000; ms <= 4000; ms += 20) waiting.splice(0).forEach((frame) => frame(ms));
            const shown = [root.player.time, root.player.frames];
            root.player.pause();
            window.requestAnimationFrame = usual;
            return shown;
        }"""
    )
    assert time == pytest.approx(3)
    assert frames == 151


def test_who_prefers_less_motion_gets_still_pictures(server, browser):
    context = browser.new_context(viewport={"width": 1280, "height": 900}, reduced_motion="reduce")
    page = context.new_page()
    open_player(page, server)
    expect(page.get_by_role("switch", name="No animation")).to_be_checked()
    expect(page.get_by_role("button", name="Play", exact=True)).to_be_hidden()
    assert re.fullmatch(r"\d+/\d+", shown(page))
    page.locator(ROOT).focus()
    page.keyboard.press("Home")
    seen = [page.locator(f"{ROOT} .moment").first.inner_text()]
    for _ in range(5):
        page.keyboard.press("Space")
        frames = page.locator(ROOT).evaluate("root => root.player.frames")
        seen.append(page.locator(f"{ROOT} .moment").first.inner_text())
    assert frames == 0
    assert len(set(seen)) >= 3
    context.close()


def test_still_pictures_by_the_switch(server, page: Page):
    open_player(page, server)
    page.get_by_role("switch", name="No animation").check()
    expect(page.get_by_role("button", name="Play", exact=True)).to_be_hidden()
    before = page.get_by_role("button", name="Previous moment")
    before.click()
    assert shown(page) == "not yet"
    page.get_by_role("switch", name="No animation").uncheck()
    expect(page.get_by_role("button", name="Play", exact=True)).to_be_visible()


def test_the_slider_can_be_dragged_and_says_where_it_is(server, page: Page):
    open_player(page, server)
    slider = page.get_by_role("slider", name="Time in the reading")
    box = slider.bounding_box()
    assert box
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    total = page.locator(ROOT).evaluate("root => root.player.total")
    assert time_s(page) == pytest.approx(total / 2, rel=0.1)
    assert re.match(r"\d+ s; This reading: \d+ mmHg in the cuff; ", slider.get_attribute("aria-valuetext") or "")


# Those with most to say about how the reading was taken.
LONGEST = sorted(LESSONS, key=lambda lesson: -len(sides(lesson, lesson.inputs(lesson.tempting))[0].how))[:4]


@pytest.mark.parametrize("lesson", LONGEST, ids=lambda lesson: lesson.name)
def test_on_a_phone_nothing_is_wider_than_the_window_and_the_controls_stay_in_sight(server, phone: Page, lesson):
    levers = "&".join(f"{field}={value}" for field, value in lesson.tempting.items())
    open_player(phone, server, f"lesson={lesson.name}&predicted=1&{levers}")
    assert (sideways(phone), cut_texts(phone)) == ([], [])
    wide = phone.locator(ROOT).evaluate(
        """root => [...root.querySelectorAll('*')]
            .filter(e => e.getBoundingClientRect().right > window.innerWidth + 1 || e.scrollWidth > e.clientWidth + 1)
            .filter(e => e.clientWidth && !['CANVAS', 'INPUT'].includes(e.tagName))
            .map(e => e.className + ': ' + e.textContent.slice(0, 60))"""
    )
    assert wide == []
    for button in phone.locator(f"{ROOT} button").all():
        if button.is_visible():
            assert (button.bounding_box() or {"height": 0})["height"] >= 36
    phone.locator(f"{ROOT} canvas.pulses").first.scroll_into_view_if_needed()
    expect(phone.get_by_role("button", name="Play", exact=True)).to_be_in_viewport()
    expect(phone.get_by_role("slider", name="Time in the reading")).to_be_in_viewport()


def test_where_there_is_no_reading_the_end_says_why(server, page: Page):
    lesson = next(each for each in LESSONS if "technique.movement_mmhg" in each.correct)
    lever = next(lever for lever in lesson.levers if lever.name == "movement_mmhg")
    for seed in range(1, 6):
        open_player(page, server, f"lesson={lesson.name}&predicted=1&{lever.field}={lever.high:g}&seed={seed}")
        page.locator(ROOT).focus()
        page.keyboard.press("End")
        if shown(page) == "no reading":
            break
    assert shown(page) == "no reading"
    expect(page.locator(f"{ROOT} .moment").first).to_contain_text("No reading. ")
    page.get_by_text("In words, with the numbers").click()
    expect(page.get_by_text("there is no reading:")).to_be_visible()


def test_evidence_and_limits_say_how_far_they_are_and_fit_a_phone(server, phone: Page):
    phone.goto(f"{server}/evidence")
    expect(phone.locator(".counts")).to_be_visible(timeout=120_000)
    settle(phone)
    assert re.match(r"\d+ of \d+", phone.locator(".counts .large").inner_text())
    expect(phone.get_by_text("✕ outside").first).to_be_visible()
    assert (sideways(phone), cut_texts(phone)) == ([], [])
    for group in ("Inside:", "Built in:", "No interval", "The model has no figure"):
        phone.get_by_text(group).first.click()
        settle(phone)
        assert (group, sideways(phone), cut_texts(phone)) == (group, [], [])
