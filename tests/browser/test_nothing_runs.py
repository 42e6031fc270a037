"""Text from files and addresses stays text in a real browser, and neither the pages nor the server call out."""

from __future__ import annotations

import http.client
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, Request, WebSocket, expect

from sim.screens.page_links import _TITLES
from tests.browser import hostile
from tests.browser.conftest import TIMEOUT_MS, serve
from tests.browser.driving import settle

pytestmark = pytest.mark.browser
X = quote(hostile.MARKUP + hostile.PICTURE)
# Every page once, with what it shows and markup for its other parameters.
PLACES = (
    f"?view={X}&lesson={X}",
    f"lesson?lesson=our-cuffs&predicted=2&guess={X}&look={X}&scheme={X}&my.sbp={X}&my.cuffs={X}&{X}={X}",
    f"watch?lesson=our-cuffs&reading={X}&seed={X}",
    f"present?lessons=our-cuffs,{X}&at={X}",
    f"practice?case={X}&my.sbp={X}",
    f"final_test?seed={X}&case={X}",
    f"progress?view={X}",
    f"averages?view=log&rule={X}&dates={X}&scheme={X}",
    f"algorithms?from=file&view={X}&algorithms=fixed-ratio,{X}&seed={X}&amplitude={X}",
    f"handouts?lessons=our-cuffs,{X}&paper={X}",
    f"cautions?{X}={X}",
    f"evidence?lang={X}",
)
# Markup that the page took for markup.
TAKEN = "[onerror], [onload], a[href^='javascript:'], script:has-text('window.ran')"
# What a served process asks the network for: Python tells of it before it happens.
LISTENER = """
import os, sys
def heard(event, given):
    if event in ("socket.getaddrinfo", "socket.gethostbyname", "socket.connect", "socket.sendto"):
        with open(os.environ["HEARD"], "a") as file:
            file.write(f"{event} {given[1:] if event == 'socket.connect' else given}\\n")
sys.addaudithook(heard)
open(os.environ["HEARD"], "a").write("listening\\n")
"""


@pytest.fixture(scope="module")
def heard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that the served process writes down what it asks the network for."""
    return tmp_path_factory.mktemp("heard") / "heard.txt"


@pytest.fixture(scope="module")
def own_server(tmp_path_factory: pytest.TempPathFactory, heard: Path) -> Iterator[str]:
    """The app with hostile lessons; yields its address."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "sitecustomize.py").write_text(LISTENER, encoding="utf-8")
    lessons = hostile.folder_of_lessons(folder / "ours")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", str(folder))
        patch.setenv("HEARD", str(heard))
        yield from serve(folder / "log.txt", "127.0.0.1", "--lessons", str(lessons))
    assert "Traceback" not in (folder / "log.txt").read_text()


def answer(server: str, host: str, origin: str) -> int:
    """The status with which a connection for a page's contents is answered; 101 where it is given."""
    asked = http.client.HTTPConnection(server.removeprefix("http://"), timeout=TIMEOUT_MS / 1000)
    told = {"Host": host, "Origin": origin, "Upgrade": "websocket", "Connection": "Upgrade"}
    told |= {"Sec-WebSocket-Version": "13", "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ=="}
    asked.request("GET", "/_stcore/stream", headers=told)
    status = asked.getresponse().status
    asked.close()
    return status


def test_pages_from_elsewhere_are_refused_and_nobody_is_asked_who_we_are(own_server, heard):
    host, port = own_server.removeprefix("http://"), own_server.rpartition(":")[2]
    named, elsewhere = f"localhost:{port}", f"elsewhere.example:{port}"
    assert [answer(own_server, name, f"http://{name}") for name in (host, named)] == [101, 101]
    # A page from elsewhere; the same under a name that its owner has led to this computer; a page of no origin.
    refused = ((host, "http://elsewhere.example"), (elsewhere, f"http://{elsewhere}"), (host, "null"))
    assert [answer(own_server, *told) for told in refused] == [403, 403, 403]
    assert heard.read_text() == "listening\n"


