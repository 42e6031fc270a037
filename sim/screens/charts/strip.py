"""Readings of the same arm as points, systolic above diastolic, with their mean and the one that is looked at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.explain.same_arm import SameArm
from sim.figures.colours import DISPLAY, QUIET, TEXT, TRUTH
from sim.figures.numbers import pair, whole
from sim.say import mark, say
from sim.screens.charts.common import Spec, chart, label, layer, number, point, rule

_NAMES = {"sbp": mark("systolic"), "dbp": mark("diastolic")}
_ROW_PX = 92
# Where things stand in a row, which is one high: names, points from and to, the line with its ticks, their numbers.
_NAMED, _FROM, _TO, _LINE, _TICKS = -0.36, -0.18, 0.12, 0.2, 0.36
# Room beyond points and mean, the latter for its name on a phone [mmHg].
_ROOM, _ROOM_FOR_NAME = 2.0, 14.0
_EVERY_MMHG = 10
# Points of one height are told apart by an up and down that says nothing.
_STRIDE = 7


@dataclass(frozen=True)
class _Row:
    """One pressure: its readings (NaN where there was none), mean and truth (None where not told) [mmHg]."""

    place: int
    name: str
    values: np.ndarray
    mean: float
    truth: float | None

    @property
    def centre(self) -> float:
        return self.mean if self.truth is None else self.truth


def strip(found: SameArm, truth: bool = True) -> Spec | None:
    """The chart; None where no reading has numbers. truth: whether the resting pressure is shown."""
    if not found.with_numbers:
        return None
    rows = [_row(found, name, truth) for name in _NAMES]
    ends = [_ends(row) for row in rows]
    low, high = min(low for low, _ in ends), max(high for _, high in ends)
    x = number("x") | {"scale": {"domain": [round(low, 3), round(high, 3)], "nice": False}, "axis": None}
    y = number("y") | {"scale": {"domain": [1.5, -0.5], "nice": False}, "axis": None}
    layers = [made for row in rows for made in _layers(row, found, (low, high), {"x": x, "y": y})]
    return chart(layers, 2 * _ROW_PX)


def sentence(found: SameArm, truth: bool = True) -> str:
    """What the points show, with their numbers."""
    if not found.with_numbers:
        return refused(found)
    shown, mean = found.every.reading, found.mean.result.reading
    parts = [
        say(
            "{name} from {low} to {high}",
            name=say(name),
            low=whole(np.nanmin(getattr(shown, key))),
            high=whole(np.nanmax(getattr(shown, key))),
        )
        for key, name in _NAMES.items()
    ]
    resting = found.every.truth.resting
    told = ""
    if truth:
        rest = pair(resting.sbp[0], resting.dbp[0])
        told = " " + say("{symbol} is the resting pressure, {pressure}.", symbol=TRUTH.symbol, pressure=rest)
    if found.count == 1:
        one = say(
            "One reading {symbol}, {pressure}: random variation is turned off.",
            symbol=DISPLAY.symbol,
            pressure=pair(mean.sbp[0], mean.dbp[0]),
        )
        return one + told
    many = say(
        "{count} readings of the same arm in the same way, {symbol}: {ranges} mmHg; the line is their mean, {mean}.",
        count=found.count,
        symbol=DISPLAY.symbol,
        ranges=say(" and ").join(parts),
        mean=pair(mean.sbp[0], mean.dbp[0]),
    )
    return f"{many} {_this(found)}{told} {refused(found)}".strip()


def refused(found: SameArm) -> str:
    """How many readings gave no numbers, and why; "" where all did."""
    missing = found.count - found.with_numbers
    if not missing:
        return ""
    why = "; ".join(
        f"{say(reason)} ({times})" if len(found.refused) > 1 else say(reason) for reason, times in found.refused.items()
    )
    return say("{missing} of {count} gave no reading: {why}.", missing=missing, count=found.count, why=why)


def _this(found: SameArm) -> str:
    reading = found.this.reading
    if not reading.ok[0]:
        return say("Number {number} gave no reading.", number=found.number)
    shown = pair(reading.sbp[0], reading.dbp[0])
    return say("The filled one is number {number}, {pressure}.", number=found.number, pressure=shown)


def _row(found: SameArm, name: str, truth: bool) -> _Row:
    resting = float(getattr(found.every.truth.resting, name)[0])
    mean = float(getattr(found.mean.result.reading, name)[0])
    return _Row(
        list(_NAMES).index(name),
        say(_NAMES[name]),
        getattr(found.every.reading, name),
        mean,
        resting if truth else None,
    )


def _ends(row: _Row) -> tuple[float, float]:
    """From where to where the row needs its scale, from its centre on [mmHg]."""
    away, mean = row.values - row.centre, row.mean - row.centre
    low = min(float(np.nanmin(away)) - _ROOM, min(mean, 0.0) - _ROOM_FOR_NAME)
    return low, max(float(np.nanmax(away)) + _ROOM, max(mean, 0.0) + _ROOM_FOR_NAME)


def _layers(row: _Row, found: SameArm, ends: tuple[float, float], place: Spec) -> list[Spec]:
    layers = [_line(ends, row.place + _LINE, place), *_scale(row, ends, place)]
    higher = row.truth is None or row.mean >= row.truth
    if row.truth is not None:
        resting = say("resting {value}", value=whole(row.truth))
        layers += [
            _upright(row, row.truth, rule(TRUTH.colour, 2, (6, 4)), place),
            layer(_spot(row, row.truth, _LINE), point("circle", 110, TRUTH.colour), **place),
            *_words(
                _spot(row, row.truth, _NAMED),
                resting,
                TRUTH.words,
                place,
                not higher,
            ),
        ]
    layers += [_upright(row, row.mean, rule(DISPLAY.colour, 3), place), *_points(row, found, place)]
    name = say("mean") if found.count > 1 else say("display")
    layers += _words(_spot(row, row.mean, _NAMED), f"{name} {whole(row.mean)}", DISPLAY.words, place, higher)
    return [*layers, *label(_spot(row, row.centre + ends[0], _NAMED), TEXT, place, text=row.name, align="left")]


def _spot(row: _Row, mmhg: float, share: float, **more: float) -> Spec:
    """A place in a row, as data. Each layer has its places as data: constants beside hidden axes are more than the
    charts' library takes."""
    return {"values": [{"x": round(mmhg - row.centre, 3), "y": round(row.place + share, 3)} | more]}


