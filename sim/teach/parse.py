"""From the text of a lesson file to a lesson, or to the list of what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from sim.teach.can_be_taken import not_taken
from sim.teach.inputs import read_inputs
from sim.teach.keys import Keys, LessonFault
from sim.teach.lesson_record import Lesson
from sim.teach.parse_evidence import read_evidence
from sim.teach.parse_levers import go_together, read_lever
from sim.teach.parse_questions import read_case, read_check, read_predict
from sim.teach.parts import Takeaway
from sim.teach.toml_lines import Read, loads, read

PICTURES = (
    "arm-height",
    "cuff-field",
    "sleeve",
    "talking",
    "cuff-round",
    "cuff-turned",
    "crease",
    "posture",
    "rest",
    "before",
    "moving",
    "irregular",
    "too-fast",
    "recording",
    "visit",
    "two-algorithms",
    "doubt",
    "instrument",
    "week",
    "line",
    "conical-arm",
    "company",
    "which-arm",
    "hours",
    "other-people",
)
# Estimators that a lesson may show beside the fixed ratios.
SECOND_ESTIMATORS = ("slope", "model-fit", "corrected-ratio", "neural-network")
_NO_PICTURE = "no picture in a text; the key picture says which drawing the lesson has"
HEADINGS = ("Why it happens", "What to do", "What is not known")

_NAME = re.compile(r"\d\d-[a-z0-9]+(-[a-z0-9]+)*\.md")
_NAMED = "two digits and words such as 05-slack.md"
# A lesson of one's own needs no digits; not longer than a learner's progress takes.
_OWN_NAME = re.compile(r"(?=.{1,60}\.md)[a-z0-9]+(-[a-z0-9]+)*\.md")
_OWN_NAMED = "small letters, digits and hyphens such as our-cuffs.md, at most 60"
_FENCE = re.compile(r"\A\+\+\+[ \t]*\n(.*?\n)??\+\+\+[ \t]*(?:\n|\Z)(.*)\Z", re.DOTALL)


def parse(file: str, text: str, local: bool = False) -> tuple[Lesson | None, list[LessonFault]]:
    """The lesson in `text`, or None and all faults found. `file` is the file's name; local: a lesson of one's own."""
    text = text.replace("\r\n", "\n")
    lesson, faults, lines = _parse(file, text, local)
    bodies = len(text[: text.find("\n+++", 3)].split("\n")) + 1
    placed = [fault.at(fault.line or _line(fault.key, lines, text, bodies), local) for fault in faults]
    return (None if faults else lesson), sorted(placed, key=lambda fault: fault.line)


def key_lines(text: str) -> Read:
    """On which line of a lesson file each key stands."""
    parts = _FENCE.match(text.replace("\r\n", "\n"))
    return read((parts and parts[1]) or "", first=2)


def _parse(file: str, text: str, local: bool) -> tuple[Lesson | None, list[LessonFault], Read]:
    """The lesson, the faults, most of them without a line, and on which line each key stands."""
    if not (_OWN_NAME if local else _NAME).fullmatch(file):
        return None, [LessonFault(file, "file name", _OWN_NAMED if local else _NAMED, file)], Read()
    parts = _FENCE.match(text)
    if not parts:
        return None, [_no_fence(file, text)], Read()
    try:
        data: dict[str, Any] | None = loads(parts[1] or "")
        read_again = Read()
    except ValueError:
        read_again = read(parts[1] or "", first=2)
        data = read_again.data
    wrong = read_again.wrong
    faults = [LessonFault(file, "", each.expected, each.found, each.line) for each in wrong]
    if data is None:
        return None, faults, read_again
    found: list[LessonFault] = []
    lesson = _lesson(file, Keys(data, file, "", found), parts[2], local)
    found += [
        LessonFault(file, key, _NO_PICTURE, text) for key, text in (*_pictures(data), *_pictures(parts[2], "body"))
    ]
    if found and not wrong:
        read_again = read(parts[1] or "", first=2)
    # A line that was put right for the moment has been told already.
    told = {each.line for each in wrong}
    if lesson is not None and local:
        found += [LessonFault(file, key, f"{e.field} {e.allowed}", str(e.value)) for key, e in not_taken(lesson)]
        read_again = read(parts[1] or "", first=2) if found else read_again
    return lesson, faults + [fault for fault in found if read_again.line(fault.key) not in told], read_again


def _no_fence(file: str, text: str) -> LessonFault:
    """What is wrong with a file whose keys do not stand between two lines of +++."""
    lines = text.split("\n")
    if not re.fullmatch(r"\+\+\+[ \t]*", lines[0]):
        return LessonFault(file, "", "+++ and nothing else on the first line, above the keys", lines[0][:20], 1)
    heading = next((n for n, line in enumerate(lines, 1) if line.startswith("## ")), len(lines))
    return LessonFault(file, "", "a second line of +++ between the keys and the text", lines[heading - 1][:20], heading)


def _line(key: str, lines: Read, text: str, bodies: int) -> int:
    """Where a fault's key stands; of the text below the keys, its heading."""
    if key == "file name":
        return 0
    if not key.startswith("body"):
        return lines.line(key)
    heading = key.removeprefix("body").removeprefix(", ")
    after = list(enumerate(text.split("\n"), 1))[bodies:]
    found = (n for n, line in after if line.startswith("##") and (not heading or line.strip("# \t") == heading))
    return next(found, bodies)


