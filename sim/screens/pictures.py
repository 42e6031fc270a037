"""Which drawings a reading leads to, one above the other, and the sentence beneath them."""

from __future__ import annotations

from dataclasses import replace
from html import escape

from sim.explain.pictured import Dividing
from sim.results import Reading
from sim.say import say
from sim.screens.drawings import (
    along,
    artery_curve,
    before,
    causes,
    dividing,
    fall,
    gauges,
    person,
    section,
    settling,
    shapes,
    visit,
    week,
)
from sim.screens.drawings.drawing import Drawing
from sim.screens.drawings.pose import Scene
from sim.screens.drawings.shapes import Box
from sim.screens.lesson_pictures import PICTURES
from sim.setup import Setup
from sim.technique import Technique

_GAP = 14.0
# Which fields of the technique each shows is declared with the field.
DRAWINGS: dict[str, Drawing] = {
    "person": person.DRAWING,
    "across": section.DRAWING,
    "along": along.DRAWING,
    "before": before.DRAWING,
    "done before": before.DONE,
    "settling": settling.DRAWING,
    "visit": visit.DRAWING,
    "week": week.DRAWING,
    "fall": fall.DRAWING,
    "artery": artery_curve.DRAWING,
    "gauges": gauges.DRAWING,
    "causes": causes.DRAWING,
    "dividing": dividing.DRAWING,
}
# Added below a picture where a field is not correct that nothing in it shows.
_ADDED = ("person", "across", "done before", "visit")


def seated(inputs: Setup, picture: str, mean: Reading | None = None) -> str:
    """The drawings of a lesson's picture, and of whatever else is not correct, with their sentence.

    mean: what readings with these inputs average on the screen, where there are any
    """
    return _figure(inputs, picture, drawn(inputs, picture), mean)


def asked(inputs: Setup, picture: str) -> str:
    """The drawings beside a lesson's question, which do not give the answer away."""
    return _figure(inputs, picture, list(PICTURES[picture].asked or PICTURES[picture].drawings))


def _figure(inputs: Setup, picture: str, names: list[str], mean: Reading | None = None) -> str:
    part = PICTURES[picture].part
    boxes, bodies, words = [], [], []
    for name in names:
        drawing = DRAWINGS[name]
        told = drawing.told(inputs)
        if isinstance(told, Dividing) and mean is not None and mean.ok[0]:
            told = replace(told, average=float(mean.sbp[0]))
        boxes.append(drawing.box(told, part))
        bodies.append(drawing.body(told, boxes[-1][2] >= drawing.labelled_from))
        words.append(drawing.sentence(told))
    said = " ".join([*words, *_not_drawn(inputs.technique, names, picture)])
    kind = part if names == ["person"] else "stacked"
    return shapes.figure(_stack(boxes, bodies), said, kind)


def across(inputs: Setup) -> str:
    """Across the arm: bladder, cloth and artery, with its sentence."""
    told = section.Section.shown(inputs)
    return shapes.figure(shapes.svg(section.BOX, section.body(told)), section.sentence(told), "across")


def unmarked(inputs: Setup, table_lower_cm: float = 0.0) -> tuple[str, str]:
    """The person, and across the arm, for somebody who is asked what is wrong: without distances and recommended sizes.

    Returns the HTML and the sentence with what is drawn. `table_lower_cm`: a table so much lower than usual.
    """
    told, cut = replace(Scene.shown(inputs), table_lower_cm=table_lower_cm), section.Section.shown(inputs)
    words = person.DRAWING.sentence(told), section.sentence(cut)
    documents = (
        shapes.svg(person.box(told, "whole"), person.body(told, False)),
        shapes.svg(section.CARD_BOX, section.body(cut, False)),
    )
    images = "".join(shapes.image(*each) for each in zip(documents, words, strict=True))
    return f'<figure class="drawing unmarked">{images}</figure>', " ".join(words)


def card(inputs: Setup, picture: str) -> str:
    """A small picture for a lesson's card; only decoration, so without a sentence."""
    shown = PICTURES[picture]
    drawing = DRAWINGS[shown.card or shown.drawings[0]]
    if picture == "posture":  # sitting: lying hides how the others differ
        inputs = inputs.replace(position="sitting")
    told = drawing.told(inputs)
    box = drawing.card or drawing.box(told, shown.part)
    word = f"<p>{escape(say(shown.word))}</p>" if shown.word else ""
    return f'<div class="card-picture">{shapes.image(shapes.svg(box, drawing.body(told, False)), "")}{word}</div>'


def drawn(inputs: Setup, picture: str) -> list[str]:
    """The drawings, keys of `DRAWINGS`, that show this reading."""
    names = list(PICTURES[picture].drawings)
    wrong = _wrong(inputs.technique)
    for name in _ADDED:
        if name == "across" and PICTURES[picture].across:
            continue  # it stands beside the picture
        missing = wrong - _shown(names)
        if missing & _shown([name]):
            names.append(name)
    return names


def _shown(names: list[str]) -> frozenset[str]:
    """The fields of the technique that these drawings show."""
    return frozenset(field for field, declared in Technique.LIMITS.items() if set(declared.drawn) & set(names))


def _wrong(technique: Technique) -> frozenset[str]:
    """The fields that are not at their defaults."""
    return frozenset(
        name for name, limit in Technique.LIMITS.items() if getattr(technique, name).item() != limit.default
    )


def _not_drawn(technique: Technique, names: list[str], picture: str) -> list[str]:
    """What differs from correct technique besides, for which there is no drawing."""
    shown = _shown([*names, "across"] if PICTURES[picture].across else names)
    listed = [
        Technique.LIMITS[name].words(getattr(technique, name).item())
        for name in Technique.LIMITS
        if name in _wrong(technique) - shown
    ]
    return [say("Not drawn: {listed}.", listed="; ".join(listed))] if listed else []


def _stack(boxes: list[Box], bodies: list[str]) -> str:
    """Drawings one above the other, each as wide as the widest."""
    if len(boxes) == 1:
        return shapes.svg(boxes[0], bodies[0])
    width = max(box[2] for box in boxes)
    parts, top = [], 0.0
    for box, drawn_body in zip(boxes, bodies, strict=True):
        high = box[3] * width / box[2]
        parts.append(shapes.inner(box, (0.0, top, width, high), drawn_body))
        top += high + _GAP
    return shapes.svg((0.0, 0.0, width, top - _GAP), "".join(parts))
