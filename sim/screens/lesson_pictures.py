"""What leads a lesson's bench, by the picture that the lesson names, and what is left to look at more closely."""

from __future__ import annotations

from sim.teach.lesson import Lesson

# The views of a reading. One of them leads; the others are behind "A closer look".
VIEWS = {
    "steps": "What added what",
    "recording": "Recording",
    "envelope": "Envelope",
    "arm": "Inside the arm",
    "person": "The drawing",
}
# The drawings of a picture, keys of `pictures.DRAWINGS`, from above; the first is the one on the card, unless told.
_DRAWINGS = {
    "cuff-round": ("across",),
    "cuff-turned": ("across",),
    "crease": ("person", "along"),
    "rest": ("settling",),
    "before": ("before",),
    "visit": ("visit",),
    "irregular": ("fall",),
    "too-fast": ("fall",),
    "two-algorithms": ("artery",),
    "doubt": ("person", "causes"),
    "instrument": ("gauges",),
    "week": ("person", "week"),
    "line": ("person", "dividing"),
}
_CARDS = {"cuff-field": "across", "crease": "along", "doubt": "causes", "week": "week", "line": "dividing"}
# Part of the person that is shown: whole, from the waist up, or close to the arm. And the view that leads, where it
# is not the drawing.
_PERSON = {
    "arm-height": "whole",
    "posture": "whole",
    "week": "whole",
    "sleeve": "near",
    "cuff-field": "near",
    "crease": "near",
}
_VIEW = {
    "cuff-field": "arm",
    "recording": "recording",
    "doubt": "recording",
    "two-algorithms": "envelope",
}
# Before the prediction, where a picture would give the answer away.
_ASKED = {"rest": ("person", "done before"), "visit": ("person",), "doubt": ("person",), "line": ("person",)}
# Pictures in which the cut across the arm stands beside what leads.
ACROSS = ("cuff-field", "sleeve")


def drawings(picture: str) -> tuple[str, ...]:
    """The drawings that a picture always has, from above."""
    return _DRAWINGS.get(picture, ("person",))


def asked(picture: str) -> tuple[str, ...]:
    """The drawings beside the question that is asked before anything is measured."""
    return _ASKED.get(picture) or drawings(picture)


def card(picture: str) -> str:
    """The drawing on the card of a lesson with this picture."""
    return _CARDS.get(picture) or drawings(picture)[0]


def part(picture: str) -> str:
    """The part of the person shown with a picture."""
    return _PERSON.get(picture, "upper")


def leading(picture: str) -> str:
    """The view that leads with a picture, a key of `VIEWS`."""
    return _VIEW.get(picture, "person")


def looks(lesson: Lesson) -> dict[str, str]:
    """The views of this lesson behind "A closer look"; the first is open at first."""
    return {name: label for name, label in VIEWS.items() if name != leading(lesson.picture)}
