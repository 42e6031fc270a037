"""The app in Spanish: the language of a session stays with it and with every link, and a translated page is whole."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import parse_qs

import pytest
from streamlit.testing.v1 import AppTest

from sim.say import ENGLISH, LANGUAGES, NOT_REVIEWED, catalogue, language, say, spoken
from sim.screens import cache
from sim.screens.lesson.address import STEPS
from sim.screens.present.room import STEPS as ROOM_STEPS
from sim.screens.words import plain
from sim.teach.lesson import load_all
from tests.languages.catalogues import ROOT
from tests.languages.english import ENGLISH_WORDS
from tests.screens.opening import address, drawn, html, links, open_page, texts

# Who published what stands there as it was published.
SOURCES = [plain(evidence.source) for lesson in load_all()[0] for evidence in lesson.evidence]
# A lesson that is not translated yet has its English title in links.
SOURCES += [plain(lesson.title) for lesson in load_all(language="es")[0] if lesson.language == ENGLISH]


def everything(page: AppTest) -> list[str]:
    """All words on the page, labels and options with them."""
    shown = re.sub(r"(?s)<style>.*?</style>", "", html(page))
    found = [*texts(page).split("\n"), *re.sub(r'src="[^"]*"|<[^>]+>', "\n", shown).split("\n")]
    found += [words for drawing in drawn(shown) for words in re.findall(r"<text[^>]*>([^<]*)<", drawing)]
    kinds: tuple[Any, ...] = (page.radio, page.button, page.slider, page.toggle, page.number_input, page.selectbox)
    kinds += (page.checkbox, page.text_input, page.text_area, page.multiselect, page.expander)
    kinds += (page.get("download_button"),)
    for widget in (widget for kind in kinds for widget in kind):
        found += [widget.label, *getattr(widget, "options", [])]
    return [text for text in found if text.strip()] + [link.label for link in links(page)]


def english(page: AppTest) -> list[str]:
    """What still looks English, leaving out who published what."""
    left = []
    for text in everything(page):
        for source in SOURCES:
            text = text.replace(source, "")
        left += [text] if ENGLISH_WORDS.search(text) else []
    return left


def test_the_first_screen_is_in_spanish_and_says_that_nobody_has_reviewed_it():
    page = open_page("home", lang="es")
    assert not page.exception
    assert catalogue("es")[NOT_REVIEWED] in [caption.value for caption in page.caption]
    assert "180/120" in texts(page)
    lessons, _ = load_all(language="es")
    left = {text for lesson in lessons if lesson.language == ENGLISH for text in (lesson.title, lesson.audience)}
    left |= {lesson.question for lesson in lessons if lesson.language == ENGLISH}
    assert not [text for text in english(page) if not any(word in text.replace("\\", "") for word in left)]
    untranslated = [lesson for lesson in lessons if lesson.language == ENGLISH]
    note = f"*{catalogue('es')['Not translated yet: in English.']}*"
    assert [markdown.value for markdown in page.markdown].count(note) == len(untranslated)


def test_the_cautions_are_in_spanish():
    assert not english(open_page("cautions", lang="es"))


def test_every_link_of_a_spanish_page_stays_spanish_and_english_ones_carry_nothing():
    for page in (open_page("home", lang="es"), open_page("lesson", lesson="01-arm-height", lang="es", predicted="3")):
        assert links(page)
        assert {tuple(parse_qs(link.query_string).get("lang", [])) for link in links(page)} == {("es",)}
    for page in (open_page("home"), open_page("lesson", lesson="01-arm-height", predicted="3")):
        assert not [link for link in links(page) if "lang" in parse_qs(link.query_string)]


def test_lesson_1_is_in_spanish_at_every_step():
    page = open_page("lesson", lesson="01-arm-height", lang="es")
    assert not english(page)
    page.radio[0].set_value(1).run()
    page.button(key="01-arm-height/commit").click().run()
    assert address(page)["lang"] == "es"
    for place, step in enumerate(STEPS):
        if place:
            page.button(key="01-arm-height/onward").click().run()
        assert not page.exception
        if step == "check":
            for radio in page.radio:
                radio.set_value(0)
            page.run()
        assert not english(page), step
        assert address(page).get("step", "try") == step


@pytest.mark.parametrize("look", ["steps", "recording", "envelope", "arm"])
def test_each_closer_look_is_in_spanish(look):
    page = open_page(
        "lesson",
        lesson="01-arm-height",
        lang="es",
        predicted="1",
        look=look,
        **{"technique.cuff_below_heart_cm": "12"},
    )
    assert not page.exception
    assert not english(page)


def test_the_advice_for_a_very_high_reading_is_in_spanish():
    page = open_page(
        "lesson", lesson="01-arm-height", lang="es", predicted="3", **{"technique.cuff_below_heart_cm": "20"}
    )
    with spoken("es"):
        assert say("One reading diagnoses nothing.") in html(page)


def test_two_sessions_in_turn_each_keep_their_language():
    """A learner who reads Spanish and one who reads English, in the same server at the same time."""
    spanish = open_page("lesson", lesson="01-arm-height", lang="es")
    plain = open_page("lesson", lesson="01-arm-height")
    for chosen in (1, 2):
        for page, button, title in (
            (spanish, "Esta es mi predicción", "La altura del brazo"),
            (plain, "This is my prediction", "The height of the arm"),
        ):
            page.radio[0].set_value(chosen).run()
            assert page.button(key="01-arm-height/commit").label == button
            assert page.title[0].value == title
    for page, word in ((spanish, "Presión en reposo"), (plain, "Resting pressure")):
        page.button(key="01-arm-height/commit").click().run()
        assert word in html(page)
    assert len(english(plain)) > 20
    assert "Presión" not in html(plain)
    assert "Resting" not in html(spanish)
    assert language() == ENGLISH


def test_kept_readings_and_lessons_are_kept_for_each_language():
    """The name of a mistake is kept with the readings: whoever comes second must not get it in the other's language."""
    lessons, _ = cache.lessons()
    inputs = lessons[0].inputs({"technique.cuff_below_heart_cm": 12})
    for name in (*LANGUAGES, *reversed(LANGUAGES)):
        with spoken(name):
            (cause,) = (c.cause for c in cache.readings(inputs, 16, False).mean.contributions if c.field)
            title = cache.lessons()[0][0].title
        assert cause == {"en": "cuff 12 cm below the heart", "es": "brazalete 12 cm por debajo del corazón"}[name]
        assert title == {"en": "The height of the arm", "es": "La altura del brazo"}[name]


