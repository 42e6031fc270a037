"""Which drawings a reading leads to, one above the other, and the sentence beneath them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from sim.results import Reading
from sim.screens import lesson_pictures, scenes
from sim.screens.drawings import (
    along,
    artery_curve,
    before,
    causes,
    dividing,
    fall,
    gauges,
    person,
    person_words,
    section,
    settling,
    shapes,
    visit,
    week,
)
from sim.screens.drawings.dividing import Dividing
from sim.screens.drawings.shapes import Box
from sim.setup import Setup
from sim.technique import Technique

_SECTION_CARD = (10.0, 8.0, 216.0, 220.0)
_GAP = 14.0
# A part of the person that is at least so wide has its labels: the others are for looking closely.
_LABELLED = 430.0


@dataclass(frozen=True)
class Drawing:
    """A kind of drawing: what it is told of a reading, what is drawn (with labels or without), where, and the words."""

    told: Callable[[Setup], Any]
    body: Callable[[Any, bool], str]
    box: Callable[[Any], Box]
    words: Callable[[Any], str]
    card_box: Box


def _fixed(told: Callable[[Setup], Any], module: Any) -> Drawing:
    """A drawing of one size."""
    return Drawing(told, module.body, lambda _: module.BOX, module.sentence, module.CARD_BOX)


# Which fields of the technique each shows is declared with the field.
DRAWINGS: dict[str, Drawing] = {
    "person": Drawing(
        scenes.scene,
        person.body,
        lambda scene: person.box(scene, "whole"),
        person_words.sentence,
        (0.0, 0.0, 0.0, 0.0),
    ),
    "across": Drawing(
        scenes.section,
        section.body,
        lambda _: section.BOX,
        section.sentence,
        _SECTION_CARD,
    ),
    "along": _fixed(scenes.along, along),
    "before": Drawing(
        scenes.before,
        lambda told, labels: before.body(told) if labels else before.card(told),
        before.box,
        before.sentence,
        before.CARD_BOX,
    ),
    # Only what there was: beside another drawing.
    "done before": Drawing(
        lambda inputs: scenes.before(inputs, every=False),
        lambda told, _: before.body(told),
        before.box,
        before.sentence,
        before.CARD_BOX,
    ),
    "settling": _fixed(scenes.settling, settling),
    "visit": _fixed(scenes.visit, visit),
    "week": _fixed(scenes.week, week),
    "fall": _fixed(scenes.fall, fall),
    "artery": _fixed(scenes.yielding, artery_curve),
    "gauges": _fixed(scenes.gauges, gauges),
    "causes": _fixed(scenes.causes, causes),
    "dividing": _fixed(scenes.dividing, dividing),
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
    return _figure(inputs, picture, list(lesson_pictures.asked(picture)))


def _figure(inputs: Setup, picture: str, names: list[str], mean: Reading | None = None) -> str:
    boxes, bodies, words = [], [], []
    for name in names:
        drawing = DRAWINGS[name]
        told = drawing.told(inputs)
        if isinstance(told, Dividing) and mean is not None and mean.ok[0]:
            told = replace(told, average=float(mean.sbp[0]))
        boxes.append(person.box(told, lesson_pictures.part(picture)) if name == "person" else drawing.box(told))
        bodies.append(drawing.body(told, name != "person" or boxes[-1][2] >= _LABELLED))
        words.append(drawing.words(told))
    said = " ".join([*words, *_not_drawn(inputs.technique, names, picture)])
    kind = lesson_pictures.part(picture) if names == ["person"] else "stacked"
    return shapes.figure(_stack(boxes, bodies), said, kind)


def across(inputs: Setup) -> str:
    """Across the arm: bladder, cloth and artery, with its sentence."""
    told = scenes.section(inputs)
    return shapes.figure(shapes.svg(section.BOX, section.body(told)), section.sentence(told), "across")


def unmarked(inputs: Setup, table_lower_cm: float = 0.0) -> tuple[str, str]:
    """The person, and across the arm, for somebody who is asked what is wrong: without distances and recommended sizes.

    Returns the HTML and the sentence with what is drawn. `table_lower_cm`: a table so much lower than usual.
    """
    told, cut = replace(scenes.scene(inputs), table_lower_cm=table_lower_cm), scenes.section(inputs)
    words = person_words.sentence(told), section.sentence(cut)
    documents = (
        shapes.svg(person.box(told, "whole"), person.body(told, False)),
        shapes.svg(_SECTION_CARD, section.body(cut, False)),
    )
    images = "".join(shapes.image(*each) for each in zip(documents, words, strict=True))
    return f'<figure class="drawing unmarked">{images}</figure>', " ".join(words)


def card(inputs: Setup, picture: str) -> str:
    """A small picture for a lesson's card; only decoration, so without a sentence."""
    name = lesson_pictures.card(picture)
    drawing = DRAWINGS[name]
    if picture == "posture":  # sitting: lying hides how the others differ
        inputs = inputs.replace(position="sitting")
    told = drawing.told(inputs)
    box = person.box(told, lesson_pictures.part(picture)) if name == "person" else drawing.card_box
    return f'<div class="card-picture">{shapes.image(shapes.svg(box, drawing.body(told, False)), "")}</div>'


def drawn(inputs: Setup, picture: str) -> list[str]:
    """The drawings, keys of `DRAWINGS`, that show this reading."""
    names = list(lesson_pictures.drawings(picture))
    wrong = _wrong(inputs.technique)
    for name in _ADDED:
        if name == "across" and picture in lesson_pictures.ACROSS:
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
    shown = _shown([*names, "across"] if picture in lesson_pictures.ACROSS else names)
    listed = [
        Technique.LIMITS[name].words(getattr(technique, name).item())
        for name in Technique.LIMITS
        if name in _wrong(technique) - shown
    ]
    return [f"Not drawn: {'; '.join(listed)}."] if listed else []


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
