"""What a learner does in the browser, and what then stands there."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from urllib.parse import parse_qs, urlparse

from playwright.sync_api import Locator, Page, expect

from sim.teach.lesson import Lesson
from tests.browser.talk import listen, talk

PAIR = re.compile(r"^[−+]?\d+/[−+]?\d+$")

# A slider waits so long before it tells the server, and somewhat longer.
_BEFORE_ASKING_MS = 150
_QUIET_MS = 200
_ANSWERED_WITHIN_S = 60
# Looks at a page that may still be moving, a quarter of a second apart.
_LOOKS = 12


def choose(option: Locator) -> None:
    """Tick an option, and wait until it is ticked."""
    option.click(force=True)
    expect(option).to_be_checked()


def open_address(page: Page, address: str) -> None:
    """Go to an address and wait until the page stands still."""
    listen(page)
    page.goto(address)
    expect(page.locator(".st-key-footer")).to_be_visible()
    settle(page)


def settle(page: Page) -> None:
    """Until the server has answered whatever the page asked of it, the answer stands there, and nothing new is asked.

    A busy machine may take seconds before a click becomes a request, or a request a run: time alone tells nothing.
    """
    page.wait_for_timeout(_BEFORE_ASKING_MS)
    until = time.monotonic() + _ANSWERED_WITHIN_S
    heard = talk(page)
    while True:
        asked = heard.asked if heard else 0
        _drawn(page)
        if not heard or (not heard.waiting and heard.asked == asked):
            return
        assert time.monotonic() < until, "the server did not answer"


def _drawn(page: Page) -> None:
    """Until the page is there to its foot and shows what it has been told, and a while longer."""
    expect(page.locator(".st-key-footer")).to_have_count(1)
    expect(page.locator('[data-testid="stApp"][data-test-script-state="running"]')).to_have_count(0)
    expect(page.locator('[data-testid="stSkeleton"]')).to_have_count(0)  # whose program is still on its way
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done)))")
    page.wait_for_timeout(_QUIET_MS)


def numbers(page: Page) -> list[str]:
    """Resting pressure, display and difference, as they stand there; the display alone where it has no reading."""
    expect(page.locator(".number.truth .pair")).to_be_visible()
    found = [text.split("mmHg")[0].strip() for text in page.locator(".numbers .big").all_inner_texts()]
    assert found[1:] == ["no reading"] or (len(found) == 3 and all(PAIR.match(text) for text in found)), found
    return found


def predict(page: Page, lesson: Lesson, number: int) -> None:
    """Choose an answer and commit to it."""
    choice = lesson.predict.choices[number]
    choose(page.get_by_role("radio", name=choice.text))
    page.get_by_role("button", name="This is my prediction").click()
    expect(page.locator(".numbers")).to_be_visible()
    settle(page)


def move_first_lever(page: Page, lesson: Lesson) -> None:
    """Move the lesson's first lever, with the keyboard or by a click, to its tempting position."""
    lever = lesson.levers[0]
    if lever.is_choice:
        label = next(option.label for option in lever.options if option.value == lever.tempting)
        choose(page.get_by_role("radio", name=label, exact=True))
    else:
        handle = page.get_by_role("slider", name=lever.label)
        handle.focus()
        steps = round((lever.tempting - lever.correct) / lever.step)
        for _ in range(abs(steps)):
            handle.press("ArrowRight" if steps > 0 else "ArrowLeft")
    at = lever.tempting if isinstance(lever.tempting, str) else f"{lever.tempting:g}"
    # The position comes into the address with the run that it starts, which a busy machine does not start at once.
    page.wait_for_url(lambda url: parse_qs(urlparse(url).query).get(lever.field) == [at])
    settle(page)


def sideways(page: Page) -> list[str]:
    """What reaches beyond the window's right edge, and whether the page itself scrolls sideways.

    A chart takes its width from the page, and the page's scrollbar comes with the chart: what has not come to rest is
    looked at again for some seconds. What stays too wide is told.
    """
    return _at_rest(page, _sideways)


def _at_rest(page: Page, look: Callable[[Page], list[str]]) -> list[str]:
    """What is found wrong, looked at again for some seconds while anything is."""
    for _ in range(_LOOKS):
        found = look(page)
        if not found:
            break
        page.wait_for_timeout(250)
    return found


def _sideways(page: Page) -> list[str]:
    return page.evaluate(
        """() => {
            const main = document.querySelector('[data-testid="stMain"]');
            const wide = [main, document.documentElement].filter(e => e.scrollWidth > e.clientWidth);
            const out = [...main.querySelectorAll('p, h1, h2, h3, h4, h5, button, img, svg, canvas, table, label, a')]
                .filter(e => e.getBoundingClientRect().width > 0)
                .filter(e => e.getBoundingClientRect().right > window.innerWidth + 1);
            return [...wide, ...out].map(e => e.tagName + ' ' + (e.innerText || '').slice(0, 60));
        }"""
    )


def cut_texts(page: Page) -> list[str]:
    """Words on the page that do not fit their own box, chart labels beyond their chart among them.

    As in `sideways`, what has not come to rest is looked at again.
    """
    return _at_rest(page, _cut_texts)


def _cut_texts(page: Page) -> list[str]:
    return page.evaluate(
        """() => {
            const main = document.querySelector('[data-testid="stMain"]');
            const clipped = [...main.querySelectorAll('button p, label p, td, th, .number p, .category')]
                .filter(e => e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflow !== 'visible');
            const beyond = [...main.querySelectorAll('svg.marks')].flatMap(svg => {
                const box = svg.getBoundingClientRect();
                return [...svg.querySelectorAll('text')].filter(text => {
                    const own = text.getBoundingClientRect();
                    return own.width > 0 && (own.left < box.left - 1 || own.right > box.right + 1);
                });
            });
            return [...clipped, ...beyond].map(e => e.textContent.slice(0, 80));
        }"""
    )
