"""Every lesson's words agree with the very readings that the app shows first."""

from __future__ import annotations

import pytest

from sim.teach.claims import check, claimed, holds
from sim.teach.parse import parse
from sim.teach.parts import Claim
from tests.teach.bench import LESSONS
from tests.teach.files import OFF_THE_LINES

EACH = pytest.mark.parametrize("name", LESSONS)


@EACH
def test_the_words_of_a_lesson_are_what_the_app_shows(name):
    """Each prediction's reply, each tempting lever, the case; with everything right near the truth, in its category."""
    assert [str(each) for each in check(LESSONS[name]) if not each.holds] == []


@EACH
def test_every_reply_every_tempting_lever_and_every_case_claims_something(name):
    lesson = LESSONS[name]
    assert all(lever.shows for lever in lesson.levers)
    assert lesson.predict.shows
    assert lesson.case is None or lesson.case.shows
    assert len(list(claimed(lesson))) >= len(lesson.levers) + 1 + (lesson.case is not None)


@EACH
def test_the_words_hold_of_very_many_readings_too(name):
    """No words rest on a lucky seed."""
    assert [str(each) for each in check(LESSONS[name], seed=5, n=150) if not each.holds] == []


@pytest.mark.parametrize(
    ("claim", "off_mmhg", "so"),
    [
        (Claim("same"), 1.4, True),
        (Claim("same"), -1.6, False),
        (Claim("higher"), 1.4, False),
        (Claim("lower"), -1.6, True),
        (Claim("higher", about=9), 10.9, True),
        (Claim("higher", about=9), 11.1, False),
        (Claim("higher", about=20), 23.9, True),
        (Claim("", low=0, high=3), 3.1, False),
        (Claim("higher"), float("nan"), False),
        (Claim(""), float("nan"), False),
    ],
)
def test_what_a_claim_allows(claim, off_mmhg, so):
    assert holds(claim, off_mmhg) is so


def test_words_that_part_from_the_model_are_told_with_file_claim_and_mean():
    wrong = OFF_THE_LINES.replace('sbp = { way = "higher", about = 9 }', 'sbp = { way = "lower" }', 1)
    lesson, found = parse("07-height.md", wrong)
    assert lesson is not None, found
    (told,) = [str(each) for each in check(lesson) if not each.holds]
    assert told.startswith(
        "07-height.md: lever 1, shows: the words say systolic lower than the resting pressure; the app"
    )
    assert "the app shows +" in told
