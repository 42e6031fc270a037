"""The model with one mechanism switched off: how many published figures it then meets, and which it loses or wins.

A mechanism is switched off by putting something else in the place of a constant or function of the model while the
findings are worked out. That holds for the whole process: nothing else may use the model meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import Any
from unittest.mock import patch

import numpy as np

from sim import record
from sim.cuff import indentation, transmission
from sim.teach.evidence import PEOPLE, Effect, compare
from sim.teach.verdicts import SEED, Finding, comparable_figures, figures, finding


@dataclass(frozen=True)
class Mechanism:
    """A mechanism by name; `without`: what is there instead; `put`: (module, name in it, what to put there)."""

    name: str
    without: str
    put: tuple[tuple[Any, str, Any], ...]


def _as_on_the_skin(wave: np.ndarray, _: Any) -> np.ndarray:
    return np.ones_like(wave)


def _cylinder(subject: Any, technique: Any, instrument: Any, snug: Callable = transmission.snug_width_cm) -> np.ndarray:
    return snug(subject.replace(arm_slant_degrees=90.0), technique, instrument)


# As good as none: the formulas divide by some of these.
_NONE, _RIGID_PA = 1e-6, 1e12
MECHANISMS = (
    Mechanism("the bladder sinks into the arm", "a stiff skin", ((indentation, "TISSUE_PA", _RIGID_PA),)),
    Mechanism(
        "an arm is conical",
        "a cylinder",
        ((transmission, "snug_width_cm", _cylinder),),
    ),
    Mechanism(
        "pressure spreads along the arm on its way to the artery",
        "the artery feels what the skin feels",
        ((transmission, "stress_ratio", _as_on_the_skin),),
    ),
    Mechanism(
        "the cuff's edges are rounded",
        "full pressure up to the edge",
        ((transmission, "FLANK_SHARE", _NONE), (indentation, "FLANK_SHARE", _NONE)),
    ),
    Mechanism(
        "friction reduces the tension of the cloth beyond the bladder",
        "the cloth presses all round as the bladder does",
        ((transmission, "FRICTION_PER_RAD", _NONE),),
    ),
    Mechanism(
        "a sleeve makes what is squeezed thicker",
        "the bare arm's circumference",
        ((transmission, "squeezed_circumference_cm", lambda subject, _: subject.arm_circumference_cm),),
    ),
    Mechanism("blood has weight", "none", ((record, "HYDROSTATIC_MMHG_PER_CM", 0.0),)),
)


@dataclass(frozen=True)
class Without:
    """What becomes of the tested figures without a mechanism.

    inside, of: how many are inside their interval, of how many
    apart_mmhg: how far model and published value are apart, on average over those that have both
    lost, won: those that were inside and are no longer, and the other way round: "Thin sleeve under the cuff, systolic"
    """

    mechanism: Mechanism
    inside: int
    of: int
    apart_mmhg: float
    lost: tuple[str, ...]
    won: tuple[str, ...]


@contextmanager
def switched_off(mechanism: Mechanism) -> Iterator[None]:
    """The model without a mechanism, inside the block."""
    with ExitStack() as stack:
        stack.callback(indentation.forget)  # what was worked out with the constants as they were
        for module, name, value in mechanism.put:
            stack.enter_context(patch.object(module, name, value))
        indentation.forget()
        yield


def without(mechanism: Mechanism, found: Iterable[Finding], seed: int = SEED, people: int = PEOPLE) -> Without:
    """The tested figures once more without a mechanism; `found`: the findings as the whole model has them."""
    before = comparable_figures(found)
    with switched_off(mechanism):
        again = figures(
            finding(each.lesson, compare(each.evidence, each.lesson, np.random.default_rng(seed), people))
            for each in found
            if comparable_figures([each])
        )
    after = {figure: again[figure] for figure in before}
    # Where the model has no reading any more, the figure is not met.
    return Without(
        mechanism,
        sum(effect.inside is True for effect in after.values()),
        len(before),
        apart_mmhg(after.values()),
        lost=tuple(f.words for f in before if before[f].inside and not after[f].inside),
        won=tuple(f.words for f in before if after[f].inside and not before[f].inside),
    )


def apart_mmhg(effects: Iterable[Effect]) -> float:
    """How far model and published value are apart, on average over those that have both [mmHg]."""
    apart = [
        abs(effect.model.mean - effect.published.value)
        for effect in effects
        if effect.model is not None and effect.published is not None and effect.published.value is not None
    ]
    return float(np.mean(apart))
