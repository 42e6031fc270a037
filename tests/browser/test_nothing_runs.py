"""Text from files and addresses stays text in a real browser, and neither the pages nor the server call out."""

from __future__ import annotations

import http.client
from collections.abc import Iterator
from pathlib import Path
from typing import Literal
from urllib.parse import quote

import pytest
from playwright.sync_api import Page, expect

from tests.browser import hostile
from tests.browser.conftest import TIMEOUT_MS, serve
from tests.browser.driving import open_address, settle

pytestmark = pytest.mark.browser
X = quote(hostile.MARKUP + hostile.PICTURE)
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


@pytest.fixture
def window(page: Page, own_server: str, heard: Path) -> Iterator[Page]:
    """A window in which nothing runs, and which calls nobody but the server; nor does the server."""
    ours = (f"{own_server}/", f"{own_server.replace('http', 'ws')}/", "data:", "blob:")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("websocket", lambda socket: asked.append(socket.url))
    yield page
    calm(page)
    assert [url for url in asked if not url.startswith(ours)] == []
    assert heard.read_text() == "listening\n"


def calm(page: Page) -> None:
    """The page stands whole, and nothing of the text ran or was taken for markup."""
    expect(page.locator(".st-key-footer")).to_be_visible()
    settle(page)
    assert page.evaluate("window.ran === undefined")
    expect(page.locator(TAKEN)).to_have_count(0)
    expect(page.locator('[data-testid="stException"]')).to_have_count(0)


def follow(page: Page, role: Literal["link", "button", "radio"], name: str, then: str) -> None:
    """Press a link or button that leads to an address with `then` in it, where all is calm."""
    page.get_by_role(role, name=name, exact=True).first.click()
    page.wait_for_url(lambda url: then in url)
    calm(page)


def test_a_lesson_is_text_and_every_page_calls_nobody(own_server, window: Page):
    given = f"guess={X}&look={X}&scheme={X}&technique.cuff_below_heart_cm={X}&my.sbp={X}&my.cuffs={X}&{X}={X}"
    open_address(window, f"{own_server}/lesson?lesson=our-cuffs&predicted=2&{given}")
    calm(window)
    for button, step in (
        ("Next: why, and how we know", "step=why"),
        ("Next: check yourself", "step=check"),
        ("Next: what to do", "step=do"),
    ):
        follow(window, "button", button, step)
        expect(window.get_by_text("<script>window.ran=1</script>").first).to_be_visible()
    follow(window, "link", "More pages to print", "/handouts")
    follow(window, "link", "Progress", "/progress")
    follow(window, "link", "Final test", "/final_test")
    for link in ("Practice", "Evidence", "Cautions"):
        follow(window, "link", link, f"/{link.lower()}")
    window.get_by_role("link", name="Lessons", exact=True).click()
    expect(window.get_by_text("1 lesson file of this clinic could not be read")).to_be_visible()


def test_player_and_wall_show_text(own_server, window: Page):
    open_address(window, f"{own_server}/watch?lesson=our-cuffs&reading={X}&seed={X}")
    calm(window)
    follow(window, "link", "Show this to a room", "/present")


def give(page: Page, files: dict[str, bytes]) -> None:
    payload = [{"name": name, "mimeType": "", "buffer": content} for name, content in files.items()]
    page.locator('input[type="file"]').first.set_input_files(payload)  # type: ignore[arg-type]


def take_away(page: Page) -> None:
    page.get_by_role("button", name="Remove this file").click()
    expect(page.get_by_role("button", name="Remove this file")).to_be_disabled()


def test_files_are_text_too_and_one_that_is_too_large_is_refused_in_one_line(own_server, window: Page):
    open_address(window, f"{own_server}/averages?view=log&rule={X}&dates={X}&scheme={X}")
    give(window, {"<img src=x onerror=window.ran=1>.csv": hostile.log()})
    expect(window.get_by_text("2 of 10 rows could not be read")).to_be_visible()
    calm(window)
    take_away(window)
    give(window, {"long.csv": b"x" * (3 * 2**20)})
    expect(window.get_by_text("File must be 2.0MB or smaller.")).to_be_visible()
    follow(window, "link", "Algorithms", "/algorithms")
    follow(window, "radio", "A file of my own", "from=file")
    give(window, {f"{hostile.MARKUP.replace('/', '_')}.csv": hostile.table()})
    expect(window.get_by_text("Shown: the file")).to_be_visible()
    calm(window)
    take_away(window)
    give(window, hostile.record())
    expect(window.get_by_text("Which signal of this file")).to_be_visible()
