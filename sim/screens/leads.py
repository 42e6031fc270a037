"""What leads a lesson's bench, by the picture that the lesson names, and what is left to look at more closely."""

from __future__ import annotations

from sim.teach.lesson import Lesson

# The views of a reading. One of them leads; the others are behind "A closer look".
VIEWS = {
    "steps": "What cost what",
    "recording": "Recording",
    "envelope": "Envelope",
    "arm": "Inside the arm",
    "person": "The person",
}
# Part of the seated person that is shown: whole, from the waist up, or close to the arm. And the view that leads,
# where it is not the person.
_PERSON = {
    "arm-height": "whole",
    "posture": "whole",
    "rest": "whole",
    "sleeve": "near",
    "cuff-field": "near",
    "cuff-round": "near",
    "crease": "near",
}
_VIEW = {
    "cuff-field": "arm",
    "recording": "recording",
    "instrument": "recording",
    "two-algorithms": "envelope",
}
# Pictures in which the cut across the arm stands beside what leads.
ACROSS = ("cuff-field", "cuff-round", "sleeve")


def part(picture: str) -> str:
    """The part of the person shown with a picture."""
    return _PERSON.get(picture, "upper")


def leading(picture: str) -> str:
    """The view that leads with a picture, a key of `VIEWS`."""
    return _VIEW.get(picture, "person")


def looks(lesson: Lesson) -> dict[str, str]:
    """The views of this lesson behind "A closer look"; the first is open at first."""
    return {name: label for name, label in VIEWS.items() if name != leading(lesson.picture)}
