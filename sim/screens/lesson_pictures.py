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
    "arm-height": Picture(part="whole", word="arm too low"),
    "cuff-field": Picture(part="near", card="across", leads="arm", across=True, word="cuff too small"),
    "sleeve": Picture(part="near", across=True, word="over a sleeve"),
    "talking": Picture(word="talking"),
    "cuff-round": Picture(("across",), word="cuff too loose"),
    "cuff-turned": Picture(("across",), word="cuff turned"),
    "crease": Picture(("person", "along"), part="near", card="along", word="over the crease"),
    "posture": Picture(part="whole", word="legs crossed"),
    "rest": Picture(("settling",), asked=("person", "done before"), word="no rest"),
    "before": Picture(("before",), word="coffee, tobacco, meal"),
    "moving": Picture(word="moving"),
    "irregular": Picture(("fall",), word="beats at odd times"),
    "too-fast": Picture(("fall",), word="pressure changes fast"),
    "recording": Picture(leads="recording"),
    "visit": Picture(("visit",), asked=("person",), word="which reading counts?"),
    "two-algorithms": Picture(("artery",), leads="envelope", word="two answers"),
    "doubt": Picture(("person", "causes"), asked=("person",), card="causes", leads="recording", word="what now?"),
    "instrument": Picture(("gauges",), word="device against reference"),
    "week": Picture(("person", "week"), part="whole", card="week", word="every day of a week"),
    "line": Picture(("person", "dividing"), asked=("person",), card="dividing", word="just above a line"),
    "conical-arm": Picture(("along",), word="conical arm"),
    "company": Picture(word="not alone"),
    "which-arm": Picture(("person", "visit"), asked=("person",), word="which arm?"),
    "hours": Picture(word="when?"),
    "other-people": Picture(("across",), word="for whom?"),
}


def looks(lesson: Lesson) -> dict[str, str]:
    """The views of this lesson behind "A closer look"; the first is open at first."""
    return {name: label for name, label in VIEWS.items() if name != PICTURES[lesson.picture].leads}
