"""What a study found, in words: each figure comes from the report, none is worked out here."""

from __future__ import annotations

import math

from sim.study.agreement import Agreement
from sim.study.compare import Comparison, Difference
from sim.study.standard import MEAN_MMHG, SD_MMHG, SUBJECTS, TOLERABLE_MMHG, TOLERABLE_SHARE, passing_together
from sim.texts import real_minus

PRESSURES = ("systolic", "diastolic")


def silent(a: Agreement) -> bool:
    """Whether an algorithm gave no number at all."""
    return a.counts.failed == a.counts.readings


def standing(a: Agreement) -> str:
    """Whether it met the criteria in this study."""
    if not a.counts.complete:
        return "Nothing to score: nobody has every reading"
    said = "Met both criteria" if a.passed else "Did not meet the criteria"
    if a.counts.complete == a.counts.subjects:
        return f"{said} in this study"
    return f"{said} over the {a.counts.complete:,} of {a.counts.subjects:,} people with every reading"


def broken(a: Agreement) -> list[str]:
    """Each criterion that was not met, with the figures [mmHg], and whether too few people could be read."""
    if not a.counts.complete:
        return []
    found = []
    if not a.enough_read:
        found.append(
            f"Read too few: {a.counts.complete:,} of {a.counts.subjects:,} people have every reading "
            f"({100 * a.complete_share:.0f} %); at least {100 * TOLERABLE_SHARE:.0f} % must. A person without a number "
            f"has no tolerable error."
        )
    for name, s in zip(PRESSURES, a.scores, strict=True):
        if not s.criterion_1:
            found.append(
                f"Criterion 1, {name}: mean error {_plus(s.parts.mean)} mmHg, SD {_plain(s.parts.sd)}; required: "
                f"{MEAN_MMHG:g} or less in either direction, and {SD_MMHG:g} or less."
            )
        if not s.criterion_2:
            asked = f"at this mean error, {s.limit_2:.2f} or less is required"
            limit = asked if s.limit_2 > 0 else f"with a mean error beyond {MEAN_MMHG:g} mmHg, no SD is small enough"
            found.append(f"Criterion 2, {name}: SD of people's mean errors {_plain(s.parts.sd_of_means, 2)}; {limit}.")
    return found


def odds(a: Agreement) -> dict[str, str]:
    """How probable it is that another study of 85 people meets both criteria: by pressure, and in both together."""
    each = {name: share(s.passing.both) for name, s in zip(PRESSURES, a.scores, strict=True)}
    low, high = (share(end) for end in passing_together(a.sbp.passing, a.dbp.passing))
    return each | {"both together": low if low == high else f"{low} to {high}"}


def chances(a: Agreement) -> str:
    """What the probabilities of passing mean."""
    criteria = "; ".join(
        f"{name} criterion 1 {share(s.passing.criterion_1)}, criterion 2 {share(s.passing.criterion_2)}"
        for name, s in zip(PRESSURES, a.scores, strict=True)
    )
    return (
        f"If {a.estimator} truly performs as it did here, this share of studies of {SUBJECTS} such people would pass: "
        f"{criteria}."
    )


def tolerable(a: Agreement) -> str:
    """The universal rule (an error of 10 mmHg or less), with how sure it is."""
    parts = []
    for name, s in zip(PRESSURES, a.scores, strict=True):
        found = s.tolerable.probability.scaled(100)
        if not math.isfinite(found.value):
            return "Too few people have every reading to judge by the universal rule."
        verdict = "enough" if s.tolerable.ok else "not enough"
        parts.append(
            f"{name} {found.value:.1f} % ({found.low:.1f} to {found.high:.1f}), {verdict}; probability that the true "
            f"share is enough: {share(s.tolerable.confidence)}"
        )
    return (
        f"Universal rule: at least {100 * TOLERABLE_SHARE:.0f} % of people with a mean error within "
        f"{TOLERABLE_MMHG:g} mmHg. Found: {'; '.join(parts)}."
    )


