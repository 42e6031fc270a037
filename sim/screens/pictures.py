"""Which drawing a reading leads to, and the sentence beneath it."""

from __future__ import annotations

from typing import Any

from sim.fields import Choice
from sim.screens import leads
from sim.screens.drawings import person, section, shapes
from sim.screens.drawings.pose import Scene
from sim.teach.inputs import Inputs
from sim.technique import Technique

_TALK = Technique.LIMITS["talking"]
# Fields that show in the seated person or across the arm.
_DRAWN = {
    "cuff_below_heart_cm",
    "slack_cm",
    "cuff_turned_deg",
    "sleeve_mm",
    "sleeve_rolled_up",
    "talking",
    "quiet_min",
}
_CARD_BOX = (10.0, 8.0, 216.0, 220.0)


def seated(inputs: Inputs, picture: str) -> str:
    """The seated person, the part of it that the lesson's picture shows, with its sentence."""
    scene = _scene(inputs)
    part = leads.part(picture)
    words = seated_sentence(scene) + _not_drawn(inputs[1])
    return shapes.figure(shapes.svg(person.BOXES[part], person.body(scene, labels=part == "whole")), words, part)


def across(inputs: Inputs) -> str:
    """Across the arm: bladder, cloth and artery, with its sentence."""
    drawn = _section(inputs)
    words = across_sentence(drawn)
    return shapes.figure(shapes.svg(section.BOX, section.body(drawn)), words, "across")


def card(inputs: Inputs, picture: str) -> str:
    """A small picture for a lesson's card; only decoration, so without a sentence."""
    if picture in ("cuff-field", "cuff-round"):
        body, box = section.body(_section(inputs), scales=False), _CARD_BOX
    else:
        body, box = person.body(_scene(inputs), labels=False), person.BOXES[leads.part(picture)]
    return f'<div class="card-picture">{shapes.image(shapes.svg(box, body), "")}</div>'


def seated_sentence(scene: Scene) -> str:
    """What the drawing of the person shows, with its numbers."""
    height = scene.cuff_below_heart_cm
    where = (
        "The middle of the cuff is level with the heart"
        if height == 0
        else f"The middle of the cuff is {abs(height):g} cm {'below' if height > 0 else 'above'} the heart"
    )
    if scene.rolled_up:
        arm = "a sleeve is rolled up tightly above it"
    elif scene.sleeve_mm:
        arm = f"it lies on a sleeve {scene.sleeve_mm:g} mm thick"
    else:
        arm = "the arm is bare"
    return f"{where}; {arm}; {_talk(scene)}."


def across_sentence(drawn: section.Section) -> str:
    """What the drawing across the arm shows, with its numbers."""
    arm = f"An arm {drawn.arm_circumference_cm:g} cm round."
    size = f"{drawn.bladder_width_cm:g} × {drawn.bladder_length_cm:g} cm"
    share = (
        f"The bladder, {size}, is {drawn.width_percent:.0f} % of that wide and {drawn.length_percent:.0f} % of it long."
    )
    extras = []
    if drawn.sleeve_mm:
        extras.append(f"{drawn.sleeve_mm:g} mm of cloth lie under it")
    if drawn.slack_cm:
        extras.append(f"it is wrapped {drawn.slack_cm:g} cm too loosely")
    if drawn.cuff_turned_deg:
        extras.append(f"its middle is turned {abs(drawn.cuff_turned_deg):g} degrees off the artery")
    more = (" " + "; ".join(extras)[0].upper() + "; ".join(extras)[1:] + ".") if extras else ""
    return f"{arm} {share}{more}"


def _not_drawn(technique: Technique) -> str:
    """What differs from correct technique besides, for which there is no drawing."""
    listed = []
    for name, limit in Technique.LIMITS.items():
        value = getattr(technique, name).item()
        if name in _DRAWN or value == limit.default:
            continue
        listed.append(
            limit.options[value] if isinstance(limit, Choice) else f"{limit.label.lower()}: {value:g} {limit.unit}"
        )
    return f" Not drawn: {'; '.join(listed)}." if listed else ""


def _talk(scene: Scene) -> str:
    if scene.talking == "no":
        return "the person is silent"
    kind = _TALK.options[scene.talking]  # type: ignore[union-attr]
    if scene.quiet_min:
        return f"the person has been silent for {scene.quiet_min:g} min after {kind}"
    return f"the person is talking: {kind}"


def _scene(inputs: Inputs) -> Scene:
    subject, technique, instrument = inputs
    return Scene(
        cuff_below_heart_cm=float(technique.cuff_below_heart_cm),
        arm_circumference_cm=float(subject.arm_circumference_cm),
        bladder_width_cm=float(instrument.bladder_width_cm),
        sleeve_mm=float(technique.sleeve_mm),
        rolled_up=str(technique.sleeve_rolled_up) == "yes",
        talking=str(technique.talking),
        quiet_min=float(technique.quiet_min),
    )


def _section(inputs: Inputs) -> section.Section:
    subject, technique, instrument = inputs
    fields: dict[str, Any] = {
        "arm_circumference_cm": subject.arm_circumference_cm,
        "bladder_width_cm": instrument.bladder_width_cm,
        "bladder_length_cm": instrument.bladder_length_cm,
        "artery_radius_ratio": subject.artery_radius_ratio,
        "cuff_turned_deg": technique.cuff_turned_deg,
        "sleeve_mm": technique.sleeve_mm,
        "slack_cm": technique.slack_cm,
    }
    return section.Section(**{name: float(value) for name, value in fields.items()})
