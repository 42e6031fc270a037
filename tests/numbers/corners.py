"""Setups at the corners of what the fields allow, and what every reading of them must keep.

`benchmarks/corners.py` goes through all of them, `test_corners.py` through a few.
"""

from __future__ import annotations

import warnings
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, fields, replace
from itertools import combinations, product
from typing import Any

import numpy as np

from sim.chance import Chance, Source
from sim.estimate.checked import EstimatorError
from sim.estimate.door import read
from sim.estimate.named import NAMED
from sim.fields import Choice, FieldError, Limit
from sim.record import Sweep
from sim.results import Reading, Recording, Truth
from sim.setup import FIELDS, Setup

Case = dict[str, Any]
STAGES = ("resting", "at_measurement", "at_cuff")
# Bladders at the corners of the sizes that are taken.
_BLADDERS = ["fitting", "5x8", "5x60", "30x8", "30x60"]
# So many cases are measured at a time.
_TOGETHER = 32


@dataclass
class Found:
    """What came out: readings and refusals of each estimator, cases that cannot be, and faults in words."""

    readings: Counter[str] = field(default_factory=Counter)
    reasons: dict[str, Counter[str]] = field(default_factory=lambda: {name: Counter() for name in NAMED})
    impossible: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


def limits(name: str) -> list[Any]:
    """The ends of a field: lowest and highest of a number, every option of a choice, the bladders at the corners."""
    declared = FIELDS[name]
    if isinstance(declared, Limit):
        return [declared.low, declared.high]
    return list(declared.options) if isinstance(declared, Choice) else _BLADDERS


def corners() -> Iterator[Case]:
    """All corners of every pair of fields, the others at their defaults or where the pair can be."""
    for one, other in combinations(FIELDS, 2):
        for values in product(limits(one), limits(other)):
            yield completed({one: values[0], other: values[1]})


def completed(case: Case) -> Case:
    """The same with what another field has to be so that these may stand at their limits."""
    case = dict(case)
    if "sbp" in case and "dbp" not in case:
        case["dbp"] = min(80.0, case["sbp"] - 20)
    if "dbp" in case and "sbp" not in case:
        case["sbp"] = max(120.0, case["dbp"] + 40)
    if case.get("end_mmhg", 0) > 0 and "start_mmhg" not in case:
        case["start_mmhg"] = 330.0
    return case


def anywhere(rng: np.random.Generator) -> Case:
    """A case of one to all fields, each at a limit or anywhere in its range: few fields as often as many."""
    names = rng.permutation(list(FIELDS))
    count = int(np.exp(rng.uniform(0, np.log(len(names) + 1))))
    return completed({str(name): _value(str(name), rng) for name in names[:count]})


def _value(name: str, rng: np.random.Generator) -> Any:
    declared, ends = FIELDS[name], limits(name)
    if isinstance(declared, Limit) and rng.random() < 0.5 and name != "sampling_hz":  # few rates: more are made at once
        return float(rng.uniform(declared.low, declared.high))
    return ends[rng.integers(len(ends))]


def gone_through(cases: list[Case], seed: int, first: int = 0) -> Found:
    """All that is found in these cases. Each has draws of its own, by `seed` and its number, counted from `first`."""
    found = Found()
    for _, alike in _by_rate(cases).items():
        for begin in range(0, len(alike), _TOGETHER):
            rows = alike[begin : begin + _TOGETHER]
            _some([(first + row, cases[row]) for row in rows], seed, found)
    return found


def _by_rate(cases: list[Case]) -> dict[float, list[int]]:
    """Numbers of the cases by their sampling rate: one rate is measured at a time."""
    found: dict[float, list[int]] = {}
    for row, case in enumerate(cases):
        found.setdefault(case.get("sampling_hz", FIELDS["sampling_hz"].default), []).append(row)
    return found


