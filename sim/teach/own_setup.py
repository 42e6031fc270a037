"""Set it up yourself: a cuff for a measured arm, a support for it and a moment are chosen, then twenty readings follow.

A number is a room with a person in it, as a number is a case in `practice`. In every room one support of three brings
the middle of the cuff to heart level, and it is not always the same one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from sim.cuff.bladder import Bladder, bladders, choose, fits, nearest
from sim.explain.breakdown import Breakdown, breakdown
from sim.explain.same_arm import READINGS
from sim.fields import FieldError
from sim.say import mark, say
from sim.setup import Setup
from sim.teach.own_patient import NOBODY, OwnPatient
from sim.teach.practice import NoCaseError, cupboard, person, readings_rng

FIRST, LAST = 4000, 4999
SUPPORTS = {
    "lap": mark("in the lap"),
    "table": mark("on the table"),
    "pillows": mark("on a pile of pillows on the table"),
}
MOMENTS = {
    "at once": mark("at once"),
    "five": mark("after five minutes of sitting quietly"),
    "another": mark("at another time: before any coffee or cigarette, after five minutes of sitting quietly"),
}
# What came before, as told; None: nothing.
_BEFORE = {
    "caffeine": mark("On the way in there were two cups of coffee, within the last hour."),
    "nicotine": mark("There was a cigarette at the door, a few minutes ago."),
    None: mark("No coffee and no tobacco today."),
}
_BEFORE_CHANCES = (0.3, 0.3, 0.4)
# The middle of the cuff below the heart [cm]: in the lap, on the table, on the pillows. Assumed, and drawn so.
_ROOMS = (
    {"lap": 10.0, "table": 0.0, "pillows": -9.0},
    {"lap": 11.0, "table": 7.0, "pillows": 0.0},
)
_STREAM = 81072
# People drawn before it is said that these cuffs fit nobody. Chosen: one size fits a tenth of arms or more.
_TRIES = 200


@dataclass(frozen=True, eq=False)
class Room:
    """A person and what there is to choose from.

    person: with correct technique; heights_cm: of each support, the middle of the cuff below the heart;
    before: the field of what came before, or None; sizes: the bladders in the cupboard
    """

    number: int
    person: Setup
    heights_cm: dict[str, float]
    before: str | None
    sizes: tuple[Bladder, ...] = field(default_factory=bladders)

    @property
    def words(self) -> tuple[str, ...]:
        """What is told."""
        arm = float(self.person.subject.arm_circumference_cm)
        return (
            say("The arm measures {arm} cm round, half-way up the upper arm.", arm=f"{arm:g}"),
            say("The person has just come in and sat down, and says nothing."),
            say(_BEFORE[self.before]),
        )


@dataclass(frozen=True)
class Chosen:
    """What was chosen: a bladder's name, a key of SUPPORTS, a key of MOMENTS."""

    bladder: str
    support: str
    moment: str


@dataclass(frozen=True)
class Remark:
    """What is said of one choice: what it was about, whether nothing is wrong with it, and why."""

    about: str
    right: bool
    words: str


@lru_cache(maxsize=200)
def room(number: int, own: OwnPatient = NOBODY) -> Room:
    """The room of a number from 4000 to 4999. Raises FieldError, and NoCaseError for cuffs that fit nobody."""
    if isinstance(number, bool) or not isinstance(number, int) or not FIRST <= number <= LAST:
        raise FieldError("case", number, f"a whole number from {FIRST} to {LAST}")
    rng = np.random.default_rng([_STREAM, number])
    heights = _ROOMS[int(rng.integers(len(_ROOMS)))]
    before = list(_BEFORE)[int(rng.choice(len(_BEFORE), p=_BEFORE_CHANCES))]
    drawn = next((found for _ in range(_TRIES) if (found := person(rng, own)) is not None), None)
    if drawn is None:
        raise NoCaseError(say("case {number} cannot be made for this patient with these cuffs", number=number))
    return Room(number, drawn, heights, before, cupboard(own))


