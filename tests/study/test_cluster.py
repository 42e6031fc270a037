"""A study on a cluster: a real scheduler and real worker processes on this machine, one of which is killed."""

import os
import signal

import pytest

from sim.study.plan import Study
from sim.study.run import run
from tests.study.test_run import same

distributed = pytest.importorskip("distributed", reason="the extra `cluster` is not installed")


@pytest.fixture
def cluster():
    import dask  # comes with the extra

    settings = {"distributed.worker.daemon": False, "distributed.scheduler.allowed-failures": 5}
    with (
        dask.config.set(settings),
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
        ) as cluster,
    ):
        yield cluster


@pytest.mark.skipif(os.name == "nt", reason="kills as Windows cannot")
def test_a_worker_killed_midway_costs_no_reading_and_doubles_none(cluster, tmp_path):
    study = Study(480, seed=6, readings=1, chunk=80)
    killed: list[int] = []

    def kill_one(progress):
        """After the first chunk: the process of one worker, as a failing machine would end it."""
        if progress.chunks == 1:
            (first, *_) = client.run(os.getpid).values()
            killed.append(first)
            os.kill(first, signal.SIGKILL)

    with distributed.Client(cluster) as client:
        client.wait_for_workers(2, timeout=60)
        found = run(study, client.get_executor(), out=tmp_path, ahead=4, progress=kill_one)
    assert killed
    assert found.complete
    readings = found.readings()
    assert readings["subject"].tolist() == list(range(480))
    assert same(readings, run(study, workers=1).readings())
