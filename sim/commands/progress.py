"""A progress bar."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.study.run import Progress

_BAR, _EVERY_S, _EVERY_LINE_S = 30, 0.2, 30.0


class Bar:
    """A progress bar on stderr, redrawn in place on a terminal; elsewhere a line now and then."""

    def __init__(self) -> None:
        self._terminal = sys.stderr.isatty()
        self._next, self._drawn = 0.0, False

    def __call__(self, p: Progress) -> None:
        """Draw how far the study is."""
        now = time.monotonic()
        last = p.chunks == p.of_chunks
        if now < self._next and not (last and self._terminal):
            return
        self._next = now + (_EVERY_S if self._terminal else _EVERY_LINE_S)
        share = p.chunks / p.of_chunks
        left = "" if p.left_s is None or last else f", {_time(p.left_s)} left"
        # Where a study goes on, nothing is known of its pace before the first chunk.
        rate = f", {p.per_s:,.0f}/s" if p.per_s > 0 else ""
        text = f"{share:4.0%}  {p.readings:,} of {p.of_readings:,} readings{rate}{left}"
        if self._terminal:
            full = round(_BAR * share)
            print(f"\r[{'#' * full}{'.' * (_BAR - full)}] {text}\x1b[K", end="", file=sys.stderr, flush=True)
            self._drawn = True
        elif not last:
            print(text, file=sys.stderr, flush=True)

    def end(self) -> None:
        """Leave the line."""
        if self._drawn:
            print(file=sys.stderr)
            self._drawn = False


def _time(seconds: float) -> str:
    """A time as people say it.

    >>> _time(50), _time(200), _time(9000)
    ('50 s', '3 min', '2 h 30 min')
    """
    if seconds < 90:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 120 else f"{minutes // 60} h {minutes % 60} min"