def _some(cases: list[tuple[int, Case]], seed: int, found: Found) -> None:
    """Some cases of one rate; where they fail together, each half on its own, so that the one at fault is named."""
    try:
        with warnings.catch_warnings(), np.errstate(divide="raise", over="raise", invalid="raise"):
            warnings.simplefilter("error")
            recording, truth = recorded([case for _, case in cases], [(seed, number) for number, _ in cases])
            readings = {name: read(name, recording) for name in NAMED}
    except (FieldError, EstimatorError, ArithmeticError, Warning, ValueError, IndexError) as error:
        if len(cases) > 1:
            half = len(cases) // 2
            _some(cases[:half], seed, found)
            _some(cases[half:], seed, found)
        elif isinstance(error, FieldError) and error.field in FIELDS:
            found.impossible[error.field] += 1
        else:
            found.faults.append(f"case {cases[0][0]} {cases[0][1]}: {type(error).__name__}: {error}")
        return
    wrong = [(row, "", what) for row, what in of_truth(recording, truth)]
    for name, reading in readings.items():
        found.readings[name] += int(reading.ok.sum())
        found.reasons[name].update(reading.reason[~reading.ok].tolist())
        wrong += [(row, name, what) for row, what in of_reading(recording, reading)]
    found.faults += [f"case {cases[row][0]} {cases[row][1]}: {name} {what}" for row, name, what in wrong]


def recorded(cases: list[Case], seeds: list[tuple[int, int]]) -> tuple[Recording, Truth]:
    """Recordings of n cases of one rate and the truth about them, each with draws of its own seed.

    Raises FieldError where a case cannot be.
    """
    names = sorted(set().union(*cases))
    default = Setup().values()
    columns = {name: np.array([case.get(name, default[name].item()) for case in cases]) for name in names}
    setup = Setup.of(**columns).spread(len(cases))
    sources = [Source(np.random.default_rng(seed)) for seed in seeds]
    sweep = Sweep(setup, np.concatenate([source.fill(1) for source in sources]))
    drawn = [Chance.draw(source, 1, sweep.most_beats, sweep.longest) for source in sources]
    return sweep.record(_together(drawn))


def _together(drawn: list[Chance]) -> Chance:
    """The draws of several readings as those of one call."""
    names = [f.name for f in fields(Chance) if f.name not in ("response", "breathing")]
    response = {name: np.concatenate([one.response[name] for one in drawn]) for name in drawn[0].response}
    rows: dict[str, Any] = {name: np.concatenate([getattr(one, name) for one in drawn]) for name in names}
    return replace(drawn[0], response=response, **rows)


def of_truth(recording: Recording, truth: Truth) -> Iterator[tuple[int, str]]:
    """What is wrong with recordings and their truth: the row, and what."""
    for row in range(len(recording)):
        if not np.isfinite(recording.recorded(row)).all():
            yield row, "recorded what is no number"
        for stage in STAGES:
            sbp, mean, dbp = (getattr(getattr(truth, stage), part)[row] for part in ("sbp", "map", "dbp"))
            if not (np.isfinite([sbp, mean, dbp]).all() and sbp > mean > dbp):
                yield row, f"true pressures {stage} are {sbp}, {mean}, {dbp}"
        if not (np.isfinite(truth.pulse_rate[row]) and truth.pulse_rate[row] > 0):
            yield row, f"true pulse rate is {truth.pulse_rate[row]}"


def of_reading(recording: Recording, reading: Reading) -> Iterator[tuple[int, str]]:
    """What is wrong with readings: the row, and what."""
    numbers = np.array([reading.sbp, reading.map, reading.dbp, reading.pulse_rate])
    for row, ok in enumerate(reading.ok):
        if ok != (reading.reason[row] == ""):
            yield row, f"has numbers {numbers[:, row]} and the reason {reading.reason[row]!r}"
        if not ok:
            if np.isfinite(numbers[:, row]).any():
                yield row, f"has no reading and numbers {numbers[:, row]}"
            continue
        sbp, mean, dbp, rate = numbers[:, row]
        if not (np.isfinite(numbers[:, row]).all() and sbp > mean > dbp and rate > 0):
            yield row, f"reads {sbp:.1f}, {mean:.1f}, {dbp:.1f} mmHg and {rate:.1f} per min"
        low, high = recording.recorded(row).min(), recording.recorded(row).max()
        if not low <= dbp < sbp <= high:
            yield row, f"reads {sbp:.1f} over {dbp:.1f} mmHg where the cuff covered {low:.1f} to {high:.1f}"
        for spread in (reading.sbp_sd, reading.dbp_sd):
            if spread is not None and not (np.isfinite(spread[row]) and spread[row] > 0):
                yield row, f"is uncertain by {spread[row]} mmHg"
