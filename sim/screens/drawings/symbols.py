"""Plain symbols round (0, 0), about 40 wide: what came before a reading, and the reading itself."""

from __future__ import annotations

from sim.screens.drawings import shapes
from sim.screens.drawings.shapes import Point, placed

_LINE = f'fill="none" stroke="{shapes.INK}" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round"'
_CUP = f'<path d="M-17-5H9V8Q9 18-1 18H-7Q-17 18-17 8Z" fill="#7A5A45"/><path d="M9-1q10-1 9 6-1 6-10 6" {_LINE}/>'
_STEAM = f'<path d="M-11-10q-3-4 0-7t0-7M-2-10q-3-4 0-7t0-7" {_LINE}/>'
_PLATE = (
    '<circle r="13" fill="#FFFFFF" stroke="#8A9198" stroke-width="2.2"/><circle r="7.5" fill="#D9C7A8"/>'
    f'<path d="M-20-13v26M-23-13v6q0 3 3 3t3-3v-6M20-13v26M20-13q-5 5-3 12h3" {_LINE}/>'
)
_CIGARETTE = (
    '<path d="M-20 6H10V12H-20Z" fill="#FFFFFF" stroke="#8A9198" stroke-width="1.6"/>'
    '<path d="M-20 6H-9V12H-20Z" fill="#C99F6B"/><path d="M10 6H14V12H10Z" fill="#B4552D"/>'
    f'<path d="M15 1q5-4 1-8t1-9" {_LINE}/>'
)
_URINE = (
    f'<path d="M-11-16Q-16-4-16 3-16 17 0 17 16 17 16 3 16-4 11-16Q0-11-11-16Z" fill="#E8C96A"/>'
    f'<path d="M-11-16Q-16-4-16 3-16 17 0 17 16 17 16 3 16-4 11-16M-4 17q1 3 0 6M4 17q-1 3 0 6" {_LINE}/>'
)
_COLD = "".join(
    f'<path transform="rotate({turn})" d="M0-18V18M-5-13L0-8 5-13M-5 13L0 8 5 13" fill="none" stroke="#4A6F86" '
    'stroke-width="2.4" stroke-linecap="round"/>'
    for turn in (0, 60, 120)
)
_CHAIR = (
    f'<path d="M-11-18Q-14-2-11 6H11V18M-11 6V18" fill="none" stroke="{shapes.WOOD_DARK}" stroke-width="4.5" '
    'stroke-linecap="round" stroke-linejoin="round"/>'
)
_TALK = (
    f'<path d="M-18-14H18V8H-4L-12 16V8H-18Z" fill="#FFFFFF" stroke="{shapes.INK}" stroke-width="2" '
    f'stroke-linejoin="round"/><path d="M-10-6H10M-10 1H4" {_LINE}/>'
)
_READING = (
    f'<rect x="-19" y="-13" width="38" height="26" rx="6" fill="{shapes.CUFF}"/>'
    f'<rect x="-14" y="-16" width="28" height="32" rx="7" fill="{shapes.CUFF_LIGHT}"/>'
    '<rect x="-9" y="-12" width="18" height="4" rx="2" fill="#FFFFFF" opacity=".3"/>'
)
SYMBOLS = {
    "caffeine": _CUP + _STEAM,
    "nicotine": _CIGARETTE,
    "meal": _PLATE,
    "full_bladder": _URINE,
    "cold": _COLD,
    "rest_min": _CHAIR,
    "talking": _TALK,
    "reading": _READING,
}
_PALE = 0.22


def symbol(name: str, at: Point, size: float = 1.0, pale: bool = False) -> str:
    """A symbol, a key of `SYMBOLS`, at a place; pale for what is not there."""
    opacity = f' opacity="{_PALE}"' if pale else ""
    return placed(at, 0, f'<g transform="scale({size:g})"{opacity}>{SYMBOLS[name]}</g>')
