"""Pages to print in Spanish: every fixed word, each translated lesson on one side, and said to be unreviewed."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader

from sim.say import ENGLISH, NOT_REVIEWED, catalogue, say, spoken
from sim.screens.handouts import made as kept
from sim.screens.handouts.made import made as made_once
from sim.screens.handouts.made import page_of
from sim.screens.handouts.paper_pictures import pictures
from sim.teach import safety
from sim.teach.handouts import words
from sim.teach.handouts.typeset import _texts, content
from sim.teach.handouts.wanted import LINES, Clinic, Wanted, home_schedules
from sim.teach.lesson import load_all
from tests.languages.english import ENGLISH_WORDS
from tests.teach.pdf_pages import made, run_together, sizes, words_on
from tests.teach.test_handouts import EMPTY, FULL, SIDES

LESSONS = list(load_all(language="es")[0])
TRANSLATED = [lesson for lesson in LESSONS if lesson.language == "es"]
FIXED = [value for name, value in vars(words).items() if name.isupper() and isinstance(value, str)]


@pytest.mark.parametrize(("paper", "clinic"), [("A4", EMPTY), ("Letter", FULL)])
def test_each_translated_lesson_has_one_side_whose_letters_can_be_read(paper, clinic):
    """The least letters are those of the English pages."""
    with spoken("es"):
        reader = made(TRANSLATED, paper=SIDES[paper][0], clinic=clinic)
        said = [say(each) for each in (words.SURPRISE, words.TREATMENT, safety.EMERGENCY_SYMPTOMS, safety.ARMS)]
        said += [say(line.label) for line in LINES.values()] + [f"{say(safety.NO_DEVICE)} {say(NOT_REVIEWED)}"]
        drawn = {lesson.name: pictures(lesson) for lesson in TRANSLATED}
    root: Any = reader.trailer["/Root"]
    assert root["/Lang"] == "es"
    assert len(reader.pages) == len(TRANSLATED) >= 6
    for lesson, text, letters in zip(TRANSLATED, words_on(reader), sizes(reader), strict=True):
        shown = [lesson.title, lesson.takeaway.text, *lesson.takeaway.steps, *said]
        shown += [picture.words for picture in drawn[lesson.name]]
        assert not [each for each in shown if run_together(each) not in text], lesson.name
        body = max(set(letters), key=letters.count)
        assert body >= (9.0 if clinic == EMPTY else 8.0), (lesson.name, body)


def test_no_english_is_left_on_a_page_but_who_published_what():
    """As data, where words stand apart: lessons, questions with their answers, and every form."""
    with spoken("es"):
        told = [Wanted(TRANSLATED, {lesson.name: pictures(lesson) for lesson in TRANSLATED}, class_sheet=True)]
        told += [Wanted(log=name) for name in home_schedules()]
    found: list[str] = []
    for wanted in told:
        pages = content(wanted)
        for lesson in pages["lessons"]:
            lesson["sources"] = lesson["sources"][:1]  # the second line is the studies'
        pages["log"] = pages["log"] and pages["log"] | {"source": ""}
        found += _texts(pages)
    assert len(found) > 300
    assert [text for text in found if ENGLISH_WORDS.search(text)] == []


def test_every_word_of_the_pages_has_its_translation():
    known = catalogue("es")
    assert len(FIXED) > 25
    assert [text for text in FIXED if not known.get(text)] == []


def test_every_side_of_many_says_that_nobody_has_reviewed_it():
    with spoken("es"):
        reader = made(TRANSLATED[:1], class_sheet=True, log="home-week", large_print=True)
        foot = run_together(f"{say(words.FOOT)} {say(words.FOOT_NOT_REVIEWED)}")
    text = words_on(reader)
    assert len(text) > 4
    assert all(foot in side for side in text)
    assert min(min(letters) for letters in sizes(reader)) >= 18
    plain = words_on(made(list(load_all()[0][:1]), class_sheet=True))
    assert not any(run_together(NOT_REVIEWED) in side for side in plain)


def test_a_lesson_without_a_translation_says_on_its_page_that_it_is_in_english():
    other = next(lesson for lesson in LESSONS if lesson.language == ENGLISH)
    with spoken("es"):
        pages = words_on(made([TRANSLATED[0], other], class_sheet=True))
        line = run_together(say(words.NOT_TRANSLATED))
    assert [line in side for side in pages[:2]] == [False, True]
    assert run_together(other.title) in pages[1]
    assert sum(side.count(line) for side in pages[2:]) == 2  # above its questions, and their answers
    assert not any(line in side for side in words_on(made([load_all()[0][0]])))


@pytest.mark.parametrize("name", home_schedules())
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_form_has_its_one_side(name, paper):
    plan = home_schedules()[name]
    with spoken("es"):
        reader = made([], log=name, paper=paper, clinic=FULL)
    (side,) = words_on(reader)
    assert side.count("Mañana") == side.count("Tarde") == plan.days
    assert ("nocuentaparalamedia" in side) is (plan.drop_days > 0)
    assert run_together(catalogue("es")[NOT_REVIEWED]) in side
    assert min(sizes(reader)[0]) >= 7.5


def test_a_button_makes_its_pages_in_the_language_of_the_page_where_it_stands():
    """Its file is made later, where nobody speaks; and whoever comes second gets no page in the other's language."""
    kept._made.clear()
    spanish, plain = (made_once(page_of(TRANSLATED[0], name)) for name in ("es", ENGLISH))
    assert spanish != plain
    assert made_once(page_of(TRANSLATED[0], "es")) == spanish
    roots: list[Any] = [PdfReader(io.BytesIO(each)).trailer["/Root"] for each in (spanish, plain)]
    assert [root["/Lang"] for root in roots] == ["es", "en"]
    kept._made.clear()


def test_a_text_that_is_too_long_is_named_in_the_language_of_the_page():
    with spoken("es"), pytest.raises(ValueError, match="como máximo 40 letras"):
        Clinic(telephone="1" * 41)
