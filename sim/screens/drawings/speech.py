"""What the person says: mouth, bubble and book."""

from __future__ import annotations

from sim.say import mark, say
from sim.screens.drawings import shapes
from sim.screens.drawings.pose import Scene
from sim.screens.drawings.shapes import text

# Words for each kind of talk, in two lines.
_WORDS = {
    "conversation": (mark("So how was"), mark("your weekend?")),
    "stressful": (mark("I keep thinking"), mark("about that letter …")),
    "reading": (mark("Once upon a time,"), mark("beside a river …")),
}
_OUTLINE = "M268 20H440q14 0 14 14V84q0 14-14 14H284L240 92L262 76Q254 70 254 60V34q0-14 14-14Z"
_MIDDLE_X = 352
_LYING_SHIFT = (-112, 42)  # from the mouth of a person who sits to that of one who lies
_PAGES = '<path d="M0 0L-30-9V-53L0-41L30-53V-9Z" fill="#FFFFFF" stroke="#8A7F93" stroke-width="2.5"/>'
_BOOK = shapes.placed((352, 222), 0, _PAGES + '<path d="M0-41V0" stroke="#8A7F93" stroke-width="2"/>')


def mouth(scene: Scene) -> str:
    """Open while the person talks."""
    if scene.talking != "no" and scene.quiet_min == 0:
        return '<path d="M221 84q-10-3-13 2q2 7 11 5z" fill="#7A3B36"/>'
    return f'<path d="M222 86q-6 2-11 0" stroke="{shapes.SKIN_DARK}" stroke-width="2.2" fill="none"/>'


def bubble(scene: Scene) -> str:
    """What is said; pale and dashed where it was said some time ago."""
    words = _WORDS.get(scene.talking)
    if not words:
        return ""
    past = scene.quiet_min > 0
    fill, ink = ("#F3EFE7", shapes.QUIET) if past else ("#FFFFFF", shapes.INK)
    dash = ' stroke-dasharray="5 4"' if past else ""
    parts = [f'<path d="{_OUTLINE}" fill="{fill}" stroke="{ink}" stroke-width="1.8"{dash} stroke-linejoin="round"/>']
    parts += [text((_MIDDLE_X, 50 + 21 * i), say(said), 17, "middle", ink, halo=False) for i, said in enumerate(words)]
    if past:
        parts.append(
            text(
                (_MIDDLE_X, 118),
                say("{minutes} min ago; silent since", minutes=f"{scene.quiet_min:g}"),
                14,
                "middle",
                ink,
            )
        )
    elif scene.talking == "reading":
        parts.append(_BOOK)
    return shapes.placed(_LYING_SHIFT, 0, "".join(parts)) if scene.lying else "".join(parts)
