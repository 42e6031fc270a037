"""The two numbers that matter, large: resting pressure and display, and the way from one to the other."""

from __future__ import annotations

import re
from html import escape

from sim.estimate.door import read
from sim.estimate.named import LABELS
from sim.explain.breakdown import Breakdown
from sim.explain.categories import categorise, schemes
from sim.figures.colours import DISPLAY, TRUTH
from sim.figures.numbers import SIMULATED, pair, whole
from sim.results import Pressures, Result
from sim.screens.cautions import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE, ONE_READING
from sim.screens.contributions import difference
from sim.screens.words import sentence
from sim.teach.safety import SEVERE_DBP_MMHG, SEVERE_SBP_MMHG


def panel(found: Breakdown, scheme: str) -> str:
    """The panel as HTML for one reading."""
    away = _difference(found) if found.result.reading.ok[0] else ""
    return _section(_truth(found, scheme) + _display(found, scheme) + away)


def display_only(found: Breakdown) -> str:
    """The display alone, for somebody whose resting pressure is not yet told."""
    return _section(_display(found))


def truth_only(found: Breakdown) -> str:
    """The resting pressure alone."""
    return _section(_truth(found))


def remarks(found: Breakdown, scheme: str, second: str = "") -> str:
    """What stands under the panel: the truth on the way, and what one reading does not say.

    second: name of another algorithm whose reading of the same recording is told, too
    """
    resting, reading = found.result.truth.resting, found.result.reading
    label = schemes()[scheme].label
    names = [f"{TRUTH.symbol} {_name(resting, scheme)}"]
    if reading.ok[0]:
        names.append(f"{DISPLAY.symbol} {_name(reading.pressures, scheme)}")
    return (
        f'<section class="remarks"><p class="narrow">If it were the average: {escape("; ".join(names))}.</p>'
        f"{_second(found, second)}<p>{_way(found)}</p>"
        f"<p><strong>{ONE_READING}</strong> Categories ({escape(label)}) belong to an average of repeated readings.</p>"
        "</section>"
    )


def urgent(result: Result) -> str:
    """The advice for a very high real reading as HTML, where the truth or the display here is one; else nothing."""
    reading, truth = result.reading, result.truth
    shown = [truth.resting, truth.at_measurement, *([reading.pressures] if reading.ok[0] else [])]
    if not any(p.sbp[0] >= SEVERE_SBP_MMHG - 0.5 or p.dbp[0] >= SEVERE_DBP_MMHG - 0.5 for p in shown):
        return ""
    words = re.sub(r"\*\*(.+?)\*\*", r"<strong>\1</strong>", escape(f"{EMERGENCY_SYMPTOMS} {EMERGENCY_NONE}"))
    return f'<section class="urgent"><p><strong>{escape(EMERGENCY_TITLE)}.</strong> {words}</p></section>'


def _second(found: Breakdown, name: str) -> str:
    """What another algorithm reads from the same recording; nothing without a name."""
    if not name:
        return ""
    second = read(name, found.result.recording)
    numbers = f"reads <b>{pair(second.sbp[0], second.dbp[0])}</b>"
    said = numbers if second.ok[0] else f"gives no reading: {escape(str(second.reason[0]))}"
    return (
        f'<p class="second"><span aria-hidden="true">▲</span> Another algorithm, by the {escape(LABELS[name])}, '
        f"{said} from the same recording.</p>"
    )


def _section(content: str) -> str:
    return f'<section class="numbers" role="status" aria-live="polite">{content}</section>'


def _truth(found: Breakdown, scheme: str = "") -> str:
    resting = found.result.truth.resting
    content = _big(resting) + _category(resting, scheme)
    return _number("truth", TRUTH.symbol, "Resting pressure", "the truth", content)


def _display(found: Breakdown, scheme: str = "") -> str:
    reading = found.result.reading
    if reading.ok[0]:
        content = _big(reading.pressures) + _category(reading.pressures, scheme)
    else:
        reason = escape(sentence(str(reading.reason[0])))
        content = f'<p class="big none">no reading</p><p class="reason">{reason}</p>'
    return _number("display", DISPLAY.symbol, "Display", "this reading", content)


def _number(kind: str, symbol: str, name: str, what: str, content: str) -> str:
    return (
        f'<div class="number {kind}"><p class="tag"><span aria-hidden="true">{symbol}</span> {name} '
        f"<small>{what}</small></p>"
        f"{content}</div>"
    )


def _big(pressures: Pressures) -> str:
    sbp, dbp = whole(pressures.sbp[0]), whole(pressures.dbp[0])
    number = f'<p class="big"><span class="pair">{sbp}<i>/</i>{dbp}</span> <small>mmHg</small></p>'
    return number + simulated()


def simulated() -> str:
    """The word beside a number that the model made, for whoever sees the number alone, on a wall or on paper."""
    return f'<p class="simulated">{SIMULATED}</p>'


def _category(pressures: Pressures, scheme: str) -> str:
    """Its category as if it were the average; nothing without a scheme."""
    if not scheme:
        return ""
    return f'<p class="category">if it were the average: <b>{escape(_name(pressures, scheme))}</b></p>'


def _name(pressures: Pressures, scheme: str) -> str:
    return str(categorise(pressures.sbp, pressures.dbp, scheme)[0])


def _difference(found: Breakdown) -> str:
    sbp, dbp = (f"{difference(found, n):+d}".replace("-", "−").replace("+0", "0") for n in ("sbp", "dbp"))
    return (
        '<div class="number difference"><p class="tag">Difference <small>display less truth</small></p>'
        f'<p class="big"><span class="pair">{sbp}<i>/</i>{dbp}</span> <small>mmHg</small></p></div>'
    )


def _way(found: Breakdown) -> str:
    """What the pressure really was on the way from rest to the display."""
    truth = found.result.truth
    measured, cuff = truth.at_measurement, truth.at_cuff
    return (
        f"In the artery at heart level during this reading: <b>{pair(measured.sbp[0], measured.dbp[0])}</b>; "
        f"in the artery under the cuff: <b>{pair(cuff.sbp[0], cuff.dbp[0])}</b>."
    )
