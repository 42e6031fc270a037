"""The seated person: heart line, table and books, the arm with its cuff, speech."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources
from string import Template

from sim.screens.drawings import arm as near_arm
from sim.screens.drawings import shapes, speech
from sim.screens.drawings.pose import HEART, PX_PER_CM, TABLE_Y, Arm, Scene, pose
from sim.screens.drawings.shapes import arrow, circle, heart, limb, line, rect, text

# Parts of the drawing that can be shown: x, y, width, height.
BOXES = {
    "whole": (20.0, 0.0, 532.0, 400.0),
    "upper": (60.0, 4.0, 424.0, 300.0),
    "near": (76.0, 6.0, 376.0, 270.0),
}
# Where the distance from the heart line is drawn.
_RULER_X = 468.0
_COLOURS = (
    "skin",
    "skin_dark",
    "hair",
    "shirt",
    "shirt_dark",
    "trousers",
    "trousers_dark",
    "shoe",
    "wood",
    "wood_dark",
)


def body(scene: Scene, labels: bool = True) -> str:
    """The whole drawing as SVG, without the element around it."""
    arm = pose(scene)
    blanks = {name: getattr(shapes, name.upper()) for name in _COLOURS}
    blanks |= {"support": _support(arm), "far_arm": _far_arm(), "mouth": speech.mouth(scene)}
    parts = [_template().substitute(blanks), _heart_line(labels), near_arm.draw(scene, arm), heart(HEART, 21)]
    if labels and scene.cuff_below_heart_cm:
        parts.append(_distance(scene, arm))
    return "".join([*parts, speech.bubble(scene)])


@lru_cache(maxsize=1)
def _template() -> Template:
    return Template(resources.files("sim.screens.drawings").joinpath("seated.svg").read_text(encoding="utf-8"))


def _support(arm: Arm) -> str:
    """Books under the forearm where it is held above the table."""
    gap = TABLE_Y - (arm.elbow[1] + arm.thickness * 0.36)
    if gap < 5 or arm.wrist[0] < 262:
        return ""
    left = max(arm.elbow[0] - 4, 258)
    count = max(1, round(gap / 15))
    thick = gap / count
    shades = ("#9A8F9E", "#B9AFA0", "#8A9A8E", "#C2A58F")
    books = ((left + (i * 7) % 12, TABLE_Y - thick * (i + 1)) for i in range(count))
    return "".join(rect(corner, 92, thick - 1, shades[i % 4], 2.5) for i, corner in enumerate(books))


def _far_arm() -> str:
    upper = limb((196, 142), (212, 214), 30, 26, shapes.SHIRT_DARK)
    lower = limb((212, 214), (258, 236), 22, 17, shapes.SKIN_DARK)
    return upper + lower + f'<ellipse cx="266" cy="239" rx="13" ry="8" fill="{shapes.SKIN_DARK}"/>'


def _heart_line(labels: bool) -> str:
    drawn = line((24, HEART[1]), (474, HEART[1]), shapes.HEART, 1.6, "7 5")
    return drawn + (text((24, HEART[1] - 8), "heart level", 16, fill=shapes.HEART, weight=600) if labels else "")


def _distance(scene: Scene, arm: Arm) -> str:
    """How far the middle of the cuff is from the heart line."""
    below = scene.cuff_below_heart_cm
    y = HEART[1] + below * PX_PER_CM
    # Beside the arrow, or clear of the heart line where the arrow is short.
    middle = (y + HEART[1]) / 2 + (3 if abs(below) > 6 else 14 if below > 0 else -22)
    return "".join(
        (
            line((arm.cuff[0], y), (_RULER_X + 6, y), shapes.INK, 1.4),
            circle(arm.cuff, 4, "#FBF9F5", shapes.INK),
            arrow((_RULER_X, HEART[1]), (_RULER_X, y)),
            text((_RULER_X + 9, middle), f"{abs(below):g} cm", 19, weight=700),
            text((_RULER_X + 9, middle + 17), "below" if below > 0 else "above", 15),
        )
    )
