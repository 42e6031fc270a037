"""A published effect beside the model's own, over people.

The model answers each finding of a lesson as the study did: the same people are measured with and without the
mistake, and the two readings compared. Nothing is left to chance but the people themselves: their arteries, how
strongly they respond, how a sleeve lies on them. Noise, breathing and beat-to-beat variation are off.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from scipy import special

from sim.body.responses import responses
from sim.body.subject import Subject
from sim.estimate.door import read
from sim.fields import FieldError
from sim.record import planned
from sim.results import Reading
from sim.say import mark, say
from sim.setup import Setup
from sim.study.reference import ARTERY_RADIUS_RATIO, ARTERY_SPREAD, FORM_FACTOR
from sim.teach.lesson_record import Lesson
from sim.teach.parts import BOUNDS, Evidence, Figure

PEOPLE = 60
# Draws that chance holds of how sleeve and cuff lie: for systolic and for diastolic pressure (sim.chance).
CLOTH_DRAWS = 2
# The band that is shown over people: from the lower to the higher of these percentiles.
BAND = (10, 90)
DERIVED = mark("95 % confidence interval of the mean, worked out from SD and n")
WIDENED = "bounds of the observed means, widened for random variation (from SD and n)"
# What bounds the model's mean is held against; a range over studies, or of observed means alone, is only drawn.
_TESTED = (BOUNDS["95 %"], DERIVED, WIDENED)


@dataclass(frozen=True)
class Published:
    """What was published [mmHg]: value or None; low and high or None; `basis` says what these two are, "" if None."""

    value: float | None
    low: float | None
    high: float | None
    basis: str


@dataclass(frozen=True)
class Modelled:
    """The model's effect over people [mmHg]: its mean, and the 10th and 90th percentile."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True)
class Effect:
    """One finding on systolic or on diastolic pressure.

    published, model: None where there is no figure
    inside: whether the model's mean lies inside the published interval; None where there is none, only a range over
        studies or of observed means, or where the two are not comparable
    built_in: whether the model was set to this very figure, so that agreement proves nothing
    comparable: whether the published interval and the model's mean answer the same question
    """

    published: Published | None
    model: Modelled | None
    inside: bool | None
    built_in: bool
    comparable: bool = True


@dataclass(frozen=True)
class Comparison:
    """A finding beside the model.

    people: how many have a reading on both sides;  reason: why there is no figure of the model, "" where there is
    """

    lesson: str
    evidence: Evidence
    sbp: Effect
    dbp: Effect
    people: int
    reason: str

    @property
    def bases(self) -> list[str]:
        """What the published intervals are."""
        return sorted({e.published.basis for e in (self.sbp, self.dbp) if e.published and e.published.basis})


@dataclass(frozen=True)
class Answer:
    """The model's answer to a finding; sbp, dbp: None where it has no figure, and `reason` then says why."""

    sbp: Modelled | None
    dbp: Modelled | None
    people: int
    reason: str


def compare(evidence: Evidence, lesson: Lesson, rng: np.random.Generator, people: int = PEOPLE) -> Comparison:
    """The finding beside the model's effect over `people` people, who are drawn from `rng`.

    Arteries: a and b lognormal with 30 % spread, place uniform, form factor normal (sim.study.cohort); one person in
    each stratum of each, so that few people give a steady mean. Raises FieldError where people is below 2.
    """
    return beside(evidence, lesson, answer(evidence, lesson, rng, people))


def answer(evidence: Evidence, lesson: Lesson, rng: np.random.Generator, people: int = PEOPLE) -> Answer:
    """The model's effect over `people` people, as `compare` takes it."""
    if people < 2:
        raise FieldError("people", people, "2 or more")
    if not evidence.model:
        return Answer(None, None, 0, evidence.why)
    effects, reason = _effects(*lesson.sides(evidence), rng, people)
    if effects is None:
        return Answer(None, None, 0, reason)
    return Answer(_modelled(effects["sbp"]), _modelled(effects["dbp"]), len(effects["sbp"]), reason)


def beside(evidence: Evidence, lesson: Lesson, model: Answer) -> Comparison:
    """The finding beside an answer of the model."""

    def effect(name: str) -> Effect:
        published = published_of(getattr(evidence, name), evidence.n)
        modelled = getattr(model, name)
        comparable = not evidence.not_comparable
        inside = _inside(published, modelled) if comparable else None
        return Effect(published, modelled, inside, name in evidence.built_in, comparable)

    return Comparison(lesson.name, evidence, effect("sbp"), effect("dbp"), model.people, model.reason)


