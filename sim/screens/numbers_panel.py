"""The two numbers that matter, large: resting pressure and display, and the way from one to the other."""

from __future__ import annotations

from html import escape

from sim.explain.breakdown import Breakdown
from sim.explain.categories import categorise, schemes
from sim.figures.colours import DISPLAY, TRUTH
from sim.figures.numbers import pair, whole
from sim.results import Pressures
from sim.screens.cautions import ONE_READING
from sim.screens.contributions import difference
from sim.screens.words import sentence


def panel(found: Breakdown, scheme: str) -> str:
    """The panel as HTML for one reading."""
    resting, reading = found.result.truth.resting, found.result.reading
    truth = _number("truth", TRUTH.symbol, "Resting pressure", "the truth", _big(resting), _category(resting, scheme))
    if reading.ok[0]:
        shown = _number(
            "display",
            DISPLAY.symbol,
            "Display",
            "this reading",
            _big(reading.pressures),
            _category(reading.pressures, scheme),
        )
        away = _difference(found)
    else:
        reason = sentence(str(reading.reason[0]))
        nothing = f'<p class="big none">no reading</p><p class="reason">{escape(reason)}</p>'
        shown = _number("display", DISPLAY.symbol, "Display", "this reading", nothing, "")
        away = ""
    return f'<section class="numbers" role="status" aria-live="polite">{truth}{shown}{away}</section>'


def remarks(found: Breakdown, scheme: str) -> str:
    """What stands under the panel: the truth on the way, and what one reading does not say."""
    resting, reading = found.result.truth.resting, found.result.reading
    label = schemes()[scheme].label
    names = [f"{TRUTH.symbol} {_name(resting, scheme)}"]
    if reading.ok[0]:
        names.append(f"{DISPLAY.symbol} {_name(reading.pressures, scheme)}")
    return (
        f'<section class="remarks"><p class="narrow">If it were the average: {escape("; ".join(names))}.</p>'
        f"<p>{_way(found)}</p>"
        f"<p><strong>{ONE_READING}</strong> Categories ({escape(label)}) belong to an average of repeated readings.</p></section>"
    )


def _number(kind: str, symbol: str, name: str, what: str, content: str, category: str) -> str:
    return (
        f'<div class="number {kind}"><p class="tag"><span aria-hidden="true">{symbol}</span> {name} <small>{what}</small></p>'
        f"{content}{category}</div>"
    )


def _big(pressures: Pressures) -> str:
    sbp, dbp = whole(pressures.sbp[0]), whole(pressures.dbp[0])
    return f'<p class="big"><span class="pair">{sbp}<i>/</i>{dbp}</span> <small>mmHg</small></p>'


def _category(pressures: Pressures, scheme: str) -> str:
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