def tolerable_in_short(a: Agreement) -> str:
    """The universal rule (an error of 10 mmHg or less) on one line."""
    shares = [s.tolerable.probability.value for s in a.scores]
    if not all(map(math.isfinite, shares)):
        return ""
    kept = "met" if all(s.tolerable.ok for s in a.scores) else "not met"
    least = min(s.tolerable.confidence for s in a.scores)
    said = "/".join(f"{100 * value:.1f}" for value in shares)
    return (
        f"Universal rule, {100 * TOLERABLE_SHARE:.0f} % of people within {TOLERABLE_MMHG:g} mmHg: {kept}, {said} % "
        f"systolic/diastolic; probability that the true shares are enough: {share(least)}."
    )


def failures(a: Agreement) -> str:
    """What became of the readings: how many had no number, and why."""
    c = a.counts
    if not c.failed:
        return f"All {c.readings:,} recordings gave a number."
    found = c.failed_share.scaled(100)
    without = f"{c.failed:,} of {c.readings:,} recordings gave no number ({found.value:.1f} %)"
    if not c.complete:
        return f"{without}."
    return (
        f"{without}; {c.subjects - c.complete:,} of {c.subjects:,} people lack a reading, and the criteria leave them "
        f"out{', although the missing recordings are the difficult ones' * a.passed}."
    )


def few(a: Agreement) -> str:
    """What is said where fewer people count than a study by the standard has."""
    counted = a.counts.complete
    return f"A study by the standard counts {SUBJECTS} people; here {counted} count." if counted < SUBJECTS else ""


def better(c: Comparison) -> list[str]:
    """Which of two is nearer the truth [mmHg], by pressure, as far as the study tells, and which gave up more often."""
    nearer = [_nearer(c, name, d) for name, d in zip(PRESSURES, (c.sbp, c.dbp), strict=True)]
    return [*nearer, _given_up(c)]


def _given_up(c: Comparison) -> str:
    if not c.first_only and not c.second_only:
        return "Both read the same recordings: each gave a number wherever the other did."
    return (
        f"Recordings that only {c.first} could read: {c.first_only:,}; only {c.second}: {c.second_only:,}. The errors "
        f"above are those of the {c.both:,} that both could."
    )


def _nearer(c: Comparison, name: str, d: Difference) -> str:
    e = d.mean_absolute
    if not (math.isfinite(e.value) and math.isfinite(e.low)):
        return f"{name.capitalize()}: too few recordings that both could read."
    if e.low <= 0 <= e.high:
        shown = real_minus(f"{e.value:+.2f} mmHg (95 % interval {e.low:+.2f} to {e.high:+.2f})")
        return (
            f"{name.capitalize()}: **no difference shown**; mean |error| of {c.first} minus that of "
            f"{c.second} is {shown}."
        )
    low, high = sorted((abs(e.low), abs(e.high)))
    return (
        f"{name.capitalize()}: **{c.first if e.value < 0 else c.second}** is nearer the truth, by {abs(e.value):.2f} "
        f"mmHg in mean |error| (95 % interval {low:.2f} to {high:.2f})."
    )


def share(value: float) -> str:
    """A probability in percent, never rounded to what is certain.

    >>> share(0.5), share(0.99996), share(0.0), share(float("nan"))
    ('50 %', 'over 99.9 %', 'under 0.1 %', 'not known')
    """
    if not math.isfinite(value):
        return "not known"
    percent = 100 * value
    if percent > 99.9:
        return "over 99.9 %"
    if percent < 0.1:
        return "under 0.1 %"
    return f"{percent:.1f} %" if percent > 99 or percent < 10 else f"{percent:.0f} %"


def _plus(value: float) -> str:
    return real_minus(f"{value:+.1f}") if math.isfinite(value) else "not known"


def _plain(value: float, digits: int = 1) -> str:
    return f"{value:.{digits}f}" if math.isfinite(value) else "not known"