def _lesson(file: str, keys: Keys, body: str, local: bool) -> Lesson | None:
    words = {key: keys.text(key) for key in ("title", "question", "audience", "summary")}
    minutes = keys.whole("minutes", 1, 60)
    picture = keys.one_of("picture", PICTURES)
    scenario = read_inputs(keys.table("scenario", "a table [scenario.subject] and the like"))
    levers = tuple(read_lever(k, scenario) for k in keys.tables("lever", 1, 4))
    for field in {v.field for v in levers if [w.field for w in levers].count(v.field) > 1}:
        keys.fault("lever", "each field once", field)
    go_together(keys, levers, scenario)
    compare_with = "" if "compare_with" not in keys else keys.one_of("compare_with", SECOND_ESTIMATORS)
    predict = read_predict(keys.table("predict"), levers)
    checks = tuple(read_check(k) for k in keys.tables("check", 1, 6))
    case = read_case(keys.table("case"), scenario) if "case" in keys else None
    evidence = tuple(read_evidence(k, scenario) for k in keys.tables("evidence", 0 if local else 1, 40))
    takeaway = _takeaway(keys.table("takeaway"))
    sections = _sections(keys, body)
    keys.close()
    if keys.faults or scenario is None:
        return None
    return Lesson(
        name=file.removesuffix(".md"),
        minutes=minutes or 0,
        picture=picture,
        scenario=scenario,
        levers=levers,
        predict=predict,
        checks=checks,
        evidence=evidence,
        takeaway=takeaway,
        compare_with=compare_with,
        case=case,
        body=body.strip(),
        sections=sections,
        local=local,
        **words,
    )


def _pictures(value: object, key: str = "") -> Iterator[tuple[str, str]]:
    """Where a text asks for a picture, and from there on the text.

    A browser would fetch it from the address that stands there, and so tell others who opens the lesson.
    """
    if isinstance(value, str):
        if "![" in value:
            yield key, value[value.index("![") :][:40]
    elif isinstance(value, dict):
        for name, inside in value.items():
            yield from _pictures(inside, ", ".join(filter(None, [key, name])))
    elif isinstance(value, list):
        for place, inside in enumerate(value, 1):
            yield from _pictures(inside, f"{key} {place}" if isinstance(inside, dict) else key)


def _takeaway(keys: Keys) -> Takeaway:
    takeaway = Takeaway(keys.text("text"), keys.texts("steps", "a list of one or more steps, each some text"))
    keys.close()
    return takeaway


def _sections(keys: Keys, body: str) -> dict[str, str]:
    """The body by its second-level headings, which must be HEADINGS in that order, each with text below."""
    pieces = re.split(r"^##[ \t]+(.+?)[ \t]*$", body, flags=re.MULTILINE)
    found = tuple(pieces[1::2])
    if found != HEADINGS:
        expected = "the headings " + ", ".join(f"## {h}" for h in HEADINGS) + ", in this order"
        keys.fault("body", expected, ", ".join(f"## {h}" for h in found))
    if pieces[0].strip():
        keys.fault("body", f"nothing before ## {HEADINGS[0]}", pieces[0].strip())
    sections = dict(zip(found, (text.strip() for text in pieces[2::2]), strict=True))
    for heading, text in sections.items():
        if not text:
            keys.fault(f"body, {heading}", "some text below the heading")
    return sections
