"""The seated person: arm and cuff at their height, the heart line, sleeve and speech."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from string import Template

from sim.screens.drawings import shapes
from sim.screens.drawings.shapes import Point, arrow, between, degrees, heart, limb, text

PX_PER_CM = 2.2
SHOULDER: Point = (176, 140)
HEART: Point = (186, 184)
UPPER_ARM = 108.0
FOREARM = 92.0
CUFF_ALONG = 70.0  # from the shoulder to the middle of the cuff
DROOP = 18.0  # how far the shoulder is let down for the lowest cuffs
STRETCH = 1.3  # and how far the arm is drawn out for them
TABLE_Y = 222.0

# Part of the drawing shown, by picture name: x, y, width, height.
BOXES = {
    "arm-height": (20.0, 0.0, 532.0, 400.0),
    "talking": (60.0, 4.0, 424.0, 300.0),
    "sleeve": (76.0, 6.0, 376.0, 270.0),
    "cuff-field": (76.0, 6.0, 376.0, 270.0),
}


@dataclass(frozen=True)
class Scene:
    """What is drawn: plain numbers and names of one reading's fields."""

    cuff_below_heart_cm: float = 0.0
    arm_circumference_cm: float = 29.0
    bladder_width_cm: float = 12.0
    sleeve_mm: float = 0.0
    rolled_up: bool = False
    talking: str = "no"
    quiet_min: float = 0.0


@dataclass(frozen=True)
class Arm:
    """Joints of the arm in the drawing."""

    shoulder: Point
    elbow: Point
    wrist: Point
    cuff: Point
    thickness: float


def pose(scene: Scene) -> Arm:
    """Where the joints are, so that the middle of the cuff is at its height (as far as an arm reaches)."""
    wanted = HEART[1] + scene.cuff_below_heart_cm * PX_PER_CM
    lowest = SHOULDER[1] + CUFF_ALONG
    shoulder = (SHOULDER[0], SHOULDER[1] + min(max(wanted - lowest, 0.0), DROOP))
    stretch = min(max((wanted - shoulder[1]) / CUFF_ALONG, 1.0), STRETCH)
    drop = min(max((wanted - shoulder[1]) / CUFF_ALONG, -0.8), 1.0)
    lift = math.acos(drop)  # 0 hanging, 90 degrees level
    long = UPPER_ARM * stretch
    elbow = (shoulder[0] + long * math.sin(lift), shoulder[1] + long * math.cos(lift))
    # Forearm: level on its support; from the lap downwards it swings to hanging.
    level = min(max((math.degrees(lift) - 2) / 12, 0.0), 1.0)
    turn = math.radians(86 * (1 - level) + 4 * level)
    wrist = (elbow[0] + FOREARM * math.cos(turn), elbow[1] + FOREARM * math.sin(turn))
    thickness = min(max(scene.arm_circumference_cm * 1.12, 22.0), 50.0)
    return Arm(shoulder, elbow, wrist, between(shoulder, elbow, CUFF_ALONG / UPPER_ARM), thickness)


def body(scene: Scene, labels: bool = True) -> str:
    """The whole drawing as SVG, without the element around it."""
    arm = pose(scene)
    parts = [
        _template().substitute(
            _colours(), table=_table(), support=_support(arm), far_arm=_far_arm(), mouth=_mouth(scene)
        )
    ]
    parts.append(_heart_line(labels))
    parts.append(_near_arm(scene, arm))
    parts.append(heart(HEART, 22))
    if labels:
        parts.append(_distance(scene, arm))
    parts.append(_speech(scene))
    return "".join(parts)


@lru_cache(maxsize=1)
def _template() -> Template:
    return Template(resources.files("sim.screens.drawings").joinpath("seated.svg").read_text(encoding="utf-8"))


def _colours() -> dict[str, str]:
    names = ("skin", "skin_dark", "hair", "shirt", "shirt_dark", "trousers", "shoe", "wood", "wood_dark")
    return {name: getattr(shapes, name.upper()) for name in names} | {"trousers_dark": "#39424C"}


def _table() -> str:
    return (
        f'<path d="M418 392V{TABLE_Y + 8:g}" stroke="{shapes.WOOD_DARK}" stroke-width="10"/>'
        f'<rect x="250" y="{TABLE_Y:g}" width="202" height="11" rx="5" fill="{shapes.WOOD}"/>'
        # a plain box with the pump, its front turned away
        f'<rect x="396" y="{TABLE_Y - 32:g}" width="42" height="32" rx="7" fill="#E4DED2" stroke="#C8BFAF" stroke-width="2"/>'
        f'<path d="M408 {TABLE_Y - 24:g}h18M408 {TABLE_Y - 17:g}h18M408 {TABLE_Y - 10:g}h18" stroke="#C8BFAF" stroke-width="2"/>'
    )


