"""The arm that is measured: skin, sleeve, cuff and tube."""

from __future__ import annotations

import math

from sim.screens.drawings import furniture, shapes
from sim.screens.drawings.pose import Arm, Scene
from sim.screens.drawings.shapes import between, degrees, limb, placed, rect

_MOST_SWING = 16.0  # of the forearm that moves [degrees]
# How far it swings by the kind of movement, over the swing of a jolt.
_SWINGS = {"jolts": 1.0, "tremor": 0.5, "shivering": 0.5, "arm": 1.6, "vehicle": 0.5}


def draw(scene: Scene, arm: Arm) -> str:
    """The arm with all that is on it."""
    t = arm.thickness
    parts = [
        _tube(scene, arm),
        _swings(scene, arm),
        limb(arm.elbow, arm.wrist, t * 0.82, t * 0.52, shapes.SKIN),
        _hand(arm),
    ]
    parts.append(limb(arm.shoulder, arm.elbow, t * 1.12, t * 0.84, shapes.SKIN))
    if scene.sleeve_mm > 0:
        parts.append(_sleeve(arm, 3 + 1.3 * scene.sleeve_mm))
    else:
        parts.append(_short_sleeve(arm, scene.rolled_up))
    parts.append(_cuff(scene, arm))
    if scene.rolled_up:
        parts.append(_roll(arm))
    return "".join(parts)


def _swings(scene: Scene, arm: Arm) -> str:
    """Where else the forearm is while it moves: the further, the more it moves; a tremor is small and quick."""
    if not scene.movement_mmhg:
        return ""
    most = min((5 + 1.4 * scene.movement_mmhg) * _SWINGS[scene.movement], _MOST_SWING)
    t, (x, y) = arm.thickness, arm.elbow
    forearm = limb(arm.elbow, arm.wrist, t * 0.82, t * 0.52, shapes.SKIN) + _hand(arm)
    return "".join(
        f'<g opacity="{opacity:g}" transform="rotate({-turn:.1f} {x:.1f} {y:.1f})">{forearm}</g>'
        for turn, opacity in ((most, 0.3), (most / 2, 0.5))
    )


def _hand(arm: Arm) -> str:
    palm = f'<path d="M-4-8C6-12 18-11 25-7Q32-3 31 2Q29 9 18 9H-4Z" fill="{shapes.SKIN}"/>'
    thumb = f'<path d="M6-7Q16-17 22-13Q24-9 16-5Z" fill="{shapes.SKIN_DARK}"/>'
    return placed(arm.wrist, degrees(arm.elbow, arm.wrist), palm + thumb)


def _sleeve(arm: Arm, cloth: float) -> str:
    """A long sleeve, `cloth` wider than the arm."""
    t = arm.thickness
    upper = limb(arm.shoulder, arm.elbow, t * 1.12 + cloth, t * 0.84 + cloth, shapes.CLOTH)
    end = between(arm.elbow, arm.wrist, 0.86)
    lower = limb(arm.elbow, end, t * 0.82 + cloth, t * 0.56 + cloth, shapes.CLOTH)
    lines = f"M-6 {t * 0.2:.1f}q8 3 14 {t * 0.16:.1f}M2 {-t * 0.3:.1f}q7 5 9 {t * 0.26:.1f}"
    style = f'stroke="{shapes.CLOTH_DARK}" stroke-width="1.8" fill="none" stroke-linecap="round"'
    folds = placed(
        between(arm.shoulder, arm.elbow, 0.18), degrees(arm.shoulder, arm.elbow), f'<path {style} d="{lines}"/>'
    )
    return upper + lower + folds


def _short_sleeve(arm: Arm, rolled_up: bool) -> str:
    t = arm.thickness
    end = between(arm.shoulder, arm.elbow, 0.22 if rolled_up else 0.26)
    return limb(arm.shoulder, end, t * 1.3, t * 1.26, shapes.CLOTH if rolled_up else shapes.SHIRT)


def _roll(arm: Arm) -> str:
    """A sleeve rolled up tightly above the cuff."""
    high = arm.thickness * 1.12 + 12
    rings = ((-9, shapes.CLOTH), (0, shapes.CLOTH_DARK), (8, shapes.CLOTH))
    drawn = (rect((x - 5, -high / 2 + abs(x) * 0.2), 10, high - abs(x) * 0.4, fill, 5) for x, fill in rings)
    return placed(between(arm.shoulder, arm.elbow, 0.27), degrees(arm.shoulder, arm.elbow), "".join(drawn))


def _cuff(scene: Scene, arm: Arm) -> str:
    """The cuff to scale: bladder width over arm circumference, as in the fields."""
    t = arm.thickness
    bladder = math.pi * t * scene.bladder_width_cm / scene.arm_circumference_cm * 0.98
    cloth = bladder + 7
    high = t * 0.98 + 9 + (1.2 * scene.sleeve_mm + 2 if scene.sleeve_mm else 0)
    parts = (
        rect((-cloth / 2, -high / 2), cloth, high, shapes.CUFF, 6),
        rect((-bladder / 2, -high / 2 - 3), bladder, high + 6, shapes.CUFF_LIGHT, 9),
        rect((-bladder / 2 + 5, -high / 2 + 1), max(bladder - 10, 2), 4, "#FFFFFF", 2, 0.22),
    )
    turn = degrees(arm.shoulder, arm.elbow)
    if scene.elbow_crease:  # half on the forearm
        turn = (turn + degrees(arm.elbow, arm.wrist)) / 2
    return placed(arm.cuff, turn, "".join(parts))


def _tube(scene: Scene, arm: Arm) -> str:
    """From the cuff to the box with the pump."""
    x, y = arm.cuff
    px, py = furniture.pump(scene)
    if scene.lying:
        path = f"M{x:.1f} {y - 10:.1f}C{x + 10:.1f} {y - 90:.1f} {px - 60:.1f} {py + 20:.1f} {px} {py + 20}"
    else:
        bend, top = arm.elbow[0] + 56, scene.table_y
        path = f"M{x:.1f} {y:.1f}C{x + 8:.1f} {y + 64:.1f} {bend:.1f} {top - 2:.1f} {px - 24} {top - 6:.1f}"
        path += f"S{px - 8} {top - 10:.1f} {px} {top - 12:.1f}"
    style = f'stroke="{shapes.CUFF_LIGHT}" stroke-width="4" fill="none" stroke-linecap="round"'
    return f'<path d="{path}" {style}/>'
