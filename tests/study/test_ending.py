"""Processes of a study do not stay behind."""

import os
import signal
import subprocess
import sys
import time

import pytest

PARENT = """
import os, time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from sim.study.ending import end_with_parent

if __name__ == "__main__":
    pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=end_with_parent)
    print(pool.submit(os.getpid).result(), flush=True)
    pool.submit(time.sleep, 60)
    time.sleep(60)
"""


def _there(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a signal that cannot be caught")
def test_a_process_ends_when_the_one_that_started_it_is_killed(tmp_path):
    script = tmp_path / "parent.py"
    script.write_text(PARENT)
    parent = subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, text=True)
    assert parent.stdout
    child = int(parent.stdout.readline())
    assert _there(child)
    parent.kill()
    parent.wait()
    parent.stdout.close()
    until = time.monotonic() + 20
    while _there(child) and time.monotonic() < until:
        time.sleep(0.05)
    assert not _there(child)
