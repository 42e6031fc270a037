"""The two numbers that matter, large: resting pressure and display, and the way from one to the other."""

from __future__ import annotations

import re
from html import escape

import numpy as np

from sim.estimate.door import read
from sim.estimate.named import LABELS
from sim.explain.breakdown import Breakdown
from sim.explain.categories import categorise, schemes
from sim.explain.same_arm import SameArm
from sim.figures.colours import DISPLAY, TRUTH
from sim.figures.numbers import SIMULATED, pair, whole
from sim.figures.steps import differ, difference
from sim.results import Pressures
from sim.say import mark, say
from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE, ONE_READING
from sim.screens.words import sentence
from sim.teach.safety import HIGH_DBP_MMHG, HIGH_SBP_MMHG, SEVERE_DBP_MMHG, SEVERE_SBP_MMHG
from sim.texts import real_minus


def panel(found: SameArm, scheme: str) -> str:
    """The panel as HTML: truth, mean of the readings, their difference."""
    away = difference_card(found.mean) if found.with_numbers else ""
    return section(truth_card(found.every.truth.resting.take(slice(1)), scheme) + _display(found, scheme) + away)


def display_only(found: SameArm) -> str:
    """The display alone, for somebody whose resting pressure is not yet told."""
    return section(_display(found))


def truth_only(found: SameArm) -> str:
    """The resting pressure alone."""
    return section(truth_card(found.every.truth.resting.take(slice(1))))


def remarks(found: SameArm, scheme: str, compared_with: str = "") -> str:
    """What stands under the panel: the truth on the way, and what one reading does not say.

    compared_with: name of another algorithm whose readings of the same recordings are told, too
    """
    mean = found.mean.result
    label = schemes()[scheme].label
    belong = say(
        "Categories ({scheme}) belong to an average of repeated readings, on more than one day.",
        scheme=escape(say(label)),
    )
    names = [f"{TRUTH.symbol} {_name(mean.truth.resting, scheme)}"]
    if mean.reading.ok[0]:
        names.append(f"{DISPLAY.symbol} {_name(mean.reading.pressures, scheme)}")
    return (
        f'<section class="remarks"><p class="narrow">{say("If it were the average:")} {escape("; ".join(names))}.</p>'
        f"{second(found, compared_with)}<p>{_way(found)}{_people(found)}</p>"
        f"<p><strong>{say(ONE_READING)}</strong> {belong}</p></section>"
    )


def urgent(found: SameArm) -> str:
    """The advice for a very high real reading as HTML, where a number here is one, and which; else nothing.

    A single reading brings it where the mean is high, too. Where the mean is not, that reading is a chance one: then a
    line says what to do with a real one like it.
    """
    which = _severe(found)
    if which:
        words = re.sub(
            r"\*\*(.+?)\*\*", r"<strong>\1</strong>", escape(f"{say(EMERGENCY_SYMPTOMS)} {say(EMERGENCY_NONE)}")
        )
        title = say("{title}, as {which}", title=say(EMERGENCY_TITLE), which=which)
        return f'<section class="urgent"><p><strong>{escape(title)}.</strong> {words}</p></section>'
    if not _is_severe(found.this.reading.pressures):
        return ""
    return f'<section class="remarks"><p>{escape(say(_APART))}</p></section>'


_APART = mark(
    "This reading is far from the others, and their mean is not high. With a real reading like this: sit quietly and "
    "repeat it after some minutes of rest. The page Cautions says what to do at 180/120 or more, and with which signs "
    "to call for help."
)


def _severe(found: SameArm) -> str:
    """Which of the numbers is a very high one, in words; "" where none is."""
    mean = found.mean.result
    if _is_severe(mean.truth.resting):
        return say("the truth here")
    if _is_severe(mean.truth.at_measurement):
        return say("the true pressure during these readings")
    if _is_severe(mean.reading.pressures):
        return say("the mean display here") if found.count > 1 else say("the display here")
    return say("this single reading") if _is_severe(found.this.reading.pressures, mean.reading.pressures) else ""


def _is_severe(pressures: Pressures, mean: Pressures | None = None) -> bool:
    """Whether a number of the first row is very high; where there is a mean, one whose mean is high, too."""
    sbp, dbp = (
        (value >= severe - 0.5) & (mean_value >= high - 0.5)
        for value, severe, mean_value, high in (
            (pressures.sbp[0], SEVERE_SBP_MMHG, np.inf if mean is None else mean.sbp[0], HIGH_SBP_MMHG),
            (pressures.dbp[0], SEVERE_DBP_MMHG, np.inf if mean is None else mean.dbp[0], HIGH_DBP_MMHG),
        )
    )
    return bool(sbp or dbp)


def second(found: SameArm, name: str) -> str:
    """What another algorithm reads from the same recordings; nothing without a name."""
    if not name:
        return ""
    other = read(name, found.every.recording)
    if other.ok.any():
        mean = pair(other.sbp[other.ok].mean(), other.dbp[other.ok].mean())
        said = (
            say("reads <b>{mean}</b> on average ({ok} of {all})", mean=mean, ok=other.ok.sum(), all=found.count)
            if found.count > 1
            else say("reads <b>{mean}</b>", mean=mean)
        )
    else:
        said = say("gives no reading: {reason}", reason=escape(say(str(other.reason[0]))))
    another = say(
        "Another algorithm, by the {algorithm}, {said} from the same recordings."
        if found.count > 1
        else "Another algorithm, by the {algorithm}, {said} from the same recording.",
        algorithm=escape(say(LABELS[name])),
        said=said,
    )
    return f'<p class="second"><span aria-hidden="true">▲</span> {another}</p>'


