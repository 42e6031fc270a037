"""Where a room is: in which lesson, at which step, with which lever where. Nothing here draws anything."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sim.say import mark
from sim.teach.lesson import Lesson
from sim.teach.parts import Lever

STEPS = {
    "start": mark("Before the question"),
    "ask": mark("Question"),
    "answer": mark("Answer"),
    "lever": mark("Try it"),
    "do": mark("What to do"),
    "help": mark("When to get help"),
}
_NAMES = tuple(STEPS)
# A press of a key moves a lever by about this share of its range. Chosen: half as much needs twice the presses from end
# to end, twice as much steps over most mistakes that lessons show.
_PRESS_SHARE = 0.1


@dataclass
class Room:
    """Where a room is.

    place: of the lesson in `lessons`, counted from 0;  step: a key of STEPS
    revealed: names of the lessons whose answer has been shown
    values: lever positions by field;  lever: number of the one that the keys move;  moved: how often it was put
        somewhere by a key or button, which gives its widget a new name
    held: the positions that numbers and picture stay at while the levers move on, None where they follow
    hands: for each lesson, hands counted for a choice, by the author's number counted from 0
    blank: nothing is shown
    """

    lessons: tuple[Lesson, ...]
    place: int = 0
    step: str = "start"
    revealed: set[str] = field(default_factory=set)
    values: dict[str, Any] = field(default_factory=dict)
    lever: int = 0
    moved: int = 0
    held: dict[str, Any] | None = None
    hands: dict[str, dict[int, int]] = field(default_factory=dict)
    blank: bool = False

    def __post_init__(self) -> None:
        self._begin_lesson()

    @property
    def lesson(self) -> Lesson:
        """The lesson that is shown."""
        return self.lessons[self.place]

    @property
    def shown(self) -> dict[str, Any]:
        """The lever positions that numbers and picture show."""
        return self.values if self.held is None else self.held

    @property
    def counted(self) -> dict[int, int]:
        """The hands counted in this lesson."""
        return self.hands.setdefault(self.lesson.name, {})

    @property
    def moving(self) -> Lever:
        """The lever that the keys move."""
        return self.lesson.levers[self.lever]

    @property
    def scene(self) -> dict[str, Any]:
        """The lever positions that the question asks about, the others correct."""
        shows = self.lesson.predict.shows
        return dict(self.lesson.correct) | (dict(shows.at) if shows is not None else {})

    @property
    def can_reveal(self) -> bool:
        """Whether a question is on the wall whose answer is not."""
        return self.step == "ask" and self.lesson.name not in self.revealed

    @property
    def can_go_on(self) -> bool:
        """Whether there is a next step that gives nothing away."""
        if self.step == "ask":
            return self.lesson.name in self.revealed
        return self.step != _NAMES[-1] or self.place + 1 < len(self.lessons)

    @property
    def can_go_back(self) -> bool:
        """Whether anything was before."""
        return self.step != _NAMES[0] or self.place > 0

    @property
    def can_hold(self) -> bool:
        """Whether there is a lever to move while the picture stays."""
        return self.step == "lever"

    def reveal(self) -> None:
        """Show the answer of the question that is on the wall; does nothing where there is none."""
        if self.can_reveal:
            self.revealed.add(self.lesson.name)
            self.step = "answer"

    def go_on(self) -> None:
        """To the next step, after the last one to the next lesson; never past a question that is not answered."""
        if not self.can_go_on:
            return
        self.held = None
        if self.step == _NAMES[-1]:
            self.to_lesson(self.place + 1)
        else:
            self.step = _NAMES[_NAMES.index(self.step) + 1]

    def go_back(self) -> None:
        """To the step before, before the first one to the lesson before, as far as it was shown."""
        if not self.can_go_back:
            return
        self.held = None
        if self.step == _NAMES[0]:
            self.to_lesson(self.place - 1)
            self.step = _NAMES[-1] if self.lesson.name in self.revealed else _NAMES[0]
        else:
            self.step = _NAMES[_NAMES.index(self.step) - 1]

    def to_lesson(self, place: int) -> None:
        """To the beginning of another lesson."""
        self.place, self.step = place, _NAMES[0]
        self._begin_lesson()

    def hold(self) -> None:
        """Keep numbers and picture as they are, or let them follow the levers again."""
        if self.can_hold:
            self.held = dict(self.values) if self.held is None else None

    def move(self, way: int) -> None:
        """Move the lever up (1) or down (-1): by about a tenth of its range, or to the option above or below."""
        lever, now = self.moving, self.values[self.moving.field]
        if lever.is_choice:
            names = [option.value for option in lever.options]
            place = names.index(now) - way  # the first option stands at the top
            self._put({lever.field: names[max(0, min(len(names) - 1, place))]})
            return
        press = max(1, round(_PRESS_SHARE * (lever.high - lever.low) / lever.step)) * lever.step
        value = round(now + way * press, 6)
        self._put({lever.field: max(float(lever.low), min(float(lever.high), value))})

    def put_mistake(self) -> None:
        """The lever to its common mistake."""
        self._put({self.moving.field: self.moving.tempting})

    def put_correct(self) -> None:
        """All levers to correct technique."""
        self._put(dict(self.lesson.correct))

    def other_lever(self) -> None:
        """The keys move the next lever."""
        self.lever = (self.lever + 1) % len(self.lesson.levers)
        self.moved += 1

    def _levers_at(self, values: dict[str, Any]) -> list[tuple[Lever, Any]]:
        """The levers, each with its position."""
        return [(lever, values[lever.field]) for lever in self.lesson.levers]

    def _put(self, values: dict[str, Any]) -> None:
        self.values |= values
        self.moved += 1

    def _begin_lesson(self) -> None:
        """The levers where the question has them, and among them the one that it speaks of."""
        self.values, self.held = self.scene, None
        wrong = [value != self.lesson.correct[lever.field] for lever, value in self._levers_at(self.scene)]
        self.lever = wrong.index(True) if True in wrong else 0
        self.moved += 1