@pytest.fixture(scope="module")
def outside() -> list[str]:
    """What the windows asked for elsewhere than at the server."""
    return []


@pytest.fixture(scope="module")
def pages(browser: Browser, own_server: str, outside: list[str]) -> Iterator[dict[str, Page]]:
    """Every page in a window of its own, by its name; all of them tell what they ask for."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(TIMEOUT_MS)
    ours = (f"{own_server}/", f"{own_server.replace('http', 'ws')}/", "data:", "blob:")

    def look(asked: Request | WebSocket) -> None:
        if not asked.url.startswith(ours):
            outside.append(asked.url)

    context.on("request", look)
    context.on("page", lambda page: page.on("websocket", look))
    for place in PLACES:
        context.new_page().goto(f"{own_server}/{place}", wait_until="commit")
    yield {place.split("?")[0] or "home": page for place, page in zip(PLACES, context.pages, strict=True)}
    context.close()


def calm(page: Page) -> None:
    """The page stands whole and unharmed."""
    expect(page.locator(".st-key-footer")).to_be_visible()
    settle(page)
    unharmed(page)


def unharmed(page: Page) -> None:
    """Nothing of the text ran or was taken for markup."""
    assert page.evaluate("window.ran === undefined")
    expect(page.locator(TAKEN)).to_have_count(0)
    expect(page.locator('[data-testid="stException"]')).to_have_count(0)


def test_every_page_takes_text_for_text_and_calls_nobody(pages: dict[str, Page], outside, heard):
    assert set(pages) == set(_TITLES)
    evidence = pages["evidence"]  # which measures for a long time before it has a footer
    expect(evidence.get_by_text("Measuring the same people")).to_be_visible()
    unharmed(evidence)
    evidence.close()
    for page in pages.values():
        if page is not evidence:
            calm(page)
    expect(pages["home"].get_by_text("1 lesson file of this clinic could not be read")).to_be_visible()
    lesson = pages["lesson"]
    for step in ("Next: why, and how we know", "Next: check yourself", "Next: what to do"):
        lesson.get_by_role("button", name=step).click()
        expect(lesson.get_by_role("button", name=step)).to_have_count(0)
        calm(lesson)
        expect(lesson.get_by_text("<script>window.ran=1</script>").first).to_be_visible()
    assert (outside, heard.read_text()) == ([], "listening\n")


def give(page: Page, files: dict[str, bytes]) -> None:
    payload = [{"name": name, "mimeType": "", "buffer": content} for name, content in files.items()]
    page.locator('input[type="file"]').first.set_input_files(payload)  # type: ignore[arg-type]


def take_away(page: Page) -> None:
    page.get_by_role("button", name="Remove this file").click()
    expect(page.get_by_role("button", name="Remove this file")).to_be_disabled()


def test_a_log_is_text_too_and_one_that_is_too_large_is_refused_in_one_line(pages: dict[str, Page], outside, heard):
    page = pages["averages"]
    give(page, {"<img src=x onerror=window.ran=1>.csv": hostile.log()})
    expect(page.get_by_text("2 of 10 rows could not be read")).to_be_visible()
    calm(page)
    take_away(page)
    give(page, {"long.csv": b"x" * (3 * 2**20)})
    expect(page.get_by_text("File must be 2.0MB or smaller.")).to_be_visible()
    calm(page)
    assert (outside, heard.read_text()) == ([], "listening\n")


def test_names_and_remarks_of_recordings_are_text_too(pages: dict[str, Page], outside, heard):
    page = pages["algorithms"]
    give(page, {f"{hostile.MARKUP.replace('/', '_')}.csv": hostile.table()})
    expect(page.get_by_text("Shown: the file")).to_be_visible()
    calm(page)
    take_away(page)
    give(page, hostile.record())
    expect(page.get_by_text("Which signal of this file")).to_be_visible()
    calm(page)
    assert (outside, heard.read_text()) == ([], "listening\n")
