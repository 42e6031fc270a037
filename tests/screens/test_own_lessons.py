"""Lessons of one's own in the app: marked, without evidence, left out where broken, changed while they are shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.screens import cache
from sim.teach.lesson import OWN_FOLDER
from tests.screens.opening import html, links, open_home, open_page, texts
from tests.teach.files import GOOD
from tests.teach.files import OFF_THE_LINES as OWN

BARE = OWN[: OWN.index("[[evidence]]")] + OWN[OWN.index("[takeaway]") :]
MARKUP = "<script>alert(1)</script>"


@pytest.fixture
def own(lesson_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of own lessons, beside one built-in lesson."""
    (lesson_folder / "01-good.md").write_text(GOOD, encoding="utf-8")
    folder = lesson_folder / "ours"
    folder.mkdir()
    monkeypatch.setenv(OWN_FOLDER, str(folder))
    return folder


def written(folder: Path, text: str) -> Path:
    """The file our-cuffs.md with a text, which the app reads at once."""
    file = folder / "our-cuffs.md"
    file.write_text(text, encoding="utf-8")
    cache.lessons.clear()
    return file


def test_card_and_lesson_are_marked(own: Path):
    written(own, BARE)
    page = open_home()
    assert not page.exception
    assert "Lessons: from this clinic" in [each.value for each in page.header]
    assert [c.value.startswith("**From this clinic** · ") for c in page.caption if "5 minutes" in c.value] == [
        False,
        True,
    ]
    begin = [link.query_string for link in links(page) if link.label == "Begin this lesson"]
    assert begin == ["lesson=01-good", "lesson=our-cuffs"]
    assert "From this clinic · about 5 minutes" in html(open_page("lesson", lesson="our-cuffs"))
    assert "From this clinic" not in html(open_page("lesson", lesson="01-good"))
    assert "From this clinic" in texts(open_page("progress"))


def test_without_evidence_the_lesson_says_so_and_with_it_whose_it_is(own: Path):
    written(own, BARE)
    page = open_page("lesson", lesson="our-cuffs", predicted="2", step="why")
    assert not page.exception
    assert "No published figures stand behind this lesson." in texts(page)
    assert 'class="legend"' not in html(page)
    written(own, OWN)
    page = open_page("lesson", lesson="our-cuffs", predicted="2", step="why")
    assert "From this clinic: these figures and their sources were put together by" in texts(page)
    assert "From this clinic" not in texts(open_page("lesson", lesson="01-good", predicted="2", step="why"))


def test_the_page_of_the_evidence_counts_the_built_in_lessons_only(own: Path):
    written(own, OWN.replace('title = "Height"', 'title = "Our height"'))
    page = open_page("evidence")
    assert not page.exception
    assert "Our height" not in html(page)
    assert ">Height<" in html(page)


def test_a_broken_file_is_left_out_with_one_quiet_line(own: Path):
    written(own, BARE.replace('title = "Height"', "title = “Height”"))
    page = open_home()
    assert not page.exception
    assert not page.warning
    assert html(page).count('class="card-picture"') == 1
    quiet = [caption.value.replace("\\", "") for caption in page.caption if "For the educator" in caption.value]
    assert quiet == [
        "For the educator: 1 lesson file of this clinic could not be read. cuffbias lesson check FOLDER says why."
    ]
    page = open_page("lesson", lesson="our-cuffs")
    assert not page.exception
    assert page.warning[0].value == "This lesson from this clinic cannot be shown at the moment."


def test_a_folder_that_goes_away_leaves_the_built_in_lessons(own: Path):
    own.rmdir()
    cache.lessons.clear()
    page = open_home()
    assert not page.exception
    assert html(page).count('class="card-picture"') == 1


def test_a_session_goes_on_when_the_file_breaks_or_goes(own: Path):
    file = written(own, BARE)
    page = open_page("lesson", lesson="our-cuffs", predicted="1")
    for text in ("no lesson", None):
        if text is None:
            file.unlink()
            cache.lessons.clear()
        else:
            written(own, text)
        for step in ("check", "do", "try"):
            page.query_params["step"] = step
            page.run()
            assert not page.exception
            assert page.title[0].value == "Height"
    assert open_page("lesson", lesson="our-cuffs").title[0].value == "This lesson cannot be shown"


def test_a_session_goes_on_when_a_question_has_fewer_answers(own: Path):
    third = '[[check.choice]]\ntext = "Neither"\nright = false\nreason = "One is."\n\n'
    written(own, BARE.replace("[case]", f"{third}[case]"))
    page = open_page("lesson", lesson="our-cuffs", predicted="2", step="check")
    page.radio[0].set_value(2).run()
    assert "One is." in texts(page)
    written(own, BARE)
    page.run()
    assert not page.exception
    assert page.radio[0].value is None
    page.radio[0].set_value(0).run()  # which is compared with the first answer of this visit
    assert not page.exception
    assert "So it is." in texts(page)


def test_a_session_goes_on_when_a_lever_reaches_less_far(own: Path):
    written(own, BARE)
    page = open_page("lesson", lesson="our-cuffs", predicted="2")
    page.slider[0].set_value(30.0).run()
    written(own, BARE.replace("high = 30", "high = 14"))
    page.run()
    assert not page.exception
    assert page.slider[0].max == 14
    assert page.slider[0].value == 0


def test_changed_words_disturb_nobody(own: Path):
    written(own, BARE)
    page = open_page("lesson", lesson="our-cuffs", predicted="2", step="check")
    page.radio[0].set_value(1).run()
    written(own, BARE.replace('title = "Height"', 'title = "Our height"'))
    page.run()
    assert page.title[0].value == "Our height"
    assert page.radio[0].value == 1


def test_markup_in_a_file_is_shown_as_text(own: Path):
    words: tuple[str, ...] = (
        "Height",
        "Does it matter?",
        "students",
        "It does.",
        "Below the heart",
        "0 is level.",
        "What happens?",
    )
    words += ("Nothing", "Which?", "This", "So it is.", "And here?", "Too low", "The arm is raised.", "Rest it.")
    text = OWN
    for each in words:
        text = text.replace(f'"{each}"', f'"{each} {MARKUP}"')
    written(own, text)
    pages = [open_home(), open_page("lesson", lesson="our-cuffs")]
    pages += [open_page("lesson", lesson="our-cuffs", predicted="1", step=s) for s in ("try", "why", "check", "do")]
    for page in pages:
        assert not page.exception
        assert MARKUP not in html(page)
        assert not [each for each in page.markdown if each.allow_html and MARKUP in each.value]


def test_a_lesson_on_the_wall_stays_there_when_its_file_breaks(own: Path):
    written(own, BARE)
    page = open_page("present", lessons="01-good,our-cuffs", at="2")
    page.button(key="room/press/next").click().run()
    before = page.title[0].value
    assert before.startswith("Height")
    written(own, "no lesson")
    page.run()
    assert not page.exception
    assert not page.warning
    assert page.title[0].value == before
    written(own, BARE.replace("high = 30", "high = 14"))  # its levers are others now: it starts anew
    page.run()
    assert not page.exception
    assert page.title[0].value.startswith("Height")
