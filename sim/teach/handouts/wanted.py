"""What somebody wants to print: which pages, on which paper, and what the clinic wants to stand on them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING

from sim.explain.schedules import Schedule, schedules
from sim.fields import FieldError
from sim.say import LANGUAGES, language, mark, say

if TYPE_CHECKING:
    from sim.teach.lesson_record import Lesson

PAPERS = {"a4": mark("A4"), "letter": mark("Letter")}
NOTE_LINES = 4


@dataclass(frozen=True)
class Line:
    """Something that a clinic may want to say: how it is called on the page, and how many letters have room."""

    label: str
    longest: int


# The longest are chosen: with all of them filled, every lesson still has its one side.
LINES = {
    "clinic": Line(mark("Clinic"), 50),
    "telephone": Line(mark("Telephone"), 40),
    "hours": Line(mark("Hours"), 50),
    "emergency": Line(mark("Local emergency number"), 40),
    "pregnancy": Line(mark("Help in pregnancy and after birth"), 40),
    "notes": Line(mark("Notes"), 240),
}


@dataclass(frozen=True)
class Clinic:
    """What a clinic wants to say, as plain text; what is left empty becomes a line to write on.

    emergency, pregnancy: telephone numbers, as people there know them;  notes: up to `NOTE_LINES` lines
    Raises FieldError where a text is longer than there is room.
    """

    clinic: str = ""
    telephone: str = ""
    hours: str = ""
    emergency: str = ""
    pregnancy: str = ""
    notes: str = ""

    def __post_init__(self) -> None:
        for each in fields(self):
            lines = [" ".join(line.split()) for line in getattr(self, each.name).splitlines()]
            kept = [line for line in lines if line]
            text = "\n".join(kept) if each.name == "notes" else " ".join(kept)
            longest = LINES[each.name].longest
            if len(text) > longest:
                raise FieldError(
                    each.name, say("{count} letters", count=len(text)), say("at most {count} letters", count=longest)
                )
            if len(kept) > NOTE_LINES:
                raise FieldError(
                    each.name, say("{count} lines", count=len(kept)), say("at most {count} lines", count=NOTE_LINES)
                )
            object.__setattr__(self, each.name, text)


@dataclass(frozen=True)
class Picture:
    """A drawing for paper: an SVG document, and what it shows in words, which stand beneath it.

    ratio: its width over its height
    like_this: whether it shows what to do, or what not to do; None where it shows neither
    """

    svg: str
    words: str
    ratio: float
    like_this: bool | None = None


@dataclass(frozen=True)
class Wanted:
    """The pages of one PDF: one for each lesson, then the class sheet with its answers, then the form of a log.

    pictures: those of a lesson, by its name;  paper: a key of `PAPERS`
    log: the name of a schedule for home (`home_schedules`), "" for no form
    language: of the fixed words, a key of `sim.say.LANGUAGES`: the one that is spoken where the pages are wanted
    Raises FieldError where nothing is wanted, or something that there is not.
    """

    lessons: Sequence[Lesson] = ()
    pictures: Mapping[str, Sequence[Picture]] = field(default_factory=dict)
    paper: str = "a4"
    large_print: bool = False
    class_sheet: bool = False
    log: str = ""
    clinic: Clinic = field(default_factory=Clinic)
    language: str = field(default_factory=language)

    def __post_init__(self) -> None:
        if self.paper not in PAPERS:
            raise FieldError("paper", repr(self.paper), "one of " + ", ".join(PAPERS))
        if self.language not in LANGUAGES:
            raise FieldError("language", repr(self.language), "one of " + ", ".join(LANGUAGES))
        if self.log and self.log not in home_schedules():
            raise FieldError("log", repr(self.log), "one of " + ", ".join(home_schedules()))
        if not self.lessons and not self.log:
            raise FieldError("pages", "none", "one lesson or more, or the form of a log")
        if self.class_sheet and not self.lessons:
            raise FieldError("class sheet", "alone", "together with one lesson or more")


def home_schedules() -> dict[str, Schedule]:
    """The schedules for measuring at home, by name: days, sessions and readings (schedules.toml has their sources).

    >>> "office-one" in home_schedules()
    False
    """
    return {name: plan for name, plan in schedules().items() if plan.place == "home"}
