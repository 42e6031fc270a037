"""A patient and cuffs of one's own: set in a panel, kept in the link, in lessons, practice and the player."""

from __future__ import annotations

import pytest

from sim.cuff.bladder import printed
from sim.teach.lesson import load_all
from sim.teach.own_patient import read
from tests.screens.opening import address, html, links, open_page, texts

LESSONS, _ = load_all()
MINE = {"my.sbp": "150", "my.dbp": "86", "my.arm_circumference_cm": "38", "my.cuffs": "regular,large"}
USE, TAKE_OUT = "Use this patient and these cuffs", "Take all of it out"
BELONG = "belong to the lesson's own person"


def said(page):
    """The words on a page, without what only Markdown needs."""
    return texts(page).replace("\\", "")


def press(page, label):
    return next(button for button in page.button if button.label == label).click().run()


def fill(page, **numbers):
    for name, value in numbers.items():
        next(each for each in page.number_input if each.key.endswith(f"/{name}")).set_value(value)


def tick(page, *cuffs):
    for name in cuffs:
        next(box for box in page.checkbox if box.label == printed(name)).check()


def own_in(found):
    return {name: text for name, text in found.items() if name.startswith("my.")}


def test_what_is_set_in_the_panel_is_in_the_readings_and_in_the_link():
    page = open_page("lesson", lesson="01-arm-height", predicted="1")
    assert "150<i>/</i>86" not in html(page)
    assert own_in(address(page)) == {}
    fill(page, sbp=150, dbp=86, arm_circumference_cm=38.0)
    tick(page, "large", "regular")
    page = press(page, USE)
    assert not page.exception
    assert "150<i>/</i>86" in html(page)
    assert own_in(address(page)) == MINE
    assert "words are about its own person" in said(page)
    shared = [link.query_string for link in links(page) if link.label.startswith("Link ")]
    assert len(shared) == 3
    assert all("my.sbp=150" in query for query in shared)


@pytest.mark.parametrize("name", ["lesson", "watch"])
def test_a_link_opened_fresh_shows_the_same_patient(name):
    page = open_page(name, lesson="01-arm-height", predicted="1", **MINE)
    assert not page.exception
    assert "150/86" in said(page) or "150<i>/</i>86" in html(page)
    assert own_in(address(page)) == MINE


def test_taking_it_out_brings_the_lessons_person_back():
    page = press(open_page("lesson", lesson="01-arm-height", predicted="1", **MINE), TAKE_OUT)
    person = LESSONS[0].scenario.subject
    assert f"{float(person.sbp):g}<i>/</i>{float(person.dbp):g}" in html(page)
    assert own_in(address(page)) == {}
    assert "does not hold" not in said(page)


@pytest.mark.parametrize(
    ("name", "text", "allowed"),
    [
        ("my.sbp", "400", "from 60 to 260 mmHg"),
        ("my.arm_circumference_cm", "wide", "a number from 16 to 60 cm"),
        ("my.cuffs", "huge", "small adult (12x22)"),
        ("my.weight", "80", "my.sbp"),
        ("my.dbp", "145", "at least 10 mmHg below"),
    ],
)
@pytest.mark.parametrize("place", ["lesson", "practice", "watch"])
def test_a_bad_value_in_the_link_is_one_plain_line_and_the_rest_is_kept(place, name, text, allowed):
    page = open_page(place, **MINE | {name: text})
    assert not page.exception
    (line,) = [each.value.replace("\\", "") for each in page.warning if name in each.value.replace("\\", "")]
    assert "\n" not in line
    assert text in line
    assert allowed in line
    assert own_in(address(page))["my.arm_circumference_cm" if name != "my.arm_circumference_cm" else "my.sbp"]


def test_a_lesson_says_which_of_its_sentences_no_longer_hold():
    fits = open_page("lesson", lesson="02-cuff-size", predicted="3", **{"my.sbp": "134"})
    assert "does not hold" not in said(fits)
    other = {"my.arm_circumference_cm": "24", "my.cuffs": "small adult,large"}
    page = open_page("lesson", lesson="02-cuff-size", predicted="3", **other)
    right = next(choice.text for choice in LESSONS[1].predict.choices if choice.right)
    assert f"With these numbers the lesson's sentence “{right}” does not hold" in said(page)


def test_words_with_numbers_are_said_to_be_about_the_lessons_own_person():
    assert BELONG in said(open_page("lesson", lesson="02-cuff-size", **MINE))
    assert BELONG not in said(open_page("lesson", lesson="02-cuff-size"))
    page = open_page("lesson", lesson="01-arm-height", predicted="1", **MINE)
    reply = LESSONS[0].predict.choices[0].reply
    assert (BELONG in said(page)) == any(letter.isdigit() for letter in reply)


def test_the_lever_for_the_bladder_offers_the_clinics_cuffs():
    page = open_page("lesson", lesson="02-cuff-size", predicted="1", **MINE)
    (lever,) = [radio for radio in page.radio if radio.key == "02-cuff-size/instrument.bladder"]
    assert lever.options == [printed("regular"), printed("large")]
    assert lever.value == "large"


@pytest.mark.parametrize("step", ["why", "check", "do"])
def test_evidence_case_and_advice_stay_those_of_the_lesson(step):
    own = open_page("lesson", lesson="02-cuff-size", predicted="1", step=step, **MINE)
    plain = open_page("lesson", lesson="02-cuff-size", predicted="1", step=step)
    assert not own.exception
    findings = [
        [each.value for each in page.caption if each.value.startswith(("Ishigami", "Kallioinen"))]
        for page in (own, plain)
    ]
    assert findings[0] == findings[1]
    assert bool(findings[0]) == (step == "why")
    assert html(plain).count("<section") == html(own).count("<section")


def test_a_case_is_the_same_for_everybody_with_the_same_number_and_patient():
    first, other = (open_page("practice", case="2001", **MINE) for _ in range(2))
    assert not first.exception
    assert html(first) == html(other)
    assert "The arm measures 38 cm round" in said(first)
    assert "not counted in your progress" in said(first)
    assert address(first) == {"case": "2001", **MINE}
    assert html(open_page("practice", case="2001")) != html(first)


def test_setting_it_up_oneself_offers_the_clinics_cuffs():
    page = open_page("practice", case="4001", **MINE)
    (cuffs,) = [radio for radio in page.radio if str(radio.key).endswith("/bladder")]
    assert cuffs.options == [printed("regular"), printed("large")]


def test_reading_and_writing_agree_with_the_link():
    patient, problems = read(MINE)
    assert (problems, patient.sbp, patient.cuffs) == ([], 150, ("regular", "large"))
