"""Numbers as people read them: readings in whole mmHg, contributions to one decimal."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sim.say import mark
from sim.texts import real_minus

MISSING = "-"
# Stands beside every large number that the model made: a card is projected, printed and photographed by itself.
SIMULATED = mark("SIMULATED")


def whole(pressure_mmhg: float) -> str:
    """A pressure as a display shows it, '-' where there is none.

    >>> whole(119.6), whole(math.nan)
    ('120', '-')
    """
    return f"{pressure_mmhg:.0f}" if math.isfinite(pressure_mmhg) else MISSING


def pair(sbp_mmhg: float, dbp_mmhg: float) -> str:
    """Systolic over diastolic as they are written.

    >>> pair(127.8, 82.1)
    '128/82'
    """
    return f"{whole(sbp_mmhg)}/{whole(dbp_mmhg)}"


def signed(difference_mmhg: float) -> str:
    """A difference to one decimal, with its sign unless it rounds to zero.

    >>> signed(7.75), signed(-0.31), signed(-0.04), signed(math.nan)
    ('+7.8', '−0.3', '0.0', '-')
    """
    if not math.isfinite(difference_mmhg):
        return MISSING
    text = f"{difference_mmhg:+.1f}"
    return "0.0" if float(text) == 0 else real_minus(text)


def adding_up(parts_mmhg: Sequence[float], decimals: int = 1) -> list[float]:
    """The parts rounded so that the rounded parts add up to their rounded sum.

    Each part is rounded down or up, and those nearest to the next step go up: none is off by a whole step.
    Parts that are not numbers are left as they are, all of them.

    >>> adding_up([1.26, 1.26, 1.26])  # the sum is 3.78
    [1.3, 1.3, 1.2]
    """
    step = 10.0**-decimals
    if not all(math.isfinite(part) for part in parts_mmhg):
        return list(parts_mmhg)
    lower = [math.floor(part / step) for part in parts_mmhg]
    missing = round(math.fsum(parts_mmhg) / step) - sum(lower)
    nearest_first = sorted(range(len(lower)), key=lambda i: lower[i] - parts_mmhg[i] / step)
    for i in nearest_first[:missing]:
        lower[i] += 1
    return [round(steps * step, decimals) for steps in lower]
