"""`cuffbias handout`: what it writes, and one line for what it cannot write."""

import io

import pytest
from pypdf import PdfReader

from sim.teach.handouts.wanted import home_schedules
from sim.teach.lesson import load_all
from tests.commands.outcomes import refused
from tests.teach.pdf_pages import run_together, words_on

LESSONS = load_all()[0]


@pytest.fixture(autouse=True)
def here(tmp_path, monkeypatch):
    """An empty folder, where the command runs."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def opened(file):
    return PdfReader(io.BytesIO(file.read_bytes()))


def test_a_lesson_by_name_or_number(run, here):
    assert run("handout", LESSONS[0].name) == (0, "cuffbias-01-arm-height.pdf: print it on A4.\n", "")
    assert run("handout", "1", "--out", "page.pdf")[0] == 0
    assert (here / "page.pdf").read_bytes() == (here / "cuffbias-01-arm-height.pdf").read_bytes()
    (side,) = words_on(opened(here / "page.pdf"))
    assert run_together(LESSONS[0].takeaway.text) in side
    assert len(opened(here / "page.pdf").pages[0]["/Resources"]["/XObject"]) == 2  # with its drawings


def test_several_lessons_each_once_with_all_that_can_be_said(run, here):
    said = {"clinic": "Hill House", "telephone": "555", "hours": "8 to 12", "emergency": "112", "pregnancy": "556"}
    options = [word for name, text in said.items() for word in (f"--{name}", text)]
    more = ["--notes", "one\ntwo", "--paper", "letter", "--class-sheet", "--log", "home-week", "--out", "all.pdf"]
    status, out, err = run("handout", "2", "1", "2", *options, *more)
    assert (status, out, err) == (0, "all.pdf: print it on Letter.\n", "")
    reader = opened(here / "all.pdf")
    text = words_on(reader)
    assert run_together(LESSONS[1].title) in text[0]
    assert run_together(LESSONS[0].title) in text[1]
    for side in (text[0], text[1], text[-1]):
        assert all(run_together(each) in side for each in said.values())
    assert "onetwo" in text[0]
    assert round(reader.pages[0].mediabox.height) == 792


def test_pages_in_spanish(run, here):
    """Also a lesson that is not translated: its fixed words are."""
    status, out, err = run("handout", "1", "9", "--language", "es", "--out", "es.pdf")
    assert (status, out, err) == (0, "es.pdf: print it on A4.\n", "")
    reader = opened(here / "es.pdf")
    assert reader.trailer["/Root"]["/Lang"] == "es"
    first, second = words_on(reader)
    assert run_together(load_all(language="es")[0][0].takeaway.text) in first
    assert run_together("Esta lección todavía no está traducida: está en inglés.") in second
    for side in (first, second):
        assert run_together("Así no:") in side
        assert run_together("Qué hacer") in side


def test_all_lessons_and_a_form_alone(run, here):
    assert run("handout", "all", "--large-print")[0] == 0
    text = "".join(words_on(opened(here / "cuffbias-handouts.pdf")))
    assert all(run_together(lesson.title) in text for lesson in LESSONS)
    name = next(iter(home_schedules()))
    assert run("handout", "--log", name)[0] == 0
    assert len(opened(here / f"cuffbias-{name}.pdf").pages) == 1


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["01-arm-hight"], ["LESSON '01-arm-hight'", "did you mean 01-arm-height?"]),
        (["99"], ["LESSON '99'", "cuffbias lessons"]),
        ([], ["name one lesson or more", "--log"]),
        (["1", "--paper", "a5"], ["--paper 'a5'", "a4, letter"]),
        (["1", "--language", "xx"], ["--language 'xx'", "one of en, es"]),
        (["1", "--language", "es", "--telephone", "5" * 41], ["--telephone 41 letters", "at most 40 letters"]),
        (["1", "--log", "office-one"], ["--log 'office-one'", "home-week"]),
        (["--log", "home-week", "--class-sheet"], ["--class-sheet", "one lesson or more"]),
        (["1", "--telephone", "5" * 41], ["--telephone 41 letters", "at most 40 letters"]),
        (["1", "--hours", "8 时"], ["--hours '时'", "letters that can be printed"]),
        (["1", "--large"], ["--large", "--large-print"]),
        (["1", "--out", "nowhere/page.pdf"], ["--out", "page.pdf", "cannot be written"]),
    ],
)
def test_what_the_command_cannot_do_gets_one_line(run, here, arguments, says):
    assert refused(run("handout", *arguments), *says)
    assert list(here.iterdir()) == []
