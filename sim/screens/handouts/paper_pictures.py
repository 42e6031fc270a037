"""The drawing on a lesson's printed page: what to do, and beside it what not to do, without a number of the model."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sim.screens.drawings import shapes
from sim.screens.pictures import DRAWINGS
from sim.teach.handouts.wanted import Picture
from sim.teach.handouts.words import LIKE_THIS, NOT_LIKE_THIS
from sim.teach.lesson import Lesson


@dataclass(frozen=True)
class OnPaper:
    """A lesson's drawing on paper.

    right: what the drawing of what to do shows, in few words;  wrong: the same of what not to do, "" where that is not
        drawn
    levers: those that are in their tempting position in the drawing of what not to do
    drawing: a key of `pictures.DRAWINGS`;  part: of the person that is shown, or of a card: the part on a lesson's card
    advice: whether it is any; else there is one drawing, that of the levers, with the words of `wrong`
    """

    right: str = "back leaning on the chair, arm on the table, cuff level with the heart"
    wrong: str = ""
    levers: tuple[str, ...] = ()
    drawing: str = "person"
    part: str = "upper"
    advice: bool = True


_HEIGHT = ("technique.cuff_below_heart_cm",)
_FIT = ("technique.slack_cm", "technique.wrinkle_cm")
_MOVES = ("technique.movement_mmhg", "technique.other_arm")
_BEFORE = ("technique.caffeine", "technique.nicotine", "technique.meal", "technique.full_bladder")
_CONE = (
    "seen from above, an arm that gets thin towards the elbow: a straight cuff stands off the skin at its lower edge"
)
# By a lesson's picture. Curves, dials and readings stay on the screen: what they show is in mmHg. Whatever is not here
# has the person, who sits as everybody should.
_ON_PAPER = {
    "arm-height": OnPaper("the cuff is level with the heart", "the arm hangs down", _HEIGHT, part="whole"),
    "cuff-field": OnPaper(
        "the air bag goes most of the way round the arm",
        "the air bag is too short for the arm",
        ("instrument.bladder",),
        "across",
        "card",
    ),
    "sleeve": OnPaper(
        "the cuff is on the bare arm",
        "a sleeve is pushed up to a tight roll",
        ("technique.sleeve_mm", "technique.sleeve_rolled_up"),
    ),
    "talking": OnPaper("say nothing", "talking", ("technique.talking",)),
    "cuff-round": OnPaper("the cuff is snug and smooth", "the cuff is loose and has a fold", _FIT, "across", "card"),
    "cuff-turned": OnPaper(
        "the mark of the cuff is over the artery, the red dot",
        "the cuff is turned off the artery",
        ("technique.cuff_turned_deg",),
        "across",
        "card",
    ),
    "crease": OnPaper(
        "the cuff is above the bend of the elbow",
        "the cuff lies over the bend of the elbow",
        ("technique.elbow_crease",),
        "along",
        "card",
    ),
    "posture": OnPaper(
        "both feet on the floor, arm on the table",
        "legs crossed, arm held up",
        ("technique.legs", "technique.arm_support"),
        part="whole",
    ),
    "rest": OnPaper(
        "sit for five minutes, then measure", "measured at once", ("technique.rest_min",), "settling", "card"
    ),
    "before": OnPaper(
        "none of these before you measure", "coffee, tobacco, a meal, a full bladder", _BEFORE, "before", "card"
    ),
    "moving": OnPaper("both arms at rest", "the arms move", _MOVES),
    "doubt": OnPaper("sit still and say nothing", "talking, and the arm moves", ("technique.talking", *_MOVES)),
    "company": OnPaper("alone and in quiet", "a doctor has just come in", ("technique.company",)),
    "week": OnPaper("the cuff is level with the heart", "the arm hangs down", _HEIGHT, part="whole"),
    "conical-arm": OnPaper("", _CONE, ("subject.arm_slant_degrees",), "along", "card", advice=False),
    "other-people": OnPaper(
        "the cuff fits a large arm", "the cuff is too small for a large arm", ("instrument.bladder",), "across", "card"
    ),
}


def pictures(lesson: Lesson) -> tuple[Picture, ...]:
    """One drawing or two for the page of this lesson."""
    shown = _ON_PAPER.get(lesson.picture, OnPaper())
    wrong = {field: value for field, value in lesson.tempting.items() if field in shown.levers}
    if not shown.advice:
        return (_drawn(lesson, wrong, shown, f"{shown.wrong[:1].upper()}{shown.wrong[1:]}.", None),)
    right = _drawn(lesson, lesson.correct, shown, f"{LIKE_THIS}: {shown.right}.", True)
    if not wrong:
        return (right,)
    return _drawn(lesson, wrong, shown, f"{NOT_LIKE_THIS}: {shown.wrong}.", False), right


def _drawn(lesson: Lesson, values: dict[str, Any], shown: OnPaper, words: str, like_this: bool | None) -> Picture:
    """The drawing with these levers, without distances and other labels."""
    drawing = DRAWINGS[shown.drawing]
    told = drawing.told(lesson.inputs(values))
    box = drawing.card if shown.part == "card" and drawing.card else drawing.box(told, shown.part)
    return Picture(shapes.svg(box, drawing.body(told, False)), words, box[2] / box[3], like_this)
