"""Readings as one JSON object: nothing rounded, null where there is no number."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from sim import PARAMETERS_VERSION, __version__
from sim.commands.taken import Taken, means
from sim.cuff.bladder import size_cm

if TYPE_CHECKING:
    from sim.explain.breakdown import Breakdown
    from sim.fields import Fields
    from sim.results import Pressures

NOTE = (
    "Simulated, for learning; the truth is the pressure in the artery. No medical device; never correct a real reading "
    "with these numbers."
)


def document(taken: Taken) -> dict[str, Any]:
    """Everything about the readings, as plain values that json writes.

    `truth`: `resting`, and `at_measurement`, `at_cuff` and the heart's `pulse_rate` as means over all readings;
    `readings`: one object a reading, with its own `at_measurement`, `at_cuff` and `true_pulse_rate`; `mean`: over the
    readings that have numbers; `bias`: of that mean; `breakdown`: of that mean, null where there is none, and then
    `breakdown_reason` says why.
    """
    truth, explained = taken.result.truth, taken.breakdown
    return {
        "version": __version__,
        "parameters_version": PARAMETERS_VERSION,
        "note": NOTE,
        "seed": taken.seed,
        "ideal": taken.ideal,
        "inputs": {
            "subject": _fields(taken.setup.subject),
            "technique": _fields(taken.setup.technique),
            "instrument": _fields(taken.setup.instrument),
        },
        "bladder": _bladder(taken),
        "warnings": taken.warnings,
        "truth": {
            "resting": _numbers(means(truth.resting)),
            "at_measurement": _numbers(means(truth.at_measurement)),
            "at_cuff": _numbers(means(truth.at_cuff)),
            "pulse_rate": float(truth.pulse_rate.mean()),
        },
        "readings": [_reading(taken, row) for row in range(len(taken.result.recording))],
        "mean": _numbers(taken.mean),
        "bias": _numbers({name: taken.bias[name] for name in ("sbp", "dbp")}),
        "breakdown": None if explained.reason else _contributions(explained),
        "breakdown_reason": explained.reason or None,
    }


def _reading(taken: Taken, row: int) -> dict[str, Any]:
    reading, truth = taken.result.reading, taken.result.truth
    numbers = {name: float(getattr(reading, name)[row]) for name in ("sbp", "dbp", "map", "pulse_rate")}
    return {
        **_numbers(numbers),
        "reason": str(reading.reason[row]) or None,
        "at_measurement": _row(truth.at_measurement, row),
        "at_cuff": _row(truth.at_cuff, row),
        "true_pulse_rate": float(truth.pulse_rate[row]),
    }


def _contributions(explained: Breakdown) -> list[dict[str, Any]]:
    return [
        {"cause": c.cause, "kind": c.kind, "field": c.field, "sbp": _number(c.sbp[0]), "dbp": _number(c.dbp[0])}
        for c in explained.mean().contributions
    ]


def _bladder(taken: Taken) -> dict[str, Any]:
    width, length = size_cm(taken.bladder)
    return {
        "name": taken.bladder,
        "width_cm": width,
        "length_cm": length,
        "recommended": taken.recommended_bladder,
        "fits": taken.bladder_fits,
    }


def _fields(record: Fields) -> dict[str, Any]:
    return {field: getattr(record, field).item() for field in record.LIMITS}


def _row(pressures: Pressures, row: int) -> dict[str, float | None]:
    return _numbers({name: float(getattr(pressures, name)[row]) for name in ("sbp", "dbp", "map")})


def _numbers(values: dict[str, float]) -> dict[str, float | None]:
    return {name: _number(value) for name, value in values.items()}


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
