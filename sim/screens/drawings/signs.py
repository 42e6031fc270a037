"""Signs beside the person for what has no shape of its own: movement, deep breaths, cold, missing support."""

from __future__ import annotations

from sim.say import say
from sim.screens.drawings import shapes
from sim.screens.drawings.pose import Arm, Scene, lying
from sim.screens.drawings.shapes import Point, arrow, line, placed, text

_STYLE = 'fill="none" stroke-linecap="round" stroke-linejoin="round"'
_NOSE: Point = (228, 73)
_COLD = "#4A6F86"


def draw(scene: Scene, arm: Arm, labels: bool) -> str:
    """All signs that the scene asks for."""
    return "".join(
        (
            _moving(scene, arm.wrist),
            _shivers(scene),
            _waving(scene) if scene.other_arm == "moving" else "",
            _breath(scene, labels) if scene.deep_breaths_per_min else "",
            _cold(scene, labels) if scene.cold else "",
            _words(scene, arm) if labels else "",
        )
    )


def _moving(scene: Scene, wrist: Point) -> str:
    """Signs at a hand that moves: arcs, zigzags where it trembles, arrows up and down where a vehicle shakes it."""
    if not scene.movement_mmhg:
        return ""
    x, y = wrist
    if scene.movement == "vehicle":
        return "".join(arrow((x + dx, y - 46), (x + dx, y - 46 + dy)) for dx in (6, 24) for dy in (-24, 24))
    if scene.movement in ("tremor", "shivering"):
        zigzag = "M-6 0l6-7 6 7 6-7 6 7 6-7 6 7" + (
            "M-6-14l6-7 6 7 6-7 6 7 6-7 6 7" if scene.movement == "tremor" else ""
        )
        return placed((x, y - 26), 0, f'<path d="{zigzag}" stroke="{shapes.INK}" stroke-width="2.4" {_STYLE}/>')
    arcs = "".join(f"M{-r} {-r * 0.9:.0f}Q{r * 0.5:.0f} {-r * 1.55:.0f} {r * 1.5:.0f} {-r * 0.6:.0f}" for r in (30, 40))
    below = "".join(
        f"M{-r * 0.5:.0f} {r * 0.7:.0f}Q{r * 0.5:.0f} {r * 1.1:.0f} {r * 1.4:.0f} {r * 0.5:.0f}" for r in (30,)
    )
    return placed((x + 14, y - 14), 0, f'<path d="{arcs}{below}" stroke="{shapes.INK}" stroke-width="2.4" {_STYLE}/>')


def _waving(scene: Scene) -> str:
    """Arcs beside the other hand."""
    if scene.lying:
        return f'<path d="M168 84q-12-12-8-28M208 78q10-11 6-26" stroke="{shapes.INK}" stroke-width="2.4" {_STYLE}/>'
    return f'<path d="M262 104q-9-14-3-27M308 102q7-13 1-26" stroke="{shapes.INK}" stroke-width="2.4" {_STYLE}/>'


def _breath(scene: Scene, labels: bool) -> str:
    """Long breaths from the nose."""
    waves = "M8 10q16-8 30 0t30 0t26-2M6 20q14 0 24 8t28 6t24 2M2 30q8 10 18 14t20 8"
    if scene.other_arm == "moving":  # short of the hand in the air
        waves = "M8 10q14-8 26 0M6 20q12 0 18 6M2 30q6 9 14 12"
    path = f'<path d="{waves}" stroke="{shapes.QUIET}" stroke-width="2.6" {_STYLE}/>'
    if scene.lying:
        return placed(lying(_NOSE), -90, path)
    if scene.talking != "no":  # below the bubble
        return placed((_NOSE[0], _NOSE[1] + 16), 0, path)
    words = text((_NOSE[0] + 106, _NOSE[1] + 24), say("deep, slow breaths"), 16) if labels else ""
    return placed(_NOSE, 0, path) + words


def _cold(scene: Scene, labels: bool) -> str:
    """A thermometer that stands low."""
    x, y = (46, 92) if scene.lying else (86, 52)
    glass = (
        '<path d="M-6-30a6 6 0 0 1 12 0v42a11 11 0 1 1-12 0z" fill="#FFFFFF" stroke="#8A9198" stroke-width="2.2"/>'
        f'<circle cx="0" cy="21" r="6.5" fill="{_COLD}"/><path d="M0 20V8" stroke="{_COLD}" stroke-width="5"/>'
        '<path d="M8-22h6M8-10h6M8 2h6" stroke="#8A9198" stroke-width="2"/>'
    )
    crystal = "".join(
        f'<path transform="rotate({turn})" d="M0-15V15M-4-11L0-7 4-11M-4 11L0 7 4 11" stroke="{_COLD}" '
        f'stroke-width="2.2" {_STYLE}/>'
        for turn in (0, 60, 120)
    )
    sign = f'<g transform="scale(1.25)">{glass}</g>'
    words = text((x + 32, y - 24), say("cold room"), 16) if labels and scene.lying else ""
    return placed((x, y), 0, sign) + placed((x + 37, y), 0, crystal) + words


def _shivers(scene: Scene) -> str:
    """Lines beside the shoulders of a person who shivers."""
    if not scene.shivers:
        return ""
    wave = f'<path d="M0 0l8 7-8 7 8 7-8 7 8 7-8 7" stroke="{_COLD}" stroke-width="3" {_STYLE}/>'
    spots = [(72, 146), (136, 140)] if scene.lying else [(112, 98), (236, 112)]
    return "".join(placed(spot, -90 if scene.lying else 0, wave) for spot in spots)


def _words(scene: Scene, arm: Arm) -> str:
    """Names for what is missing, where the missing thing would be."""
    said = []
    if scene.held_up and scene.lying:
        said.append(text((250, 112), say("nothing under the arm"), 17, "end"))
    elif scene.held_up:
        y = max(arm.elbow[1], arm.wrist[1]) + arm.thickness * 0.5 + 4
        x = arm.wrist[0] - 22
        said.append(line((arm.elbow[0] - 6, y), (arm.wrist[0] + 34, y), shapes.INK, 1.8, "6 5"))
        said += [text((x, y + 24), say("nothing under"), 17), text((x, y + 44), say("the arm"), 17)]
    if not scene.lying and scene.back in ("unsupported", "exam-table"):
        said += [text((76, 216), say("no"), 17, "middle"), text((76, 236), say("backrest"), 17, "middle")]
    if scene.on_couch:
        said += [arrow((352, 398), (352, 443)), text((364, 428), say("feet off the floor"), 17)]
    return "".join(said)
