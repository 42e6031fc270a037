"""One process at a time in a study's folder; a second one is told so in one line and harms nothing."""

import errno
import io
import os
import signal
import subprocess
import sys
import time
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import pytest

from sim.cli import WRONG_USE, main
from sim.study.lock import NAME, BusyError, alone
from sim.study.plan import Study
from sim.study.run import run
from sim.study.store import StoreError

STUDY = Study(240, seed=3, readings=1, chunk=80)
BUSY = r"this study is being run by another process; wait until it has ended, or choose another folder"
# Runs the study, and stays in its first chunk until it is told to go on or is killed.
SCRIPT = """
import sys, time
from pathlib import Path
from sim.study.plan import Study
from sim.study.run import run
def wait(progress):
    Path(sys.argv[2]).touch()
    while not Path(sys.argv[3]).exists():
        time.sleep(0.02)
run(Study(240, seed=3, readings=1, chunk=80), out=sys.argv[1], workers=1, progress=wait)
"""


@pytest.fixture
def other(tmp_path):
    """A process that runs the study in a folder and waits after its first chunk; folder, process, and what frees it."""
    out, inside, go_on = tmp_path / "out", tmp_path / "inside", tmp_path / "go on"
    process = subprocess.Popen([sys.executable, "-c", SCRIPT, out, inside, go_on], stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + 60
    while not inside.exists() and time.monotonic() < until and process.poll() is None:
        time.sleep(0.02)
    assert inside.exists(), process.communicate()
    yield out, process, go_on
    process.kill()
    process.communicate()


def test_the_second_is_told_and_the_first_ends_well(other):
    out, process, go_on = other
    half = out / "readings" / "000001-0123456789abcdef.parquet.part"
    half.write_bytes(b"what the first is writing just now")
    before = {file.name for file in (out / "readings").iterdir()}
    with pytest.raises(StoreError, match=BUSY):
        run(STUDY, out=out, workers=1)
    with pytest.raises(StoreError, match=BUSY):  # even where it would run another study
        run(Study(80, seed=9, readings=1), out=out, workers=1)
    assert {file.name for file in (out / "readings").iterdir()} == before
    go_on.touch()
    assert process.wait(timeout=60) == 0, process.stderr.read()
    assert len(list((out / "readings").glob("*.parquet"))) == 3
    half.unlink(missing_ok=True)
    assert run(STUDY, out=out, workers=1).complete


@pytest.mark.skipif(os.name == "nt", reason="kills as Windows cannot")
def test_a_killed_process_leaves_nothing_locked(other):
    out, process, _ = other
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert (out / NAME).exists()
    assert run(STUDY, out=out, workers=1).complete


def test_the_command_says_so_in_one_line(other):
    out, _, _ = other
    said, wrong = io.StringIO(), io.StringIO()
    with redirect_stdout(said), redirect_stderr(wrong):
        status = main(["study", "--subjects", "240", "--seed", "3", "--readings", "1", "--out", str(out)])
    assert status == WRONG_USE
    assert said.getvalue() == ""
    assert wrong.getvalue().strip() == f"cuffbias: --out {out}: {BUSY}"


def test_threads_of_one_process_are_kept_apart_too(tmp_path):
    told: list[str] = []

    def second(_):
        with pytest.raises(StoreError, match="by another process") as busy:
            run(STUDY, out=tmp_path, workers=1)
        told.append(str(busy.value))

    run(STUDY, out=tmp_path, workers=1, stop=lambda: True, progress=second)
    assert told
    assert run(STUDY, out=tmp_path, workers=1).complete


def test_the_lock_goes_with_an_error(tmp_path):
    for _ in range(2):
        with pytest.raises(ZeroDivisionError), alone(tmp_path):
            raise ZeroDivisionError
    with alone(tmp_path), pytest.raises(BusyError), alone(tmp_path):
        pass
    with alone(tmp_path):
        pass


def test_a_disk_that_knows_no_locks_is_used_all_the_same(tmp_path, monkeypatch):
    fcntl = pytest.importorskip("fcntl")

    def refuses(*_):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "lockf", refuses)
    with alone(tmp_path):
        assert (Path(tmp_path) / NAME).exists()
