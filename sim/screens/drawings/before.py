"""What came before the reading, each on a line of its own, over the hour that leads up to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import Box, line, rect, text
from sim.screens.drawings.symbols import symbol
from sim.setup import Setup

_ROW, _TOP = 46.0, 40.0
_LEFT, _RIGHT = 168.0, 428.0  # an hour before, and the reading
WIDTH = 480.0
_EARLIEST_MIN = 60.0
NAMES = {
    "caffeine": "coffee",
    "nicotine": "tobacco",
    "meal": "meal",
    "full_bladder": "full bladder",
    "cold": "cold",
    "talking": "talk",
}
_BAR = "#B08968"
_CALM = "#7F9390"


@dataclass(frozen=True)
class Before:
    """What was done before: names of `NAMES`, and of all those that get a line; minutes of rest; a talk that ended."""

    done: frozenset[str] = frozenset()
    listed: tuple[str, ...] = ("caffeine", "nicotine", "meal", "full_bladder")
    rest_min: float = 5.0
    quiet_min: float = 0.0

    @classmethod
    def shown(cls, inputs: Setup) -> Self:
        """What came before the reading, with a line for what might have, too."""
        return cls._of(inputs, ("caffeine", "nicotine", "meal", "full_bladder"))

    @classmethod
    def only_done(cls, inputs: Setup) -> Self:
        """Only what there was: beside another drawing."""
        return cls._of(inputs, ())

    @classmethod
    def _of(cls, inputs: Setup, always: tuple[str, ...]) -> Self:
        technique = inputs.technique
        done = {name for name in NAMES if name != "talking" and str(getattr(technique, name)) == "yes"}
        if str(technique.talking) != "no" and float(technique.quiet_min) > 0:
            done.add("talking")
        listed = tuple(name for name in NAMES if name in always or name in done)
        return cls(frozenset(done), listed, float(technique.rest_min), float(technique.quiet_min))


def box(before: Before, _part: str = "") -> Box:
    """x, y, width, height of the drawing."""
    return 0.0, 0.0, WIDTH, _TOP + _ROW * (len(before.listed) + 1) + 34


def body(before: Before, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it; without labels only the symbols in a row."""
    if not labels:
        return _card(before)
    bottom = _TOP + _ROW * (len(before.listed) + 1)
    parts = [
        line((_RIGHT, _TOP - 6), (_RIGHT, bottom), shapes.INK, 2),
        symbol("reading", (_RIGHT, 22)),
        *(_row(before, name, _TOP + _ROW * (i + 0.5)) for i, name in enumerate(before.listed)),
        _rest(before, bottom - _ROW / 2),
        line((_LEFT, bottom + 2), (_RIGHT, bottom + 2), shapes.QUIET, 1.4),
    ]
    for minutes, words in ((60, "60 min before"), (30, "30"), (0, "reading")):
        x = _x(minutes)
        parts.append(line((x, bottom - 2), (x, bottom + 6), shapes.QUIET, 1.4))
        parts.append(text((x, bottom + 25), words, 16, "middle", shapes.QUIET))
    return "".join(parts)


def _card(before: Before) -> str:
    """A small drawing: the symbols in a row, on the way to the reading."""
    names = [name for name in before.listed if name in NAMES]
    parts = [line((24, 150), (372, 150), shapes.QUIET, 2.4)]
    for i, name in enumerate(names):
        x = 48 + 78 * i
        parts.append(symbol(name, (x, 92), 1.5, pale=name not in before.done))
        parts.append(line((x, 143), (x, 157), shapes.QUIET, 2.4))
    return "".join([*parts, symbol("reading", (386, 150), 1.5)])


CARD_BOX = (0.0, 30.0, 432.0, 160.0)


def sentence(before: Before) -> str:
    """What the drawing shows, with its numbers."""
    things = [_words(before, name) for name in before.listed if name in before.done]
    none = [NAMES[name] for name in before.listed if name not in before.done]
    if not before.listed:
        return f"Before the reading: {_resting(before)}."
    first = f"Before the reading: {'; '.join(things)}" if things else "Nothing before the reading that moves it"
    if none:
        first += f" (no {', no '.join(none)})"
    return f"{first}; then {_resting(before)}."


def _resting(before: Before) -> str:
    return f"{before.rest_min:g} min of quiet sitting" if before.rest_min else "no rest at all"


def _x(minutes: float) -> float:
    return _RIGHT - (_RIGHT - _LEFT) * min(minutes, _EARLIEST_MIN) / _EARLIEST_MIN


def _row(before: Before, name: str, y: float) -> str:
    done = name in before.done
    parts = [symbol(name, (32, y), 0.92, pale=not done)]
    parts.append(text((62, y + 6), NAMES[name], 17, fill=shapes.INK if done else shapes.QUIET))
    if not done:
        return "".join([*parts, line((_LEFT, y), (_RIGHT, y), "#D9D2C5", 1.6, "2 6")])
    end = _x(before.quiet_min if name == "talking" else 0 if name in ("full_bladder", "cold") else before.rest_min)
    if name == "full_bladder":  # it fills
        bar = f'<path d="M{_LEFT} {y}L{_RIGHT} {y - 11}V{y + 11}Z" fill="#D9B74F"/>'
    else:
        start = {"nicotine": end - 30, "meal": end - 88, "talking": end - 60}.get(name, _LEFT)
        bar = rect((max(start, _LEFT), y - 10), max(end - max(start, _LEFT), 6), 20, _BAR, 6)
    return "".join([*parts, line((_LEFT, y), (_RIGHT, y), "#D9D2C5", 1.6, "2 6"), bar])


def _rest(before: Before, y: float) -> str:
    """The line of quiet sitting."""
    parts = [symbol("rest_min", (32, y), 0.92, pale=not before.rest_min), text((62, y + 6), "quiet sitting", 17)]
    parts.append(line((_LEFT, y), (_RIGHT, y), "#D9D2C5", 1.6, "2 6"))
    if before.rest_min:
        parts.append(rect((_x(before.rest_min), y - 10), _RIGHT - _x(before.rest_min), 20, _CALM, 6))
    said = f"{before.rest_min:g} min" if before.rest_min else "none"
    return "".join([*parts, text((_x(before.rest_min) - 8, y + 6), said, 17, "end", weight=600)])


def _words(before: Before, name: str) -> str:
    words = {
        "caffeine": "two cups of coffee within the last hour",
        "nicotine": "tobacco just before",
        "meal": "a meal just before",
        "full_bladder": "the bladder is full",
        "cold": "the room is cold",
        "talking": f"talk that ended {before.quiet_min:g} min ago",
    }
    return words[name]


DRAWING = Drawing(Before.shown, body, sentence, box, CARD_BOX)
DONE = Drawing(Before.only_done, body, sentence, box, CARD_BOX)
