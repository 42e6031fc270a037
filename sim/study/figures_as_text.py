"""Figures with their intervals as text, for the tables of a study; NONE where there is no figure."""

from __future__ import annotations

import math

from sim.study.intervals import Estimate
from sim.texts import MINUS, real_minus

NONE = "-"


def mmhg(e: Estimate) -> str:
    """A difference with its interval, to a tenth of a mmHg.

    >>> mmhg(Estimate(1.234, 0.5, 2.0))
    '+1.2 (+0.5 to +2.0)'
    """
    return interval(e, "+.1f")


def ratio(e: Estimate) -> str:
    """A ratio with its interval, to a hundredth; the figure is a share, or one SD over another.

    >>> ratio(Estimate(0.912, 0.85, 0.98))
    '0.91 (0.85 to 0.98)'
    """
    return interval(e, ".2f")


def interval(e: Estimate, form: str) -> str:
    """A figure with its interval in the unit that it has (mmHg, %), '-' where there is none.

    >>> interval(Estimate(float("nan"), 0.0, 0.0), ".1f")
    '-'
    """
    if not math.isfinite(e.value):
        return NONE
    value, low, high = (_shown(x, form) for x in (e.value, e.low, e.high))
    return f"{value} ({low} to {high})" if math.isfinite(e.low) else value


def _shown(value: float, form: str) -> str:
    """A number without the sign of a nothing: 0.0 for -0.04."""
    text = real_minus(format(value, form))
    return text if any(digit in text for digit in "123456789") else text.lstrip("+" + MINUS)


def share(e: Estimate) -> str:
    """A share with its interval, in %."""
    p = e.scaled(100)
    if not math.isfinite(p.value):
        return NONE
    return f"{p.value:.1f} % ({p.low:.1f} to {p.high:.1f})"


def percent(value: float) -> str:
    """A share or probability in %."""
    if not math.isfinite(value):
        return NONE
    # Never rounded to what is certain.
    return "over 99.9 %" if value > 0.999 else "under 0.1 %" if value < 0.001 else f"{100 * value:.1f} %"


def plus(value: float) -> str:
    """A difference [mmHg], to a tenth, with its sign."""
    return _shown(value, "+.1f") if math.isfinite(value) else NONE


def plain(value: float, digits: int = 1) -> str:
    """A figure [mmHg] to so many digits."""
    return f"{value:.{digits}f}" if math.isfinite(value) else NONE
