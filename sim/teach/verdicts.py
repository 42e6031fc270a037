"""Every published effect of every lesson beside the model's own: how many fall inside, the misses first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from sim.teach.evidence import PEOPLE, Comparison, Effect, compare
from sim.teach.lesson_record import Lesson
from sim.teach.misses import known_misses
from sim.teach.parts import Evidence

# Where the draws of the people start, for each finding anew: a finding's figure does not depend on the others.
SEED = 1
NAMES = {"sbp": "systolic", "dbp": "diastolic"}

OUTSIDE, INSIDE, BUILT_IN = "outside", "inside", "built in"
NOT_COMPARABLE, UNTESTED, NO_FIGURE = "not comparable", "untested", "no figure"
# The groups in the order in which they are shown, and what each means.
GROUPS = {
    OUTSIDE: "Misses: the model's mean lies outside the published interval",
    INSIDE: "Inside: the model's mean lies inside the published interval",
    BUILT_IN: "Built in: the model was set to the published figure, so agreement proves nothing",
    NOT_COMPARABLE: "Not comparable: the published interval and the model's mean answer different questions",
    UNTESTED: "No interval was published that the model's mean could be held against",
    NO_FIGURE: "The model has no figure for this",
}


@dataclass(frozen=True, eq=False)
class Finding:
    """One finding of a lesson beside the model.

    reasons: why the model misses, for "sbp" or "dbp", where it does and the reason is known
    """

    lesson: Lesson
    comparison: Comparison
    reasons: dict[str, str]

    @property
    def evidence(self) -> Evidence:
        """What was published."""
        return self.comparison.evidence

    @property
    def effects(self) -> dict[str, Effect]:
        """The effects on "sbp" and on "dbp"."""
        return {name: getattr(self.comparison, name) for name in NAMES}

    @property
    def group(self) -> str:
        """The key of GROUPS under which the finding is shown: the first that one of its effects belongs to."""
        verdicts = [verdict(effect) for effect in self.effects.values()]
        return next(group for group in GROUPS if group in verdicts)


@dataclass(frozen=True)
class Quoted:
    """One published number: of which finding in which source, on "sbp" or "dbp"."""

    identifier: str
    label: str
    name: str

    @property
    def words(self) -> str:
        """The figure in words."""
        return f"{self.label}, {NAMES[self.name]}"


@dataclass(frozen=True)
class Counts:
    """How many published figures there are; systolic and diastolic count each for itself.

    A figure that several lessons quote under one label counts once, as a miss where it is missed in any of them.

    inside, outside: of those with an interval that can be compared and that the model was not set to
    built_in, built_in_outside: those that it was set to, and which of them it misses all the same
    not_comparable: with an interval, but one that answers another question
    untested: with a figure of the model, but no interval;  no_figure: without a figure of the model
    """

    inside: int
    outside: int
    built_in: int
    built_in_outside: int
    not_comparable: int
    untested: int
    no_figure: int

    @property
    def tested(self) -> int:
        """Those that tell something about the model."""
        return self.inside + self.outside

    @property
    def sentence(self) -> str:
        """The counts in words."""
        share = f" ({100 * self.inside / self.tested:.0f} %)" if self.tested else ""
        return (
            f"{self.inside} of {self.tested} published figures{share} that can be compared and were not built in have "
            f"the model's mean inside their interval; {self.outside} are missed. The model was set to {self.built_in} "
            "more, which proves nothing"
            + (f" (it misses {self.built_in_outside} of these all the same)" if self.built_in_outside else "")
            + f". {self.not_comparable} have an interval that answers another question, as each of them says. For "
            f"{self.untested} no interval was published, and for {self.no_figure} the model has no figure."
        )


def finding(lesson: Lesson, comparison: Comparison) -> Finding:
    """A finding with the reasons of its misses."""
    where = {name: (lesson.name, comparison.evidence.label, name) for name in NAMES}
    missed = {name: key for name, key in where.items() if verdict(getattr(comparison, name)) == OUTSIDE}
    return Finding(lesson, comparison, {name: known_misses()[k] for name, k in missed.items() if k in known_misses()})


def findings(lessons: Iterable[Lesson], seed: int = SEED, people: int = PEOPLE) -> Iterator[Finding]:
    """Each finding of each lesson in turn, worked out when asked for. Raises FieldError where people is below 2."""
    for lesson in lessons:
        for evidence in lesson.evidence:
            yield finding(lesson, compare(evidence, lesson, np.random.default_rng(seed), people))


def verdict(effect: Effect) -> str:
    """Which key of GROUPS one effect belongs to. A miss is a miss, built in or not."""
    if effect.model is None or effect.published is None:
        return NO_FIGURE
    if effect.inside is False:
        return OUTSIDE
    if effect.built_in:
        return BUILT_IN
    if effect.inside is None:
        return UNTESTED if effect.comparable or effect.published.low is None else NOT_COMPARABLE
    return INSIDE


def grouped(found: Iterable[Finding]) -> dict[str, list[Finding]]:
    """The findings by the key of their group, the misses first; groups without any are left out."""
    listed = list(found)
    groups = {group: [each for each in listed if each.group == group] for group in GROUPS}
    return {group: some for group, some in groups.items() if some}


def figures(found: Iterable[Finding]) -> dict[Quoted, Effect]:
    """Each published figure once, beside the model; of several lessons' the one whose verdict comes first in GROUPS."""
    groups, kept = list(GROUPS), dict[Quoted, Effect]()
    for each in found:
        for name, effect in each.effects.items():
            figure = Quoted(each.evidence.identifier, each.evidence.label, name)
            kept[figure] = min(kept.get(figure, effect), effect, key=lambda one: groups.index(verdict(one)))
    return kept


def comparable_figures(found: Iterable[Finding]) -> dict[Quoted, Effect]:
    """Those of the figures that tell something about the model: comparable, with an interval, and not built in."""
    return {f: effect for f, effect in figures(found).items() if not effect.built_in and effect.inside is not None}


def count(found: Iterable[Finding]) -> Counts:
    """How many figures fall where."""
    published = [effect for effect in figures(found).values() if effect.published is not None]
    of_its_own = [verdict(effect) for effect in published if not effect.built_in]
    built_in = [verdict(effect) for effect in published if effect.built_in]
    return Counts(
        inside=of_its_own.count(INSIDE),
        outside=of_its_own.count(OUTSIDE),
        built_in=len(built_in),
        built_in_outside=built_in.count(OUTSIDE),
        not_comparable=of_its_own.count(NOT_COMPARABLE),
        untested=of_its_own.count(UNTESTED),
        no_figure=of_its_own.count(NO_FIGURE),
    )
