"""One study carried out in a thread of its own, and what is known of it so far. Nothing here knows of pages."""

from __future__ import annotations

import dataclasses
import logging
import os
import threading
import time
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from sim.estimate.checked import EstimatorError
from sim.fields import FieldError
from sim.study.background.plan import Plan
from sim.study.background.workers import Counted, StoppedError, processes
from sim.study.processes import WorkersLostError, on_processes
from sim.study.report import Report, report
from sim.study.run import Outcome, Progress, run
from sim.study.store import StoreError
from sim.study.stress import StressMap, stress_of

# A study that no page has looked at for so long is stopped: somebody closed the browser.
UNWATCHED_S = 15 * 60.0
MEASURING, MAPPING, SCORING = "measuring", "mapping", "scoring"


@dataclass(frozen=True)
class Stand:
    """How far a job is: whether it runs, what it does, how much of how much is done, readings/s, seconds left.

    stopping: whether it was asked to stop; complete: whether every reading is there; error: what ended it, or "";
    unwatched: whether it was stopped because nobody looked
    """

    running: bool = False
    stopping: bool = False
    doing: str = MEASURING
    done: int = 0
    of: int = 0
    per_s: float = 0.0
    left_s: float | None = None
    complete: bool = False
    error: str = ""
    unwatched: bool = False


def cores() -> int:
    """How many processes may work at once."""
    return os.cpu_count() or 1


def hands(pieces: int, workers: int) -> int:
    """How many processes so much work is worth: each takes longer to start than one piece takes."""
    return max(1, min(workers, pieces // 2))


class Job:
    """A study's readings in their folder, its maps and its reports. Any thread may call anything."""

    def __init__(self, plan: Plan, folder: Path, workers: int | None = None) -> None:
        self.plan, self.folder = plan, folder
        self._workers = workers or cores()
        self._lock = threading.Lock()
        self._scoring = threading.Lock()
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._watched = time.monotonic()
        self._stand = Stand(of=plan.subjects * plan.readings)
        self._outcome: Outcome | None = None
        self._reports: dict[str, Report] = {}
        self._maps: dict[tuple[tuple[str, ...], str], tuple[StressMap, ...]] = {}  # by inputs and truth

    @property
    def stand(self) -> Stand:
        """How far it is: how many readings of how many."""
        with self._lock:
            return self._stand

    def watch(self) -> None:
        """Somebody looks at it."""
        self._watched = time.monotonic()

    def start(self, plan: Plan) -> None:
        """Carry out what is not there yet of a plan with this study."""
        self._stop.clear()
        self.watch()
        begun = {"running": True, "stopping": False, "doing": MEASURING, "error": "", "unwatched": False}
        self._say(**begun, per_s=0.0, left_s=None)
        # A daemon: the server may end without waiting for it.
        self._thread = threading.Thread(target=self._work, args=(plan,), name="study", daemon=True)
        self._thread.start()

    def cancel(self) -> None:
        """Stop after the chunk that is being done."""
        self._stop.set()
        self._say(stopping=True)

    def wait(self, timeout_s: float | None = None) -> None:
        """Until the thread has ended."""
        if self._thread is not None:
            self._thread.join(timeout_s)

    def has_map(self, plan: Plan) -> bool:
        """Whether the map that the plan asks for, if any, is there."""
        return not plan.mapped or (plan.mapped, plan.against) in self._maps

    def report(self, plan: Plan) -> Report:
        """What a complete study says against the plan's truth [mmHg], with the plan's map if it is there."""
        with self._scoring:
            assert self._outcome is not None, "the study is not complete"
            if plan.against not in self._reports:
                sums = self._outcome.sums(plan.against)
                self._reports[plan.against] = report(sums, plan.study.origin, against=plan.against)
            return dataclasses.replace(
                self._reports[plan.against], maps=self._maps.get((plan.mapped, plan.against), ())
            )

    def outcome(self) -> Outcome:
        """The complete study's readings, one row each [mmHg]."""
        assert self._outcome is not None, "the study is not complete"
        return self._outcome

    def _say(self, **changes: object) -> None:
        with self._lock:
            self._stand = dataclasses.replace(self._stand, **changes)  # type: ignore[arg-type]

    def _work(self, plan: Plan) -> None:
        error = ""
        try:
            if self._measured(plan):
                self._mapped(plan)
                self._say(doing=SCORING, left_s=None)
                self.report(plan)
        except StoppedError:
            pass
        except (StoreError, FieldError, EstimatorError, WorkersLostError) as wrong:
            error = str(wrong)
        except OSError as wrong:
            error = f"the study could not be kept: {wrong.strerror or wrong}"
        except Exception as wrong:  # nobody else would see what a thread raises
            logging.getLogger(__name__).exception("a study ended")
            error = f"the study ended because of a fault in this program ({type(wrong).__name__}); what is done is kept"
        self._say(running=False, error=error, unwatched=not error and self._unwatched())

    def _stopped(self) -> bool:
        return self._stop.is_set() or self._unwatched()

    def _unwatched(self) -> bool:
        return time.monotonic() - self._watched > UNWATCHED_S

    def _measured(self, plan: Plan) -> bool:
        """Every reading, unless it is stopped before."""
        if self._outcome is not None:
            return True
        study = plan.study
        count = hands(study.chunks, self._workers)
        done = run(study, out=self.folder, workers=count, pools=processes, progress=self._progress, stop=self._stopped)
        if done.complete:
            self._outcome = done
            self._say(complete=True)
        return done.complete

    def _progress(self, p: Progress) -> None:
        self._say(done=p.readings, of=p.of_readings, per_s=p.per_s, left_s=p.left_s)

    def _mapped(self, plan: Plan) -> None:
        """The map of every algorithm."""
        if self.has_map(plan):
            return
        axes, study = plan.axes, plan.study
        cells = len(plan.algorithms) * len(axes[0].values) * len(axes[1].values)
        begun = time.monotonic()

        def count() -> None:
            done = self.stand.done + 1
            self._say(done=done, left_s=(cells - done) * (time.monotonic() - begun) / done)

        def work(pool: Executor | None) -> tuple[StressMap, ...]:
            self._say(doing=MAPPING, done=0, of=cells, left_s=None)
            return stress_of(study, axes, against=plan.against, executor=Counted(pool, count, self._stopped))

        processes_wanted = hands(cells, self._workers)
        made = work(None) if processes_wanted == 1 else on_processes(processes_wanted, work, processes)
        self._maps[plan.mapped, plan.against] = tuple(made)
