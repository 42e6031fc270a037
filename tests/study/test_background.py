"""Studies carried out behind the page: progress, cancel, going on, one at a time, bounded, gone with the server."""

import dataclasses
import os
import signal
import subprocess
import sys
import time

import numpy as np
import pytest

from sim.estimate.named import NAMED
from sim.screens.algorithms.study.progress import words
from sim.study.background import job as jobs
from sim.study.background import pace
from sim.study.background.job import Stand, hands
from sim.study.background.plan import MAPPED, Plan
from sim.study.background.runner import BusyError, Runner
from sim.study.plan import Study
from sim.study.run import run

SMALL = Plan(20, 1, "population", ("fixed-ratio",), 1)
CHUNKS = Plan(401, 1, "population", ("fixed-ratio",), 1)  # three chunks
OTHER = Plan(20, 1, "population", ("fixed-ratio",), 2)


@pytest.fixture
def runner():
    return Runner(workers=1)


def finished(runner, plan):
    job = runner.start(plan)
    job.wait(30)
    assert not job.stand.running
    return job


def test_a_study_is_what_run_gives(runner):
    job = finished(runner, SMALL)
    assert job.stand.complete
    assert (job.stand.done, job.stand.of, job.stand.error) == (20, 20, "")
    mine, other = job.outcome().readings(), run(SMALL.study, workers=1).readings()
    assert np.array_equal(mine["sbp"], other["sbp"])
    assert job.report(SMALL).agreements[0].counts.readings == 20
    assert runner.running is None


def test_cancel_keeps_what_is_done_and_going_on_does_the_rest(runner, monkeypatch):
    measured = []
    measure = Study.measure

    def noted(study, chunk):
        measured.append(chunk)
        return measure(study, chunk)

    monkeypatch.setattr(Study, "measure", noted)
    job = runner.start(CHUNKS)
    assert runner.running is job
    assert runner.start(CHUNKS) is job  # twice is once
    job.cancel()
    job.wait(30)
    stopped = job.stand
    assert (stopped.running, stopped.complete, stopped.error, stopped.unwatched) == (False, False, "", False)
    assert 0 < stopped.done < 401
    assert len(list(job.folder.glob("readings/*.parquet"))) == len(measured)
    assert finished(runner, CHUNKS) is job
    assert job.stand.complete
    assert job.stand.done == 401
    assert sorted(measured) == [0, 1, 2]


def test_a_study_that_nobody_looks_at_stops_and_is_kept(runner, monkeypatch):
    monkeypatch.setattr(jobs, "UNWATCHED_S", 0.0)
    job = finished(runner, CHUNKS)
    assert job.stand.unwatched
    assert 0 < job.stand.done < 401
    monkeypatch.undo()
    assert finished(runner, CHUNKS).stand.complete


def test_one_runs_at_a_time(runner):
    job = runner.start(CHUNKS)
    with pytest.raises(BusyError):
        runner.start(OTHER)
    assert runner.find(OTHER) is None
    job.cancel()
    job.wait(30)
    assert finished(runner, OTHER).stand.complete


def test_the_same_study_is_found_again_whatever_it_is_read_for(runner):
    job = finished(runner, SMALL)
    resting = dataclasses.replace(SMALL, against="resting")
    assert runner.find(resting) is job
    assert job.report(resting).agreements[0].against == "resting"
    assert runner.find(OTHER) is None


def test_old_studies_make_room(runner):
    few = Runner(workers=1, most_jobs=2)
    first = finished(few, SMALL)
    plans = [dataclasses.replace(SMALL, seed=seed) for seed in (5, 6)]
    for plan in plans:
        finished(few, plan)
    assert few.find(SMALL) is None
    assert not first.folder.exists()
    assert {folder.name for folder in few.home.iterdir()} == {plan.digest for plan in plans}
    narrow = Runner(workers=1, most_bytes=10)
    finished(narrow, SMALL)
    finished(narrow, OTHER)
    assert [folder.name for folder in narrow.home.iterdir()] == [OTHER.digest]


def test_folders_go_with_the_runner(runner):
    home = runner.home
    finished(runner, SMALL)
    runner.close()
    assert not home.exists()


