"""What all charts share: typeface, axes, marks, and how arrays travel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from sim.figures.colours import GRID, QUIET, TEXT

FONT = "Source Sans, Source Sans Pro, sans-serif"
BACKGROUND = "#FBF9F5"
Spec = dict[str, Any]

# A chart's layer without data of its own still needs one row.
ONE_ROW: Spec = {"values": [{}]}
_CONFIG: Spec = {
    # The page gives each chart a name that says what it shows; its marks one by one would only be noise to listen to.
    "aria": False,
    "mark": {"aria": False},
    "font": FONT,
    "background": "transparent",
    "view": {"stroke": None},
    "axis": {
        "labelColor": QUIET,
        "titleColor": TEXT,
        "labelFontSize": 13,
        "titleFontSize": 14,
        "titleFontWeight": "normal",
        "gridColor": GRID,
        "domainColor": GRID,
        "tickColor": GRID,
        "titlePadding": 8,
    },
    "text": {"font": FONT, "fontSize": 14, "color": TEXT},
    "legend": {"labelFontSize": 13, "titleFontSize": 13, "labelColor": TEXT, "titleColor": TEXT},
}


def chart(layers: list[Spec], height: int) -> Spec:
    """A chart of layers, each with its own data, as wide as the page allows."""
    fit = {"type": "fit-x", "contains": "padding"}
    return {"height": height, "layer": layers, "config": _CONFIG, "autosize": fit}


def layer(data: Spec, mark: Spec, *transforms: Spec, **encoding: Spec) -> Spec:
    """One layer: data, mark, and which field is shown by what."""
    made: Spec = {"data": data, "mark": mark, "encoding": encoding}
    return made | {"transform": list(transforms)} if transforms else made


def rule(colour: str, width: float = 1.6, dash: Sequence[int] = ()) -> Spec:
    """A straight line."""
    return {"type": "rule", "color": colour, "strokeWidth": width} | ({"strokeDash": list(dash)} if dash else {})


def point(shape: str, size: int, colour: str, **more: Any) -> Spec:
    """A mark at a place, filled unless `more` says otherwise."""
    return {"type": "point", "shape": shape, "size": size, "color": colour, "filled": True, "opacity": 1} | more


def label(data: Spec, colour: str, place: Spec, **more: Any) -> list[Spec]:
    """Words at a place, with a pale ring so that the lines behind do not disturb."""
    words = {"type": "text", "color": colour, "fontSize": 14, "fontWeight": 600} | more
    ring = {"stroke": BACKGROUND, "strokeWidth": 4, "strokeJoin": "round"}
    return [layer(data, words | ring, **place), layer(data, words, **place)]


def number(name: str) -> Spec:
    """A field that holds a number."""
    return {"field": name, "type": "quantitative"}


def at(value: float) -> Spec:
    """A place on an axis that is the same for all rows."""
    return {"datum": round(float(value), 3)}


def axis_x(title: str, low: float, high: float, grid: bool = False, reverse: bool = False) -> Spec:
    """Field x on a level axis from low to high."""
    axis = {"title": title, "grid": grid, "tickCount": 6, "labelOverlap": "greedy", "labelSeparation": 8}
    scale = {"domain": [round(low, 2), round(high, 2)], "nice": False, "reverse": reverse}
    return number("x") | {"scale": scale, "axis": axis}


def axis_y(title: str, low: float, high: float, least_width: int = 0) -> Spec:
    """Field y on an upright axis from low to high; its title stands level above it, where phones have room."""
    axis: Spec = {"title": title, "tickCount": 5, "titleAngle": 0, "titleAlign": "left", "titleAnchor": "end"}
    axis |= {"titleX": 0, "titleY": -14, "titleBaseline": "bottom", "minExtent": least_width}
    scale = {"domain": [round(low, 2), round(high, 2)], "nice": False, "zero": False}
    return number("y") | {"scale": scale, "axis": axis}


def numbers(values: np.ndarray, decimals: int) -> list[float | None]:
    """An array as plain numbers; None where there is none."""
    rounded = np.round(np.asarray(values, dtype=float), decimals)
    return [None if v != v else v for v in rounded.tolist()]


def rows(decimals: int = 2, **columns: np.ndarray) -> Spec:
    """Columns of equal length as a chart's data; rows with a missing number are left out."""
    lists = [numbers(column, decimals) for column in columns.values()]
    return {"values": [dict(zip(columns, row, strict=True)) for row in zip(*lists, strict=True) if None not in row]}


def evenly(values: np.ndarray, step: float, decimals: int) -> tuple[Spec, list[Spec]]:
    """Values at even steps of x from 0, as bare numbers, and what gives them x and y in the browser.

    Nothing may be missing between the first value and the last.
    """
    transforms: list[Spec] = [
        {"window": [{"op": "row_number", "as": "row"}]},
        {"calculate": f"(datum.row - 1) * {step!r}", "as": "x"},
        {"calculate": "datum.data", "as": "y"},
    ]
    return {"values": [v for v in numbers(values, decimals) if v is not None]}, transforms