def _people(found: SameArm) -> str:
    """That people differ in what they respond to here, and how far; nothing where nothing responds."""
    said = [
        " "
        + say("This person responds as people do on average ({cause});", cause=escape(part.cause))
        + f" {differ((float(part.spread[0][0]), float(part.spread[1][0])))}."
        for part in found.mean.contributions
        if part.spread is not None and (any(part.sbp) or any(part.dbp))
    ]
    return "".join(said)


def section(content: str) -> str:
    """Cards with numbers beside each other."""
    return f'<section class="numbers" role="status" aria-live="polite">{content}</section>'


def truth_card(resting: Pressures, scheme: str = "") -> str:
    """The card with the resting pressure, and with its category where a scheme is given."""
    content = big(resting) + _category(resting, scheme)
    return number("truth", TRUTH.symbol, say("Resting pressure"), f"<small>{say('the truth')}</small>", content)


def _display(found: SameArm, scheme: str = "") -> str:
    reading = found.mean.result.reading
    if reading.ok[0]:
        content = big(reading.pressures) + _this(found) + _category(reading.pressures, scheme)
    else:
        reason = escape(sentence(say(str(reading.reason[0]))))
        content = f'<p class="big none">{say("no reading")}</p>{_this(found)}<p class="reason">{reason}</p>'
    what = f'<small class="kept">{_of_which(found)}</small>' if found.count > 1 and found.with_numbers else ""
    return number("display", DISPLAY.symbol, say("Display"), what, content)


def _of_which(found: SameArm) -> str:
    """What the large number is the mean of."""
    if found.with_numbers == 1:
        return say("the only one of {count} with numbers", count=found.count)
    return say("mean of {count}", count=found.with_numbers)


def _this(found: SameArm) -> str:
    """The reading that is looked at: one of many, and smaller than their mean."""
    if found.count == 1:
        return ""
    reading = found.this.reading
    shown = pair(reading.sbp[0], reading.dbp[0]) if reading.ok[0] else say("no reading")
    why = "" if reading.ok[0] else f" ({escape(say(str(reading.reason[0])))})"
    named = say("this reading, number {number} of {count}:", number=found.number, count=found.count)
    return f'<p class="this">{named} <b>{shown}</b>{why}</p>'


def number(kind: str, symbol: str, name: str, what: str, content: str) -> str:
    """One card: "truth" or "display", with its name, small words beside it, and what it shows."""
    return (
        f'<div class="number {kind}"><p class="tag"><span aria-hidden="true">{symbol}</span> {name} '
        f"{what}</p>"
        f"{content}</div>"
    )


def big(pressures: Pressures) -> str:
    """A pressure, large."""
    sbp, dbp = whole(pressures.sbp[0]), whole(pressures.dbp[0])
    number = f'<p class="big"><span class="pair">{sbp}<i>/</i>{dbp}</span> <small>mmHg</small></p>'
    return number + simulated()


def simulated() -> str:
    """The word beside a number that the model made, for whoever sees the number alone, on a wall or on paper."""
    return f'<p class="simulated">{say(SIMULATED)}</p>'


def _category(pressures: Pressures, scheme: str) -> str:
    """Its category as if it were the average; nothing without a scheme."""
    if not scheme:
        return ""
    return f'<p class="category">{say("if it were the average:")} <b>{escape(_name(pressures, scheme))}</b></p>'


def _name(pressures: Pressures, scheme: str) -> str:
    return say(str(categorise(pressures.sbp, pressures.dbp, scheme)[0]))


def difference_card(found: Breakdown) -> str:
    """The card with display less resting pressure."""
    sbp, dbp = (real_minus(f"{difference(found, n):+d}").replace("+0", "0") for n in ("sbp", "dbp"))
    return (
        f'<div class="number difference"><p class="tag">{say("Difference")} '
        f"<small>{say('display minus resting pressure')}</small></p>"
        f'<p class="big"><span class="pair">{sbp}<i>/</i>{dbp}</span> <small>mmHg</small></p></div>'
    )


def _way(found: SameArm) -> str:
    """What the pressure really was on the way from rest to the display."""
    truth = found.mean.result.truth
    measured, cuff = truth.at_measurement, truth.at_cuff
    if found.count == 1:
        when, moved = say("during this reading"), ""
    else:
        when = say("during these readings, on average")
        moved = " " + say("Breathing and beats move both from one reading to the next.")
    way = say(
        "In the artery at heart level {when}: <b>{heart}</b>; in the artery under the cuff: <b>{cuff}</b>.",
        when=when,
        heart=pair(measured.sbp[0], measured.dbp[0]),
        cuff=pair(cuff.sbp[0], cuff.dbp[0]),
    )
    return way + moved
