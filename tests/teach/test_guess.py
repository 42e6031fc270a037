"""Guesses of a display's two numbers: what is one, and how far they were off."""

import pytest

from sim.fields import FieldError
from sim.teach.guess import Guess, Guessed, guess_of, own_error, told
from sim.teach.lesson import load_all
from sim.teach.parse import parse
from sim.teach.parts import GUESS
from tests.teach.files import GOOD

LESSONS, _ = load_all()
WITHOUT = {"15-two-algorithms", "16-cannot-be-right", "21-either-side-of-a-line"}


def parsed(line):
    return parse("01-good.md", GOOD.replace("[predict]\n", f"[predict]\n{line}\n", 1))


def test_a_guess_is_read_from_text_and_written_back():
    assert guess_of("142/88") == Guess(142, 88)
    assert str(Guess(142, 88)) == "142/88"


@pytest.mark.parametrize(
    "text", ["142", "142/", "/88", "a/b", "142/88/3", "142.5/88", "²00/80", "301/80", "120/29", "90/90", "80/120"]
)
def test_what_is_no_guess_is_refused_with_what_is_allowed(text):
    with pytest.raises(FieldError, match="systolic from 50 to 300, diastolic from 30 to 200, systolic above diastolic"):
        guess_of(text)


def test_the_own_error_counts_distance_and_direction():
    guesses = [Guessed(Guess(150, 80), 140, 84), Guessed(Guess(130, 79), 136, 81), Guessed(Guess(141, 90), 140, 90)]
    error = own_error(guesses)
    assert error is not None
    assert error.n == 3
    assert error.distance == pytest.approx(((10 + 6 + 1) / 3, (4 + 2 + 0) / 3))
    assert error.lean == pytest.approx(((10 - 6 + 1) / 3, (-4 - 2 + 0) / 3))
    words = told(error)
    assert "in 3 lessons" in words
    assert "6 mmHg systolic, 2 mmHg diastolic" in words
    assert "systolic too high (by 2 mmHg) and diastolic too low (by 2 mmHg)" in words


def test_guesses_that_balance_lean_nowhere():
    error = own_error([Guessed(Guess(130, 80), 120, 80), Guessed(Guess(110, 80), 120, 80)])
    assert error is not None
    words = told(error)
    assert "10 mmHg systolic, 0 mmHg diastolic" in words
    assert "systolic neither too high nor too low" in words


def test_without_a_guess_there_is_no_error():
    assert own_error([]) is None


def test_a_lesson_asks_for_numbers_unless_its_file_says_that_none_make_sense():
    assert parsed("")[0].predict.guess == GUESS
    assert parsed("guess = false")[0].predict.guess == ""
    assert parsed('guess = "How high?"')[0].predict.guess == "How high?"


@pytest.mark.parametrize("value", ["true", "1", '""'])
def test_any_other_guess_in_a_file_is_a_fault(value):
    lesson, faults = parsed(f"guess = {value}")
    assert lesson is None
    assert [fault.key for fault in faults] == ["predict, guess"]


def test_lessons_without_numbers_to_guess():
    assert {lesson.name for lesson in LESSONS if not lesson.predict.guess} == WITHOUT
