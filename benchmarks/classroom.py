"""A class at its phones, and engineers at the bench: `python benchmarks/classroom.py --learners 40 --minutes 10`.

Each learner is a connection as a browser makes it, with a seed of its own, and moves the lever of the first lesson
every three seconds. Each engineer runs studies on the page Algorithms. Printed are the times from a moved lever to its
numbers, the server's memory before, with and after them, and whether a server with one user gives the same numbers.
Ends with 1 where a number differs, a page fails, or the times are over the target.
"""
# ruff: noqa: T201, TID251 - it prints, and it speaks as the screens do

from __future__ import annotations

import argparse
import asyncio
import contextlib
import re
import sys
import time
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.Delta_pb2 import Delta
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.asyncio.client import ClientConnection, connect

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks.served import served

TARGET_MS = 300.0
EVERY_S = 3.0
# The server keeps those who have lost their connection for two minutes.
FORGOTTEN_S = 130.0
LEVER, LOWEST_CM, HIGHEST_CM = "cuff_below_heart_cm", -20, 20
LESSON = "lesson=01-arm-height&predicted=1"
# What runs a study, and what stands beside its results; how often an engineer looks [s].
RUN, DONE, LOOKS_S = "Run the study", "What the study says", 15.0
STUDY = "view=many&people=85&by=fixed-ratio"
# The display and the difference, where the numbers of a lesson stand.
PAIR = re.compile(r'class="pair">([−+]?\d+)<i>/</i>([−+]?\d+)')
_RUN_S = 120.0


@dataclass
class Page:
    """One open page: what stands on it, by kind, as far as it is needed to use it."""

    talk: ClientConnection
    address: tuple[str, str]
    ids: dict[str, tuple[str, str]] = field(default_factory=dict)
    headings: set[str] = field(default_factory=set)
    numbers: list[tuple[str, str]] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    async def open(self) -> None:
        """Ask for the page, anew where it was open."""
        self.ids.clear()
        self.headings.clear()
        await self._ask(BackMsg())

    async def move(self, name: str, value: float) -> None:
        """Move the slider whose key ends so."""
        wanted = next(key for key in self.ids if key.endswith(name))
        ask = BackMsg()
        widget, ask.rerun_script.fragment_id = self.ids[wanted]
        state = ask.rerun_script.widget_states.widgets.add(id=widget)
        state.double_array_value.data.append(value)
        await self._ask(ask)

    async def press(self, label: str) -> None:
        """Press the button with this label."""
        ask = BackMsg()
        widget, ask.rerun_script.fragment_id = self.ids[label]
        ask.rerun_script.widget_states.widgets.add(id=widget, trigger_value=True)
        await self._ask(ask)

    async def _ask(self, ask: BackMsg) -> None:
        """Send a request and take what comes until it is answered."""
        ask.rerun_script.page_name, ask.rerun_script.query_string = self.address
        await self.talk.send(ask.SerializeToString())
        async with asyncio.timeout(_RUN_S):
            async for frame in self.talk:
                message = ForwardMsg.FromString(frame)
                if message.WhichOneof("type") == "delta":
                    self._take(message.delta)
                ended = message.WhichOneof("type") == "script_finished"
                if ended and message.script_finished != ForwardMsg.FINISHED_EARLY_FOR_RERUN:
                    return

    def _take(self, delta: Delta) -> None:
        element = delta.new_element
        kind = element.WhichOneof("type")
        if kind == "slider":
            self.ids[element.slider.id] = (element.slider.id, delta.fragment_id)
        elif kind == "button":
            self.ids[element.button.label] = (element.button.id, delta.fragment_id)
        elif kind == "heading":
            self.headings.add(element.heading.body)
        elif kind == "html" and 'class="numbers"' in element.html.body:
            self.numbers = PAIR.findall(element.html.body)
        elif kind == "exception":
            self.faults.append(element.exception.message)


@dataclass
class Found:
    """Times from lever to numbers [ms]; numbers by seed and position; what went wrong; studies carried out."""

    times_ms: list[float] = field(default_factory=list)
    numbers: dict[tuple[int, float], list[tuple[str, str]]] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    studies: int = 0


@contextlib.asynccontextmanager
async def page(port: int, name: str, query: str) -> AsyncIterator[Page]:
    """A page of the server, open."""
    origin = f"http://127.0.0.1:{port}"
    address = f"ws://127.0.0.1:{port}/_stcore/stream"
    async with connect(address, subprotocols=["streamlit"], origin=origin, max_size=None) as talk:
        opened = Page(talk, (name, query))
        await opened.open()
        yield opened


