"""The person who is measured: heart line, seat and table, legs, the arm with its cuff, speech."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources
from string import Template

from sim.say import say
from sim.screens.drawings import arm as near_arm
from sim.screens.drawings import company, furniture, hours, legs, person_words, shapes, signs, speech
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.pose import HEART, LYING_X, LYING_Y, PX_PER_CM, Arm, Scene, heart, pose
from sim.screens.drawings.shapes import Box, Point, arrow, circle, limb, line, text

# Parts of the drawing that can be shown: x, y, width, height.
_BOXES = {
    "whole": (20.0, 0.0, 532.0, 400.0),
    "upper": (60.0, 4.0, 424.0, 300.0),
    "near": (76.0, 6.0, 376.0, 270.0),
}
_LYING = (20.0, 40.0, 532.0, 360.0)
_ON_COUCH = (20.0, 0.0, 532.0, 454.0)
# Where the distance from the heart line is drawn.
_RULER_X = 468.0
# Shoulder, elbow, wrist and hand of the arm without a cuff: lying or not, moving or not.
_FAR_ARM: dict[tuple[bool, bool], tuple[Point, Point, Point, Point]] = {
    (False, False): ((196, 142), (212, 214), (258, 236), (266, 239)),
    (False, True): ((196, 142), (248, 186), (278, 118), (283, 104)),
    (True, True): ((170, 180), (206, 138), (190, 84), (188, 70)),
}
# A part that is at least so wide has its labels.
_LABELLED = 430.0
_COLOURS = ("skin", "skin_dark", "hair", "shirt", "shirt_dark")


def box(scene: Scene, part: str) -> Box:
    """What has to be seen of the drawing: a part ("whole", "upper", "near"), or all of it where it differs below."""
    if scene.lying:
        return (*_LYING[:2], 580.0, _LYING[3]) if scene.cuff_below_heart_cm else _LYING
    if scene.on_couch:
        return _ON_COUCH
    if scene.legs != "flat" or scene.back != "supported" or scene.held_up:
        return _BOXES["whole"]
    return _BOXES[part]


def body(scene: Scene, labels: bool = True) -> str:
    """The whole drawing as SVG, without the element around it."""
    arm = pose(scene)
    blanks = {name: getattr(shapes, name.upper()) for name in _COLOURS} | {"mouth": speech.mouth(scene)}
    upper = _template().substitute(blanks)
    if scene.lying:
        upper = f'<g transform="translate({LYING_X:g} {LYING_Y:g}) rotate(-90)">{upper}</g>'
    parts = [
        company.draw(scene, labels),
        furniture.behind(scene, arm),
        legs.far(scene),
        _far_arm(scene),
        legs.near(scene),
        upper,
        furniture.cushion(arm) if scene.lying and not scene.held_up else "",
        _heart_line(scene, labels),
        near_arm.draw(scene, arm),
        shapes.heart(heart(scene), 21),
        signs.draw(scene, arm, labels),
        hours.draw(scene, labels),
    ]
    if labels and scene.cuff_below_heart_cm:
        parts.append(_distance(scene, arm))
    return "".join([*parts, speech.bubble(scene)])


@lru_cache(maxsize=1)
def _template() -> Template:
    return Template(resources.files("sim.screens.drawings").joinpath("upper_body.svg").read_text(encoding="utf-8"))


def _far_arm(scene: Scene) -> str:
    """The arm without a cuff: at rest, or up in the air where it moves."""
    moving = scene.other_arm == "moving"
    if scene.lying and not moving:
        return ""  # behind the body
    shoulder, elbow, wrist, hand = _FAR_ARM[scene.lying, moving]
    upper = limb(shoulder, elbow, 30, 26, shapes.SHIRT_DARK)
    lower = limb(elbow, wrist, 22, 17, shapes.SKIN_DARK)
    size = (9, 13) if moving else (13, 8)
    drawn = f'<ellipse cx="{hand[0]}" cy="{hand[1]}" rx="{size[0]}" ry="{size[1]}" fill="{shapes.SKIN_DARK}"/>'
    return upper + lower + drawn


def _heart_line(scene: Scene, labels: bool) -> str:
    y = HEART[1]
    drawn = line((24, y), (548 if scene.lying else 474, y), shapes.HEART, 1.6, "7 5")
    if not labels:
        return drawn
    places: list[tuple[Point, str, str]] = [((24, y - 8), say("heart level"), "start")]
    if scene.lying:  # beyond the feet
        places = [((550, y - 24), say("heart"), "end"), ((550, y - 7), say("level"), "end")]
    return drawn + "".join(text(at, words, 16, side, shapes.HEART, 600) for at, words, side in places)


def _distance(scene: Scene, arm: Arm) -> str:
    """How far the middle of the cuff is from the heart line."""
    below = scene.cuff_below_heart_cm
    ruler = 530.0 if scene.lying else _RULER_X
    y = HEART[1] + below * PX_PER_CM
    # Beside the arrow, or clear of the heart line where the arrow is short.
    middle = (y + HEART[1]) / 2 + (3 if abs(below) > 6 else 14 if below > 0 else -22)
    said = f"{abs(below):g} cm"
    return "".join(
        (
            line((arm.cuff[0], y), (ruler + 6, y), shapes.INK, 1.4),
            circle(arm.cuff, 4, "#FBF9F5", shapes.INK),
            arrow((ruler, HEART[1]), (ruler, y)),
            text((ruler + 9, middle), said, 19 if len(said) < 6 else 16, weight=700),
            text((ruler + 9, middle + 17), say("below" if below > 0 else "above"), 15),
        )
    )


DRAWING = Drawing(Scene.shown, body, person_words.sentence, box, labelled_from=_LABELLED)
