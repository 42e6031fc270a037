"""A lesson and the player on a wall: what fits, what the keys do, what they never give away; shared in a network."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from sim.screens.present.room import STEPS
from sim.teach.lesson import load_all
from tests.browser.driving import open_address, settle

pytestmark = pytest.mark.browser
LESSONS, _ = load_all()
FIRST, SECOND = LESSONS[:2]
WALLS = ((1280, 720), (1920, 1080), (1024, 768))
# Of the window's height, at least: what is read in the last row, and the safety line.
LETTERS, SAFETY = 1 / 30, 1 / 45
# Letters on the wall, and whatever is cut: by the window, or by the buttons and the safety line at its foot.
MEASURED = """() => {
    const main = document.querySelector('[data-testid="stMain"]');
    const body = document.querySelector('[class*="st-key-room-"]:not(.st-key-room-bar):not(.st-key-room_keys)');
    const bar = document.querySelector('.st-key-room-bar');
    const safety = document.querySelector('.st-key-footer p');
    const shown = (root) => [...root.querySelectorAll('p, li, b, small, span, label, button, h1, h2, input, img')]
        .filter(e => e.getBoundingClientRect().width > 1 && e.getBoundingClientRect().height > 1);
    const own = (e) => e.tagName === 'INPUT' || [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    const floor = bar.getBoundingClientRect().top;
    const top = safety.getBoundingClientRect().top, bottom = safety.getBoundingClientRect().bottom;
    return {
        scrolls: main.scrollHeight > main.clientHeight || main.scrollWidth > main.clientWidth,
        small: [...shown(body), ...shown(bar)].filter(own).filter(e => !e.closest('[data-testid="stIconMaterial"]'))
            .map(e => [parseFloat(getComputedStyle(e).fontSize) / innerHeight, e.textContent.slice(0, 30)])
            .filter(([share]) => share < LETTERS),
        cut: shown(body).filter(e => e.getBoundingClientRect().bottom > floor + 1
            || e.getBoundingClientRect().right > innerWidth + 1).map(e => e.tagName + e.textContent.slice(0, 30)),
        safety: parseFloat(getComputedStyle(safety).fontSize) / innerHeight,
        safetyCut: bottom > innerHeight || top < bar.getBoundingClientRect().bottom - 1,
    };
}""".replace("LETTERS", str(LETTERS))


def check_walls(page: Page, place: str) -> None:
    """At each size of a wall: nothing scrolls, nothing is cut, and all letters can be read from the last row."""
    for width, height in WALLS:
        page.set_viewport_size({"width": width, "height": height})
        settle(page)
        found = page.evaluate(MEASURED)
        assert found["safety"] >= SAFETY, (place, width, found)
        rest = {name: value for name, value in found.items() if name != "safety"}
        assert rest == {"scrolls": False, "small": [], "cut": [], "safetyCut": False}, (place, width)


def at_step(page: Page, step: str) -> None:
    """Until this step stands on the wall."""
    expect(page.locator(f".st-key-room-{step}")).to_be_visible()
    settle(page)


def press(page: Page, key: str, step: str) -> None:
    """A key that leads to a step."""
    page.keyboard.press(key)
    at_step(page, step)


def test_a_queue_goes_over_the_wall_by_keys_and_gives_nothing_away(server, page: Page):
    open_address(page, f"{server}/present?lessons={FIRST.name},{SECOND.name}")
    at_step(page, "start")
    page.keyboard.press("r")  # no question yet: nothing to reveal
    settle(page)
    at_step(page, "start")
    check_walls(page, "start")
    press(page, "ArrowRight", "ask")
    for _ in range(3):
        page.keyboard.press("PageDown")
    settle(page)
    at_step(page, "ask")
    expect(page.locator(".numbers")).to_have_count(0)
    check_walls(page, "ask")
    for place, count in enumerate((3, 5, 12, 1)):
        page.locator(".st-key-room-ask input").nth(place).fill(str(count))
    press(page, "r", "answer")  # out of the field: what was typed counts
    rows = page.locator("ul.hands li").all_inner_texts()
    assert [" ".join(row.split()) for row in rows][3] == "D 1 of 21"
    assert "right" in next(row for row in rows if "12 of 21" in row or "✓" in row)
    check_walls(page, "answer")
    press(page, "ArrowRight", "lever")
    check_walls(page, "lever")
    display = page.locator(".number.display .pair")
    before = display.inner_text()
    page.keyboard.press("h")
    expect(page.get_by_text("Held:")).to_be_visible()
    page.keyboard.press("ArrowDown")
    settle(page)
    assert display.inner_text() == before
    page.keyboard.press("h")
    expect(display).not_to_have_text(before)
    page.keyboard.press("b")
    expect(page.locator(".st-key-blanked")).to_be_visible()
    expect(page.locator(".numbers")).to_have_count(0)
    page.get_by_role("button", name="Show the screen again").click()
    at_step(page, "lever")
    page.keyboard.press("k")
    expect(page.get_by_role("cell", name="blank the screen, and show it again")).to_be_visible()
    page.keyboard.press("Escape")
    for step in list(STEPS)[4:]:
        press(page, "ArrowRight", step)
        check_walls(page, step)
    press(page, "PageDown", "start")
    expect(page.get_by_role("heading", name=SECOND.question)).to_be_visible()
    page.reload()
    at_step(page, "start")
    expect(page.get_by_role("heading", name=SECOND.question)).to_be_visible()


def test_the_player_fits_each_wall_and_plays_by_the_keys(server, page: Page):
    open_address(page, f"{server}/lesson?lesson={FIRST.name}&predicted=1&technique.cuff_below_heart_cm=12")
    page.get_by_role("link", name="Watch this reading happen").click()
    expect(page.locator(".player")).to_be_visible()  # the lesson has a link to a room, too
    settle(page)
    page.get_by_role("link", name="Show this to a room").click()
    player = page.locator(".player")
    expect(player).to_be_visible()
    for width, height in WALLS:
        page.set_viewport_size({"width": width, "height": height})
        settle(page)
        found = player.evaluate(
            """root => {
                const all = [...root.querySelectorAll('p, b, h4, button, span, canvas, input')]
                    .filter(e => e.getBoundingClientRect().width > 1);
                const zoom = root.currentCSSZoom, bar = document.querySelector('.st-key-room-bar');
                const main = document.querySelector('[data-testid="stMain"]');
                return [
                    Math.min(...all.filter(e => e.textContent).map(e => parseFloat(getComputedStyle(e).fontSize)))
                        * zoom / innerHeight,
                    Math.max(...all.map(e => e.getBoundingClientRect().bottom)) - bar.getBoundingClientRect().top,
                    main.scrollHeight - main.clientHeight,
                ];
            }"""
        )
        assert found[0] >= LETTERS - 1e-4, (width, found)
        assert found[1] <= 0, (width, found)
        assert found[2] == 0, (width, found)
    time_s = "root => root.player.time"
    page.keyboard.press("h")
    page.wait_for_function(
        "() => [...document.querySelectorAll('*')].some(e => e.shadowRoot?.querySelector('.player')?.player.time > 1)"
    )
    page.keyboard.press("h")
    stopped = player.evaluate(time_s)
    page.wait_for_timeout(300)
    assert player.evaluate(time_s) == stopped
    page.keyboard.press("ArrowRight")
    assert player.evaluate(time_s) > stopped
    position = page.locator(".st-key-room-bar p b, .st-key-room-bar p strong")
    before = position.inner_text()
    page.keyboard.press("ArrowDown")
    expect(position).not_to_have_text(before)


def test_a_shared_app_answers_under_its_address_and_shows_it_with_a_code(shared, page: Page):
    open_address(page, f"{shared}/lesson?lesson={FIRST.name}&predicted=1")
    page.get_by_role("button", name="Share this lesson").click()
    link = page.locator(".st-key-link-class code")
    expect(link).to_contain_text(f"{shared}/lesson?lesson={FIRST.name}")
    code = page.locator("figure.qr img")
    expect(code).to_have_attribute("alt", f"QR code: the lesson before the prediction, {link.inner_text()}")
    assert code.evaluate("image => image.complete && image.naturalWidth > 0")
    open_address(page, link.inner_text())
    expect(page.get_by_role("button", name="This is my prediction")).to_be_visible()
