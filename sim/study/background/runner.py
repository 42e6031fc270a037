"""The studies of one server: one runs at a time, their folders are bounded and go with the server."""

from __future__ import annotations

import shutil
import tempfile
import threading
from functools import lru_cache
from pathlib import Path

from sim.study.background.job import Job
from sim.study.background.plan import Plan

# So much and so many are kept on a server's disk, the last ones. Chosen: at 170 bytes a reading (benchmarks/study.py)
# 1.7 million readings; a smaller or a larger number changes only which older studies must be done again.
MOST_BYTES = 300_000_000
MOST_JOBS = 12


class BusyError(Exception):
    """Another study is running."""


class Runner:
    """Studies by what tells them apart, the one started last at the end.

    workers: processes for each, None one a core; most_bytes, most_jobs: beyond, the oldest ones are removed
    """

    def __init__(self, workers: int | None = None, most_bytes: int = MOST_BYTES, most_jobs: int = MOST_JOBS) -> None:
        self._workers, self._most_bytes, self._most_jobs = workers, most_bytes, most_jobs
        self._lock = threading.Lock()
        self._jobs: dict[str, Job] = {}
        # Removed when the server ends.
        self._home = tempfile.TemporaryDirectory(prefix="cuffbias-studies-", ignore_cleanup_errors=True)

    @property
    def home(self) -> Path:
        """The folder that holds the folders of the studies."""
        return Path(self._home.name)

    @property
    def running(self) -> Job | None:
        """The study that runs now."""
        with self._lock:
            return self._running()

    def find(self, plan: Plan) -> Job | None:
        """The job of the plan's study, if it was ever started here and is kept."""
        with self._lock:
            return self._jobs.get(plan.digest)

    def start(self, plan: Plan) -> Job:
        """Carry out a plan, or go on with it. Raises BusyError where another study runs, FieldError."""
        digest = plan.digest
        with self._lock:
            running = self._running()
            if running is not None:
                if running.plan.digest == digest:
                    return running
                raise BusyError
            job = self._jobs.pop(digest, None) or Job(plan, self.home / digest, self._workers)
            self._jobs[digest] = job
            self._make_room(digest)
            job.start(plan)
        return job

    def pace(self, algorithms: tuple[str, ...], least: int) -> float | None:
        """Readings/s of the last complete study of these algorithms that had as many readings, None without one."""
        with self._lock:
            for job in reversed(self._jobs.values()):
                stand, plan = job.stand, job.plan
                alike = plan.algorithms == algorithms and plan.subjects * plan.readings >= least
                if alike and stand.complete and stand.per_s > 0:
                    return stand.per_s
        return None

    def close(self) -> None:
        """Stop what runs and remove everything."""
        with self._lock:
            for job in self._jobs.values():
                job.cancel()
                job.wait()
            self._jobs.clear()
            self._home.cleanup()

    def _running(self) -> Job | None:
        return next((job for job in self._jobs.values() if job.stand.running), None)

    def _make_room(self, wanted: str) -> None:
        """Remove the oldest studies until the others keep to the bounds."""
        sizes = {digest: _size(job.folder) for digest, job in self._jobs.items()}
        for digest in [d for d in self._jobs if d != wanted]:
            if sum(sizes.values()) <= self._most_bytes and len(sizes) <= self._most_jobs:
                return
            shutil.rmtree(self._jobs.pop(digest).folder, ignore_errors=True)
            del sizes[digest]


@lru_cache(maxsize=1)
def runner() -> Runner:
    """The one of this server."""
    return Runner()


def _size(folder: Path) -> int:
    """Bytes in a folder."""
    return sum(file.stat().st_size for file in folder.rglob("*") if file.is_file())
