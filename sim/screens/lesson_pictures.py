"""What the picture that a lesson names consists of: what leads the lesson, and what stands beside it."""

from __future__ import annotations

from dataclasses import dataclass

from sim.say import mark
from sim.teach.lesson import Lesson

# The views of a reading. One of them leads; the others are behind "A closer look".
VIEWS = {
    "steps": mark("What added what"),
    "recording": mark("Recording"),
    "envelope": mark("Envelope"),
    "arm": mark("Inside the arm"),
    "person": mark("The drawing"),
}


@dataclass(frozen=True)
class Picture:
    """A lesson's picture.

    drawings: keys of `pictures.DRAWINGS`, from above;  part: of the person that is shown: whole, from the waist up
        ("upper"), or close to the arm ("near")
    asked: the drawings before the prediction, where those would give the answer away
    card: the drawing on the lesson's card, where it is not the first;  word: what it shows, told in a word or two, by
        which cards whose drawings are alike are told apart at a glance
    leads: the view that leads, a key of `VIEWS`;  across: whether the cut across the arm stands beside it
    """

    drawings: tuple[str, ...] = ("person",)
    part: str = "upper"
    asked: tuple[str, ...] = ()
    card: str = ""
    word: str = ""
    leads: str = "person"
    across: bool = False


PICTURES = {
    "arm-height": Picture(part="whole", word=mark("arm too low")),
    "cuff-field": Picture(part="near", card="across", leads="arm", across=True, word=mark("cuff too small")),
    "sleeve": Picture(part="near", across=True, word=mark("over a sleeve")),
    "talking": Picture(word=mark("talking")),
    "cuff-round": Picture(("across",), word=mark("cuff too loose")),
    "cuff-turned": Picture(("across",), word=mark("cuff turned")),
    "crease": Picture(("person", "along"), part="near", card="along", word=mark("over the crease")),
    "posture": Picture(part="whole", word=mark("legs crossed")),
    "rest": Picture(("settling",), asked=("person", "done before"), word=mark("no rest")),
    "before": Picture(("before",), word=mark("coffee, tobacco, meal")),
    "moving": Picture(word=mark("moving")),
    "irregular": Picture(("fall",), word=mark("beats at odd times")),
    "too-fast": Picture(("fall",), word=mark("pressure changes fast")),
    "recording": Picture(leads="recording"),
    "visit": Picture(("visit",), asked=("person",), word=mark("which reading counts?")),
    "two-algorithms": Picture(("artery",), leads="envelope", word=mark("two answers")),
    "doubt": Picture(("person", "causes"), asked=("person",), card="causes", leads="recording", word=mark("what now?")),
    "instrument": Picture(("gauges",), word=mark("device against reference")),
    "week": Picture(("person", "week"), part="whole", card="week", word=mark("every day of a week")),
    "line": Picture(("person", "dividing"), asked=("person",), card="dividing", word=mark("just above a line")),
    "conical-arm": Picture(("along",), word=mark("conical arm")),
    "company": Picture(word=mark("not alone")),
    "which-arm": Picture(("person", "visit"), asked=("person",), word=mark("which arm?")),
    "hours": Picture(word=mark("when?")),
    "other-people": Picture(("across",), word=mark("for whom?")),
}


def looks(lesson: Lesson) -> dict[str, str]:
    """The views of this lesson behind "A closer look"; the first is open at first."""
    return {name: label for name, label in VIEWS.items() if name != PICTURES[lesson.picture].leads}
