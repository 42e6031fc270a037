"""The page to print for patients: complete, one side long, safe to hand out, and nothing outside it."""

from __future__ import annotations

import dataclasses
import re
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest
from sim.teach.handout import file_name, handout

from sim.cli import main
from sim.teach.lesson import Lesson, load_all

LESSONS = load_all()[0]

each_lesson = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)


class Page(HTMLParser):
    """Tags, attributes and text of a page; the text of <style> apart."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.open: list[str] = []
        self.text, self.style = "", ""
        self.feed(html)
        self.text = " ".join(self.text.split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag, f"</{tag}> closes something else"

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] == "style":
            self.style += data
        else:
            self.text += data


def plain(text: str) -> str:
    return " ".join(text.replace("**", "").split())


def test_there_are_lessons() -> None:
    assert len(LESSONS) >= 15


@each_lesson
def test_title_takeaway_and_every_step_are_there(lesson: Lesson) -> None:
    page = Page(handout(lesson))
    assert page.open == []
    assert page.tags.count("h1") == 1
    assert page.tags.count("li") == len(lesson.takeaway.steps)
    for text in (lesson.title, lesson.takeaway.text, *lesson.takeaway.steps):
        assert plain(text) in page.text


@each_lesson
def test_safety_words_are_there(lesson: Lesson) -> None:
    text = Page(handout(lesson)).text.lower()
    for words in (
        *("180/120", "chest or back pain", "breathlessness", "weakness or numbness", "trouble speaking or seeing"),
        *("severe headache", "call the emergency services at once", "your local advice", "contact your clinician"),
        *("measure again", "arms not to use", "fistula", "lymphoedema", "local protocol"),
        *("teaching simulation", "no medical device", "one reading diagnoses nothing", "your clinic", "notes"),
    ):
        assert words in text, words


@each_lesson
def test_nobody_is_told_to_correct_a_number(lesson: Lesson) -> None:
    """Where a sentence speaks of altering a number, it forbids it."""
    text = Page(handout(lesson)).text
    assert "subtract" not in text.lower()
    alters = re.compile(
        r"\b(correct|convert|adjust|shift|change one|add \d|deduct|take (?:\d+|\w*thing) off|"
        r"(?:off|to|from) (?:the|both) numbers?)",
        re.I,
    )
    for sentence in re.split(r"(?<=[.:;?!])\s", text.partition("Evidence in the lesson")[0]):
        if alters.search(sentence):
            assert re.search(r"\b(never|not|no)\b", sentence, re.I), sentence


@each_lesson
def test_sources_stand_on_the_page_once(lesson: Lesson) -> None:
    page = Page(handout(lesson))
    for evidence in (e for e in lesson.evidence if e.doi or e.pmid or e.pmcid):
        assert page.text.count(f"{plain(evidence.source)}, {plain(evidence.identifier)}") >= 1
    links = [value for _, name, value in page.attributes if name == "href"]
    assert len(links) == len(set(links)) == len({e.doi for e in lesson.evidence if e.doi})


@each_lesson
def test_the_page_needs_and_calls_nothing_outside(lesson: Lesson) -> None:
    html = handout(lesson)
    page = Page(html)
    assert not {"script", "img", "link", "iframe", "object", "form", "base", "svg"} & set(page.tags)
    for tag, name, value in page.attributes:
        assert not name.startswith("on")
        assert name != "src"
        if name == "href":
            assert tag == "a"
            assert value.startswith("https://doi.org/10.")
    assert not re.search(r"url\(|@import", page.style)
    assert set(re.findall(r"https?://([^/\"<\s]+)", unescape(html))) <= {"doi.org"}


@each_lesson
def test_length_of_one_side(lesson: Lesson) -> None:
    """2,900 letters above the sources were seen to fill one side of Letter at most; a lesson beyond needs a look."""
    text = Page(handout(lesson)).text
    assert len(text.partition("Evidence in the lesson")[0]) <= 2900
    assert len(text.partition("Evidence in the lesson")[2]) <= 1600


def test_special_characters_are_escaped() -> None:
    odd = """<script>alert("1")</script> & 'two' < 3"""
    lesson = dataclasses.replace(LESSONS[0], title=odd)
    takeaway = dataclasses.replace(lesson.takeaway, text=odd, steps=(odd, "**bold** <b>"))
    evidence = (dataclasses.replace(lesson.evidence[0], source=odd, doi='10.1/"><i>x'),)
    html = handout(dataclasses.replace(lesson, takeaway=takeaway, evidence=evidence))
    page = Page(html)
    assert not {"script", "i", "b"} & set(page.tags)
    assert page.text.count(plain(odd)) >= 4
    assert "<strong>bold</strong> &lt;b&gt;" in html


def test_command_writes_the_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    lesson = LESSONS[0]
    assert main(["handout", lesson.name]) == 0
    assert (tmp_path / file_name(lesson)).read_text("utf-8") == handout(lesson)
    assert main(["handout", "1", "--out", "page.html"]) == 0
    assert (tmp_path / "page.html").read_text("utf-8") == handout(lesson)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["01-arm-hight"], ["LESSON '01-arm-hight'", "did you mean 01-arm-height?"]),
        (["99"], ["LESSON '99'", "cuffbias lessons"]),
        (["1", "--out", "nowhere/page.html"], ["--out", "page.html", "cannot be written"]),
    ],
)
def test_what_the_command_cannot_do_gets_one_line(
    arguments: list[str],
    says: list[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["handout", *arguments]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert all(words in error for words in says)
    assert list(tmp_path.iterdir()) == []
