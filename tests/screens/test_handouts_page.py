"""The page Pages to print: what is ticked is what is made, and nothing of a clinic is in the address or kept."""

from __future__ import annotations

from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from sim.screens.handouts import made as kept
from sim.screens.handouts import page as screen
from sim.screens.handouts.made import made, page_of
from sim.teach.handouts.wanted import LINES, Clinic, Wanted
from sim.teach.lesson import load_all
from tests.screens.opening import address, links, open_home, open_page, texts

LESSONS, _ = load_all()


@pytest.fixture
def wanted(monkeypatch):
    """What the page checks before it offers the PDF, the last one last."""
    seen: list[Wanted] = []
    monkeypatch.setattr(screen, "check", seen.append)
    return seen


def button(page: AppTest) -> list[Any]:
    return [each for each in page.get("download_button") if "Make the PDF" in each.proto.label]


def test_it_is_reached_from_home_and_from_a_lesson():
    assert any("handouts" in link.page for link in links(open_home()))
    lesson = open_page("lesson", lesson=LESSONS[0].name, predicted="1", step="do")
    (link,) = [each for each in links(lesson) if "handouts" in each.page]
    assert f"lessons={LESSONS[0].name}" in link.query_string


def test_nothing_is_offered_until_something_is_chosen(wanted):
    page = open_page("handouts")
    assert not page.exception
    assert "Tick one lesson" in texts(page)
    assert not button(page)
    page.checkbox(key=f"asked/lessons/{LESSONS[1].name}").check().run()
    assert button(page)
    assert [lesson.name for lesson in wanted[-1].lessons] == [LESSONS[1].name]
    assert address(page)["lessons"] == LESSONS[1].name


def test_a_form_alone_is_enough(wanted):
    page = open_page("handouts", **{"log": "home-week", "with": "class"})
    assert button(page)
    assert (wanted[-1].log, wanted[-1].lessons, wanted[-1].class_sheet) == ("home-week", [], False)


def test_a_link_brings_back_all_but_the_clinic(wanted):
    names = f"{LESSONS[0].name},{LESSONS[4].name}"
    page = open_page("handouts", **{"lessons": names, "paper": "letter", "with": "large,class", "log": "home-3-days"})
    made_of = wanted[-1]
    assert [lesson.name for lesson in made_of.lessons] == names.split(",")
    assert (made_of.paper, made_of.large_print, made_of.class_sheet, made_of.log) == (
        "letter",
        True,
        True,
        "home-3-days",
    )
    assert set(made_of.pictures) == set(names.split(","))
    assert made_of.clinic == Clinic()
    page.text_input(key="handouts/clinic").input("Hill House").run()
    page.text_area(key="handouts/notes").input("a\nb").run()
    assert wanted[-1].clinic == Clinic(clinic="Hill House", notes="a\nb")
    assert "Hill House" not in str(address(page))


@pytest.mark.parametrize(("field", "text", "says"), [("hours", "8 时", "时"), ("notes", "a\n" * 9, "9 lines")])
def test_what_cannot_be_printed_is_said_in_one_line(field, text, says):
    page = open_page("handouts", lessons=LESSONS[0].name)
    widget = page.text_area if field == "notes" else page.text_input
    widget(key=f"handouts/{field}").input(text).run()
    assert not page.exception
    (warning,) = page.warning
    assert LINES[field].label in warning.value
    assert says in warning.value
    assert not button(page)


def test_a_pdf_is_made_once_but_never_kept_with_a_clinic(monkeypatch):
    made_now: list[Wanted] = []

    def pdf(wanted: Wanted) -> bytes:
        made_now.append(wanted)
        return b"%PDF"

    monkeypatch.setattr(kept, "pdf", pdf)
    kept._made.clear()
    for _ in range(2):
        assert made(page_of(LESSONS[0], "en")) == b"%PDF"
    assert len(made_now) == 1
    for _ in range(2):
        made(Wanted(LESSONS[:1], clinic=Clinic(telephone="555")))
    assert len(made_now) == 3
    kept._made.clear()
