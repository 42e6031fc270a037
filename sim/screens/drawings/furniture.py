"""What the person sits or lies on, and what the arm and the pump rest on."""

from __future__ import annotations

from sim.screens.drawings import shapes
from sim.screens.drawings.pose import Arm, Scene
from sim.screens.drawings.shapes import Point, line, rect

FLOOR_Y, LOW_FLOOR_Y = 392.0, 446.0  # the floor, and where feet hang above it
_PAD, _BASE, _BASE_DARK = "#A9B5B8", "#E2DCCF", "#C8BFAF"
_PILLOW = "#EFE9DC"


def floor_y(scene: Scene) -> float:
    """Where the floor is drawn."""
    return LOW_FLOOR_Y if scene.on_couch else FLOOR_Y


def behind(scene: Scene, arm: Arm) -> str:
    """All that stands behind the person."""
    floor = floor_y(scene)
    ground = line((20, floor), (540, floor), "#DED6C8", 3)
    if scene.lying:
        return ground + _couch() + _shelf()
    return "".join((ground, _seat(scene, floor), _table(scene, floor), box(pump(scene)), _books(scene, arm)))


def pump(scene: Scene) -> Point:
    """The upper left corner of the plain box with the pump."""
    if scene.lying:
        return 408, 96
    return (430, scene.table_y - 32) if scene.held_up else (396, scene.table_y - 32)


def box(corner: Point) -> str:
    """A plain box with the pump, its front turned away."""
    x, y = corner
    slits = f'<path d="M{x + 12} {y + 8}h18m-18 7h18m-18 7h18" stroke="#C8BFAF" stroke-width="2"/>'
    return (
        f'<rect x="{x}" y="{y}" width="42" height="32" rx="7" fill="#E4DED2" stroke="#C8BFAF" stroke-width="2"/>'
        + slits
    )


def cushion(arm: Arm) -> str:
    """Under the arm of a person who lies, from the couch up to the arm."""
    top = (arm.cuff[1] + arm.elbow[1]) / 2 + arm.thickness * 0.36
    if top > 222:
        return ""
    left = arm.cuff[0] - 40
    return rect((left, top), arm.wrist[0] - left + 6, 234 - top, _PILLOW, 9) + line(
        (left + 10, 231), (arm.wrist[0] - 4, 231), _BASE_DARK, 2
    )


def _seat(scene: Scene, floor: float) -> str:
    if scene.on_couch:
        return "".join(
            (
                rect((74, 286), 142, floor - 288, _BASE, 4),
                line((74, 352), (216, 352), _BASE_DARK, 2.5),
                line((145, 300), (145, floor - 4), _BASE_DARK, 2.5),
                rect((56, 270), 184, 20, _PAD, 9),
            )
        )
    if scene.back == "unsupported":
        legs = f"M140 {floor}L148 276M206 {floor}L198 276M144 340H202"
        return (
            f'<path d="{legs}" stroke="{shapes.WOOD_DARK}" stroke-width="9" fill="none" stroke-linecap="round"/>'
            + rect((122, 266), 104, 17, shapes.WOOD, 8)
        )
    legs = f"M120 {floor}L127 276M214 {floor}L210 276"
    rest = "M131 112C123 164 124 230 130 276"
    return (
        f'<path d="{legs}" stroke="{shapes.WOOD_DARK}" stroke-width="9" fill="none" stroke-linecap="round"/>'
        f'<path d="{rest}" stroke="{shapes.WOOD}" stroke-width="13" fill="none" stroke-linecap="round"/>'
        + rect((120, 268), 106, 14, shapes.WOOD, 7)
    )


def _table(scene: Scene, floor: float) -> str:
    """The table; out of the arm's reach where the arm is held up by its own muscles."""
    left, right = (414, 490) if scene.held_up else (250, 452)
    leg = (left + right) / 2 if scene.held_up else 418
    return line((leg, floor), (leg, scene.table_y + 8), shapes.WOOD_DARK, 10) + rect(
        (left, scene.table_y), right - left, 11, shapes.WOOD, 5
    )


def _books(scene: Scene, arm: Arm) -> str:
    """Under the forearm where it lies above the table."""
    gap = scene.table_y - (arm.elbow[1] + arm.thickness * 0.36)
    if gap < 5 or arm.wrist[0] < 262 or scene.held_up:
        return ""
    left = max(arm.elbow[0] - 4, 258)
    count = max(1, round(gap / 15))
    thick = gap / count
    shades = ("#9A8F9E", "#B9AFA0", "#8A9A8E", "#C2A58F")
    books = ((left + (i * 7) % 12, scene.table_y - thick * (i + 1)) for i in range(count))
    return "".join(rect(corner, 92, thick - 1, shades[i % 4], 2.5) for i, corner in enumerate(books))


def _couch() -> str:
    legs = f"M76 {FLOOR_Y}V250M500 {FLOOR_Y}V250M76 340H500"
    return (
        f'<path d="{legs}" stroke="{_BASE_DARK}" stroke-width="9" fill="none" stroke-linecap="round"/>'
        + rect((30, 230), 506, 22, _PAD, 9)
        + rect((34, 208), 82, 26, _PILLOW, 11)
    )


def _shelf() -> str:
    """For the pump, on the wall over the couch."""
    x, y = 408, 96
    return line((x - 14, y + 34), (x + 58, y + 34), shapes.WOOD, 6) + box((x, y))
