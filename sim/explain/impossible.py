"""A reading that cannot be right: first the person, then how large a gap what was seen can make, then repeat it.

No number is ever corrected here. What mistakes can make is a range over people; that the pressure really is what the
display says is always one of the explanations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from sim.body.subject import LEAST_PULSE_PRESSURE_MMHG, Subject
from sim.cuff.instrument import Instrument
from sim.data import data
from sim.explain.averaging import Law, reading_error
from sim.explain.mistakes import mistakes
from sim.explain.systematic import effects, people_like
from sim.explain.variation import usual
from sim.fields import FieldError, Limit
from sim.measurement import prepare
from sim.say import mark, say
from sim.technique import Technique

# So many people say what a mistake can make. Chosen for pace: drawn anew, an end of the band moves by about a mmHg
# (standard deviation 0.4 to 1.3; with 60 people 1.1 to 1.4, with 240 0.4).
PEOPLE = 120
# The band over people that counts as what a mistake can make [%]: the middle 95 (common practice).
BAND = (2.5, 97.5)
# What a display may show [mmHg]. Chosen wider than what is a likely pressure: what is unlikely is what is asked about
# here.
DISPLAY = {
    "sbp": Limit(30, 300, 165, 1, "mmHg", "Systolic on the display"),
    "dbp": Limit(10, 220, 95, 1, "mmHg", "Diastolic on the display"),
}
REALLY = mark("the pressure may really be this")

ALONE = mark("could make a gap like this by itself")
PART = mark("makes only part of such a gap")
OTHER_WAY = mark("acts in the opposite direction")
NONE = mark("hardly changes the number")
ALWAYS = mark("always possible")
OPEN = mark("nothing was expected, so there is no gap to explain")
# Less than this is no change that anyone would remark [mmHg]. Chosen: a display's last digit and the one beside it.
# With 1 or 4 a mistake that is called "hardly" has a smaller or a larger part; no other word depends on it.
_HARDLY = 2.0


@dataclass(frozen=True)
class Range:
    """What something adds over people [mmHg]: mean, and the ends of the band."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True)
class Explanation:
    """One way in which the display may have come about.

    cause: in words;  kind: "mistake", "all mistakes", "chance", "both" or "truth"
    sbp, dbp: what it adds over people [mmHg], None where there is no such figure
    verdict: one of ALONE, PART, OTHER_WAY, NONE, ALWAYS, OPEN
    """

    cause: str
    kind: str
    verdict: str
    sbp: Range | None = None
    dbp: Range | None = None


@dataclass(frozen=True)
class Judgement:
    """What can be said of a display, in the order in which it should be said.

    first: how the person feels, and the advice that this display calls for
    impossible: why the numbers cannot be a blood pressure at all, "" where they can
    gap_sbp, gap_dbp: display less what was expected [mmHg], None where nothing was
    explanations: what was seen, each and together; chance; and always that it may be true
    steps: how to repeat it properly
    """

    first: tuple[str, ...]
    impossible: str
    gap_sbp: float | None
    gap_dbp: float | None
    explanations: tuple[Explanation, ...]
    steps: tuple[str, ...]


def judge(
    display: tuple[float, float],
    expected: tuple[float, float] | None,
    subject: Subject,
    technique: Technique,
    instrument: Instrument,
    *,
    rng: np.random.Generator,
    place: str = "office",
    people: int = PEOPLE,
) -> Judgement:
    """Judge a display (sbp, dbp) [mmHg] with what was seen of posture, cuff and behaviour.

    expected: the pressure that was expected, for instance the last weeks' mean; None where nothing is known
    subject: one person; their pressure is set to what was expected, where something was

    Raises FieldError on a display that no device shows.
    """
    for name, value in zip(("sbp", "dbp"), display, strict=True):
        if not DISPLAY[name].low <= value <= DISPLAY[name].high:
            raise FieldError(f"display {name}", f"{value:g}", DISPLAY[name].allowed)
    gaps = None if expected is None else (display[0] - expected[0], display[1] - expected[1])
    if expected is not None:
        subject = subject.replace(sbp=float(expected[0]), dbp=float(expected[1]))
    group = people_like(subject, people, rng)
    found = mistakes(prepare(group, technique, instrument, rng=rng, n=None, ideal=False))
    several = len(found) > 1
    added = effects(group, technique, instrument, rng, [[m.field] for m in found] + ([None] if several else []))
    explanations = [_explained(m.cause, "mistake", values, gaps) for m, values in zip(found, added, strict=False)]
    if several:
        explanations.append(_explained(mark("all that was seen, together"), "all mistakes", added[-1], gaps))
    chance = reading_error(usual(place, float(subject.sbp), float(subject.dbp)))
    explanations.append(_chance(mark("the ordinary variation of one person's pressure"), "chance", chance, gaps))
    if found:
        both = _add(chance, added[-1])
        explanations.append(_chance(mark("ordinary variation and what was seen, together"), "both", both, gaps))
    explanations.append(Explanation(REALLY, "truth", ALWAYS))
    return Judgement(
        first=first_words(*display),
        impossible=_not_a_pressure(*display),
        gap_sbp=None if gaps is None else gaps[0],
        gap_dbp=None if gaps is None else gaps[1],
        explanations=tuple(explanations),
        steps=tuple(words()["repeat"]["steps"]),
    )


