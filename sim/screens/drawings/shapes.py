"""Shapes that the drawings are put together from, as pieces of SVG."""

from __future__ import annotations

import math
from base64 import b64encode
from collections.abc import Sequence
from html import escape

Point = tuple[float, float]
Box = tuple[float, float, float, float]

# Colours of the drawings. None is one of those that stand for truth, display or a kind of contribution.
SKIN = "#C4906F"
SKIN_DARK = "#A97658"
HAIR = "#43342F"
SHIRT = "#7F9390"
SHIRT_DARK = "#667A77"
TROUSERS = "#46505C"
TROUSERS_DARK = "#39424C"
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


def line(start: Point, end: Point, colour: str, width: float = 1.6, dash: str = "") -> str:
    """A straight line; `dash` as SVG has it, "7 5"."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    (x1, y1), (x2, y2) = start, end
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" '
        f'stroke="{colour}" stroke-width="{width:g}"{dashes}/>'
    )


def rect(corner: Point, width: float, height: float, fill: str, radius: float = 0, opacity: float = 1) -> str:
    """A rectangle with rounded corners, from its upper left corner."""
    see_through = f' opacity="{opacity:g}"' if opacity < 1 else ""
    return (
        f'<rect x="{corner[0]:.1f}" y="{corner[1]:.1f}" width="{width:.1f}" height="{height:.1f}" '
        f'rx="{radius:g}" fill="{fill}"{see_through}/>'
    )


def circle(middle: Point, radius: float, fill: str, edge: str = "", edge_width: float = 1.6) -> str:
    """A circle, with an edge where one is named."""
    stroke = f' stroke="{edge}" stroke-width="{edge_width:g}"' if edge else ""
    return f'<circle cx="{middle[0]:.1f}" cy="{middle[1]:.1f}" r="{radius:.1f}" fill="{fill}"{stroke}/>'


def placed(place: Point, turn: float, body: str) -> str:
    """Shapes drawn round (0, 0), put at a place and turned clockwise [degrees]."""
    return f'<g transform="translate({place[0]:.1f} {place[1]:.1f}) rotate({turn:.1f})">{body}</g>'


def arrow(start: Point, end: Point, colour: str = INK, width: float = 1.6, head: float = 5) -> str:
    """A line with a head at each end, for a distance; without heads where they would not fit."""
    drawn = line(start, end, colour, width)
    if math.dist(start, end) < 2 * head:
        return drawn
    shape = f'<path fill="{colour}" d="M0 0L{-head * 1.5:.1f} {-head * 0.7:.1f}V{head * 0.7:.1f}Z"/>'
    heads = placed(start, degrees(end, start), shape) + placed(end, degrees(start, end), shape)
    return marked(drawn + heads)


def marked(body: str) -> str:
    """Shapes that words may not lie on, so that a test can find them."""
    return f'<g class="arrow">{body}</g>'


def heart(middle: Point, size: float) -> str:
    """A small heart, `size` wide."""
    shape = "M0 10C-7 4.5-11 1-11-3.6-11-7-8.4-9.4-5.3-9.4-3.2-9.4-1.2-8.3 0-6.5"
    shape += "C1.2-8.3 3.2-9.4 5.3-9.4 8.4-9.4 11-7 11-3.6 11 1 7 4.5 0 10Z"
    x, y = middle
    return f'<path transform="translate({x:.1f} {y:.1f}) scale({size / 22:.3f})" fill="{HEART}" d="{shape}"/>'


def svg(box: Box, body: str) -> str:
    """The drawing as an SVG document that shows the part of it in `box` (x, y, width, height)."""
    x, y, w, h = box
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x:g} {y:g} {w:g} {h:g}" width="{w:g}" height="{h:g}" '
        f'font-family="Helvetica Neue, Helvetica, Arial, sans-serif">{body}</svg>'
    )


def image(document: str, words: str) -> str:
    """An SVG document as an image that screen readers read out as `words`, for a page that takes no SVG itself."""
    written = b64encode(document.encode()).decode()  # escapes would take forty times as long
    return f'<img alt="{escape(words, quote=True)}" src="data:image/svg+xml;base64,{written}">'


def figure(document: str, words: str, kind: str = "") -> str:
    """A drawing with the sentence that says what it shows beneath it, for a page."""
    return f'<figure class="drawing {kind}">{image(document, words)}<figcaption>{escape(words)}</figcaption></figure>'


def polyline(points: Sequence[Point], colour: str, width: float = 1.6, dash: str = "") -> str:
    """A line through points."""
    places = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<polyline points="{places}" fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linejoin="round" '
        f'stroke-linecap="round"{dashes}/>'
    )


def inner(box: Box, place: Box, body: str) -> str:
    """A drawing within another: the part of it in `box`, shown at `place` (x, y, width, height each)."""
    (x, y, w, h), (px, py, pw, ph) = box, place
    return (
        f'<svg x="{px:g}" y="{py:g}" width="{pw:.1f}" height="{ph:.1f}" viewBox="{x:g} {y:g} {w:g} {h:g}">{body}</svg>'
    )