async def learner(port: int, number: int, seed: int, until: float, found: Found) -> None:
    """One learner; starts somewhere in the first three seconds."""
    rng = np.random.default_rng(number)
    await asyncio.sleep(rng.uniform(0, EVERY_S))
    async with page(port, "lesson", f"{LESSON}&seed={seed}") as lesson:
        while time.monotonic() < until:
            at, asked = float(rng.integers(LOWEST_CM, HIGHEST_CM + 1)), time.monotonic()
            await lesson.move(LEVER, at)
            found.times_ms.append(1000 * (time.monotonic() - asked))
            found.numbers[seed, at] = lesson.numbers
            if len(lesson.numbers) < 2:
                found.faults.append(f"seed {seed} at {at:g} cm: no numbers")
            await asyncio.sleep(max(0.0, asked + EVERY_S - time.monotonic()))
    found.faults += lesson.faults


async def engineer(port: int, seed: int, until: float, found: Found) -> None:
    """One engineer: a study after the other, each with a seed of its own; looks now and then whether it is done."""
    while time.monotonic() < until:
        async with page(port, "algorithms", f"{STUDY}&study-seed={seed}") as bench:
            while time.monotonic() < until and DONE not in bench.headings:
                if RUN in bench.ids:  # one study runs at a time
                    await bench.press(RUN)
                await asyncio.sleep(LOOKS_S)
                await bench.open()
            found.studies += DONE in bench.headings
            await asyncio.sleep(LOOKS_S)
        found.faults += bench.faults
        seed += 1000


async def classroom(port: int, learners: int, engineers: int, seconds: float, one_seed: bool) -> Found:
    """All of them at once; one_seed: whether all learners opened one link, and so have the same readings."""
    found, until = Found(), time.monotonic() + seconds
    tasks = [learner(port, number, 1 if one_seed else 1 + number, until, found) for number in range(learners)]
    tasks += [engineer(port, 501 + number, until, found) for number in range(engineers)]
    for result in await asyncio.gather(*tasks, return_exceptions=True):
        if isinstance(result, BaseException):
            found.faults.append(repr(result))
    return found


async def alone(port: int, asked: list[tuple[int, float]]) -> dict[tuple[int, float], list[tuple[str, str]]]:
    """The same numbers from a server that has one user."""
    told = {}
    for seed, at in asked:
        async with page(port, "lesson", f"{LESSON}&seed={seed}") as lesson:
            await lesson.move(LEVER, at)
            told[seed, at] = lesson.numbers
    return told


def memory_mb(pid: int) -> float:
    """What a process and its children hold in memory now; Linux only."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    status = Path(f"/proc/{pid}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+)", status)
    return (int(found[1]) / 1024 if found else 0.0) + sum(memory_mb(int(child)) for child in children)


def main() -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--learners", type=int, default=40)
    parser.add_argument("--engineers", type=int, default=5)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--one-seed", action="store_true", help="all learners opened the same link of a class")
    parser.add_argument("--share", action="store_true", help="as `cuffbias app --share`: the engine in other processes")
    parser.add_argument("--compared", type=int, default=50, help="numbers asked again of a server with one user")
    options = parser.parse_args()
    with served(*(("--share", "--host", "127.0.0.1") if options.share else ())) as (port, pid):
        asyncio.run(alone(port, [(1, 5.0)]))
        before = memory_mb(pid)
        seconds = 60 * options.minutes
        found = asyncio.run(classroom(port, options.learners, options.engineers, seconds, options.one_seed))
        crowded = memory_mb(pid)
        time.sleep(FORGOTTEN_S)
        after = memory_mb(pid)
    asked = sorted(found.numbers)[:: max(1, len(found.numbers) // options.compared)]
    with served() as (port, _):
        told = asyncio.run(alone(port, asked))
    different = [key for key in asked if told[key] != found.numbers[key]]
    p50, p95, p99 = np.percentile(found.times_ms, [50, 95, 99])
    links = "one link" if options.one_seed else "seeds of their own"
    print(f"{options.learners} learners, {links}, {options.engineers} engineers, {options.minutes:g} min")
    print(f"{len(found.times_ms)} levers: p50 {p50:.0f}, p95 {p95:.0f}, p99 {p99:.0f} ms (target {TARGET_MS:g} at p95)")
    print(f"{found.studies} studies, {len(found.faults)} faults {sorted(set(found.faults))[:3]}")
    print(f"memory: {before:.0f} MB before, {crowded:.0f} with them, {after:.0f} two minutes after they left")
    print(f"{len(asked)} numbers asked again of a server with one user: {len(different)} different")
    return int(bool(different or found.faults or p95 > TARGET_MS))


if __name__ == "__main__":
    sys.exit(main())
