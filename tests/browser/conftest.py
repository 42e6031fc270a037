"""The real app, served, and Debian's Chromium to drive it."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Error, Page, ViewportSize

ROOT = Path(__file__).resolve().parents[2]
START_S = 60
TIMEOUT_MS = 30_000  # machines that run such tests may be busy
CHROMIUM_FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Not even read where browser tests are left out: they need packages that the other tests do not."""
    left_out = config.getoption("markexpr") == "not browser"
    return True if left_out and collection_path.suffix == ".py" else None


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The app as `cuffbias app` serves it; yields its address."""
    yield from serve(tmp_path_factory.mktemp("server") / "log.txt", "127.0.0.1")


@pytest.fixture
def shared(tmp_path: Path) -> Iterator[str]:
    """The app as `cuffbias app --share` serves it; yields an address that others would open."""
    yield from serve(tmp_path / "log.txt", "127.0.0.2", "--share", "--host", "127.0.0.2")


def serve(log: Path, host: str, *options: str) -> Iterator[str]:
    """The app with these options, until the generator is closed; yields its address on `host`."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with log.open("w") as output:
        command = [sys.executable, "-m", "sim", "app", "--port", str(port), "--no-browser", *options]
        process = subprocess.Popen(command, cwd=ROOT, stdout=output, stderr=output)
        try:
            _wait(f"http://{host}:{port}/_stcore/health", process, log)
            yield f"http://{host}:{port}"
        finally:
            process.terminate()
            process.wait(timeout=20)


def _wait(address: str, process: subprocess.Popen[bytes], log: Path) -> None:
    """Until the server answers; fails with its output where it does not."""
    until = time.monotonic() + START_S
    while time.monotonic() < until:
        if process.poll() is not None:
            pytest.fail(f"the server ended at once:\n{log.read_text()}")
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    pytest.fail(f"the server did not answer within {START_S} s:\n{log.read_text()}")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, from $CHROMIUM or the search path."""
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=TIMEOUT_MS)
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if not path:
        pytest.fail("no Chromium: install Debian's package chromium, or set CHROMIUM to its path")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_FLAGS))
        yield chromium
        chromium.close()


DESK = (1280, 900)
PHONE = (360, 780)


@pytest.fixture(scope="session")
def desk_window(browser: Browser) -> Iterator[Page]:
    """A window as wide as a desk's."""
    yield from _window(browser, DESK)


@pytest.fixture(scope="session")
def phone_window(browser: Browser) -> Iterator[Page]:
    """A window as wide as a small phone's."""
    yield from _window(browser, PHONE)


@pytest.fixture
def page(desk_window: Page) -> Iterator[Page]:
    """A window on a desk, as good as new."""
    yield from _as_new(desk_window, DESK)


@pytest.fixture
def phone(phone_window: Page) -> Iterator[Page]:
    """A window on a phone, as good as new."""
    yield from _as_new(phone_window, PHONE)


def _window(browser: Browser, size: tuple[int, int]) -> Iterator[Page]:
    """One window for all tests: a new one would take half of their time to read the page's programs again."""
    from tests.browser.talk import listen

    context = browser.new_context(viewport=_viewport(size))
    window = context.new_page()
    window.set_default_timeout(TIMEOUT_MS)
    listen(window)
    yield window
    context.close()


def _as_new(window: Page, size: tuple[int, int]) -> Iterator[Page]:
    """The window in which nobody has done anything yet, and nothing may go wrong unseen."""
    errors: list[str] = []

    def wrong(error: Error) -> None:
        errors.append(str(error))

    window.bring_to_front()  # one that is behind another draws nothing
    window.set_viewport_size(_viewport(size))
    window.on("pageerror", wrong)
    yield window
    if window.url.startswith("http"):
        window.evaluate("localStorage.clear(), sessionStorage.clear()")
    window.remove_listener("pageerror", wrong)
    for other in window.context.pages:
        if other != window:
            other.close()
    window.goto("about:blank")
    assert not errors


def _viewport(size: tuple[int, int]) -> ViewportSize:
    return {"width": size[0], "height": size[1]}
