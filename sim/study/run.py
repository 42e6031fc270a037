"""A study carried out: chunk by chunk, on any executor, kept as it goes."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass
from pathlib import Path

from sim.study.agreement import Agreement, score
from sim.study.plan import Study, measure_chunk
from sim.study.processes import Pools, WorkersLostError, hasty, on_processes
from sim.study.readings import Readings, joined
from sim.study.store import Store, opened


@dataclass(frozen=True)
class Progress:
    """How far a study is: chunks and readings done, of how many; readings/s of this run; seconds left, or None."""

    chunks: int
    of_chunks: int
    readings: int
    of_readings: int
    per_s: float
    left_s: float | None


@dataclass(frozen=True, eq=False)
class Outcome:
    """A study and its readings so far, one row each.

    complete: whether every chunk is there; redone: damaged files done again
    """

    study: Study
    complete: bool
    redone: tuple[str, ...]
    _kept: Store | dict[int, Readings]

    def readings(self, columns: list[str] | None = None) -> Readings:
        """The readings in order of chunk, or some of their columns, of shape (m,) each."""
        if isinstance(self._kept, Store):
            return self._kept.read(columns)
        return joined([self._kept[chunk] for chunk in sorted(self._kept)])

    def agreement(self, estimator: str | None = None, against: str = "at_measurement") -> Agreement:
        """One estimator's score [mmHg], the first one's by default. Raises FieldError on an unknown truth."""
        name = next(iter(self.study.algorithms)) if estimator is None else estimator
        return score(self.readings(), self.study.origin, estimator=name, against=against)


def run(
    study: Study,
    executor: Executor | None = None,
    *,
    out: Path | str | None = None,
    workers: int | None = None,
    ahead: int | None = None,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    pools: Pools = hasty,
) -> Outcome:
    """Carry out a study, or what is left of it.

    executor: any concurrent.futures.Executor, whose tasks and results must pickle; None: `workers` processes, by
        default one a core, or this process where one would do. A script that calls this needs the usual guard
        `if __name__ == "__main__":`, since each process starts by importing it
    out: folder for finished chunks; what is there already is not done again, damaged chunks are. None: in memory.
        One process at a time works in a folder
    ahead: chunks handed to the executor at a time, by default twice the cores; more for an executor with more workers
    progress: is told after every chunk; stop: asked after every chunk, True ends the study there
    pools: how those `workers` are made, and what becomes of them at an early end

    The readings depend on the study alone, bit for bit, and not on executor or order. Raises StoreError,
    EstimatorError, WorkersLostError, and whatever the executor raises; finished chunks stay in `out`.

    >>> done = run(Study(5, readings=1), workers=1)
    >>> done.complete, done.readings()["sbp"].shape
    (True, (5,))
    """
    if out is None:
        return _run(study, {}, executor, workers, ahead, progress, stop, pools)
    with opened(Path(out), study) as store:
        return _run(study, store, executor, workers, ahead, progress, stop, pools)


def _run(
    study: Study,
    kept: Store | dict[int, Readings],
    executor: Executor | None,
    workers: int | None,
    ahead: int | None,
    progress: Callable[[Progress], None] | None,
    stop: Callable[[], bool] | None,
    pools: Pools,
) -> Outcome:
    """What `run` does, once it is known where the readings go."""
    done = kept.finished if isinstance(kept, Store) else set()
    left = [chunk for chunk in range(study.chunks) if chunk not in done]
    meter = _Meter(study, len(done), progress)
    for chunk, readings in _finished(study, left, executor, workers, ahead or 2 * (os.cpu_count() or 1), pools):
        if isinstance(kept, Store):
            kept.write(chunk, readings)
        else:
            kept[chunk] = readings
        meter.count(readings.rows // len(study.algorithms))
        if stop is not None and stop():
            break
    have = kept.finished if isinstance(kept, Store) else set(kept)
    redone = tuple(kept.damaged) if isinstance(kept, Store) else ()
    return Outcome(study, len(have) == study.chunks, redone, kept)


def _finished(
    study: Study, chunks: list[int], executor: Executor | None, workers: int | None, ahead: int, pools: Pools
) -> Iterator[tuple[int, Readings]]:
    """Each chunk as it is finished."""
    if executor is not None:
        yield from _on(executor, study, chunks, ahead)
        return
    count = min(workers or os.cpu_count() or 1, len(chunks))
    if count <= 1:
        for chunk in chunks:
            yield chunk, study.measure(chunk)
        return
    left = set(chunks)

    def work(pool: Executor) -> Iterator[tuple[int, Readings]]:
        for chunk, readings in _on(pool, study, sorted(left), 2 * count, cancel=False):
            left.discard(chunk)
            yield chunk, readings

    try:
        yield from on_processes(count, work, pools)
    except WorkersLostError as error:
        raise WorkersLostError(f"{error}; {len(left)} of {len(chunks)} chunks are left to do") from None


def _on(
    executor: Executor, study: Study, chunks: list[int], ahead: int, cancel: bool = True
) -> Iterator[tuple[int, Readings]]:
    """Each chunk as the executor finishes it, with few handed over at a time so that memory stays flat.

    cancel: whether those still waiting are cancelled at an early end; a pool that is ended itself does not bear it
    """
    waiting, running = iter(chunks), dict[Future[Readings], int]()
    try:
        for chunk in waiting:
            running[executor.submit(measure_chunk, study, chunk)] = chunk
            if len(running) < ahead:
                continue
            yield from _ready(running)
        while running:
            yield from _ready(running)
    finally:
        for future in running if cancel else ():
            future.cancel()


def _ready(running: dict[Future[Readings], int]) -> Iterator[tuple[int, Readings]]:
    """Waits for the next ones to finish, and takes them out of those running."""
    for future in wait(running, return_when=FIRST_COMPLETED).done:
        yield running.pop(future), future.result()


class _Meter:
    """Counts chunks and readings, and tells `progress`."""

    def __init__(self, study: Study, chunks: int, progress: Callable[[Progress], None] | None) -> None:
        self._study, self._tell = study, progress
        self._chunks, self._before = chunks, chunks
        self._readings, self._start = 0, time.monotonic()
        if chunks and progress:
            self._report()

    def count(self, readings: int) -> None:
        """One more chunk, of so many readings."""
        self._chunks += 1
        self._readings += readings
        if self._tell:
            self._report()

    def _report(self) -> None:
        passed = time.monotonic() - self._start
        mine = self._chunks - self._before
        total = self._study.subjects * self._study.readings
        left = (self._study.chunks - self._chunks) * passed / mine if mine else None
        assert self._tell is not None
        self._tell(
            Progress(
                self._chunks,
                self._study.chunks,
                round(total * self._chunks / self._study.chunks),
                total,
                self._readings / passed if passed > 0 else 0.0,
                left,
            )
        )
