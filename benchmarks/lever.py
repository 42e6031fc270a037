"""How long the server takes from a moved lever to the new picture: `python benchmarks/lever.py`.

Each move puts one lever of a lesson to a position not seen before, so that nothing comes from a cache, and runs the
page. What is timed is a run of the whole page in the server's own script runner, its garbage collection included. In
the app only the part that follows the lever runs again, so these times are an upper bound.
"""
# ruff: noqa: T201, TID251 - it prints, and it drives the screens

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from streamlit.testing.v1 import AppTest  # noqa: E402 - the source tree first

from sim.screens.lesson_pictures import VIEWS, looks  # noqa: E402
from sim.teach.lesson import Lesson, load_all  # noqa: E402

TARGET_MS = 150.0
SEED = 1


def main() -> int:
    """Print p50 and p95 for each lesson and view; returns 1 where a lesson misses the target."""
    lessons, _ = load_all()
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--moves", type=int, default=60, help="lever moves for each lesson and view (default 60)")
    parser.add_argument("--lessons", type=int, default=4, help=f"how many lessons, up to {len(lessons)} (default 4)")
    parser.add_argument("--only", default="", help="only lessons whose names begin so")
    parser.add_argument("--looks", type=int, default=len(VIEWS), help="how many views of each (default all)")
    options = parser.parse_args()
    moves = max(2, options.moves)
    print(f"{moves} lever moves for each lesson and view; target {TARGET_MS:g} ms at p95")
    print(f"{'':33} {'time, ms':>13}   processor time, ms (holds on a busy machine too)")
    print(f"{'':33} {'p50':>6} {'p95':>6}   {'p50':>6} {'p95':>6}")
    missed = False
    for lesson in [each for each in lessons if each.name.startswith(options.only)][: options.lessons]:
        for look in list(looks(lesson))[: options.looks]:
            clock, processor = (
                np.percentile(times, [50, 95]) for times in zip(*_times(lesson, look, moves), strict=True)
            )
            figures = "   ".join(f"{p50:6.0f} {p95:6.0f}" for p50, p95 in (clock, processor))
            late = bool(clock[1] > TARGET_MS)
            missed |= late
            print(f"{lesson.name:16} {VIEWS[look]:16} {figures}{'  MISSED' if late else ''}")
    return int(missed)


def _times(lesson: Lesson, look: str, moves: int) -> list[tuple[float, float]]:
    """Milliseconds of each move by the clock and of the processor, after one that is not counted."""
    page, opened = _open(lesson, look, 0), 0
    rng = np.random.default_rng(SEED)
    times: list[tuple[float, float]] = []
    seen: set[tuple[object, ...]] = set()
    while len(times) <= moves:
        move = _move(page, lesson, rng)
        if move in seen:
            # All positions were met: the readings of another seed, untimed, make them new.
            opened += 1
            page = _open(lesson, look, opened)
            seen.clear()
            continue
        seen.add(move)
        clock, processor = time.perf_counter(), time.process_time()
        page.run()
        times.append((1000 * (time.perf_counter() - clock), 1000 * (time.process_time() - processor)))
        assert not page.exception, page.exception
    return times[1:]


def _open(lesson: Lesson, look: str, times: int) -> AppTest:
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60).run()
    page.switch_page("sim/screens/page_files/lesson.py")
    page.query_params["lesson"] = lesson.name
    page.query_params["predicted"] = "none"
    page.query_params["look"] = look
    # Other readings in each view, so that none of them was made before.
    page.query_params["seed"] = str(1 + times + 1000 * list(VIEWS).index(look))
    return page.run()


def _move(page: AppTest, lesson: Lesson, rng: np.random.Generator) -> tuple[object, ...]:
    """Put one lever somewhere else; returns all positions."""
    lever = lesson.levers[rng.integers(len(lesson.levers))]
    key = f"{lesson.name}/{lever.field}"
    if lever.is_choice:
        page.radio(key=key).set_value(lever.options[rng.integers(len(lever.options))].value)
    else:
        steps = round((lever.high - lever.low) / lever.step)
        page.slider(key=key).set_value(lever.low + lever.step * int(rng.integers(steps + 1)))
    keys = [(each.is_choice, f"{lesson.name}/{each.field}") for each in lesson.levers]
    return tuple(page.radio(key=k).value if choice else page.slider(key=k).value for choice, k in keys)


if __name__ == "__main__":
    sys.exit(main())
