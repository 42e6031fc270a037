"""From the text of a lesson file to a lesson, or to the list of what is wrong with it."""

from __future__ import annotations

import re
import tomllib

from sim.fields import Declared, FieldError, Limit
from sim.setup import FIELDS, RECORDS, Setup
from sim.teach.inputs import read_inputs
from sim.teach.keys import Keys, LessonFault
from sim.teach.lesson_record import Lesson
from sim.teach.parse_evidence import read_evidence
from sim.teach.parse_questions import read_case, read_check, read_predict
from sim.teach.parse_shows import read_shows
from sim.teach.parts import GROUPS, Lever, Option, Takeaway

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
_FENCE = re.compile(r"\A\+\+\+[ \t]*\n(.*?\n)??\+\+\+[ \t]*(?:\n|\Z)(.*)\Z", re.DOTALL)


def parse(file: str, text: str) -> tuple[Lesson | None, list[LessonFault]]:
    """The lesson in `text`, or None and all faults found. `file` is the file's name."""
    text = text.replace("\r\n", "\n")
    if not _NAME.fullmatch(file):
        return None, [LessonFault(file, "file name", "two digits and words such as 05-slack.md", file)]
    parts = _FENCE.match(text)
    if not parts:
        return None, [LessonFault(file, "line 1", "keys between two lines of +++, the first of them on top", text[:20])]
    try:
        data = tomllib.loads(parts[1] or "")
    except tomllib.TOMLDecodeError as error:
        return None, [_toml_fault(file, str(error))]
    faults: list[LessonFault] = []
    lesson = _lesson(file, Keys(data, file, "", faults), parts[2])
    return (None if faults else lesson), faults


def _toml_fault(file: str, message: str) -> LessonFault:
    """What tomllib says, with the line counted from the top of the file."""
    found = re.search(r"line (\d+)", message)
    line = f"line {int(found[1]) + 1}" if found else "end of the keys"
    return LessonFault(file, line, "keys in TOML", re.sub(r" \(at .*\)", "", message))


def _lesson(file: str, keys: Keys, body: str) -> Lesson | None:
    words = {key: keys.text(key) for key in ("title", "question", "audience", "summary")}
    minutes = keys.whole("minutes", 1, 60)
    picture = keys.one_of("picture", PICTURES)
    scenario = read_inputs(keys.table("scenario", "a table [scenario.subject] and the like"))
    levers = tuple(_lever(k, scenario) for k in keys.tables("lever", 1, 4))
    for field in {v.field for v in levers if [w.field for w in levers].count(v.field) > 1}:
        keys.fault("lever", "each field once", field)
    compare_with = "" if "compare_with" not in keys else keys.one_of("compare_with", SECOND_ESTIMATORS)
    predict = read_predict(keys.table("predict"), levers)
    checks = tuple(read_check(k) for k in keys.tables("check", 1, 6))
    case = read_case(keys.table("case"), scenario) if "case" in keys else None
    evidence = tuple(read_evidence(k, scenario) for k in keys.tables("evidence", 1, 40))
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
        **words,
    )


def _lever(keys: Keys, scenario: Setup | None) -> Lever:
    field = keys.text("field", "a field such as technique.cuff_below_heart_cm")
    label, help_text = keys.text("label"), keys.text("help")
    group, _, name = field.partition(".")
    if field and (group not in GROUPS or name not in RECORDS[group].LIMITS):
        known = list(RECORDS[group].LIMITS) if group in GROUPS else []
        keys.fault("field", "subject., technique. or instrument. and one of its fields" + _listed(known))
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
