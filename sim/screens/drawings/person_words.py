"""What the drawing of the person shows, in a sentence with its numbers."""

from __future__ import annotations

from sim.screens.drawings.pose import Scene
from sim.technique import Technique

_MOVING = {
    "jolts": "the arm in the cuff moves, by jolts now and then",
    "tremor": "the arm in the cuff trembles",
    "shivering": "the person shivers, and the arm in the cuff with them",
    "arm": "the arm in the cuff moves to and fro all the time",
    "vehicle": "a vehicle shakes the person and the cuff up and down",
}


def sentence(scene: Scene) -> str:
    """All that is drawn; what is as it should be in few words."""
    parts = [_cuff(scene), _arm(scene)]
    parts += [words for words in (_body(scene), _moving(scene), _around(scene)) if words]
    return "; ".join([*parts, _talk(scene)]) + "." + _covered(scene)


def option(field: str, value: str) -> str:
    """The words of an option of the technique."""
    return Technique.LIMITS[field].words(value)


def _cuff(scene: Scene) -> str:
    height = scene.cuff_below_heart_cm
    where = "level with" if height == 0 else f"{abs(height):g} cm {'below' if height > 0 else 'above'}"
    over = ", over the crease of the elbow," if scene.elbow_crease else ""
    return f"The middle of the cuff{over} is {where} the heart"


def _arm(scene: Scene) -> str:
    if scene.rolled_up:
        cloth = "a sleeve is rolled up tightly above it"
    elif scene.sleeve_mm:
        cloth = f"it lies on a sleeve {scene.sleeve_mm:g} mm thick"
    else:
        cloth = "the arm is bare"
    return cloth + (", held up by its own muscles with nothing under it" if scene.held_up else "")


def _body(scene: Scene) -> str:
    """How the person sits or lies, where that is not as it should be."""
    said = [f"the person is {option('position', scene.position)}"] if scene.lying else []
    if scene.back == "unsupported" and not scene.lying:
        said.append("the back is unsupported: a seat without a backrest")
    if scene.on_couch:
        said.append("the person sits on an examination table without a backrest, feet hanging above the floor")
    if scene.legs != "flat":
        said.append(option("legs", scene.legs))
    return "; ".join(said)


def _moving(scene: Scene) -> str:
    said = []
    if scene.movement_mmhg:
        said.append(f"{_MOVING[scene.movement]}, by about {scene.movement_mmhg:g} mmHg in the cuff")
    if scene.other_arm == "moving":
        said.append("the other arm moves")
    if scene.deep_breaths_per_min:
        said.append(f"the person breathes deeply, {scene.deep_breaths_per_min:g} times a minute")
    if scene.cold:
        shivers = scene.shivers and scene.movement != "shivering"  # which is said already
        said.append("the room is cold" + (", and the person shivers" if shivers else ""))
    return "; ".join(said)


def _around(scene: Scene) -> str:
    """Who else is there, and when it is."""
    said = [option("company", scene.company)] if scene.company != "alone" else []
    said += [f"it is {scene.time_of_day}"] if scene.time_of_day != "between" else []
    said += [f"it is {scene.season}"] if scene.season != "between" else []
    return "; ".join(said)


def _talk(scene: Scene) -> str:
    if scene.talking == "no":
        return "the person is silent"
    kind = option("talking", scene.talking)
    if scene.quiet_min:
        return f"the person has been silent for {scene.quiet_min:g} min after {kind}"
    return f"the person is talking: {kind}"


def _covered(scene: Scene) -> str:
    """What the drawing cannot show at the same time."""
    if not scene.lying or scene.back == "supported":
        return ""
    return f" Not drawn, as the person lies: {option('back', scene.back)}."
