"""Which drawings a reading leads to: every field of the technique shows, and the sentences say the numbers."""

import re
import time
from collections.abc import Iterable
from xml.etree import ElementTree

import pytest

from sim import Instrument, Subject, Technique
from sim.fields import Choice, Limit
from sim.screens import lesson_pictures, pictures
from sim.setup import Setup
from sim.teach.lesson import load_all
from sim.teach.parse import PICTURES
from tests.screens.opening import drawn

LESSONS, _ = load_all()
EACH_LESSON = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
# Pairs of options that are drawn alike, and why.
DRAWN_ALIKE = {
    ("position", "lying", "lying-2"): "one posture, as two studies found it",
    ("legs", "knees", "knees-normal"): "one posture, as people with and without high blood pressure respond",
}

# What fields that only modify another one stand beside: a talk that has ended, an arm that moves.
MODIFIED: dict[str, dict[str, object]] = {"quiet_min": {"talking": "conversation"}, "movement": {"movement_mmhg": 3}}


def only(pattern: str, page: str) -> str:
    """What the pattern's group stands for, which must be there."""
    found = re.search(pattern, page, re.DOTALL)
    assert found
    return found[1]


def svg(page: str) -> str:
    """The drawing in a piece of a page, as SVG."""
    (document,) = drawn(page)
    return document


def words(page: str) -> str:
    """The sentence under the drawing."""
    return only(r"<figcaption>(.*)</figcaption>", page)


def reading(**technique) -> Setup:
    return Setup.of(**technique, bladder="13.5x26")


def wrong_values() -> list[tuple[str, object]]:
    """Each field of the technique with each of its other options, or with the ends of its range."""
    found: list[tuple[str, object]] = []
    for name, limit in Technique.LIMITS.items():
        values: Iterable[object] = limit.everywhere(3)
        if isinstance(limit, Limit):
            values = (limit.low, limit.high, (limit.low + limit.high) // 2)
        found += [(name, value) for value in values if value != limit.default]
    return found


def test_a_lesson_may_name_exactly_the_pictures_there_are():
    assert tuple(lesson_pictures.PICTURES) == PICTURES


@pytest.mark.parametrize("picture", PICTURES)
def test_every_picture_a_lesson_may_name_is_drawn(picture):
    inputs = reading()
    assert lesson_pictures.PICTURES[picture].leads in lesson_pictures.VIEWS
    for page in (pictures.seated(inputs, picture), pictures.asked(inputs, picture), pictures.card(inputs, picture)):
        ElementTree.fromstring(svg(page))


@pytest.mark.parametrize(("field", "value"), wrong_values())
def test_every_field_of_the_technique_shows_and_is_said(field, value):
    base = MODIFIED.get(field, {})
    right, wrong = (pictures.seated(reading(**t), "arm-height") for t in (base, base | {field: value}))
    assert svg(wrong) != svg(right)
    ElementTree.fromstring(svg(wrong))
    assert "Not drawn" not in words(wrong)
    assert words(wrong) != words(right)
    if not isinstance(value, str) and value:
        assert re.search(rf"(?<![\d.]){abs(value):g}(?![\d.]\d)", words(wrong))


@pytest.mark.parametrize("field", [name for name, limit in Technique.LIMITS.items() if isinstance(limit, Choice)])
def test_no_two_options_are_drawn_alike(field):
    drawn: dict[str, list[str]] = {}
    limit = Technique.LIMITS[field]
    assert isinstance(limit, Choice)
    for value in limit.options:
        values = MODIFIED.get(field, {}) | {field: value}
        drawn.setdefault(svg(pictures.seated(reading(**values), "arm-height")), []).append(value)
    alike = [(field, *values) for values in drawn.values() if len(values) > 1]
    assert [pair for pair in alike if pair not in DRAWN_ALIKE] == []


def test_what_a_lying_person_hides_is_said():
    page = pictures.seated(reading(position="lying", back="unsupported"), "posture")
    assert "Not drawn, as the person lies: back unsupported." in words(page)


@pytest.mark.parametrize("picture", PICTURES)
def test_whatever_the_picture_all_mistakes_are_drawn_and_numbers_have_no_stray_space(picture):
    technique = {name: value for name, value in wrong_values() if name not in ("position", "quiet_min")}
    page = words(pictures.seated(reading(**technique, quiet_min=3), picture))
    assert "Not drawn" not in page
    assert not re.search(r" [.;,]|\d :|  |nan", page)


@EACH_LESSON
def test_each_lever_of_a_lesson_moves_its_picture(lesson):
    def drawn(values) -> str:
        inputs = lesson.inputs(values)
        beside = pictures.across(inputs) if lesson_pictures.PICTURES[lesson.picture].across else ""
        return svg(pictures.seated(inputs, lesson.picture)) + beside

    right = drawn(lesson.correct)
    for lever in lesson.levers:
        assert drawn(lesson.correct | {lever.field: lever.tempting}) != right, lever.field
    cards = [pictures.card(lesson.inputs(v), lesson.picture) for v in (lesson.correct, lesson.tempting)]
    assert cards[0] != cards[1]


@EACH_LESSON
def test_a_picture_is_cheap_to_draw(lesson):
    inputs = lesson.inputs(lesson.tempting)
    took = []
    for _ in range(4):  # the first may ask the engine for beats or a reading, which is then kept
        start = time.process_time()
        pictures.seated(inputs, lesson.picture)
        took.append(time.process_time() - start)
    assert min(took) < 0.02


def test_every_lesson_has_a_picture_of_its_own():
    assert len({lesson.picture for lesson in LESSONS}) == len(LESSONS)
    assert len({svg(pictures.card(lesson.inputs(lesson.tempting), lesson.picture)) for lesson in LESSONS}) == len(
        LESSONS
    )


@pytest.mark.parametrize("picture", ["rest", "visit", "line"])
def test_the_question_comes_without_its_answer(picture):
    assert "mmHg" not in words(pictures.asked(reading(), picture))


def test_sentences_say_the_numbers():
    how = Technique(cuff_below_heart_cm=7, sleeve_mm=3, talking="conversation", legs="knees", slack_cm=2)
    inputs = Setup(Subject(arm_circumference_cm=40), how, Instrument("16x32"))
    seated = pictures.seated(inputs, "arm-height")
    for part in ("7 cm below the heart", "3 mm thick", "ordinary conversation", "legs crossed at the knee"):
        assert part in seated
    for part in ("40 cm round", "40 % of that wide and 80 % of it long", "2 cm too loosely"):
        assert part in seated
        assert part in pictures.across(inputs)
