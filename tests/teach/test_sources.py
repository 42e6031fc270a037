"""Sources: every value has one that can be looked up, save a few that say why; nothing is told from memory."""

import re
from pathlib import Path

import pytest

from sim.screens.cautions.texts import CAUTIONS
from sim.teach import safety
from sim.teach.handouts.typeset import content
from sim.teach.handouts.wanted import Wanted
from sim.teach.lesson import load_all, place
from sim.teach.limits import left_out
from sim.teach.misses import known_misses, other_misses
from sim.teach.sources import TABLES, TRADE, entries, identified, identifier, incomplete, read

LESSONS = load_all()[0]
FILES = sorted(Path(str(place())).glob("[0-9]*.md"))
UNSOURCED = ("from memory", "not known to us", "not seen", "not at hand", "authors not known")
# Lines of a lesson's file that are marks and not told to learners as facts.
MARKS = re.compile(r"^(unlisted|sure) = ", re.MULTILINE)


def unsourced(text):
    """The words in `text` that admit a missing source."""
    flat = " ".join(text.lower().split())
    return [words for words in UNSOURCED if words in flat]


def test_at_most_five_sources_have_no_identifier_and_each_says_why():
    listed = [each for each in incomplete(LESSONS) if not each.reason.startswith("from memory")]
    for each in listed:
        print(each.source, "-", each.reason)
    assert len(listed) <= 5
    assert all(len(each.reason) > 20 and each.where for each in listed)


def test_only_two_guidelines_pressures_at_home_are_from_memory():
    """ESC 2024 and ESH 2023: the tables with pressures at home were found nowhere."""
    listed = [each for each in incomplete(LESSONS) if each.reason.startswith("from memory")]
    assert [each.where for each in listed] == [("categories at home",)] * 2
    assert ["McEvoy" in listed[0].source, "Mancia" in listed[1].source] == [True, True]


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_every_finding_of_a_lesson_has_an_identifier_or_a_reason(lesson):
    for evidence in lesson.evidence:
        assert identified(evidence.identifier) != bool(evidence.unlisted), evidence.label


@pytest.mark.parametrize(("package", "name"), [table[:2] for table in TABLES])
def test_every_entry_of_a_table_has_an_identifier_or_a_reason(package, name):
    found = list(entries(read(package, name)))
    assert found
    for entry in found:
        assert identified(identifier(entry)) or entry.get("unlisted") or entry["sure"] == TRADE, entry["source"]


@pytest.mark.parametrize("text", ["", "identifier not seen", "data, not an article", "J Hypertens 2011", "DOI pending"])
def test_words_are_no_identifier(text):
    assert not identified(text)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_lesson_tells_anything_from_memory(file):
    told = "\n".join(line for line in file.read_text(encoding="utf-8").splitlines() if not MARKS.match(line))
    assert unsourced(told) == []


def test_nothing_that_patients_and_learners_read_is_from_memory():
    texts = {lesson.name: str(content(Wanted([lesson], class_sheet=True))) for lesson in LESSONS}
    texts["safety"] = " ".join(str(value) for name, value in vars(safety).items() if name.isupper())
    texts["cautions"] = " ".join(f"{c.title} {c.text} {c.source}" for c in CAUTIONS)
    texts["limits"] = " ".join(item for part in left_out() for item in part.items)
    texts["misses"] = " ".join([*known_misses().values(), *(m.reason + m.source for m in other_misses())])
    texts["impossible"] = " ".join(str(v) for v in read("sim.explain", "impossible.toml").values())
    assert {name: unsourced(text) for name, text in texts.items() if unsourced(text)} == {}


def test_a_text_from_memory_is_found():
    assert unsourced("3 mmHg (from\n  memory).") == ["from memory"]


def test_warning_signs_are_the_same_wherever_they_are_listed():
    """In `sim.teach.safety` once; every other list is word for word the same."""
    root = Path(str(place())).parent
    texts = [*FILES, *(root / "docs").glob("*.md"), *(root / "sim").rglob("*.toml"), *(root / "sim").rglob("*.py")]
    listed = 0
    for file in texts:
        flat = " ".join(file.read_text(encoding="utf-8").split())
        for found in re.finditer("trouble speaking or seeing", flat) if file.name != "safety.py" else ():
            at = safety.SIGNS.index("trouble speaking")
            start = found.start() - at
            assert flat[start : start + len(safety.SIGNS)].lower() == safety.SIGNS, file.name
            listed += 1
    assert listed >= 8


def test_the_advice_names_back_pain_fainting_and_pregnancy():
    assert "back pain" in safety.SIGNS
    assert "fainting" in safety.SIGNS
    assert "160/110" in safety.EMERGENCY_NONE
    assert "weeks after" in safety.EMERGENCY_NONE
    assert "at or above" in safety.EMERGENCY_SOURCE
    for lesson in LESSONS:
        assert "160/110" in str(content(Wanted([lesson])))
