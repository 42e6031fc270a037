"""A study carried out: chunk by chunk, on any executor, kept as it goes."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.fields import FieldError
from sim.study.agreement import Agreement, scored
from sim.study.plan import Study, measure_chunk
from sim.study.processes import Pools, WorkersLostError, hasty, on_processes
from sim.study.readings import Readings, joined
from sim.study.store import Store, opened
from sim.study.sums import COLUMNS, Sums, folded, spacing, tally
from sim.study.sums_store import SumsStore, tally_chunk

# So many rows are looked at together, or those of one chunk. Chosen: a few MB, and little is lost at the beginnings.
_ROWS = 10_000
# What is done with a chunk, wherever it is done.
Task = Callable[[Study, int], Any]


class NotKeptError(Exception):
    """Readings were asked for of which only sums are kept."""


@dataclass(frozen=True)
class Progress:
    """How far a study is: chunks and readings done, of how many; seconds left, or None.

    per_s: readings of this run over this run's time, whatever was there before; 0 while there are none
    """

    chunks: int
    of_chunks: int
    readings: int
    of_readings: int
    per_s: float
    left_s: float | None


@dataclass(frozen=True, eq=False)
class Outcome:
    """A study and its readings so far, one row each, or only their sums.

    complete: whether every chunk is there; redone: damaged files done again
    """

    study: Study
    complete: bool
    redone: tuple[str, ...]
    _kept: Store | dict[int, Readings]

    def readings(self, columns: list[str] | None = None) -> Readings:
        """The readings in order of chunk, or some of their columns, of shape (m,) each. Raises NotKeptError."""
        if type(self._kept) is Store:
            return self._kept.read(columns)
        return joined(list(self.parts(columns)))

    def parts(self, columns: list[str] | None = None) -> Iterator[Readings]:
        """The same, one row each, part by part: a large table is never there as a whole. Raises NotKeptError."""
        kept = self._kept
        if isinstance(kept, SumsStore):
            raise NotKeptError("of this study only sums are kept, not its readings")
        chunks = sorted(kept.finished if isinstance(kept, Store) else kept)
        together = max(1, _ROWS // self.study.rows(0))
        for some in (chunks[first : first + together] for first in range(0, len(chunks), together)):
            yield joined([kept.read_chunk(k, columns) if isinstance(kept, Store) else kept[k] for k in some])

    def sums(self, against: str | None = None) -> Sums:
        """Sums of the readings [mmHg], of which there is at least one chunk, against one truth or, by default, all.

        Raises FieldError on an unknown truth.
        """
        if isinstance(self._kept, SumsStore):
            return self._kept.sums()
        truths = None if against is None else [against]
        return folded(tally(part, truths, spacing(self.study.subjects)) for part in self.parts(COLUMNS))

    def agreement(self, estimator: str | None = None, against: str = "at_measurement") -> Agreement:
        """One estimator's score [mmHg], the first one's by default. Raises FieldError on an unknown truth."""
        name = next(iter(self.study.algorithms)) if estimator is None else estimator
        return scored(self.sums(against), name, self.study.origin, against)


def run(
    study: Study,
    executor: Executor | None = None,
    *,
    out: Path | str | None = None,
    only_sums: bool = False,
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
    only_sums: in `out` keep sums of the readings, which are all that a report needs, and not the readings
    ahead: chunks handed to the executor at a time, by default twice the cores; more for an executor with more workers
    progress: is told after every chunk; stop: asked after every chunk, True ends the study there
    pools: how those `workers` are made, and what becomes of them at an early end

    The readings depend on the study alone, bit for bit, and not on executor or order. Raises FieldError, StoreError,
    EstimatorError, WorkersLostError, and whatever the executor raises; finished chunks stay in `out`.

    >>> done = run(Study(5, readings=1), workers=1)
    >>> done.complete, done.readings()["sbp"].shape
    (True, (5,))
    """
    if out is None:
        if only_sums:
            raise FieldError("only_sums", only_sums, "given with `out`, the folder for the sums")
        return _run(study, {}, executor, workers, ahead, progress, stop, pools)
    with opened(Path(out), study, SumsStore if only_sums else Store) as store:
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
    task: Task = tally_chunk if isinstance(kept, SumsStore) else measure_chunk
    for chunk, found in _finished(study, task, left, executor, workers, ahead or 2 * (os.cpu_count() or 1), pools):
        if isinstance(kept, Store):
            kept.write(chunk, found)
        else:
            kept[chunk] = found
        meter.count(study.rows(chunk) // len(study.algorithms))
        if stop is not None and stop():
            break
    have = kept.finished if isinstance(kept, Store) else set(kept)
    redone = tuple(kept.damaged) if isinstance(kept, Store) else ()
    return Outcome(study, len(have) == study.chunks, redone, kept)


def _finished(
    study: Study,
    task: Task,
    chunks: list[int],
    executor: Executor | None,
    workers: int | None,
    ahead: int,
    pools: Pools,
) -> Iterator[tuple[int, Any]]:
    """Each chunk as it is finished, and what the task made of it."""
    if executor is not None:
        yield from _on(executor, study, task, chunks, ahead)
        return
    count = min(workers or os.cpu_count() or 1, len(chunks))
    if count <= 1:
        for chunk in chunks:
            yield chunk, task(study, chunk)
        return
    left = set(chunks)

    def work(pool: Executor) -> Iterator[tuple[int, Any]]:
        for chunk, found in _on(pool, study, task, sorted(left), 2 * count, cancel=False):
            left.discard(chunk)
            yield chunk, found

    try:
        yield from on_processes(count, work, pools)
    except WorkersLostError as error:
        raise WorkersLostError(f"{error}; {len(left)} of {len(chunks)} chunks are left to do") from None


def _on(
    executor: Executor, study: Study, task: Task, chunks: list[int], ahead: int, cancel: bool = True
) -> Iterator[tuple[int, Any]]:
    """Each chunk as the executor finishes it, with few handed over at a time so that memory stays flat.

    cancel: whether those still waiting are cancelled at an early end; a pool that is ended itself does not bear it
    """
    waiting, running = iter(chunks), dict[Future[Any], int]()
    try:
        for chunk in waiting:
            running[executor.submit(task, study, chunk)] = chunk
            if len(running) < ahead:
                continue
            yield from _ready(running)
        while running:
            yield from _ready(running)
    finally:
        for future in running if cancel else ():
            future.cancel()


def _ready(running: dict[Future[Any], int]) -> Iterator[tuple[int, Any]]:
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
