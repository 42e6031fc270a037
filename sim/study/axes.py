"""The axes of a stress map: a field of person, technique or instrument, or a quantity that several fields make."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.body.subject import LEAST_PULSE_PRESSURE_MMHG, Subject
from sim.cuff.bladder import BEST_COVERAGE, BEST_WIDTH_RATIO, LENGTH_CM, WIDTH_CM
from sim.fields import FieldError, Limit
from sim.setup import FIELDS, Setup
from sim.technique import Technique

# Values along an axis. Chosen for pace: 36 pairs take some seconds.
USUAL_STEPS = 6
# The largest map: chosen, 50 by 50 pairs.
MOST_CELLS = 2_500
# How long the bladder of an axis is for its width: as the least that a fitting one has (sim.cuff.bladder).
_LENGTH_PER_WIDTH = BEST_COVERAGE / BEST_WIDTH_RATIO

Value = float | str


@dataclass(frozen=True)
class Axis:
    """One input and the values it takes, in its unit (mmHg, cm ...): a field or a name of MADE."""

    name: str
    values: tuple[Value, ...]
    label: str
    unit: str


def _pulse_pressure(people: Subject, mmhg: float, fields: Mapping[str, Value]) -> dict[str, Any]:
    """Systolic pressure follows; diastolic, where systolic pressure is the other axis."""
    if "sbp" in fields:
        return {"dbp": float(fields["sbp"]) - mmhg}
    dbp_mmhg = people.dbp if "dbp" not in fields else float(fields["dbp"])
    return {"sbp": dbp_mmhg + mmhg}


def _width_ratio(people: Subject, ratio: float, fields: Mapping[str, Value]) -> dict[str, Any]:
    """Each arm gets a bladder so wide for it, twice as long as wide, as far as bladders go."""
    arms_cm = np.asarray(fields.get("arm_circumference_cm", people.arm_circumference_cm), dtype=float)
    widths_cm = np.clip(np.broadcast_to(ratio * arms_cm, people.size), *WIDTH_CM)
    lengths_cm = np.clip(widths_cm * _LENGTH_PER_WIDTH, *LENGTH_CM)
    return {"bladder": [f"{width:.2f}x{length:.2f}" for width, length in zip(widths_cm, lengths_cm, strict=True)]}


def _fibrillation(people: Subject, share: float, fields: Mapping[str, Value]) -> dict[str, Any]:
    """The first of the people, who are in no order, have atrial fibrillation; the others' hearts are regular."""
    first = np.arange(people.size) < round(share * people.size)
    return {"rhythm": np.where(first, "atrial-fibrillation", "regular")}


@dataclass(frozen=True)
class _Made:
    """A quantity that several fields make: its range, how the fields follow, and the fields that it decides itself."""

    limit: Limit
    follow: Callable[[Subject, float, Mapping[str, Value]], dict[str, Any]]
    decides: tuple[str, ...]


# Ranges: the pulse pressure's least is the model's own; widths go from half the least that fits to half as much again
# as the most (0.37 to 0.50 of the arm, sim.cuff.bladder).
MADE: Mapping[str, _Made] = {
    "pulse_pressure_mmhg": _Made(
        Limit(LEAST_PULSE_PRESSURE_MMHG, 130, 45, 1, "mmHg", "Pulse pressure"), _pulse_pressure, ()
    ),
    "bladder_width_ratio": _Made(
        Limit(0.2, 0.75, 0.4, 0.01, "", "Bladder's width over arm circumference"), _width_ratio, ("bladder",)
    ),
    "fibrillation_share": _Made(
        Limit(0, 1, 0, 0.01, "", "Share of people with atrial fibrillation"), _fibrillation, ("rhythm",)
    ),
}
# What goes along with a field that is nothing without it, where it is not the other axis.
_ALONG: Mapping[str, Mapping[str, Value]] = {"early_beat_share": {"rhythm": "early-beats"}}


def axis(name: str, values: Sequence[Value] | None = None) -> Axis:
    """An axis over the given values, as mmHg or cm, or evenly over its whole range, or all its options.

    Raises FieldError where there is no such input or it does not take a value.

    >>> axis("arm_circumference_cm", (25.0, 35.0)).unit, axis("bladder_width_ratio", (0.3, 0.4)).label
    ('cm', "Bladder's width over arm circumference")
    """
    if name not in FIELDS and name not in MADE:
        raise FieldError("input", repr(name), "one of " + ", ".join([*FIELDS, *MADE]))
    limit = MADE[name].limit if name in MADE else FIELDS[name]
    if values is None:
        values = limit.everywhere(USUAL_STEPS)
    for value in values:
        limit.check(name, value)
    return Axis(name, tuple(values), limit.label, limit.unit if isinstance(limit, Limit) else "")


def together(x: Axis, y: Axis, technique: Technique | None = None) -> None:
    """Raises FieldError where two axes make no map, or one too large; its shape is (values of y, values of x)."""
    if x.name == y.name:
        raise FieldError("input", repr(y.name), "another than that of the first axis")
    for one, other in ((x, y), (y, x)):
        taken = _decides(one.name) & ({other.name} | _decides(other.name))
        if taken and one.name in MADE:
            raise FieldError(
                "input", repr(other.name), f"an input that leaves {min(taken)} alone: {one.name} decides it"
            )
    names = {x.name, y.name}
    if "movement" in names and "movement_mmhg" not in names and not (technique and technique.movement_mmhg.any()):
        raise FieldError("input", "'movement'", "beside movement_mmhg: with 0 mmHg nobody moves")
    cells = len(x.values) * len(y.values)
    if not 1 <= cells <= MOST_CELLS:
        raise FieldError("input", f"{cells} pairs of values", f"1 to {MOST_CELLS}")


def _decides(name: str) -> set[str]:
    """The fields that an input decides besides itself."""
    return set(MADE[name].decides) if name in MADE else set(_ALONG.get(name, {}))


def changed(setup: Setup, values: Mapping[str, Value]) -> Setup:
    """A setup of n people with these inputs in place of its own, by name; fields (n,) [mmHg, cm]. Raises FieldError.

    >>> found = changed(Setup.of(sbp=[120, 150], dbp=[80, 90]), {"pulse_pressure_mmhg": 30.0})
    >>> found.subject.sbp.tolist()
    [110.0, 120.0]
    """
    fields = {name: value for name, value in values.items() if name not in MADE}
    follow: dict[str, Any] = {}
    for name, value in values.items():
        follow |= _ALONG.get(name, {})
        if name in MADE:
            follow |= MADE[name].follow(setup.subject, float(value), fields)
    return setup.replace(**(follow | fields))
