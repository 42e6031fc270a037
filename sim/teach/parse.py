"""From the text of a lesson file to a lesson, or to the list of what is wrong with it."""

from __future__ import annotations

import re
from itertools import product
from typing import Any

from sim.fields import Declared, FieldError, Limit
from sim.setup import FIELDS, RECORDS, Setup
from sim.teach.inputs import apply, read_inputs
from sim.teach.keys import Keys, LessonFault, nearest, perhaps
from sim.teach.lesson_record import Lesson
from sim.teach.parse_evidence import read_evidence
from sim.teach.parse_questions import read_case, read_check, read_predict
from sim.teach.parse_shows import read_shows
from sim.teach.parts import GROUPS, Lever, Option, Takeaway
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
SECOND_ESTIMATORS = ("slope", "model-fit", "corrected-ratio")
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
    bodies = len(text[: text.rfind("\n+++")].split("\n")) + 1
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
    if found and not wrong:
        read_again = read(parts[1] or "", first=2)
    # A line that was put right for the moment has been told already.
    told = {each.line for each in wrong}
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
    levers = tuple(_lever(k, scenario) for k in keys.tables("lever", 1, 4))
    for field in {v.field for v in levers if [w.field for w in levers].count(v.field) > 1}:
        keys.fault("lever", "each field once", field)
    _go_together(keys, levers, scenario)
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


def _go_together(keys: Keys, levers: tuple[Lever, ...], scenario: Setup | None) -> None:
    """Whatever the learner does with the levers, a reading can be taken."""
    if keys.faults or scenario is None:
        return
    ends = [[lever.correct, lever.tempting, *([] if lever.is_choice else [lever.low, lever.high])] for lever in levers]
    for values in product(*ends):
        try:
            apply(scenario, *({v.group: {v.name: value}} for v, value in zip(levers, values, strict=True)))
        except FieldError as error:
            keys.fault("lever", f"positions that go together: {error.field} {error.allowed}", str(error.value))
            return


def _lever(keys: Keys, scenario: Setup | None) -> Lever:
    field = keys.text("field", "a field such as technique.cuff_below_heart_cm")
    label, help_text = keys.text("label"), keys.text("help")
    group, _, name = field.partition(".")
    if field and (group not in GROUPS or name not in RECORDS[group].LIMITS):
        known = list(RECORDS[group].LIMITS) if group in GROUPS else []
        near = perhaps(nearest(field, [f"{g}.{n}" for g in GROUPS for n in RECORDS[g].LIMITS]))
        keys.fault("field", "subject., technique. or instrument. and one of its fields" + _listed(known) + near)
        keys.rest()
        return Lever(field, label, help_text, None, None)
    if not field:
        keys.rest()
        return Lever(field, label, help_text, None, None)
    limit = FIELDS[name]
    lever = _number_lever(keys, field, limit) if isinstance(limit, Limit) else _choice_lever(keys, field, limit)
    if "shows" not in keys:
        keys.fault("shows", "a table [lever.shows] that says what the words claim of the readings at `tempting`")
    shows = read_shows(keys.table("shows")) if "shows" in keys else None
    lever = Lever(**{**vars(lever), "label": label, "help": help_text, "shows": shows})
    keys.close()
    if lever.correct is None:
        return lever
    if scenario is not None:
        actual = scenario.values()[name]
        if lever.correct != type(lever.correct)(actual):
            keys.fault("correct", f"the scenario's value, {actual}")
    if lever.correct == lever.tempting:
        keys.fault("tempting", "a wrong value, other than the correct one")
    return lever


def _listed(names: list[str]) -> str:
    return ": " + ", ".join(names) if names else ""


def _number_lever(keys: Keys, field: str, limit: Limit) -> Lever:
    before = len(keys.faults)
    low, high, step = (keys.number(key) or 0.0 for key in ("low", "high", "step"))
    if len(keys.faults) > before:
        keys.rest()
        return Lever(field, "", "", None, None)
    for key, value in (("low", low), ("high", high)):
        if not limit.low <= value <= limit.high:
            keys.fault(key, f"a number {limit.allowed}")
    if not low < high:
        keys.fault("high", f"a number above low, which is {low:g}")
    elif not 0 < step <= high - low:
        keys.fault("step", f"a number above 0 and up to high less low, {high - low:g}")
    if len(keys.faults) > before:
        keys.rest()
        return Lever(field, "", "", None, None)
    ends = {key: _position(keys, key, low, high, step) for key in ("correct", "tempting")}
    return Lever(field, "", "", ends["correct"], ends["tempting"], low, high, step)


def _position(keys: Keys, key: str, low: float, high: float, step: float) -> float | None:
    """A position of a number lever: between its ends and on one of its steps."""
    value = keys.number(key)
    if value is None:
        return None
    steps = (value - low) / step
    if not low <= value <= high or abs(steps - round(steps)) > 1e-6:
        keys.fault(key, f"a position of the lever, from {low:g} to {high:g} in steps of {step:g}")
        return None
    return value


def _choice_lever(keys: Keys, field: str, limit: Declared) -> Lever:
    before = len(keys.faults)
    options = []
    for entry in keys.tables("options", 2, 8):
        value, label = entry.text("value"), entry.text("label")
        entry.close()
        if value:
            try:
                limit.one(field, value)
            except FieldError as error:
                entry.fault("value", error.allowed)
        options.append(Option(value, label))
    values = [o.value for o in options]
    if len(set(values)) < len(values):
        keys.fault("options", "each value once", ", ".join(values))
    if len(keys.faults) > before:
        keys.rest()
        return Lever(field, "", "", None, None)
    correct, tempting = keys.one_of("correct", values), keys.one_of("tempting", values)
    return Lever(field, "", "", correct or None, tempting or None, options=tuple(options))


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
