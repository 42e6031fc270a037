"""A stress map: where in the space of two inputs an algorithm breaks."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field

import numpy as np

from sim.cuff.instrument import Instrument
from sim.estimate.door import name_of
from sim.estimate.named import resolved
from sim.fields import FieldError
from sim.results import Estimator
from sim.setup import Setup
from sim.study.axes import Axis, changed, together
from sim.study.cohort import cohort
from sim.study.origin import Origin, by_pulse
from sim.study.plan import Study
from sim.study.readings import TRUTHS
from sim.study.repeated_readings import measured
from sim.study.seeds import MAP, scoring_seed, stream
from sim.technique import Technique

# People at each pair of values. Chosen for pace: of 60 people a share of one half has a standard error of 6.5 %, of 30
# and 120 people 9 and 5 %.
USUAL_PEOPLE, MOST_PEOPLE = 60, 10_000


@dataclass(frozen=True, eq=False)
class StressMap:
    """What became of an estimator's readings at each pair of values; arrays of shape (len(y.values), len(x.values)).

    mean_sbp, mean_dbp, sd_sbp, sd_dbp: of the errors of those that had numbers [mmHg], NaN where none had;
    failed: share without a number; tolerable: share of all with both errors within 10 mmHg
    """

    estimator: str
    against: str
    origin: Origin
    x: Axis
    y: Axis
    mean_sbp: np.ndarray
    mean_dbp: np.ndarray
    sd_sbp: np.ndarray
    sd_dbp: np.ndarray
    failed: np.ndarray
    tolerable: np.ndarray


@dataclass(frozen=True, eq=False)
class _Plan:
    estimator: Estimator
    x: Axis
    y: Axis
    people: int
    seed: int
    against: str
    technique: Technique = field(default_factory=Technique)
    instrument: Instrument = field(default_factory=Instrument)


def stress(
    estimator: str | Estimator,
    x: Axis,
    y: Axis,
    *,
    seed: int = 1,
    people: int = USUAL_PEOPLE,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
    against: str = "at_measurement",
    name: str | None = None,
    executor: Executor | None = None,
) -> StressMap:
    """Measure the same people with the same chance at every pair of values, one reading each; (y, x) values.

    Errors [mmHg] are those against the same truth as a score's; `at_cuff`, the pressure under the cuff, is all that an
    algorithm can know. Raises FieldError where a pair of values does not go together, on a calibration's seed, and
    where the map is too large.

    >>> from sim.study.axes import axis
    >>> found = stress("fixed-ratio", axis("arm_circumference_cm", (25.0, 35.0)), axis("sbp", (120.0,)), people=3)
    >>> found.failed.shape
    (1, 2)
    """
    scoring_seed(seed)
    if against not in TRUTHS:
        raise FieldError("against", repr(against), "one of " + ", ".join(TRUTHS))
    together(x, y, technique)
    if not 1 <= people <= MOST_PEOPLE:
        raise FieldError("people", people, f"from 1 to {MOST_PEOPLE}")
    cells = [(i, j) for i in range(len(y.values)) for j in range(len(x.values))]
    plan = _Plan(
        resolved(estimator),
        x,
        y,
        people,
        seed,
        against,
        technique or Technique(),
        instrument or Instrument(),
    )
    found = (executor.map if executor is not None else map)(_cell, [plan] * len(cells), cells)
    figures = np.array(list(found)).T.reshape(6, len(y.values), len(x.values))
    shown = name or name_of(estimator)
    return StressMap(
        shown,
        against,
        Origin(seed, f"{people} people at each of {len(cells)} pairs{by_pulse(instrument)}"),
        x,
        y,
        *figures,
    )


def stress_of(
    study: Study, axes: Sequence[Axis], *, against: str = "at_measurement", executor: Executor | None = None
) -> tuple[StressMap, ...]:
    """The map over two axes of each algorithm of a study [mmHg]; none where there are no axes. Raises as `stress`."""
    return tuple(
        stress(
            algorithm,
            *axes,
            seed=study.seed,
            technique=study.technique,
            instrument=study.instrument,
            against=against,
            name=name,
            executor=executor,
        )
        for name, algorithm in (study.algorithms.items() if axes else ())
    )


def possible(study: Study, axes: Sequence[Axis]) -> None:
    """Raises FieldError where two axes make no map, or a pair of their values does not go together; (values of y,
    values of x) pairs."""
    together(axes[0], axes[1], study.technique)
    plan = _Plan(
        next(iter(study.algorithms.values())),
        axes[0],
        axes[1],
        USUAL_PEOPLE,
        study.seed,
        "",
        study.technique or Technique(),
        study.instrument or Instrument(),
    )
    for cell in np.ndindex(len(axes[1].values), len(axes[0].values)):
        _setup(plan, cell, _generator(plan))


def _generator(plan: _Plan) -> np.random.Generator:
    """The same people and the same chance at every pair of values."""
    return stream(plan.seed, MAP)


def _setup(plan: _Plan, cell: tuple[int, ...], rng: np.random.Generator) -> Setup:
    """The people of one pair of values, and how they are measured."""
    values = {plan.y.name: plan.y.values[cell[0]], plan.x.name: plan.x.values[cell[1]]}
    return changed(Setup(cohort(plan.people, rng), plan.technique, plan.instrument), values)


def _cell(plan: _Plan, cell: tuple[int, int]) -> tuple[float, ...]:
    """The figures of one pair of values."""
    rng = _generator(plan)
    setup = _setup(plan, cell, rng)
    read = measured(
        setup.subject,
        {"one": plan.estimator},
        rng,
        readings=1,
        technique=setup.technique,
        instrument=setup.instrument,
    )
    ok = read.ok
    errors = [read.error(pressure, plan.against)[ok] for pressure in ("sbp", "dbp")]
    within = (np.abs(errors[0]) <= 10) & (np.abs(errors[1]) <= 10)
    some, several = ok.any(), ok.sum() > 1
    return (
        *(float(e.mean()) if some else np.nan for e in errors),
        *(float(e.std(ddof=1)) if several else np.nan for e in errors),
        float(1 - ok.mean()),
        float(within.sum() / len(ok)),
    )
