"""The app as `cuffbias app` serves it, for what drives it from outside."""

from __future__ import annotations

import contextlib
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
_START_S = 60.0


@contextlib.contextmanager
def served(*more: str) -> Iterator[tuple[int, int]]:
    """The app on this computer, until the end: its port and its process. more: options of `cuffbias app`.

    Exits where it does not answer.
    """
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "sim", "app", "--port", str(port), "--no-browser", *more]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        _wait(f"http://127.0.0.1:{port}/_stcore/health")
        yield port, process.pid
    finally:
        process.terminate()
        process.wait(timeout=20)


def _wait(address: str) -> None:
    until = time.monotonic() + _START_S
    while time.monotonic() < until:
        with contextlib.suppress(OSError), urllib.request.urlopen(address, timeout=2):
            return
        time.sleep(0.2)
    raise SystemExit(f"the app did not answer within {_START_S:.0f} s")
