"""Readings in words: the truth, what was shown, how far off and why."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from sim import PARAMETERS_VERSION, __version__
from sim.commands.taken import Taken, means
from sim.cuff.bladder import name_of, size_cm
from sim.figures.numbers import adding_up, pair, signed, whole
from sim.teach.safety import EMERGENCY_TITLE, SIGNS
from sim.texts import real_minus

if TYPE_CHECKING:
    from sim.explain.breakdown import Breakdown, Contribution

WIDTH = 78
LABEL = 54
MOST_LISTED = 12

# What the kind of a contribution means, in the order in which they are told.
KINDS = {
    "response": "The pressure itself was not the resting pressure",
    "measuring error": "The pressure was the same, but the number was not",
    "algorithm": "How the algorithm reads this arm with correct technique",
    "chance": "What differs from one reading to the next",
}

# Picone DS, Schultz MG, Otahal P, et al. J Am Coll Cardiol 2017;70:572-586, DOI 10.1016/j.jacc.2017.05.064: cuff less
# intra-arterial, 74 studies.
TRUTH = (
    "The truth is the pressure in the artery itself; an ordinary cuff differs from it on average by −5.7/+5.5 "
    "(Picone 2017)."
)
# The advice of sim.teach.safety, which has its sources; local advice comes first.
SAFETY = (
    "A simulation for learning: no medical device, and one reading diagnoses nothing. Never correct a real reading "
    "with these numbers: repeat it properly, and take questions to your clinician or your local protocol.",
    f"{EMERGENCY_TITLE}: repeat it after some minutes of rest. With {SIGNS}, call the emergency services at once, by "
    "local advice; without, contact the clinician soon. In pregnancy and the weeks after it 160/110 is already urgent.",
)


def text(taken: Taken) -> str:
    """The whole report, lines of at most 78 characters."""
    parts = [
        _cuff(taken),
        _truth(taken),
        _display(taken),
        _why(taken.breakdown, taken.ideal),
        _notes(taken),
    ]
    return real_minus("\n\n".join("\n".join(part) for part in parts))


def _cuff(taken: Taken) -> list[str]:
    width, length = size_cm(taken.bladder)
    arm = float(taken.setup.subject.arm_circumference_cm)
    name = name_of(taken.bladder)
    named = f"{name}, " if name else ""
    line = f"Arm {arm:g} cm round; bladder {named}{width:g} x {length:g} cm."
    return [line, *(wrapped for warning in taken.warnings for wrapped in _wrap(f"Note: {warning}."))]


def _truth(taken: Taken) -> list[str]:
    truth, s = taken.result.truth, taken.setup.subject
    measured, cuffed = means(truth.at_measurement), means(truth.at_cuff)
    return [
        "THE TRUTH, systolic/diastolic in mmHg",
        _line("resting pressure", pair(float(s.sbp), float(s.dbp))),
        _line("during the reading, at heart level", pair(measured["sbp"], measured["dbp"]))
        + f"   pulse {whole(truth.pulse_rate.mean())}",
        _line("in the artery under the cuff, at its height", pair(cuffed["sbp"], cuffed["dbp"])),
    ]


def _display(taken: Taken) -> list[str]:
    reading, n = taken.result.reading, len(taken.result.recording)
    lines = ["THE DISPLAY"]
    for row in range(min(n, MOST_LISTED)):
        name = "reading" if n == 1 else f"reading {row + 1}"
        if reading.ok[row]:
            shown = pair(reading.sbp[row], reading.dbp[row])
            lines.append(_line(name, shown) + f"   pulse {whole(reading.pulse_rate[row])}")
        else:
            lines += _wrap(f"  {name}: no numbers; {reading.reason[row]}", indent="    ")
    if n > MOST_LISTED:
        lines.append(f"  and {n - MOST_LISTED} more, which --json lists")
    count = int(reading.ok.sum())
    if n > 1:
        lines.append(_line(f"mean of {count}", pair(taken.mean["sbp"], taken.mean["dbp"])))
    if count:
        off = f"{signed(taken.bias['sbp'])}/{signed(taken.bias['dbp'])}"
        lines.append(_line("difference, display minus resting (before rounding)", off))
    return lines


def _why(explained: Breakdown, ideal: bool) -> list[str]:
    if explained.reason:
        return ["WHY: no breakdown", *_wrap(f"  {explained.reason}", indent="  ")]
    contributions = explained.mean().contributions
    sbp = adding_up([float(c.sbp[0]) for c in contributions])
    dbp = adding_up([float(c.dbp[0]) for c in contributions])
    lines = ["WHY" + (", for the mean" if len(explained.result.recording) > 1 else "")]
    for kind, meaning in KINDS.items():
        of_kind = [i for i, c in enumerate(contributions) if c.kind == kind and not (kind == "chance" and ideal)]
        if of_kind:
            lines.append(f"  {meaning}:")
            for i in of_kind:
                lines.append(_line(f"  {_cause(contributions[i])}", f"{signed(sbp[i])}/{signed(dbp[i])}"))
                lines += _people(contributions[i])
    lines.append(_line("together", f"{signed(sum(sbp))}/{signed(sum(dbp))}"))
    return lines


def _people(contribution: Contribution) -> list[str]:
    """How far people differ in a response: here everybody responds as people do on average."""
    if contribution.spread is None or not any(value.any() for value in contribution.spread):
        return []
    sbp, dbp = (abs(float(value[0])) for value in contribution.spread)
    return [f"      on average; two people in three lie within {sbp:.1f}/{dbp:.1f} of that"]


def _cause(contribution: Contribution) -> str:
    """The cause in the report's words; the algorithm's and random variation's are explained by the heading."""
    short = {"algorithm": "algorithm", "chance": "random variation"}
    return short.get(contribution.kind, contribution.cause)


def _line(label: str, value: str) -> str:
    return f"  {label:<{LABEL}} {value:>11}"


def _wrap(words: str, indent: str = "") -> list[str]:
    return textwrap.wrap(words, WIDTH, subsequent_indent=indent, drop_whitespace=True)


def _notes(taken: Taken) -> list[str]:
    origin = f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed {taken.seed}"
    lines = [line for paragraph in (TRUTH, *SAFETY) for line in _wrap(paragraph)]
    return [*lines, origin + (", without random variation" if taken.ideal else "")]