def _support(arm: Arm) -> str:
    """Books under the forearm where it is held above the table."""
    gap = TABLE_Y - (arm.elbow[1] + arm.thickness * 0.36)
    if gap < 5 or arm.wrist[0] < 262:
        return ""
    left = max(arm.elbow[0] - 4, 258)
    count = max(1, round(gap / 15))
    thick = gap / count
    shades = ("#9A8F9E", "#B9AFA0", "#8A9A8E", "#C2A58F")
    return "".join(
        f'<rect x="{left + (i * 7) % 12:.0f}" y="{TABLE_Y - thick * (i + 1):.1f}" width="92" height="{thick - 1:.1f}" rx="2.5" '
        f'fill="{shades[i % 4]}"/>'
        for i in range(count)
    )


def _far_arm() -> str:
    return (
        limb((196, 142), (212, 214), 30, 26, shapes.SHIRT_DARK)
        + limb((212, 214), (258, 236), 22, 17, shapes.SKIN_DARK)
        + f'<ellipse cx="266" cy="239" rx="13" ry="8" fill="{shapes.SKIN_DARK}"/>'
    )


def _mouth(scene: Scene) -> str:
    if scene.talking != "no" and scene.quiet_min == 0:
        return '<path d="M221 84q-10-3-13 2q2 7 11 5z" fill="#7A3B36"/>'
    return f'<path d="M222 86q-6 2-11 0" stroke="{shapes.SKIN_DARK}" stroke-width="2.2" fill="none"/>'


def _heart_line(labels: bool) -> str:
    line = (
        f'<line x1="24" y1="{HEART[1]:g}" x2="474" y2="{HEART[1]:g}" stroke="{shapes.HEART}" stroke-width="1.6" '
        f'stroke-dasharray="7 5"/>'
    )
    return line + (text((24, HEART[1] - 8), "heart level", 16, fill=shapes.HEART, weight=600) if labels else "")


def _near_arm(scene: Scene, arm: Arm) -> str:
    t = arm.thickness
    parts = [_tube(arm), limb(arm.elbow, arm.wrist, t * 0.82, t * 0.52, shapes.SKIN), _hand(arm)]
    parts.append(limb(arm.shoulder, arm.elbow, t * 1.12, t * 0.84, shapes.SKIN))
    cloth = scene.sleeve_mm
    if cloth > 0:
        grow = 3 + 1.3 * cloth
        parts.append(limb(arm.shoulder, arm.elbow, t * 1.12 + grow, t * 0.84 + grow, shapes.CLOTH))
        parts.append(
            limb(arm.elbow, between(arm.elbow, arm.wrist, 0.86), t * 0.82 + grow, t * 0.56 + grow, shapes.CLOTH)
        )
        parts.append(_folds(arm, t))
    elif scene.rolled_up:
        parts.append(limb(arm.shoulder, between(arm.shoulder, arm.elbow, 0.22), t * 1.3, t * 1.26, shapes.CLOTH))
    else:
        cap = between(arm.shoulder, arm.elbow, 0.26)
        parts.append(limb(arm.shoulder, cap, t * 1.3, t * 1.26, shapes.SHIRT))
        parts.append(limb(arm.shoulder, between(arm.shoulder, arm.elbow, 0.05), t * 1.3, t * 1.26, shapes.SHIRT))
    parts.append(_cuff(scene, arm))
    if scene.rolled_up:
        parts.append(_roll(arm, t))
    return "".join(parts)


def _hand(arm: Arm) -> str:
    turn = degrees(arm.elbow, arm.wrist)
    return (
        f'<g transform="translate({arm.wrist[0]:.1f} {arm.wrist[1]:.1f}) rotate({turn:.1f})">'
        f'<path d="M-4-8C6-12 18-11 25-7Q32-3 31 2Q29 9 18 9H-4Z" fill="{shapes.SKIN}"/>'
        f'<path d="M6-7Q16-17 22-13Q24-9 16-5Z" fill="{shapes.SKIN_DARK}"/></g>'
    )


def _folds(arm: Arm, t: float) -> str:
    turn = degrees(arm.shoulder, arm.elbow)
    x, y = between(arm.shoulder, arm.elbow, 0.18)
    return (
        f'<g transform="translate({x:.1f} {y:.1f}) rotate({turn:.1f})" stroke="{shapes.CLOTH_DARK}" stroke-width="1.8" '
        f'fill="none" stroke-linecap="round"><path d="M-6 {t * 0.2:.1f}q8 3 14 {t * 0.16:.1f}M2 {-t * 0.3:.1f}q7 5 9 {t * 0.26:.1f}"/></g>'
    )


