"""Shapes that the drawings are put together from, as pieces of SVG."""

from __future__ import annotations

import math
from html import escape
from urllib.parse import quote

Point = tuple[float, float]

# Colours of the drawings. None is one of those that stand for truth, display or a kind of contribution.
SKIN = "#C4906F"
SKIN_DARK = "#A97658"
HAIR = "#43342F"
SHIRT = "#7F9390"
SHIRT_DARK = "#667A77"
TROUSERS = "#46505C"
SHOE = "#2B323A"
WOOD = "#C9AE8C"
WOOD_DARK = "#A98D6B"
CUFF = "#33414F"
CUFF_LIGHT = "#5B6B7B"
HEART = "#A63D57"
INK = "#26323B"
QUIET = "#5F6B73"
CLOTH = "#D9C7A8"
CLOTH_DARK = "#B59F7A"


def limb(start: Point, end: Point, start_width: float, end_width: float, fill: str) -> str:
    """A rounded, tapering limb between two joints; widths are diameters."""
    along = math.atan2(end[1] - start[1], end[0] - start[0])
    nx, ny = -math.sin(along), math.cos(along)
    a, b = start_width / 2, end_width / 2
    corners = [
        (start[0] + nx * a, start[1] + ny * a),
        (end[0] + nx * b, end[1] + ny * b),
        (end[0] - nx * b, end[1] - ny * b),
        (start[0] - nx * a, start[1] - ny * a),
    ]
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = corners
    return (
        f'<path fill="{fill}" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}A{b:.1f} {b:.1f} 0 0 0 {x3:.1f} {y3:.1f}'
        f'L{x4:.1f} {y4:.1f}A{a:.1f} {a:.1f} 0 0 0 {x1:.1f} {y1:.1f}Z"/>'
    )


def between(start: Point, end: Point, share: float) -> Point:
    """The point at a share of the way from start to end."""
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def degrees(start: Point, end: Point) -> float:
    """Direction from start to end, clockwise from pointing right [degrees]."""
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def text(
    at: Point,
    words: str,
    size: float = 14,
    anchor: str = "start",
    fill: str = INK,
    weight: int = 400,
    halo: bool = True,
) -> str:
    """Words in the page's typeface, with a pale halo so that lines behind them do not disturb."""
    ring = ' stroke="#FBF9F5" stroke-width="4" stroke-linejoin="round" paint-order="stroke"' if halo else ""
    return (
        f'<text x="{at[0]:.1f}" y="{at[1]:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{fill}" '
        f'font-weight="{weight}"{ring}>{escape(words)}</text>'
    )


def arrow(start: Point, end: Point, colour: str = INK, width: float = 1.6, head: float = 5) -> str:
    """A line with a head at each end, for a distance; without heads where they would not fit."""
    length = math.dist(start, end)
    line = (
        f'<line x1="{start[0]:.1f}" y1="{start[1]:.1f}" x2="{end[0]:.1f}" y2="{end[1]:.1f}" '
        f'stroke="{colour}" stroke-width="{width}"/>'
    )
    if length < 2 * head:
        return line
    heads = ""
    for tip, other in ((start, end), (end, start)):
        turn = degrees(other, tip)
        heads += (
            f'<path transform="translate({tip[0]:.1f} {tip[1]:.1f}) rotate({turn:.1f})" fill="{colour}" '
            f'd="M0 0L{-head * 1.5:.1f} {-head * 0.7:.1f}V{head * 0.7:.1f}Z"/>'
        )
    return line + heads


def heart(at: Point, size: float) -> str:
    """A small heart, `size` wide, its middle at `at`."""
    k = size / 24
    return (
        f'<path transform="translate({at[0] - 12 * k:.1f} {at[1] - 11 * k:.1f}) scale({k:.3f})" fill="{HEART}" '
        'd="M12 21C5 15.5 1 12 1 7.4 1 4 3.6 1.6 6.7 1.6c2.100 0 4.100 1.100 5.300 2.900 1.200-1.800 3.200-2.900 5.300-2.900C20.400 1.600 23 4 23 7.400 23 12 19 15.500 12 21Z"/>'
    )


def svg(box: tuple[float, float, float, float], body: str) -> str:
    """The drawing as an SVG document that shows the part of it in `box` (x, y, width, height)."""
    x, y, w, h = box
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x:g} {y:g} {w:g} {h:g}" width="{w:g}" height="{h:g}" '
        f'font-family="Helvetica Neue, Helvetica, Arial, sans-serif">{body}</svg>'
    )


def image(document: str, words: str) -> str:
    """An SVG document as an image that screen readers read out as `words`, for a page that takes no SVG itself."""
    return f'<img alt="{escape(words, quote=True)}" src="data:image/svg+xml,{quote(document)}">'


def figure(document: str, words: str, kind: str = "") -> str:
    """A drawing with the sentence that says what it shows beneath it, for a page."""
    return f'<figure class="drawing {kind}">{image(document, words)}<figcaption>{escape(words)}</figcaption></figure>'
