"""One lesson as a record, and the inputs of a reading that its levers lead to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sim.fields import FieldError
from sim.say import ENGLISH, mark
from sim.setup import Setup
from sim.teach.inputs import apply
from sim.teach.parts import Case, Check, Evidence, Lever, Predict, Takeaway

# What marks a lesson of one's own wherever it is shown.
FROM_HERE = mark("From this clinic")


@dataclass(frozen=True, eq=False)
class Lesson:
    """One lesson. Its parts are described in `sim.teach.parts`.

    name: of its file without ".md", e.g. "01-arm-height"
    picture: which drawn picture leads, a name from `sim.teach.parse.PICTURES`
    scenario: the person, measured correctly
    compare_with: a second estimator shown beside the fixed ratios, a name from `sim.teach.parse.SECOND_ESTIMATORS`; ""
        where there is none
    case: a fresh case after the questions, None where there is none
    sections: heading -> Markdown below it;  body: all of it
    language: that it is written in, a key of `sim.say.LANGUAGES`
    local: whether it is a lesson of one's own, beside the built-in ones
    """

    name: str
    title: str
    question: str
    minutes: int
    audience: str
    summary: str
    picture: str
    scenario: Setup
    levers: tuple[Lever, ...]
    predict: Predict
    checks: tuple[Check, ...]
    evidence: tuple[Evidence, ...]
    takeaway: Takeaway
    body: str
    sections: dict[str, str]
    compare_with: str = ""
    case: Case | None = None
    language: str = ENGLISH
    local: bool = False

    @property
    def correct(self) -> dict[str, Any]:
        """The correct position of each lever, by field."""
        return {lever.field: lever.correct for lever in self.levers}

    @property
    def tempting(self) -> dict[str, Any]:
        """The tempting position of each lever, by field."""
        return {lever.field: lever.tempting for lever in self.levers}

    def inputs(self, values: Mapping[str, Any] | None = None) -> Setup:
        """Subject, technique and instrument with the levers at `values`, by field; the others stay correct.

        Raises FieldError where there is no such lever or it has no such position.
        """
        levers = {lever.field: lever for lever in self.levers}
        changes: dict[str, dict[str, Any]] = {}
        for field, value in (values or {}).items():
            if field not in levers:
                raise FieldError(field, value, "a lever of this lesson: " + ", ".join(levers))
            lever = levers[field]
            changes.setdefault(lever.group, {})[lever.name] = lever.check(value)
        return apply(self.scenario, changes)

    def sides(self, evidence: Evidence) -> tuple[Setup, Setup]:
        """The inputs of a finding's comparison side and of its mistake, for the same person."""
        right = apply(self.scenario, evidence.people, evidence.right)
        return right, apply(self.scenario, evidence.people, evidence.mistake)
