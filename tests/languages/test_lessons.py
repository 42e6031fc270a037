"""Lessons in other languages: the same keys, the same values, the same figures in the words; only words differ."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from sim.teach.lesson import load, load_all, load_folder, place
from tests.languages.catalogues import OTHERS, ROOT

FILES = [file for name in OTHERS for file in sorted((ROOT / "lessons" / name).glob("*.md"))]
EACH = pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.stem}")
# What is words, and may differ.
WORDS = {"title", "question", "audience", "summary", "label", "help", "text", "reply", "reason", "guess", "finding"}
WORDS |= {"population", "assumed", "note", "why", "not_comparable", "unlisted", "steps"}
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def _parts(file: Path) -> tuple[dict[str, Any], str]:
    _, top, body = file.read_text(encoding="utf-8").split("+++\n", 2)
    return tomllib.loads(top), body


def _english(file: Path) -> Path:
    return ROOT / "lessons" / file.name


def _fixed(value: Any, key: str = "") -> Any:
    """All that is no word."""
    if isinstance(value, dict):
        return {k: _fixed(v, k) for k, v in value.items()}
    if isinstance(value, list):
        return [_fixed(v, key) for v in value]
    return "words" if key in WORDS and isinstance(value, str) else value


def _words(value: Any, key: str = "") -> list[str]:
    if isinstance(value, dict):
        return [text for k, v in value.items() for text in _words(v, k)]
    if isinstance(value, list):
        return [text for v in value for text in _words(v, key)]
    return [value] if key in WORDS and isinstance(value, str) else []


def _numbers(text: str) -> Counter[str]:
    return Counter(number.replace(",", "") for number in NUMBER.findall(text))


def test_there_are_translated_lessons():
    assert [file.stem for file in FILES][:1] == ["01-arm-height"]


@EACH
def test_keys_and_values_are_those_of_the_english(file):
    assert _fixed(_parts(file)[0]) == _fixed(_parts(_english(file))[0])


@EACH
def test_every_text_has_the_figures_of_the_english(file):
    (top, body), (english, english_body) = _parts(file), _parts(_english(file))
    for text, original in zip(_words(top), _words(english), strict=True):
        assert _numbers(text) == _numbers(original), text
    for text, original in zip(body.split("\n\n"), english_body.split("\n\n"), strict=True):
        assert _numbers(text) == _numbers(original), text


@EACH
def test_headings_lists_and_bold_words_are_as_many(file):
    def marks(body: str) -> tuple[list[str], int, int]:
        return re.findall(r"(?m)^## .*$", body), len(re.findall(r"(?m)^- ", body)), body.count("**")

    assert marks(_parts(file)[1]) == marks(_parts(_english(file))[1])


@EACH
def test_no_text_was_left_in_english(file):
    top, english = _parts(file)[0], _parts(_english(file))[0]
    assert not [text for text, original in zip(_words(top), _words(english), strict=True) if text == original]


@pytest.mark.parametrize("name", OTHERS)
def test_lessons_come_in_the_language_where_there_is_one_and_else_in_english(name):
    (lessons, faults), (english, _) = load_all(language=name), load_all()
    assert not faults
    assert [lesson.name for lesson in lessons] == [lesson.name for lesson in english]
    there = {file.stem for file in FILES if file.parent.name == name}
    assert {lesson.name for lesson in lessons if lesson.language == name} == there
    for lesson, original in zip(lessons, english, strict=True):
        assert (lesson.title == original.title) == (lesson.name not in there)


def test_a_faulty_translation_leaves_the_english_lesson(tmp_path):
    (tmp_path / "es").mkdir()
    text = (ROOT / "lessons" / "01-arm-height.md").read_text(encoding="utf-8")
    (tmp_path / "01-arm-height.md").write_text(text, encoding="utf-8")
    (tmp_path / "es" / "01-arm-height.md").write_text("no lesson", encoding="utf-8")
    (lesson,), faults = load_folder(tmp_path, language="es")
    assert (lesson.title, lesson.language, faults) == (load(tmp_path / "01-arm-height.md").title, "en", ())


def test_the_folder_of_a_language_is_where_the_lessons_are():
    assert place().joinpath("es", "01-arm-height.md").is_file()
