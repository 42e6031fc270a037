"""The drawing on a lesson's printed page: what to do, and beside it what not to do, without a number of the model."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sim.say import mark, say
from sim.screens.drawings import shapes
from sim.screens.pictures import DRAWINGS
from sim.screens.words import sentence
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

    right: str = mark("back leaning on the chair, arm on the table, cuff level with the heart")
    wrong: str = ""
    levers: tuple[str, ...] = ()
    drawing: str = "person"
    part: str = "upper"
    advice: bool = True


_HEIGHT = ("technique.cuff_below_heart_cm",)
_FIT = ("technique.slack_cm", "technique.wrinkle_cm")
_MOVES = ("technique.movement_mmhg", "technique.other_arm")
_BEFORE = ("technique.caffeine", "technique.nicotine", "technique.meal", "technique.full_bladder")
_CONE = mark(
    "seen from above, an arm that gets thin towards the elbow: a straight cuff stands off the skin at its lower edge"
)
# By a lesson's picture. Curves, dials and readings stay on the screen: what they show is in mmHg. Whatever is not here
# has the person, who sits as everybody should.
_ON_PAPER = {
    "arm-height": OnPaper(mark("the cuff is level with the heart"), mark("the arm hangs down"), _HEIGHT, part="whole"),
    "cuff-field": OnPaper(
        mark("the air bag goes most of the way round the arm"),
        mark("the air bag is too short for the arm"),
        ("instrument.bladder",),
        "across",
        "card",
    ),
    "sleeve": OnPaper(
        mark("the cuff is on the bare arm"),
        mark("a sleeve is pushed up to a tight roll"),
        ("technique.sleeve_mm", "technique.sleeve_rolled_up"),
    ),
    "talking": OnPaper(mark("say nothing"), mark("talking"), ("technique.talking",)),
    "cuff-round": OnPaper(
        mark("the cuff is snug and smooth"), mark("the cuff is loose and has a fold"), _FIT, "across", "card"
    ),
    "cuff-turned": OnPaper(
        mark("the mark of the cuff is over the artery, the red dot"),
        mark("the cuff is turned off the artery"),
        ("technique.cuff_turned_deg",),
        "across",
        "card",
    ),
    "crease": OnPaper(
        mark("the cuff is above the bend of the elbow"),
        mark("the cuff lies over the bend of the elbow"),
        ("technique.elbow_crease",),
        "along",
        "card",
    ),
    "posture": OnPaper(
        mark("both feet on the floor, arm on the table"),
        mark("legs crossed, arm held up"),
        ("technique.legs", "technique.arm_support"),
        part="whole",
    ),
    "rest": OnPaper(
        mark("sit for five minutes, then measure"),
        mark("measured at once"),
        ("technique.rest_min",),
        "settling",
        "card",
    ),
    "before": OnPaper(
        mark("none of these before you measure"),
        mark("coffee, tobacco, a meal, a full bladder"),
        _BEFORE,
        "before",
        "card",
    ),
    "moving": OnPaper(mark("both arms at rest"), mark("the arms move"), _MOVES),
    "doubt": OnPaper(
        mark("sit still and say nothing"), mark("talking, and the arm moves"), ("technique.talking", *_MOVES)
    ),
    "company": OnPaper(mark("alone and in quiet"), mark("a doctor has just come in"), ("technique.company",)),
    "week": OnPaper(mark("the cuff is level with the heart"), mark("the arm hangs down"), _HEIGHT, part="whole"),
    "conical-arm": OnPaper("", _CONE, ("subject.arm_slant_degrees",), "along", "card", advice=False),
    "other-people": OnPaper(
        mark("the cuff fits a large arm"),
        mark("the cuff is too small for a large arm"),
        ("instrument.bladder",),
        "across",
        "card",
    ),
}


def pictures(lesson: Lesson) -> tuple[Picture, ...]:
    """One drawing or two for the page of this lesson, their words in the language that is spoken."""
    shown = _ON_PAPER.get(lesson.picture, OnPaper())
    wrong = {field: value for field, value in lesson.tempting.items() if field in shown.levers}
    if not shown.advice:
        return (_drawn(lesson, wrong, shown, sentence(say(shown.wrong)), None),)
    right = _drawn(lesson, lesson.correct, shown, f"{say(LIKE_THIS)}: {say(shown.right)}.", True)
    if not wrong:
        return (right,)
    return _drawn(lesson, wrong, shown, f"{say(NOT_LIKE_THIS)}: {say(shown.wrong)}.", False), right


def _drawn(lesson: Lesson, values: dict[str, Any], shown: OnPaper, words: str, like_this: bool | None) -> Picture:
    """The drawing with these levers, without distances and other labels."""
    drawing = DRAWINGS[shown.drawing]
    told = drawing.told(lesson.inputs(values))
    box = drawing.card if shown.part == "card" and drawing.card else drawing.box(told, shown.part)
    return Picture(shapes.svg(box, drawing.body(told, False)), words, box[2] / box[3], like_this)