def test_a_map_is_drawn_after_the_study_and_can_be_cancelled(runner, monkeypatch):
    monkeypatch.setitem(MAPPED, "movement_mmhg", (0, 8, 2))
    plan = Plan(20, 1, "population", ("fixed-ratio",), 1, mapped=("movement_mmhg", "rhythm"))
    job = finished(runner, SMALL)
    assert not job.has_map(plan)
    assert job.report(plan).maps == ()
    job.start(plan)
    job.cancel()
    job.wait(30)
    assert not job.has_map(plan)
    assert job.stand.complete  # the readings are
    assert finished(runner, plan) is job
    (found,) = job.report(plan).maps
    assert found.tolerable.shape == (3, 2)  # three rhythms at two sizes of movement
    assert found.tolerable[0, 0] > found.tolerable[0, 1]
    assert found.against == "at_measurement"  # as the scores
    other = dataclasses.replace(plan, against="at_cuff")
    assert not job.has_map(other)
    assert job.report(other).maps == ()


def test_what_goes_wrong_is_one_line(runner, monkeypatch):
    def broken(recording):
        raise ZeroDivisionError("division by zero")

    monkeypatch.setitem(NAMED, "broken", broken)
    job = finished(runner, Plan(20, 1, "population", ("broken",), 1))
    assert job.stand.error.startswith("broken: failed: ZeroDivisionError: division by zero")
    assert "\n" not in job.stand.error
    assert not job.stand.complete
    later = dataclasses.replace(SMALL, seed=9)
    (runner.home / later.digest).write_text("no folder")
    assert "cannot be used" in finished(runner, later).stand.error
    monkeypatch.setattr(jobs, "run", lambda *a, **k: 1 / 0)
    error = finished(runner, OTHER).stand.error
    assert error == "the study ended because of a fault in this program (ZeroDivisionError); what is done is kept"


def test_time_is_estimated_before_and_measured_after(runner, monkeypatch):
    monkeypatch.setattr(pace, "_ENOUGH", 10)
    before = pace.expected(SMALL, runner)
    assert not before.from_study
    assert 20 / before.seconds == pytest.approx(before.per_s)
    job = finished(runner, SMALL)
    after = pace.expected(SMALL, runner)
    assert after.from_study
    assert after.per_s == job.stand.per_s
    assert pace.expected(CHUNKS, runner).seconds == pytest.approx(401 / after.per_s)
    slope = Plan(20, 1, "population", ("slope",), 1)
    assert not pace.expected(slope, runner).from_study


def test_few_pieces_are_not_worth_a_process():
    assert [hands(pieces, 2) for pieces in (1, 2, 3, 4, 100)] == [1, 1, 1, 2, 2]
    assert hands(100, 1) == 1


@pytest.mark.parametrize(
    ("stand", "said"),
    [
        (Stand(running=True, of=300), "Starting: 0 of 300 recordings"),
        (
            Stand(running=True, done=1200, of=3000, per_s=412.4, left_s=4.4),
            "1,200 of 3,000 recordings, 412 a second, about 4 s left",
        ),
        (Stand(doing="mapping", done=3, of=36, left_s=200), "Map: 3 of 36 pairs of values, about 3 min left"),
        (Stand(doing="scoring", done=3, of=3), "Scoring the readings"),
    ],
)
def test_progress_in_words(stand, said):
    assert words(stand) == said


_SERVER = """
import os, time
from sim.study.background.workers import processes
if __name__ == "__main__":
    with processes(1) as pool:
        print(pool.submit(os.getpid).result(), flush=True)
        time.sleep(60)
"""


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="looks for processes in /proc")
def test_processes_end_with_a_server_that_is_killed(tmp_path):
    script = tmp_path / "server.py"
    script.write_text(_SERVER)
    server = subprocess.Popen([sys.executable, script], stdout=subprocess.PIPE, text=True)
    assert server.stdout is not None
    worker = int(server.stdout.readline())
    assert os.path.exists(f"/proc/{worker}")
    server.send_signal(signal.SIGKILL)
    server.wait()
    until = time.monotonic() + 20
    while _alive(worker) and time.monotonic() < until:
        time.sleep(0.05)
    assert not _alive(worker)


def _alive(process):
    try:
        with open(f"/proc/{process}/stat") as file:
            return file.read().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False
