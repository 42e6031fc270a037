"""What may stand behind a number that seems wrong: cuff, talk, movement, or the pressure itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from sim.cuff.bladder import FITTING_WIDTH_RATIO
from sim.figures.colours import TRUTH
from sim.screens.drawings import shapes
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.shapes import line, rect, text
from sim.screens.drawings.symbols import symbol
from sim.setup import Setup

BOX = (0.0, 0.0, 480.0, 168.0)
CARD_BOX = (4.0, 6.0, 472.0, 130.0)
_TILE, _GAP = 108.0, 12.0


@dataclass(frozen=True)
class Causes:
    """Bladder width over arm circumference and what is recommended [%]; talk; movement [mmHg]; the truth [mmHg]."""

    width_percent: float
    recommended_percent: tuple[float, float]
    talking: bool
    movement_mmhg: float
    resting: tuple[float, float]

    @classmethod
    def shown(cls, inputs: Setup) -> Self:
        """What may stand behind this reading."""
        subject, technique = inputs.subject, inputs.technique
        low, high = FITTING_WIDTH_RATIO
        return cls(
            100 * float(inputs.instrument.bladder_width_cm / subject.arm_circumference_cm),
            (100 * low, 100 * high),
            str(technique.talking) != "no" and float(technique.quiet_min) == 0,
            float(technique.movement_mmhg),
            (float(subject.sbp), float(subject.dbp)),
        )

    @property
    def fit(self) -> str:
        """The bladder's width for this arm, in words."""
        low, high = self.recommended_percent
        return "too narrow" if self.width_percent < low else "too wide" if self.width_percent > high else "fits"


def body(causes: Causes, labels: bool = True) -> str:
    """The drawing as SVG, without the element around it."""
    true = f"{causes.resting[0]:g}/{causes.resting[1]:g}"
    tiles = (
        ("cuff", causes.fit, _cuff(causes), causes.fit != "fits"),
        ("talk", "talking" if causes.talking else "silent", symbol("talking", (0, 0), 1.2), causes.talking),
        (
            "movement",
            f"{causes.movement_mmhg:g} mmHg" if causes.movement_mmhg else "still",
            _shaking(),
            causes.movement_mmhg > 0,
        ),
        ("or true", true, _true(), None),
    )
    return "".join(_tile(i, *tile, labels) for i, tile in enumerate(tiles))


def sentence(causes: Causes) -> str:
    """What the drawing shows, with its numbers."""
    low, high = causes.recommended_percent
    move = f"the arm moves, {causes.movement_mmhg:g} mmHg in the cuff" if causes.movement_mmhg else "the arm lies still"
    return (
        f"Four things that make a number: the cuff ({causes.fit}: {causes.width_percent:.0f} % of the arm's "
        f"circumference, recommended {low:.0f} to {high:.0f} %), talk ({'yes' if causes.talking else 'none'}), "
        f"movement ({move}), and the pressure itself: a resting pressure of "
        f"{causes.resting[0]:g}/{causes.resting[1]:g} mmHg."
    )


def _tile(i: int, name: str, words: str, drawn: str, wrong: bool | None, labels: bool) -> str:
    x = 6 + (_TILE + _GAP) * i
    edge = shapes.INK if wrong else TRUTH.colour if wrong is None else "#CFC7B9"
    dash = ' stroke-dasharray="5 5"' if wrong is False else ""
    frame = (
        f'<rect x="{x}" y="8" width="{_TILE}" height="{150 if labels else 124}" rx="10" fill="#FFFFFF" '
        f'stroke="{edge}" stroke-width="{3.4 if wrong else 2}"{dash}/>'
    )
    middle = x + _TILE / 2
    pale = ' opacity=".35"' if wrong is False else ""
    parts = [frame, f'<g transform="translate({middle} {76 if labels else 70})"{pale}>{drawn}</g>']
    if labels:
        parts.append(text((middle, 34), name, 17, "middle", weight=600, halo=False))
        parts.append(
            text(
                (middle, 142),
                words,
                17,
                "middle",
                "#005C91" if wrong is None else shapes.INK,
                700 if wrong else 400,
                False,
            )
        )
    return "".join(parts)


def _cuff(causes: Causes) -> str:
    """An arm with a bladder to scale."""
    width = 86 * causes.width_percent / 100
    return rect((-46, -21), 92, 42, shapes.SKIN, 12) + rect((-width / 2, -27), width, 54, shapes.CUFF_LIGHT, 7)


def _shaking() -> str:
    style = f'fill="none" stroke="{shapes.INK}" stroke-width="2.6" stroke-linecap="round"'
    arcs = f'<path d="M-40-10q-6 12 0 24M-32-6q-4 8 0 16M40-10q6 12 0 24M32-6q4 8 0 16" {style}/>'
    hand = '<path d="M-20-8C-6-13 10-12 17-7Q24-3 23 2 21 9 10 9H-20Z"/><path d="M-8-7Q4-18 11-14 14-9 5-5Z"/>'
    return f'<g fill="{shapes.SKIN}">{hand}</g>' + arcs


def _true() -> str:
    """A pulse between its two pressures."""
    wave = "M-40 20L-32-16-24 2-14 20L-6-16 2 2 12 20L20-16 28 2 38 20"
    return (
        line((-44, -18), (44, -18), TRUTH.colour, 1.6, "4 4")
        + line((-44, 22), (44, 22), TRUTH.colour, 1.6, "4 4")
        + f'<path d="{wave}" fill="none" stroke="{TRUTH.colour}" stroke-width="3.4" stroke-linejoin="round"/>'
    )


DRAWING = Drawing.of_one_size(Causes.shown, body, sentence, BOX, CARD_BOX)
