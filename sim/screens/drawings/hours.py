"""When it is: a clock for morning or evening, a sun or a snow crystal for summer or winter."""

from __future__ import annotations

from math import cos, radians, sin

from sim.screens.drawings import shapes
from sim.screens.drawings.pose import Scene
from sim.screens.drawings.shapes import circle, line, placed, text

_COLD, _WARM = "#4A6F86", "#B98A2E"
# Which hours the clock shows: assumed.
_HANDS = {"morning": 7, "evening": 19}


def draw(scene: Scene, labels: bool) -> str:
    """The signs that the scene asks for, above the table, or below the bubble of a person who talks."""
    left, y = (130.0, 80.0) if scene.lying else (290.0, 128.0 if scene.talking != "no" else 40.0)
    drawn = ""
    if scene.time_of_day != "between":
        drawn += placed((left, y), 0, _clock(_HANDS[scene.time_of_day]) + _name(scene.time_of_day, labels))
    if scene.season != "between":
        drawn += placed(
            (left + 68, y), 0, (_sun() if scene.season == "summer" else _crystal()) + _name(scene.season, labels)
        )
    return drawn


def _name(words: str, labels: bool) -> str:
    return text((0, 40), words, 15, "middle") if labels else ""


def _clock(hour: int) -> str:
    turn = radians(30 * (hour % 12) - 90)
    return "".join(
        (
            circle((0, 0), 19, "#FFFFFF", shapes.INK, 2.2),
            line((0, 0), (0, -14), shapes.INK, 2.2),
            line((0, 0), (9 * cos(turn), 9 * sin(turn)), shapes.INK, 3),
        )
    )


def _sun() -> str:
    rays = "".join(
        line((14 * cos(t), 14 * sin(t)), (20 * cos(t), 20 * sin(t)), _WARM, 2.6)
        for t in (radians(45 * i) for i in range(8))
    )
    return circle((0, 0), 10, _WARM) + rays


def _crystal() -> str:
    return "".join(
        f'<path transform="rotate({turn})" d="M0-18V18M-5-13L0-8 5-13M-5 13L0 8 5 13" stroke="{_COLD}" '
        'stroke-width="2.4" fill="none" stroke-linecap="round"/>'
        for turn in (0, 60, 120)
    )
