"""What is asked about a case to practise on, what is right, and what is said to each answer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.say import mark, say
from sim.teach.practice import BANDS, Case, Possible, possible

_STREAM = 81071
NOTHING = mark("Nothing was wrong")
DIRECTIONS = {
    "higher": mark("higher"),
    "lower": mark("lower"),
    "alike": mark("about the same: less than 3 mmHg apart"),
}
NEXT = {
    "again": mark("Put right what is wrong, then measure again"),
    "wait": mark("Put right what is wrong, let the time pass that it needs, then measure again"),
    "keep": mark("Keep this one, and take the next reading of the protocol"),
    "correct": mark("Subtract or add the effect of the mistakes, and write that number down"),
    "cancel": mark("Write it down as it is: the mistakes cancel each other"),
}


@dataclass(frozen=True)
class Answer:
    """What somebody said about a case.

    named: names of mistakes, none where nothing was wrong; direction: a key of DIRECTIONS; band: as `Case.band`;
    following: a key of NEXT
    """

    named: tuple[str, ...]
    direction: str
    band: int
    following: str


@dataclass(frozen=True)
class Verdict:
    """An answer beside what is right.

    found, missed, false: names of mistakes that were named and made, only made, only named
    direction, band, following: whether each was right
    """

    found: tuple[str, ...]
    missed: tuple[str, ...]
    false: tuple[str, ...]
    direction: bool
    band: bool
    following: bool

    @property
    def mistakes(self) -> bool:
        """Whether exactly the mistakes that were made were named."""
        return not self.missed and not self.false


def verdict(case: Case, answer: Answer) -> Verdict:
    """The answer, judged."""
    made = [m.name for m in case.possible]
    return Verdict(
        found=tuple(name for name in made if name in answer.named),
        missed=tuple(name for name in made if name not in answer.named),
        false=tuple(name for name in answer.named if name not in made),
        direction=answer.direction == case.direction,
        band=answer.band == case.band,
        following=answer.following == following(case),
    )


def following(case: Case) -> str:
    """What is right to do next, a key of NEXT."""
    if not case.possible:
        return "keep"
    return "wait" if any(m.wait for m in case.possible) else "again"


def order(number: int) -> list[Possible]:
    """All mistakes that may be named, in the order of this case: it says nothing about which were made."""
    listed = possible()
    return [listed[i] for i in np.random.default_rng([_STREAM, number]).permutation(len(listed))]


def band_words(band: int) -> str:
    """A band of size in words, in whole mmHg.

    >>> band_words(0), band_words(1), band_words(3)
    ('less than 3 mmHg', '3 to 7 mmHg', '15 mmHg or more')
    """
    if band == 0:
        return say("less than {mmhg} mmHg", mmhg=f"{BANDS[0]:g}")
    if band == len(BANDS):
        return say("{mmhg} mmHg or more", mmhg=f"{BANDS[-1]:g}")
    return say("{low} to {high} mmHg", low=f"{BANDS[band - 1]:g}", high=f"{BANDS[band] - 1:g}")


def reply(case: Case, chosen: str) -> str:
    """Why what was chosen to do next is right here, or is not."""
    right = following(case)
    if chosen == right:
        return _why_right(case)
    if chosen == "correct":
        start = say(
            "A number of ours is an average, and people differ from it. A reading that was taken badly is taken again."
        )
    elif chosen == "cancel":
        start = _why_not_cancel(case)
    elif chosen == "keep":
        start = say("This one was not taken as it should be: one more in the same way has the same mistakes.")
    elif right == "keep":
        start = say("There is nothing to put right. Repeating until you like the number is another mistake.")
    elif chosen == "again":
        start = say("Measured again at once, the pressure would still be moved.")
    else:
        start = say("Nothing here needs time once it is put right.")
    return f"{start} {_why_right(case)}"


def _why_right(case: Case) -> str:
    if not case.possible:
        return say(
            "The technique is as it should be, so this counts as it is, and belongs to an average with the next ones."
        )
    put_right = "; ".join(say(m.put_right) for m in case.possible)
    return say("First, {put_right}. Then measure again.", put_right=put_right)


def _why_not_cancel(case: Case) -> str:
    if len(case.possible) < 2:
        return say("There are no two mistakes that could cancel.")
    return say(
        "Mistakes that cancel in this person do not in the next, and nobody can see from the display that they did."
    )
