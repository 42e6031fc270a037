"""What the drawing of the person shows, in a sentence with its numbers."""

from __future__ import annotations

from sim.say import mark, say
from sim.screens.drawings.pose import Scene
from sim.technique import Technique

_MOVING = {
    "jolts": mark("the arm in the cuff moves, by jolts now and then"),
    "tremor": mark("the arm in the cuff trembles"),
    "shivering": mark("the person shivers, and the arm in the cuff with them"),
    "arm": mark("the arm in the cuff moves to and fro all the time"),
    "vehicle": mark("a vehicle shakes the person and the cuff up and down"),
}

_WHEN = {
    "morning": mark("it is morning"),
    "evening": mark("it is evening"),
    "summer": mark("it is summer"),
    "winter": mark("it is winter"),
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
    if height == 0:
        where = say("level with the heart")
    else:
        where = say("{cm} cm below the heart" if height > 0 else "{cm} cm above the heart", cm=f"{abs(height):g}")
    if scene.elbow_crease:
        return say("The middle of the cuff, over the crease of the elbow, is {where}", where=where)
    return say("The middle of the cuff is {where}", where=where)


def _arm(scene: Scene) -> str:
    if scene.rolled_up:
        cloth = say("a sleeve is rolled up tightly above it")
    elif scene.sleeve_mm:
        cloth = say("it lies on a sleeve {mm} mm thick", mm=f"{scene.sleeve_mm:g}")
    else:
        cloth = say("the arm is bare")
    return cloth + (say(", held up by its own muscles with nothing under it") if scene.held_up else "")


def _body(scene: Scene) -> str:
    """How the person sits or lies, where that is not as it should be."""
    said = [say("the person is {position}", position=option("position", scene.position))] if scene.lying else []
    if scene.back == "unsupported" and not scene.lying:
        said.append(say("the back is unsupported: a seat without a backrest"))
    if scene.on_couch:
        said.append(say("the person sits on an examination table without a backrest, feet hanging above the floor"))
    if scene.legs != "flat":
        said.append(option("legs", scene.legs))
    return "; ".join(said)


def _moving(scene: Scene) -> str:
    said = []
    if scene.movement_mmhg:
        movement, mmhg = say(_MOVING[scene.movement]), f"{scene.movement_mmhg:g}"
        said.append(say("{movement}, by about {mmhg} mmHg in the cuff", movement=movement, mmhg=mmhg))
    if scene.other_arm == "moving":
        said.append(say("the other arm moves"))
    if scene.deep_breaths_per_min:
        breaths = f"{scene.deep_breaths_per_min:g}"
        said.append(say("the person breathes deeply, {breaths} times a minute", breaths=breaths))
    if scene.cold:
        shivers = scene.shivers and scene.movement != "shivering"  # which is said already
        said.append(say("the room is cold, and the person shivers") if shivers else say("the room is cold"))
    return "; ".join(said)


def _around(scene: Scene) -> str:
    """Who else is there, and when it is."""
    said = [option("company", scene.company)] if scene.company != "alone" else []
    said += [say(_WHEN[scene.time_of_day])] if scene.time_of_day in _WHEN else []
    said += [say(_WHEN[scene.season])] if scene.season in _WHEN else []
    return "; ".join(said)


def _talk(scene: Scene) -> str:
    if scene.talking == "no":
        return say("the person is silent")
    kind = option("talking", scene.talking)
    if scene.quiet_min:
        minutes = f"{scene.quiet_min:g}"
        return say("the person has been silent for {minutes} min after {kind}", minutes=minutes, kind=kind)
    return say("the person is talking: {kind}", kind=kind)


def _covered(scene: Scene) -> str:
    """What the drawing cannot show at the same time."""
    if not scene.lying or scene.back == "supported":
        return ""
    return " " + say("Not drawn, as the person lies: {back}.", back=option("back", scene.back))
