"""The steps from resting pressure to display, rounded so that they are seen to add up."""

from __future__ import annotations

import math
from dataclasses import dataclass

from sim.explain.breakdown import Breakdown, Contribution
from sim.figures.colours import KINDS
from sim.figures.numbers import adding_up, signed, whole
from sim.say import mark, say
from sim.texts import real_minus

ROUNDING = "rounding"
_PLAIN = {
    "response": mark("the pressure itself changed"),
    "measuring error": mark("the pressure did not change, the number did"),
    "algorithm": mark("how the algorithm reads this person even with correct technique"),
    "chance": mark("differs from reading to reading; the mean of many readings contains little of it"),
    ROUNDING: mark("the display shows whole numbers"),
}

_SHORT = {"algorithm": mark("the algorithm itself"), "chance": mark("random variation")}


@dataclass(frozen=True)
class Step:
    """One step; sbp, dbp in tenths [mmHg]. spread: of a response, how far people differ (standard deviations)."""

    cause: str
    kind: str
    sbp: float
    dbp: float
    spread: tuple[float, float] | None = None

    @property
    def symbol(self) -> str:
        """The kind's mark, for text."""
        return KINDS[self.kind].symbol if self.kind in KINDS else "≈"

    @property
    def short(self) -> str:
        """The cause in as few words as a phone's width has room for."""
        return say(_SHORT[self.kind]) if self.kind in _SHORT else self.cause

    @property
    def plain(self) -> str:
        """What this kind of step means, and how far people differ in it."""
        if self.spread is None:
            return say(_PLAIN[self.kind])
        if not (self.sbp or self.dbp or any(self.spread)):
            return say("no change of the pressure was found")
        return f"{say(_PLAIN[self.kind])}, {say('here as it does on average')}; {differ(self.spread)}"


def differ(spread: tuple[float, float]) -> str:
    """How far people differ in a response, in words."""
    if not any(spread):
        return say("the model does not know how far people differ")
    within = "/".join(f"{abs(v):.1f}" for v in spread)
    return say("people differ: two in three lie within {within} mmHg of that", within=within)


def steps(found: Breakdown) -> list[Step]:
    """The contributions of one reading or mean, and what rounding adds; [] where there is no breakdown.

    The steps' tenths add up to the difference of the two whole numbers shown.
    """
    parts = found.contributions
    if found.reason or not parts:
        return []
    columns = []
    for name in ("sbp", "dbp"):
        exact = [float(getattr(part, name)[0]) for part in parts]
        if not all(map(math.isfinite, exact)):
            return []
        shown = adding_up(exact)
        columns.append([*shown, round(difference(found, name) - math.fsum(shown), 1)])
    causes = [(p.cause, p.kind, _spread(p)) for p in parts] + [(say("rounding to whole mmHg"), ROUNDING, None)]
    return [Step(cause, kind, s, d, usual) for (cause, kind, usual), s, d in zip(causes, *columns, strict=True)]


def _spread(part: Contribution) -> tuple[float, float] | None:
    return None if part.spread is None else (float(part.spread[0][0]), float(part.spread[1][0]))


def difference(found: Breakdown, name: str) -> int:
    """Display minus resting pressure, both as shown in whole mmHg; `name` is "sbp" or "dbp"."""
    display = getattr(found.result.reading, name)[0]
    return int(whole(display)) - int(whole(getattr(found.result.truth.resting, name)[0]))


def sentence(found: Breakdown) -> str:
    """The steps in words, with their numbers."""
    listed = [s for s in steps(found) if s.sbp or s.dbp]
    if not listed:
        return found.reason
    words = "; ".join(f"{s.cause} {signed(s.sbp)}/{signed(s.dbp)}" for s in listed)
    sbp, dbp = (real_minus(f"{difference(found, n):+d}") for n in ("sbp", "dbp"))
    return say(
        "From resting pressure to display, systolic/diastolic in mmHg: {steps}. Together {sbp}/{dbp}.",
        steps=words,
        sbp=sbp,
        dbp=dbp,
    )