def test_the_switch_changes_the_language_and_leaves_the_rest():
    page = open_page("lesson", lesson="01-arm-height", predicted="3", **{"technique.cuff_below_heart_cm": "12"})
    before = address(page)
    page.button(key="language-es").click().run()
    assert page.title[0].value == "La altura del brazo"
    assert address(page) == before | {"lang": "es"}
    assert page.slider[0].value == 12
    page.button(key="language-en").click().run()
    assert page.title[0].value == "The height of the arm"
    assert {name: value for name, value in address(page).items() if name != "lang"} == before
    assert page.slider[0].value == 12


def test_a_session_keeps_its_language_where_an_address_names_none():
    page = open_page("home", lang="es")
    page.query_params.clear()
    page.run()
    assert address(page)["lang"] == "es"
    assert page.button(key="language-en").label == "English"


def test_a_language_that_there_is_not_is_passed_over():
    page = open_page("home", lang="xx")
    assert not page.exception
    assert page.title[0].value.startswith("The display says one thing")
    assert address(page) == {"lang": "en"}


def test_a_lesson_without_a_translation_is_in_english_and_says_so():
    lessons, _ = load_all(language="es")
    other = next(lesson for lesson in lessons if lesson.language == ENGLISH)
    page = open_page("lesson", lesson=other.name, lang="es")
    assert page.title[0].value.replace("\\", "") == other.title
    line = catalogue("es")["This lesson has not been translated yet: it is in English."]
    assert line in [caption.value for caption in page.caption]
    assert line not in [caption.value for caption in open_page("lesson", lesson="01-arm-height", lang="es").caption]


def test_whatever_runs_alone_and_every_link_goes_through_the_language():
    """`st.fragment` alone would speak English after a lever; `st.page_link` alone would lose the language."""
    own = {"language.py": "st.fragment(", "page_links.py": "st.page_link("}
    for file in (ROOT / "sim" / "screens").rglob("*.py"):
        source = file.read_text(encoding="utf-8")
        for call in ("st.fragment", "st.page_link("):
            assert call not in source.replace(own.get(file.name, "\n\n\n"), "").replace("`st.", "`"), (file.name, call)


def test_a_reading_played_is_in_spanish():
    page = open_page(
        "watch", lesson="01-arm-height", lang="es", predicted="1", **{"technique.cuff_below_heart_cm": "12"}
    )
    assert not page.exception
    assert not english(page)


def test_a_case_to_practise_on_is_in_spanish_before_and_after_the_answer():
    page = open_page("practice", case="1001", lang="es")
    assert not page.exception
    assert not english(page)
    page.checkbox(key="practice/1001/nothing").check()
    with spoken("es"):  # the harness asks for an option's words here
        for name, value in (("direction", "alike"), ("next", "keep")):
            page.radio(key=f"practice/1001/{name}").set_value(value)
        page.run()
    page.button(key="practice/1001/commit").click().run()
    assert not page.exception
    assert catalogue("es")["What was true"] in texts(page)
    assert not english(page)


def test_the_page_for_pages_to_print_is_in_spanish():
    asked = {"lessons": "01-arm-height,02-cuff-size", "with": "large,class", "log": "home-week-drop"}
    page = open_page("handouts", lang="es", **asked)
    assert not page.exception
    assert not english(page)
    assert [each.proto.label for each in page.get("download_button")] == ["Hacer el PDF"]
    page.text_input(key="handouts/hours").input("8 时").run()
    (warning,) = page.warning
    assert "Horario" in warning.value
    assert not english(page)


def test_a_room_is_in_spanish_at_every_step():
    page = open_page("present", lang="es", lessons="01-arm-height,02-cuff-size")
    for step in ROOM_STEPS:
        assert not page.exception
        assert not english(page), step
        with spoken("es"):
            assert say(ROOM_STEPS[step]) in page.title[0].value
        if step == "ask":
            page.number_input(key="room/hands/01-arm-height/0").set_value(3).run()
            page.button(key="room/press/reveal").click().run()
        elif step != "help":
            if step == "lever":
                page.button(key="room/press/hold").click().run()
                assert not english(page)
            page.button(key="room/press/next").click().run()


def test_the_player_on_a_wall_is_in_the_language_that_is_spoken_now():
    page = open_page("present", lang="es", view="watch", lesson="01-arm-height", predicted="1")
    assert not page.exception
    assert not english(page)
    page.button(key="language-en").click().run()
    assert "Watch a reading happen" in page.title[0].value
    assert "Presión" not in " ".join(everything(page))


def test_what_is_said_of_ones_own_patient_is_in_spanish():
    own = {"my.arm_circumference_cm": "38", "my.sbp": "152", "my.dbp": "94", "my.cuffs": "12x22"}
    lesson = open_page("lesson", lesson="02-cuff-size", lang="es", predicted="1", **own)
    case = open_page("practice", case="1001", lang="es", **own)
    for page in (lesson, case):
        assert not page.exception
        assert page.info
        assert not english(page)
