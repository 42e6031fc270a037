"""What patients read is of an eighth school year at most, and the way to count is itself checked."""

from __future__ import annotations

import pytest

from sim.teach import safety
from sim.teach.handouts import words
from sim.teach.handouts.wanted import LINES
from sim.teach.lesson import load_all
from tests.teach.reading_level import by_letters, grade, syllables_of
from tests.teach.reading_level import words as words_of

LESSONS = load_all()[0]
HIGHEST = 8.0
# Not for patients: the names of studies, what is said to whoever leads a class, and a part of a sentence.
NOT_FOR_PATIENTS = {"EMERGENCY_SOURCE", "ADVICE_SOURCE", "LOG_SOURCE", "SOURCES", "ANSWERS_HEAD", "SIGNS"}
FILLED = {
    "when": "in the morning and in the evening",
    "days": "7",
    "readings": "take two readings, a minute apart",
    "sessions": "three",
    "first": "The height of the arm",
    "count": "2",
    "number": "1",
}


def fixed() -> dict[str, str]:
    """The fixed texts of the pages, longer than a label."""
    every = {**vars(words), **vars(safety)}
    texts = {k: v for k, v in every.items() if k.isupper() and isinstance(v, str) and k not in NOT_FOR_PATIENTS}
    return {name: text.format(**FILLED) for name, text in texts.items() if len(words_of(text)) > 5}


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_a_lesson_for_patients_is_of_an_eighth_year_at_most(lesson):
    assert grade(lesson.takeaway.text) <= HIGHEST
    assert grade(" ".join([lesson.takeaway.text, *lesson.takeaway.steps])) <= HIGHEST


@pytest.mark.parametrize("name", fixed())
def test_a_fixed_text_is_of_an_eighth_year_at_most(name):
    assert grade(fixed()[name]) <= HIGHEST


def test_all_that_is_said_about_safety_is_looked_at():
    assert {"EMERGENCY_SYMPTOMS", "EMERGENCY_NONE", "ARMS", "SURPRISE", "TREATMENT", "NO_DEVICE"} <= set(fixed())
    assert all(len(words_of(line.label)) < 8 for line in LINES.values())


def test_the_grade_of_a_text_counted_by_hand():
    """Two sentences, 10 words, 13 syllables."""
    by_hand = 0.39 * 10 / 2 + 11.8 * 13 / 10 - 15.59
    assert grade("Sit down and say nothing. Then measure it once again.") == pytest.approx(by_hand)


def test_a_harder_text_has_a_higher_grade():
    easy = "Sit down. Say nothing. Wait."
    hard = "Contraindications include ipsilateral lymphadenectomy and haemodialysis fistulae in the extremity."
    assert grade(easy) < 2
    assert grade(hard) > 16


@pytest.mark.parametrize(
    ("word", "syllables"),
    [("pressure", 2), ("emergency", 4), ("arm", 1), ("breathlessness", 3), ("180", 3)],
)
def test_syllables(word, syllables):
    assert syllables_of(word) == syllables


def test_words_that_no_dictionary_has_are_counted_nearly_as_well():
    """By letters alone, over the words of all lessons that the dictionary does have."""
    every = {w for lesson in LESSONS for w in words_of(lesson.takeaway.text) if not w.isdecimal()}
    wrong = [w for w in every if by_letters(w) != syllables_of(w)]
    assert len(every) > 200
    assert len(wrong) < 0.1 * len(every), sorted(wrong)
