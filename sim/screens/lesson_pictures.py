"""What the picture that a lesson names consists of: what leads the lesson, and what stands beside it."""

from __future__ import annotations

from dataclasses import dataclass

from sim.teach.lesson import Lesson

# The views of a reading. One of them leads; the others are behind "A closer look".
VIEWS = {
    "steps": "What added what",
    "recording": "Recording",
    "envelope": "Envelope",
    "arm": "Inside the arm",
    "person": "The drawing",
}


@dataclass(frozen=True)
class Picture:
    """A lesson's picture.

    drawings: keys of `pictures.DRAWINGS`, from above;  part: of the person that is shown: whole, from the waist up
        ("upper"), or close to the arm ("near")
    asked: the drawings before the prediction, where those would give the answer away
    card: the drawing on the lesson's card, where it is not the first
    leads: the view that leads, a key of `VIEWS`;  across: whether the cut across the arm stands beside it
    """

    drawings: tuple[str, ...] = ("person",)
    part: str = "upper"
    asked: tuple[str, ...] = ()
    card: str = ""
    leads: str = "person"
    across: bool = False


PICTURES = {
    "arm-height": Picture(part="whole"),
    "cuff-field": Picture(part="near", card="across", leads="arm", across=True),
    "sleeve": Picture(part="near", across=True),
    "talking": Picture(),
    "cuff-round": Picture(("across",)),
    "cuff-turned": Picture(("across",)),
    "crease": Picture(("person", "along"), part="near", card="along"),
    "posture": Picture(part="whole"),
    "rest": Picture(("settling",), asked=("person", "done before")),
    "before": Picture(("before",)),
    "moving": Picture(),
    "irregular": Picture(("fall",)),
    "too-fast": Picture(("fall",)),
    "recording": Picture(leads="recording"),
    "visit": Picture(("visit",), asked=("person",)),
    "two-algorithms": Picture(("artery",), leads="envelope"),
    "doubt": Picture(("person", "causes"), asked=("person",), card="causes", leads="recording"),
    "instrument": Picture(("gauges",)),
    "week": Picture(("person", "week"), part="whole", card="week"),
    "line": Picture(("person", "dividing"), asked=("person",), card="dividing"),
}


def looks(lesson: Lesson) -> dict[str, str]:
    """The views of this lesson behind "A closer look"; the first is open at first."""
    return {name: label for name, label in VIEWS.items() if name != PICTURES[lesson.picture].leads}