def first_words(sbp: float, dbp: float) -> tuple[str, ...]:
    """What is asked and advised before anything else, for a display of these numbers [mmHg].

    >>> len(first_words(120.0, 80.0)), len(first_words(190.0, 100.0))  # a very high display is advised on besides
    (1, 2)
    """
    said, advice = words()["people"], words()["advice"]
    lines = [said["question"] + " " + said["unwell"]]
    if sbp >= advice["high_sbp"] or dbp >= advice["high_dbp"]:
        lines.append(said["high"])
    if sbp < advice["low_sbp"]:
        lines.append(said["low"])
    return tuple(lines)


@lru_cache(maxsize=1)
def words() -> dict[str, Any]:
    """The questions, the advice and the steps, with where they come from."""
    return data("sim.explain", "impossible.toml")


def _explained(
    cause: str, kind: str, values: tuple[np.ndarray, np.ndarray], gaps: tuple[float, float] | None
) -> Explanation:
    """Mean and band over the people who have a reading both ways; None where nobody has."""
    ranges = []
    for each in values:
        there = each[np.isfinite(each)]
        low, high = np.percentile(there, BAND) if len(there) else (np.nan, np.nan)
        ranges.append(Range(float(there.mean()), float(low), float(high)) if len(there) else None)
    return Explanation(cause, kind, _verdict(ranges, gaps), *ranges)


def _chance(cause: str, kind: str, law: Law, gaps: tuple[float, float] | None) -> Explanation:
    ranges = [Range(getattr(law, name), *law.interval(0.95, name)) for name in ("sbp", "dbp")]
    return Explanation(cause, kind, _verdict(ranges, gaps), *ranges)


def _add(chance: Law, values: tuple[np.ndarray, np.ndarray]) -> Law:
    """Chance and mistakes together: means and variances add up."""
    sbp, dbp = (each[np.isfinite(each)] for each in values)
    if not len(sbp):
        return chance
    sds = float(np.hypot(chance.sd_sbp, sbp.std())), float(np.hypot(chance.sd_dbp, dbp.std()))
    return Law(chance.sbp + float(sbp.mean()), chance.dbp + float(dbp.mean()), *sds)


def _verdict(ranges: Sequence[Range | None], gaps: tuple[float, float] | None) -> str:
    """What these ranges can do to both gaps: all, a part, nothing, or the opposite."""
    if gaps is None:
        return OPEN
    parts = [_one(r, gap) for r, gap in zip(ranges, gaps, strict=True) if r is not None]
    if parts and all(p == ALONE for p in parts):
        return ALONE
    if ALONE in parts or PART in parts:
        return PART
    return OTHER_WAY if OTHER_WAY in parts else NONE


def _one(span: Range, gap: float) -> str:
    """The same of one pressure: how far the band reaches in the direction of the gap."""
    reach, back = (span.high, -span.low) if gap >= 0 else (-span.low, span.high)
    if reach >= abs(gap):
        return ALONE
    if reach >= _HARDLY:
        return PART
    return OTHER_WAY if back >= _HARDLY else NONE


def _not_a_pressure(sbp: float, dbp: float) -> str:
    if sbp <= dbp:
        return say(
            "systolic {sbp:g} is not above diastolic {dbp:g}: something was misread or miswritten", sbp=sbp, dbp=dbp
        )
    if sbp - dbp < LEAST_PULSE_PRESSURE_MMHG:
        return say(
            "systolic is only {mmhg:g} above diastolic: hardly any pulse would be left to measure", mmhg=sbp - dbp
        )
    return ""
