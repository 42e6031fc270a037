"""How fast studies go, how much memory they take, where the time goes: `python benchmarks/study.py`.

Each line is a process of its own, so that its peak memory is its own. Beside the time on the clock stands the
processor's time, which other work on the machine hardly disturbs.

    python benchmarks/study.py              up to 10,000 readings, some minutes
    python benchmarks/study.py --large      100,000 readings besides
    python benchmarks/study.py --report     memory and time of a report over a million readings (no study is run: the
                                            readings of a small one are repeated)
"""
# ruff: noqa: T201 - it prints

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

TARGET_PER_S = 1000
READINGS = 2  # of each subject


def main() -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--large", action="store_true", help="100,000 readings besides")
    parser.add_argument("--report", action="store_true", help="a report over a million readings, and nothing else")
    parser.add_argument("--task", help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.task:
        name, *arguments = json.loads(options.task)
        print(json.dumps(TASKS[name](*arguments)))
        return 0
    load = os.getloadavg()[0]
    print(f"{os.cpu_count()} cores, load {load:.1f} from other work; target {TARGET_PER_S:,} readings/s a core")
    if options.report:
        _report_line()
        return 0
    _stages()
    _sizes([100, 1_000, 10_000] + [100_000] * options.large)
    _workers(10_000)
    return 0


def _stages() -> None:
    print("\nwhere the time goes, ms of processor a reading (one process)")
    found = _run("stages", 3)
    total = sum(found.values())
    for name, ms in found.items():
        print(f"  {name:34}{ms:7.3f}  {ms / total:4.0%}")
    print(f"  {'together':34}{total:7.3f}        {1000 / total:,.0f} readings/s a core")
    print("  other estimators: " + ", ".join(f"{name} {ms:.2f}" for name, ms in _run("estimators", 2).items()))


def _sizes(sizes: list[int]) -> None:
    print("\n readings   workers   s      readings/s   processor s   readings/s a core   peak MB   MB written")
    for n in sizes:
        _line(n, 1)


def _workers(n: int) -> None:
    print(f"\n{n:,} readings on more processes")
    one, two = (_line(n, workers) for workers in (1, 2))
    print(f"speed-up on two processes: {one / two:.2f} (1.8 wanted, on an idle machine)")


def _line(n: int, workers: int) -> float:
    f = _run("study", n, workers)
    print(
        f"{n:9,}{workers:9}{f['wall']:8.1f}{n / f['wall']:12,.0f}{f['cpu']:13.1f}{n / f['cpu']:18,.0f}"
        f"{f['peak']:12,.0f}{f['written']:12.1f}"
    )
    return float(f["wall"])


def _report_line() -> None:
    f = _run("report", 1_000_000)
    print(
        f"report over {f['readings']:,} readings: {f['read']:.1f} s to read and sum up, {f['score']:.1f} s to score, "
        f"{f['write']:.1f} s to draw and write; peak {f['peak']:,.0f} MB (500 MB allowed)"
    )


def _run(*task: object) -> dict[str, float]:
    """A task in a process of its own."""
    line = [sys.executable, __file__, "--task", json.dumps(task)]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(done.stderr)
    found: dict[str, float] = json.loads(done.stdout)
    return found


def study(n: int, workers: int) -> dict[str, float]:
    """Time and memory of a study of n readings, written to disk."""
    from sim.study.plan import Study
    from sim.study.run import run

    with tempfile.TemporaryDirectory() as folder:
        begun, cpu = time.perf_counter(), _cpu()
        run(Study(n // READINGS, readings=READINGS, seed=1), out=folder, workers=workers)
        wall, cpu = time.perf_counter() - begun, _cpu() - cpu
        written = sum(file.stat().st_size for file in Path(folder).rglob("*.parquet")) / 1e6
    # The largest of the processes: this one, and those that it started.
    peak = max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)) / 1024
    return {"wall": wall, "cpu": cpu, "peak": peak, "written": written}


def stages(rounds: int) -> dict[str, float]:
    """Milliseconds of processor that each stage takes, for one reading."""
    import numpy as np

    from sim.cuff.bladder import choose
    from sim.cuff.instrument import Instrument
    from sim.estimate.fixed_ratio import FixedRatio
    from sim.estimate.oscillogram import oscillogram
    from sim.record import Sweep
    from sim.study.cohort import cohort
    from sim.study.plan import Study
    from sim.study.store import Store
    from sim.technique import Technique

    n = 400
    spent: dict[str, float] = {}

    def timed(name: str, function: Any, *arguments: Any) -> Any:
        begun = time.process_time()
        result = function(*arguments)
        spent[name] = spent.get(name, 0.0) + (time.process_time() - begun) * 1000 / n / rounds
        return result

    rng = np.random.default_rng(1)
    study_ = Study(n, readings=1, chunk=n)
    whole = study_.measure(0)  # also warms up what is cached, as the next line does
    with tempfile.TemporaryDirectory() as folder:
        Store(Path(folder), study_).write(0, whole)
    for _ in range(rounds):
        people = timed("people drawn", cohort, n, rng)
        instrument = Instrument(bladder=choose(people.arm_circumference_cm))
        inputs = people, Technique().spread(n), instrument.spread(n)
        sweep = timed("cuff's action on the artery", Sweep, *inputs)
        chance = timed("chance drawn (most of it noise)", sweep.chance, rng)
        recording, _truth = timed("pulse, artery, air, sensor", sweep.record, chance)
        osc = timed("beats and envelope", oscillogram, recording)
        timed("numbers from the envelope", FixedRatio().read, osc)
        with tempfile.TemporaryDirectory() as folder:
            store = Store(Path(folder), study_)
            timed("written to disk", store.write, 0, whole)
    return spent


def estimators(rounds: int) -> dict[str, float]:
    """Milliseconds of processor that each estimator takes for one reading, beats and envelope included."""
    import numpy as np

    from sim.body.subject import Subject
    from sim.estimate.door import read
    from sim.estimate.named import NAMED
    from sim.measurement import measure

    n = 200
    recording = measure(Subject(), rng=np.random.default_rng(1), n=n).recording
    found = {}
    for name, estimator in NAMED.items():
        begun = time.process_time()
        for _ in range(rounds):
            read(estimator, recording)
        found[name] = (time.process_time() - begun) * 1000 / n / rounds
    return found


def report(n: int) -> dict[str, float]:
    """Time and memory of a report over n readings."""
    import numpy as np

    from sim.figures.report import Pages
    from sim.study.plan import Study
    from sim.study.readings import Readings
    from sim.study.report import report as reported
    from sim.study.run import run
    from sim.study.store import Store

    few = Study(200)
    chunk = few.measure(0)
    chunks = -(-n // chunk.rows)
    many = Study(200 * chunks)
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder), many)
        for k in range(chunks):
            store.write(k, Readings({**chunk, "subject": chunk["subject"] + np.int64(200 * k)}))
        del store
        times = [time.perf_counter()]
        sums = run(many, out=folder).sums("at_measurement")
        times.append(time.perf_counter())
        found = reported(sums, many.origin)
        times.append(time.perf_counter())
        Pages(found).write_html(Path(folder) / "report.html")
        times.append(time.perf_counter())
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    read, scored, written = np.diff(times).tolist()
    return {
        "readings": found.agreements[0].counts.readings,
        "read": read,
        "score": scored,
        "write": written,
        "peak": peak,
    }


def _cpu() -> float:
    """Processor time of this process and of those that it has waited for [s]."""
    return sum(sum(resource.getrusage(who)[:2]) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))


TASKS: dict[str, Any] = {"study": study, "stages": stages, "estimators": estimators, "report": report}

if __name__ == "__main__":
    raise SystemExit(main())