def published_of(figure: Figure | None, n: int | None) -> Published | None:
    """The published figure with its interval, which is worked out where only SD and n were published.

    mean ± t SD / sqrt(n), t the 97.5th percentile of Student's t with n - 1 degrees of freedom. Where a study says only
    within which bounds its observed means lay, each bound moves outwards by as much: the widest that the interval of
    such a mean can be.
    """
    if figure is None:
        return None
    half = None
    if figure.sd is not None and n is not None:
        half = float(special.stdtrit(n - 1, 0.975)) * figure.sd / n**0.5
    if figure.low is not None and figure.high is not None:
        if figure.bounds == "within" and half is not None:
            return Published(figure.value, figure.low - half, figure.high + half, WIDENED)
        return Published(figure.value, figure.low, figure.high, BOUNDS[figure.bounds])
    if figure.value is not None and half is not None:
        return Published(figure.value, figure.value - half, figure.value + half, DERIVED)
    return Published(figure.value, None, None, "")


def drawn_people(subject: Subject, n: int, rng: np.random.Generator) -> Subject:
    """n people like `subject` with arteries of their own, evenly spread over each distribution."""
    log_sd = np.sqrt(np.log1p(ARTERY_SPREAD**2))
    low, high = ARTERY_RADIUS_RATIO
    strata = partial(_strata, n, rng)
    fields = {
        "artery_a_mmhg": subject.artery_a_mmhg * np.exp(log_sd * special.ndtri(strata())),
        "artery_b_mmhg": subject.artery_b_mmhg * np.exp(log_sd * special.ndtri(strata())),
        "artery_radius_ratio": low + (high - low) * strata(),
        "form_factor": FORM_FACTOR[0] + FORM_FACTOR[1] * special.ndtri(strata()),
    }
    return subject.spread(n).replace(**{name: _within(name, values) for name, values in fields.items()})


def _strata(n: int, rng: np.random.Generator) -> np.ndarray:
    """The middles of n equal strata of 0 to 1, in random order."""
    return (rng.permutation(n) + 0.5) / n


def _normal_strata(n: int, columns: int, rng: np.random.Generator) -> np.ndarray:
    """(n, columns) standard normal draws, each column one from each of n equally likely strata."""
    return np.column_stack([special.ndtri(_strata(n, rng)) for _ in range(columns)])


def _within(name: str, values: np.ndarray) -> np.ndarray:
    """`values` within the limits of a field of the subject; only the outermost of very many people reach them."""
    return Subject.LIMITS[name].within(values)


def _effects(
    right: Setup, mistake: Setup, rng: np.random.Generator, n: int
) -> tuple[dict[str, np.ndarray] | None, str]:
    """Mistake less comparison for those of n people who have both readings; None and why where fewer than half do."""
    people = drawn_people(right.subject, n, rng)
    fields = list(responses())
    drawn = dict(zip(fields, _normal_strata(n, len(fields), rng).T, strict=True))
    cloth = _normal_strata(n, CLOTH_DRAWS, rng)
    before, after = (_readings(_measured(people, side), drawn, cloth) for side in (right, mistake))
    both = before.ok & after.ok
    if both.sum() < max(2, n / 2):
        reasons = [str(r) for r in (*before.reason, *after.reason) if r]
        why = say(max(set(reasons), key=reasons.count))
        return None, say("the model has no reading: {reason}", reason=why)
    return {name: (getattr(after, name) - getattr(before, name))[both] for name in ("sbp", "dbp")}, ""


def _measured(people: Subject, side: Setup) -> Setup:
    """The same people as one side of a comparison measures them, each side with its shape of the arm."""
    shape = float(side.subject.arm_slant_degrees)
    return Setup(people.replace(arm_slant_degrees=shape), side.technique, side.instrument)


def _readings(setup: Setup, response: Mapping[str, np.ndarray], cloth: np.ndarray) -> Reading:
    """One steady, noise-free reading of each person; drawn are how each responds and how each sleeve and cuff lie."""
    sweep, chance = planned(setup.spread(setup.size), None)
    recording, _ = sweep.record(replace(chance, response=response, cloth=cloth))
    return read(None, recording)


def _modelled(effects: np.ndarray) -> Modelled:
    low, high = np.percentile(effects, BAND)
    return Modelled(float(effects.mean()), float(low), float(high))


def _inside(published: Published | None, model: Modelled | None) -> bool | None:
    if published is None or model is None or published.low is None or published.high is None:
        return None
    if published.basis not in _TESTED:
        return None
    return published.low <= model.mean <= published.high
