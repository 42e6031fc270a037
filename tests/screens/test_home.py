"""The first screen and the cautions."""

from sim.screens import cache
from sim.teach import path
from sim.teach.lesson import load_all
from tests.screens.opening import html, links, open_home, open_page, texts
from tests.teach.files import GOOD


def test_the_first_screen_says_what_for_whom_and_when_to_get_help():
    page = open_home()
    assert not page.exception
    words = texts(page)
    for part in ("nursing students", "patient educators", "engineers", "not a medical device", "One reading diagnoses"):
        assert part in words
    assert "180/120" in words
    assert "emergency services at once" in words
    assert "chest or back pain" in words


def test_every_lesson_has_a_card_with_a_picture_and_a_link():
    page = open_home()
    lessons, faults = load_all()
    assert not faults
    assert html(page).count('class="card-picture"') == len(lessons)
    begin = [link.query_string for link in links(page) if link.label == "Begin this lesson"]
    assert begin == [f"lesson={lesson.name}" for part in path.parts(lessons) for lesson in part]
    for lesson in lessons:
        assert lesson.question in texts(page)


def test_the_cautions_are_one_click_from_every_screen():
    for page in (open_home(), open_page("cautions"), open_page("lesson", lesson="01-arm-height")):
        assert any(link.page == "cautions" for link in links(page))


def test_the_cautions_name_all_that_has_to_be_heeded():
    words = texts(open_page("cautions"))
    for part in (
        "fistula",
        "lymph",
        "intravenous",
        "Measure both arms",
        "10 mmHg",
        "One reading",
        "emergency services",
    ):
        assert part in words


def test_a_faulty_lesson_is_named_and_the_others_have_their_cards(lesson_folder):
    (lesson_folder / "01-good.md").write_text(GOOD, encoding="utf-8")
    (lesson_folder / "02-bad.md").write_text("no lesson at all", encoding="utf-8")
    cache.lessons.clear()
    page = open_home()
    assert not page.exception
    assert html(page).count('class="card-picture"') == 1
    assert "02-bad.md" in page.warning[0].value.replace("\\", "")
