"""Catalogues of translated texts: complete where a screen is translated, and with the same values as the English."""

from __future__ import annotations

import re
import string
import threading
from collections import Counter

import pytest

from sim.say import ENGLISH, LANGUAGES, catalogue, language, mark, read_catalogue, say, speak, spoken
from tests.languages.catalogues import OTHERS, ROOT, command

COMMAND = command()
# What is translated whole: every text of these files has its translation. Others stay English where they lack one.
WHOLE = (
    "sim/explain/breakdown.py",
    "sim/explain/categories.toml",
    "sim/explain/choosing.py",
    "sim/explain/impossible",
    "sim/explain/population.toml",
    "sim/explain/schedules.toml",
    "sim/explain/variation.toml",
    "sim/figures/",
    "sim/screens/averages/",
    "sim/screens/cautions/",
    "sim/screens/charts/",
    "sim/screens/drawings/",
    "sim/screens/final_test/",
    "sim/screens/frame.py",
    "sim/screens/handouts/",
    "sim/screens/home.py",
    "sim/screens/lesson",
    "sim/screens/numbers_panel.py",
    "sim/screens/own_patient/",
    "sim/screens/page_links.py",
    "sim/screens/pictures.py",
    "sim/screens/practice/",
    "sim/screens/present/",
    "sim/screens/progress/",
    "sim/screens/steps_shown.py",
    "sim/screens/watch/",
    "sim/screens/web_address.py",
    "sim/teach/final_test.py",
    "sim/teach/guess.py",
    "sim/teach/handouts/",
    "sim/teach/own_",
    "sim/teach/practice",
    "sim/teach/progress_text.py",
    "sim/teach/safety.py",
    "sim/teach/summary.py",
    "the fields of a reading",
)
# A number in a text; a year, a share or a pressure is no word, and is the same in every language.
NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


def _entries(name: str) -> list[tuple[str, str]]:
    return [(text, said) for text, said in catalogue(name).items() if said]


@pytest.mark.parametrize("name", OTHERS)
def test_the_catalogue_has_every_text_that_is_said_and_no_other(name):
    text = (ROOT / f"sim/locale/{name}/LC_MESSAGES/cuffbias.po").read_text(encoding="utf-8")
    assert COMMAND.updated(text) == text, "run .ci/catalogue.py"


@pytest.mark.parametrize("name", OTHERS)
def test_a_translated_screen_lacks_no_text(name):
    said = catalogue(name)
    files = COMMAND.texts()
    assert any(file.startswith(WHOLE) for where in files.values() for file in where)
    missing = [text for text, where in files.items() if not said[text] and any(f.startswith(WHOLE) for f in where)]
    assert not missing


@pytest.mark.parametrize("name", OTHERS)
def test_placeholders_are_those_of_the_english(name):
    def placeholders(text: str) -> Counter[tuple[str | None, str | None]]:
        # The same value may stand there again where a language needs it; its name and its format are the same.
        return Counter({(field, form) for _, field, form, _ in string.Formatter().parse(text) if field is not None})

    assert not [text for text, said in _entries(name) if placeholders(text) != placeholders(said)]


@pytest.mark.parametrize("name", OTHERS)
def test_numbers_links_and_markup_are_those_of_the_english(name):
    def fixed(text: str) -> list[list[str]]:
        marks = re.findall(r"\*\*|</?\w+>|\]\(|[◆●○■×]", text)
        return [sorted(number.replace(",", "") for number in NUMBER.findall(text)), sorted(marks)]

    assert not [(text, said) for text, said in _entries(name) if fixed(text) != fixed(said)]


@pytest.mark.parametrize("name", OTHERS)
def test_space_at_the_ends_stays(name):
    def ends(text: str) -> tuple[str, str]:
        return text[: len(text) - len(text.lstrip())], text[len(text.rstrip()) :]

    assert not [text for text, said in _entries(name) if ends(text) != ends(said)]


def test_a_text_without_translation_stays_english():
    with spoken("es"):
        assert say("nobody has translated {this}", this=1) == "nobody has translated 1"


def test_another_language_is_refused_in_one_line():
    with pytest.raises(ValueError, match="language = xx: must be one of en, es"):
        speak("xx")
    assert language() == ENGLISH


def test_what_one_thread_speaks_no_other_hears():
    """Two learners' runs at the same time, each in a thread of its own, as the server has them."""
    heard: dict[str, list[str]] = {name: [] for name in LANGUAGES}
    both = threading.Barrier(len(LANGUAGES))

    def run(name: str) -> None:
        speak(name)
        for _ in range(50):
            both.wait()
            heard[name].append(say("Lessons"))

    threads = [threading.Thread(target=run, args=(name,)) for name in LANGUAGES]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {name: set(words) for name, words in heard.items()} == {"en": {"Lessons"}, "es": {"Lecciones"}}
    assert language() == ENGLISH


def test_the_reader_reads_what_the_command_writes():
    texts = ['a "quoted" word', "two\nlines", "back\\slash", "ñ — ○", mark("a{b}c")]
    written = "".join(COMMAND._entry(text, text.upper(), ["file"]) for text in texts)
    assert read_catalogue('msgid ""\nmsgstr ""\n"Language: es\\n"\n' + written) == {t: t.upper() for t in texts}


def test_a_text_with_values_inside_is_refused():
    with pytest.raises(ValueError, match="line 1"):
        list(COMMAND.said('say(f"{n} readings")'))
    assert list(COMMAND.said('say("a" if x else "b")\nsay(NAME)')) == ["a", "b"]