def _cuff(scene: Scene, arm: Arm) -> str:
    """The cuff to scale: bladder width over arm circumference, as in the fields."""
    t = arm.thickness
    bladder = math.pi * t * scene.bladder_width_cm / scene.arm_circumference_cm * 0.98
    cloth = bladder + 7
    turn = degrees(arm.shoulder, arm.elbow)
    high = t * 0.98 + 9 + (1.2 * scene.sleeve_mm + 2 if scene.sleeve_mm else 0)
    x, y = arm.cuff
    return (
        f'<g transform="translate({x:.1f} {y:.1f}) rotate({turn:.1f})">'
        f'<rect x="{-cloth / 2:.1f}" y="{-high / 2:.1f}" width="{cloth:.1f}" height="{high:.1f}" rx="6" fill="{shapes.CUFF}"/>'
        f'<rect x="{-bladder / 2:.1f}" y="{-high / 2 - 3:.1f}" width="{bladder:.1f}" height="{high + 6:.1f}" rx="9" '
        f'fill="{shapes.CUFF_LIGHT}"/>'
        f'<rect x="{-bladder / 2 + 5:.1f}" y="{-high / 2 + 1:.1f}" width="{max(bladder - 10, 2):.1f}" height="4" rx="2" '
        f'fill="#FFFFFF" opacity=".22"/></g>'
    )


def _tube(arm: Arm) -> str:
    x, y = arm.cuff
    tube_end = (396, TABLE_Y - 12)
    bend = (arm.elbow[0] + 36, max(arm.elbow[1], TABLE_Y) + 30)
    return (
        f'<path d="M{x:.1f} {y:.1f}C{x + 8:.1f} {y + 64:.1f} {bend[0] + 20:.1f} {TABLE_Y - 2:.1f} 372 {TABLE_Y - 6:.1f}'
        f'S{tube_end[0] - 8:g} {tube_end[1] + 2:g} {tube_end[0]:g} {tube_end[1]:g}" '
        f'stroke="{shapes.CUFF_LIGHT}" stroke-width="4" fill="none" stroke-linecap="round"/>'
    )


def _roll(arm: Arm, t: float) -> str:
    """A sleeve rolled up tightly above the cuff."""
    turn = degrees(arm.shoulder, arm.elbow)
    x, y = between(arm.shoulder, arm.elbow, 0.27)
    h = t * 1.12 + 12
    rings = "".join(
        f'<rect x="{dx - 5}" y="{-h / 2 + abs(dx) * 0.2:.1f}" width="10" height="{h - abs(dx) * 0.4:.1f}" rx="5" fill="{fill}"/>'
        for dx, fill in ((-9, shapes.CLOTH), (0, shapes.CLOTH_DARK), (8, shapes.CLOTH))
    )
    return f'<g transform="translate({x:.1f} {y:.1f}) rotate({turn:.1f})">{rings}</g>'


def _distance(scene: Scene, arm: Arm) -> str:
    """How far the middle of the cuff is from the heart line."""
    below = scene.cuff_below_heart_cm
    if below == 0:
        return ""
    y = HEART[1] + below * PX_PER_CM
    x = 468.0
    line = f'<line x1="{arm.cuff[0]:.1f}" y1="{y:.1f}" x2="{x + 6:g}" y2="{y:.1f}" stroke="{shapes.INK}" stroke-width="1.4"/>'
    dot = f'<circle cx="{arm.cuff[0]:.1f}" cy="{arm.cuff[1]:.1f}" r="4" fill="#FBF9F5" stroke="{shapes.INK}" stroke-width="1.6"/>'
    middle = (y + HEART[1]) / 2 + (3 if abs(below) > 6 else 14 if below > 0 else -22)
    return (
        line
        + dot
        + arrow((x, HEART[1]), (x, y))
        + text((x + 9, middle), f"{abs(below):g} cm", 19, weight=700)
        + text((x + 9, middle + 17), "below" if below > 0 else "above", 15)
    )


_BUBBLES = {
    "conversation": ("So how was", "your weekend?"),
    "stressful": ("I keep thinking", "about that letter …"),
    "reading": ("Once upon a time,", "beside a river …"),
}


def _speech(scene: Scene) -> str:
    words = _BUBBLES.get(scene.talking)
    if not words:
        return ""
    quiet = scene.quiet_min > 0
    fill, ink = ("#F3EFE7", shapes.QUIET) if quiet else ("#FFFFFF", shapes.INK)
    dash = ' stroke-dasharray="5 4"' if quiet else ""
    lines = [text((352, 50 + 21 * i), line, 17, "middle", ink, halo=False) for i, line in enumerate(words)]
    if quiet:
        lines.append(text((352, 118), f"{scene.quiet_min:g} min ago; silent since", 14, "middle", ink))
    book = _BOOK if scene.talking == "reading" and not quiet else ""
    return (
        f'<path d="M268 20H440q14 0 14 14V84q0 14-14 14H284L240 92L262 76Q254 70 254 60V34q0-14 14-14Z" fill="{fill}" '
        f'stroke="{ink}" stroke-width="1.800"{dash} stroke-linejoin="round"/>' + "".join(lines) + book
    )


_BOOK = (
    '<g transform="translate(352 222) rotate(0) scale(1.15)"><path d="M0 0L-26-8V-46L0-36L26-46V-8Z" fill="#FFFFFF" '
    'stroke="#8A7F93" stroke-width="2.500" stroke-linejoin="round"/><path d="M0-36V0" stroke="#8A7F93" stroke-width="2"/></g>'
)
