"""Schedules and how far their means are off, in words and as a JSON object."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

from sim import PARAMETERS_VERSION, __version__
from sim.explain.averaging import NONE, OVER, Law, Systematic, reading_error
from sim.explain.choosing import Needed, Scored, dropped, first_day_worth_dropping, needed, score
from sim.explain.schedules import Schedule
from sim.explain.variation import Variation, usual
from sim.figures.numbers import pair, signed
from sim.setup import Setup
from sim.texts import real_minus

WIDTH = 78
NOTE = (
    "Normal laws from published variation, for a person of average variability. For learning: no medical "
    "device; never correct a real reading with a number from here. Repeat it properly."
)


@dataclass(frozen=True)
class Asked:
    """What was asked: schedules, the person with technique and instrument, and how close with which probability.

    bias: of the technique; None where nothing is done wrong
    """

    plans: list[Schedule]
    person: Setup
    bias: Systematic | None
    margin: float
    probability: float
    over: str
    vary: float

    def variation(self, plan: Schedule) -> Variation:
        """How this person's readings vary at the schedule's place."""
        return usual(plan.place, float(self.person.subject.sbp), float(self.person.subject.dbp)).scaled(self.vary)


@dataclass(frozen=True)
class Found:
    """One schedule: one reading of it, its mean, and how long it must be kept for each pressure."""

    plan: Schedule
    one: Law
    scored: Scored
    needed_sbp: Needed
    needed_dbp: Needed


def score_all(asked: Asked) -> list[Found]:
    """Every schedule that was asked about. Raises FieldError."""
    return [_score(asked, plan) for plan in asked.plans]


def _score(asked: Asked, plan: Schedule) -> Found:
    variation, bias = asked.variation(plan), asked.bias or NONE
    close = {"variation": variation, "margin": asked.margin, "over": asked.over}
    scored = score(plan, bias, **close)  # type: ignore[arg-type]
    days = (needed(plan, bias, probability=asked.probability, name=n, **close) for n in ("sbp", "dbp"))  # type: ignore[arg-type]
    return Found(plan, reading_error(variation, bias, over=asked.over), scored, *days)


def text(asked: Asked, found: list[Found]) -> str:
    """The whole report, lines of at most 78 characters."""
    parts = [_question(asked), _table(asked, found)]
    parts += [_closely(asked, each) for each in found] if len(found) == 1 else []
    parts.append([*_wrap(NOTE), f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}"])
    return real_minus("\n\n".join("\n".join(part) for part in parts))


def _question(asked: Asked) -> list[str]:
    subject = asked.person.subject
    lines = [f"Resting pressure {pair(float(subject.sbp), float(subject.dbp))}. Compared with: {OVER[asked.over]}."]
    if asked.bias is None:
        return [*lines, "Nothing done wrong: no bias."]
    b = asked.bias
    algorithm, people = f"{signed(b.algorithm_sbp)}/{signed(b.algorithm_dbp)}", f"{b.person_sbp:.1f}/{b.person_dbp:.1f}"
    lines += _wrap(
        f"Bias of every reading: {signed(b.sbp)}/{signed(b.dbp)} mmHg, of which the algorithm makes {algorithm}; "
        f"people differ in it by {people} (SD)."
    )
    return [*lines, "No averaging removes it."]


def _table(asked: Asked, found: list[Found]) -> list[str]:
    lines = [
        "THE MEAN minus the resting pressure, systolic/diastolic in mmHg",
        f"  {'':<22}{'readings':>9}{'bias':>14}{'scatter (SD)':>14}{f'within {asked.margin:g}':>16}",
    ]
    for each in found:
        law, s = each.scored.error, each.scored
        off, scatter = f"{signed(law.sbp)}/{signed(law.dbp)}", f"{law.sd_sbp:.1f}/{law.sd_dbp:.1f}"
        close = f"{100 * s.within_sbp:.0f}/{100 * s.within_dbp:.0f} %"
        lines.append(f"  {each.plan.name:<22}{each.plan.counted:>9}{off:>14}{scatter:>14}{close:>16}")
    one = found[0].one
    off, scatter = f"{signed(one.sbp)}/{signed(one.dbp)}", f"{one.sd_sbp:.1f}/{one.sd_dbp:.1f}"
    close = f"{100 * one.within(asked.margin):.0f}/{100 * one.within(asked.margin, 'dbp'):.0f} %"
    if len(found) == 1:
        lines.append(f"  {'its first reading':<22}{1:>9}{off:>14}{scatter:>14}{close:>16}")
    return lines


def _closely(asked: Asked, found: Found) -> list[str]:
    lines = [f"HOW LONG for within {asked.margin:g} mmHg with {100 * asked.probability:g} % probability"]
    days = "days" if found.plan.place == "home" else "visits"
    for name, need in (("systolic", found.needed_sbp), ("diastolic", found.needed_dbp)):
        enough = f"{need.days} {days}" if need.days else f"no number of {days} in a row is enough: {need.why}"
        lines += _wrap(f"  {name}: {enough}", "  ")
        if need.days is None and need.repeats:
            lines += _wrap(
                f"    repeating the whole schedule {need.repeats} times, months apart, would be enough", "  "
            )
    if found.plan.drop_days or found.plan.drop_readings:
        lines += ["", *_dropping(asked, found)]
    plan = found.plan
    source = [f"{plan.label}: {plan.source}" + (f", DOI {plan.doi}" if plan.doi else "") + f"; {plan.sure}"]
    return [*lines, *(["", *_wrap(source[0])] if plan.source else [])]


def _dropping(asked: Asked, found: Found) -> list[str]:
    plan, variation = found.plan, asked.variation(found.plan)
    what = dropped(plan, asked.bias or NONE, variation=variation)
    said = (
        f"  The systolic bias falls by {what.less_bias:.1f} mmHg and the scatter rises by {what.more_sd:.1f} mmHg; "
        f"the typical error {'falls' if what.gain > 0 else 'grows'} by {abs(what.gain):.1f} mmHg."
    )
    lines = ["DOES LEAVING OUT THE FIRST HELP?", *_wrap(said)]
    if plan.drop_days and not plan.drop_readings and asked.bias is None:
        worth = first_day_worth_dropping(plan, variation)
        said = f"  It helps where the first day is more than {worth:.1f} mmHg higher than the others; published: "
        lines += _wrap(said + f"{variation.sbp.first_day:.1f}.")
    return lines


def _wrap(words_: str, indent: str = "") -> list[str]:
    """Lines of at most WIDTH; those after the first stand further in by `indent`."""
    start = words_[: len(words_) - len(words_.lstrip())]
    return textwrap.wrap(words_.strip(), WIDTH, initial_indent=start, subsequent_indent=start + indent)


def document(asked: Asked, found: list[Found]) -> dict[str, Any]:
    """Everything as plain values, nothing rounded."""
    return {
        "version": __version__,
        "parameters_version": PARAMETERS_VERSION,
        "note": NOTE,
        "usual": {"sbp": float(asked.person.subject.sbp), "dbp": float(asked.person.subject.dbp)},
        "over": asked.over,
        "margin": asked.margin,
        "probability": asked.probability,
        "bias": None if asked.bias is None else vars(asked.bias),
        "schedules": [
            {
                "name": each.plan.name,
                "readings_taken": each.plan.taken,
                "readings_counted": each.plan.counted,
                "mean": _law(each.scored.error, asked.margin),
                "one_reading": _law(each.one, asked.margin),
                "needed": {"sbp": _needed(each.needed_sbp), "dbp": _needed(each.needed_dbp)},
            }
            for each in found
        ],
    }


def _law(law: Law, margin: float) -> dict[str, Any]:
    return {
        name: {"off": getattr(law, name), "sd": getattr(law, f"sd_{name}"), "within": law.within(margin, name)}
        for name in ("sbp", "dbp")
    } | {"correlation": law.correlation}


def _needed(need: Needed) -> dict[str, Any]:
    return {"days": need.days, "repeats": need.repeats, "best": need.best, "why": need.why or None}
