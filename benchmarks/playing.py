"""Frames a second, and the server's work, while a reading is played: `python benchmarks/playing.py`.

Serves the app, opens the player in Chromium and plays at each speed, on a desk's and on a phone's width. Linux only:
the server's processor time is read from /proc.
"""
# ruff: noqa: T201 - it prints

from __future__ import annotations

import argparse
import os
import shutil
import sys
import time
from pathlib import Path

import numpy as np
from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks.served import served

READING = "watch?lesson=01-arm-height&predicted=none&technique.cuff_below_heart_cm=12&seed=1&chance=yes"
FLAGS = "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking"
FLAGS += " --disable-component-update --disable-sync"
PLAYER = "[...document.querySelectorAll('*')].map(e => e.shadowRoot?.querySelector('.player')).find(Boolean)?.player"
# The time of each frame, and how long the player's own work in it took [ms].
COUNT = f"""seconds => new Promise(done => {{
    const player = {PLAYER}, show = player._show.bind(player), at = [], work = [];
    player._show = () => {{
        at.push(performance.now());
        show();
        work.push(performance.now() - at[at.length - 1]);
    }};
    setTimeout(() => {{ player._show = show; done([at, work]); }}, 1000 * seconds);
}})"""


def main() -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--seconds", type=float, default=5.0, help="how long each is watched (default 5)")
    seconds = parser.parse_args().seconds
    with served() as (port, server):
        _measure(f"http://127.0.0.1:{port}/{READING}", server, seconds)
    return 0


def _measure(address: str, server: int, seconds: float) -> None:
    print(f"load of the machine at the start: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    print("width  speed  frames/s  slowest 5 % of frames [ms]  work a frame, median [ms]  server CPU [%]  messages")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS.split())
        for width, height in ((1280, 900), (360, 780)):
            page = chromium.new_page(viewport={"width": width, "height": height})
            messages: list[object] = []
            page.on("websocket", lambda socket, m=messages: _listen(socket, m))  # type: ignore[misc]
            page.goto(address)
            page.get_by_role("button", name="Play", exact=True).wait_for(timeout=60_000)
            page.wait_for_timeout(2000)
            for name in ("Real time", "4 times as fast", "8 times as fast"):
                print(f"{width:5}  {_one(page, name, server, seconds, messages)}", flush=True)
            page.close()
        chromium.close()


def _one(page: Page, speed: str, server: int, seconds: float, messages: list[object]) -> str:
    """Play at one speed for so long."""
    page.get_by_role("button", name=speed).click()
    page.evaluate(f"{PLAYER}.replay()")
    page.wait_for_timeout(300)
    messages.clear()
    before, begun = _cpu_s(server), time.monotonic()
    at, work = page.evaluate(COUNT, seconds)
    cpu = 100 * (_cpu_s(server) - before) / (time.monotonic() - begun)
    page.evaluate(f"{PLAYER}.pause()")
    between = np.diff(at)
    rate = 1000 / between.mean()
    slow = np.percentile(between, 95)
    return f"{speed[:9]:9} {rate:6.1f} {slow:18.1f} {np.median(work):25.2f} {cpu:23.1f} {len(messages):9}"


def _listen(socket: object, messages: list[object]) -> None:
    for event in ("framesent", "framereceived"):
        socket.on(event, lambda payload: messages.append(payload))  # type: ignore[attr-defined]


def _cpu_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    sys.exit(main())
