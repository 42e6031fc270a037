"""What all charts share: typeface, axes, and how arrays travel."""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.figures.colours import GRID, QUIET, TEXT

FONT = "Source Sans, Source Sans Pro, sans-serif"
BACKGROUND = "#FBF9F5"
Spec = dict[str, Any]
# A pale ring round words, so that the lines behind do not disturb.
HALO: Spec = {"stroke": BACKGROUND, "strokeWidth": 4, "strokeJoin": "round"}

_CONFIG: Spec = {
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


def chart(layers: list[Spec], height: int, **more: Any) -> Spec:
    """A chart of layers, each with its own data, as wide as the page allows."""
    return {"height": height, "layer": layers, "config": _CONFIG, "autosize": {"type": "fit-x", "contains": "padding"}} | more


def numbers(values: np.ndarray, decimals: int) -> list[float | None]:
    """An array as plain numbers; None where there is none."""
    rounded = np.round(np.asarray(values, dtype=float), decimals)
    return [None if v != v else v for v in rounded.tolist()]


def rows(decimals: int = 2, **columns: np.ndarray) -> Spec:
    """Columns of equal length as a chart's data; rows with a missing number are left out."""
    names = list(columns)
    lists = [numbers(columns[name], decimals) for name in names]
    found = [dict(zip(names, row, strict=True)) for row in zip(*lists, strict=True) if None not in row]
    return {"values": found}


def evenly(values: np.ndarray, first: float, step: float, decimals: int) -> tuple[Spec, list[Spec]]:
    """Values at even steps of x as bare numbers, and the transforms that give them `x` and `y` in the browser."""
    transforms = [
        {"filter": "isValid(datum.data)"},
        {"window": [{"op": "row_number", "as": "row"}]},
        {"calculate": f"{first!r} + (datum.row - 1) * {step!r}", "as": "x"},
        {"calculate": "datum.data", "as": "y"},
    ]
    return {"values": [v for v in numbers(values, decimals) if v is not None]}, transforms


def axis_x(title: str, low: float, high: float, field: str = "x", **more: Any) -> Spec:
    """A horizontal axis of numbers from low to high."""
    axis = {"title": title, "grid": False, "tickCount": 6, "labelOverlap": True} | more.pop("axis", {})
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"domain": [low, high], "nice": False} | more.pop("scale", {}),
        "axis": axis,
    } | more


def axis_y(title: str, low: float, high: float, field: str = "y", **more: Any) -> Spec:
    """A vertical axis of numbers from low to high; its title stands level above it, where phones have room."""
    axis = {
        "title": title,
        "tickCount": 5,
        "titleAngle": 0,
        "titleAlign": "left",
        "titleAnchor": "end",
        "titleX": 0,
        "titleY": -14,
        "titleBaseline": "bottom",
    }
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"domain": [low, high], "nice": False, "zero": False},
        "axis": axis | more.pop("axis", {}),
    } | more