def set_up(found: Room, chosen: Chosen) -> Setup:
    """The setup that was chosen."""
    fields = {
        "bladder": chosen.bladder,
        "cuff_below_heart_cm": found.heights_cm[chosen.support],
        "rest_min": 0.0 if chosen.moment == "at once" else 5.0,
    }
    if found.before is not None and chosen.moment != "another":
        fields[found.before] = "yes"
    return found.person.replace(**fields)


def readings(found: Room, chosen: Chosen) -> Breakdown:
    """Twenty readings with what was chosen."""
    return breakdown(set_up(found, chosen), rng=readings_rng(found.number), n=READINGS, average_person=True)


def remarks(found: Room, chosen: Chosen) -> tuple[Remark, ...]:
    """What is said of the cuff, the support and the moment."""
    return _cuff(found, chosen.bladder), _support(found, chosen.support), _moment(found, chosen.moment)


def _cuff(found: Room, name: str) -> Remark:
    arm = float(found.person.subject.arm_circumference_cm)
    size = {b.name: b for b in (*found.sizes, *bladders())}
    chosen, best = size[name], size[_best(found)]
    if bool(fits(np.array([name]), np.array([arm]))[0]):
        words = say(
            "This bladder is for arms of {arms}, and this arm has {arm}."
            if chosen.arm_from_cm <= arm <= chosen.arm_to_cm
            else "This bladder has the published shares of the arm's circumference, and this arm has {arm}.",
            arms=_arms(chosen),
            arm=f"{arm:g}",
        )
        return Remark("cuff", True, words)
    take = say("take this one") if best in found.sizes else say("none of these cuffs fits. Get this one")
    return Remark(
        "cuff",
        False,
        say(
            "Too small: this bladder is for arms of {arms}. For {arm} cm, {take}: {size}."
            if chosen.width_cm * chosen.length_cm < best.width_cm * best.length_cm
            else "Too large: this bladder is for arms of {arms}. For {arm} cm, {take}: {size}.",
            arms=_arms(chosen),
            arm=f"{arm:g}",
            take=take,
            size=best.printed,
        ),
    )


def _best(found: Room) -> str:
    """The name of the bladder that this arm needs: of those in the cupboard, or where none fits the guideline's."""
    arm = float(found.person.subject.arm_circumference_cm)
    best = nearest([size.name for size in found.sizes], arm)
    return best if bool(fits(np.array([best]), np.array([arm]))[0]) else str(choose(arm))


def _arms(size: Bladder) -> str:
    return say("{low} to {high} cm", low=f"{size.arm_from_cm:g}", high=f"{size.arm_to_cm:g}")


def _support(found: Room, name: str) -> Remark:
    below = found.heights_cm[name]
    if below == 0:
        return Remark("support", True, say("The middle of the cuff is level with the heart."))
    right = next(SUPPORTS[key] for key, cm in found.heights_cm.items() if cm == 0)
    words = say(
        "The middle of the cuff is {cm} cm below the heart. Here it is level {right}."
        if below > 0
        else "The middle of the cuff is {cm} cm above the heart. Here it is level {right}.",
        cm=f"{abs(below):g}",
        right=say(right),
    )
    return Remark("support", False, words)


def _moment(found: Room, name: str) -> Remark:
    if name == "at once":
        return Remark("moment", False, say("Too early: the person needs five minutes of sitting quietly first."))
    if name == "five":
        why = {
            None: say("Five quiet minutes are what is asked for, and nothing else came before."),
            "caffeine": say(
                "The rest is right, but coffee acts for three hours or longer (Mesas AE, et al. 2011). If it cannot "
                "wait for another time, write the coffee beside the number."
            ),
            "nicotine": say(
                "The rest is right, but the cigarette is only minutes ago. Half an hour is the common rule; your local "
                "protocol counts. If it cannot wait, write the cigarette beside the number."
            ),
        }[found.before]
        return Remark("moment", found.before is None, why)
    if found.before is None:
        return Remark(
            "moment", True, say("Nothing is wrong with it. It was not needed: five quiet minutes would have done.")
        )
    return Remark("moment", True, say("Neither coffee nor tobacco, and five quiet minutes."))