def _upright(row: _Row, mmhg: float, mark: Spec, place: Spec) -> Spec:
    return layer(_spot(row, mmhg, _NAMED + 0.06, y2=row.place + _LINE), mark, **place, y2={"field": "y2"})


def _line(ends: tuple[float, float], y: float, place: Spec) -> Spec:
    return layer(
        {"values": [{"x": round(ends[0], 3), "x2": round(ends[1], 3), "y": y}]},
        rule(QUIET, 1),
        **place,
        x2={"field": "x2"},
    )


def _words(spot: Spec, text: str, colour: str, place: Spec, right: bool) -> list[Spec]:
    """Words beside an upright line, to its right or its left."""
    side: dict[str, Any] = {"align": "left", "dx": 6} if right else {"align": "right", "dx": -6}
    return label(spot, colour, place, text=text, **side)


def _scale(row: _Row, ends: tuple[float, float], place: Spec) -> list[Spec]:
    """Ticks with their pressures on the row's line."""
    first = int(np.ceil((row.centre + ends[0]) / _EVERY_MMHG)) * _EVERY_MMHG
    ticks = np.arange(first, row.centre + ends[1], _EVERY_MMHG)
    line = row.place + _LINE
    marks = [{"x": round(t - row.centre, 2), "y": line, "y2": line + 0.06} for t in ticks]
    words = [
        {"x": round(t - row.centre, 2), "y": round(row.place + _TICKS, 2), "text": f"{t:.0f}"} for t in ticks.tolist()
    ]
    looks = {"type": "text", "color": QUIET, "fontSize": 12}
    return [
        layer({"values": marks}, rule(QUIET, 1), **place, y2={"field": "y2"}),
        layer({"values": words}, looks, **place, text={"field": "text", "type": "nominal"}),
    ]


def _points(row: _Row, found: SameArm, place: Spec) -> list[Spec]:
    """Every reading, and above the others the one that is looked at."""
    reading, made = found.every.reading, []
    for k in np.flatnonzero(np.isfinite(row.values)):
        up = _FROM + (_TO - _FROM) * (k * _STRIDE % found.count) / max(1, found.count - 1)
        words = say("reading {number}: {pressure}", number=k + 1, pressure=pair(reading.sbp[k], reading.dbp[k]))
        made.append(
            {
                "x": round(float(row.values[k]) - row.centre, 2),
                "y": round(row.place + up, 3),
                "reading": words,
                "k": k + 1,
            }
        )
    this = [point_ for point_ in made if point_["k"] == found.number]
    others = [point_ for point_ in made if point_["k"] != found.number]
    shown = {"tooltip": {"field": "reading", "type": "nominal"}}
    hollow = point("diamond", 60, DISPLAY.colour, filled=False, strokeWidth=1.5, opacity=0.75)
    full = point("diamond", 190, DISPLAY.colour, stroke=TEXT, strokeWidth=1.6)
    return [
        layer({"values": [{n: v for n, v in p.items() if n != "k"} for p in some]}, mark, **place, **shown)
        for some, mark in ((others, hollow), (this, full))
        if some
    ]
