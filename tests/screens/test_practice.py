"""The page to practise on: nothing tells the truth before the answer, the first answer counts, a case is a number."""

import json
import re
from dataclasses import replace
from typing import Any

import pytest

from sim.figures.colours import TRUTH
from sim.results import Pressures
from sim.screens.practice.outcome import lesson_on
from sim.teach.lesson import load_all
from sim.teach.own_setup import FIRST, MOMENTS, SUPPORTS, room
from sim.teach.practice import case, cupboard, possible
from sim.teach.practice_answers import DIRECTIONS, NEXT, band_words, following
from tests.screens.opening import address, html, links, open_home, open_page, texts


def first(mistakes, level):
    """The first case of a level with so many mistakes, whose direction is not "about the same" where there are any.

    Which case a number is follows from the model, so that numbers say nothing here.
    """
    numbers = range(1000 * level, 1000 * level + 200)
    return next(n for n in numbers if len(case(n).possible) == mistakes and (not mistakes or case(n).band))


ONE, NONE, TWO, THREE = first(1, 1), first(0, 1), first(2, 2), first(3, 3)
CASES = (ONE, NONE, TWO, THREE)


def not_made(number):
    """A mistake that this case has not."""
    return next(m.name for m in possible() if m not in case(number).possible)


def everything(page):
    """All that is sent to the browser, as text."""
    return "\n".join(str(element.proto) for element in page.main.children.values() for element in walk(element))


def walk(block):
    """The element, or all elements within a block."""
    inner = getattr(block, "children", None)
    if inner is None:
        yield block
    else:
        for child in inner.values():
            yield from walk(child)


def answer(page, found, *, named=None, direction=None, band=None, following_=None):
    """Fill in the four answers, right ones unless told, and commit."""
    key = f"practice/{found.number}"
    names = [m.name for m in found.possible] if named is None else named
    for name in names:
        page.checkbox(key=f"{key}/named/{name}").check()
    if not names:
        page.checkbox(key=f"{key}/nothing").check()
    page.radio(key=f"{key}/direction").set_value(direction or found.direction).run()
    if (direction or found.direction) != "alike":
        page.radio(key=f"{key}/band").set_value(str(found.band if band is None else band))
    page.radio(key=f"{key}/next").set_value(following_ or following(found)).run()
    assert not page.button(key=f"{key}/commit").disabled
    return page.button(key=f"{key}/commit").click().run()


@pytest.mark.parametrize("number", CASES)
def test_nothing_tells_the_truth_before_the_answer(number):
    found = case(number)
    page = open_page("practice", case=str(number))
    assert not page.exception
    sent = everything(page)
    truth = found.readings().result.truth
    display = found.readings().mean().result.reading
    pairs = re.findall(r'<span class="pair">(.*?)<i>/</i>(.*?)</span>', html(page))
    assert pairs == [(f"{display.sbp[0]:.0f}", f"{display.dbp[0]:.0f}")]  # the display, and no other number
    for pressures in (truth.resting, truth.at_measurement, truth.at_cuff):
        sbp, dbp = float(pressures.sbp[0]), float(pressures.dbp[0])
        if (round(sbp), round(dbp)) != (round(float(display.sbp[0])), round(float(display.dbp[0]))):
            assert f"{sbp:.0f}/{dbp:.0f}" not in sent
        for value in (sbp, dbp):  # as a place in a chart
            assert not re.search(rf'"(?:y|x|datum)": ?{value:.3f}'.rstrip("0").rstrip(".") + r"0*[,}]", sent)
    for word in (TRUTH.symbol + " ", TRUTH.colour, "true pressure", "esting pressure "):
        assert word not in sent.replace("against the resting pressure is", "")
    assert "table.steps" not in sent
    assert len(page.get("vega_lite_chart")) == 2  # the readings as points, and the recording of one of them


def test_what_the_chart_holds_before_the_answer_does_not_depend_on_the_truth():
    """The same recording and reading beside another truth: the same chart and the same words."""
    from sim.screens.charts import recording

    result = case(2041).readings().result.take([0])
    truth = result.truth
    stages = ("resting", "at_measurement", "at_cuff")
    moved: dict[str, Any] = {name: Pressures(*(p + 9 for p in vars(getattr(truth, name)).values())) for name in stages}
    shifted = replace(truth, **moved)
    other = type(result)(result.recording, result.reading, shifted)
    for told in (True, False):
        specs = [json.dumps(recording.pressure(each, told), default=str) for each in (result, other)]
        words = [recording.sentence(each, told) for each in (result, other)]
        assert (specs[0] == specs[1]) == (words[0] == words[1]) == (not told)


@pytest.mark.parametrize("number", CASES)
def test_a_right_answer_is_told_so_and_the_truth_stands_beside_the_display(number):
    found = case(number)
    page = answer(open_page("practice", case=str(number)), found)
    assert not page.exception
    assert not page.warning
    assert len(page.success) == 4
    truth, display = found.readings().result.truth.resting, found.readings().mean().result.reading
    pairs = re.findall(r'<span class="pair">([−+\d]+)<i>/</i>([−+\d]+)</span>', html(page))
    assert (f"{truth.sbp[0]:.0f}", f"{truth.dbp[0]:.0f}") in pairs
    assert (f"{display.sbp[0]:.0f}", f"{display.dbp[0]:.0f}") in pairs
    for mistake in found.possible:
        assert mistake.why in texts(page)
    assert len([link for link in links(page) if link.page == "lesson"]) == len(found.possible)


def test_a_wrong_answer_is_told_what_was_found_missed_and_named_falsely():
    found = case(THREE)
    made = [m.name for m in found.possible]
    page = open_page("practice", case=str(THREE))
    page = answer(page, found, named=[made[0], not_made(THREE)], direction="alike", following_="cancel")
    said = texts(page)
    assert f"**Found:** {made[0]}." in said
    assert f"**Missed:** {made[1]}; {made[2]}." in said
    assert f"**Named, but not made:** {not_made(THREE)}." in said
    assert f"Right: *{DIRECTIONS[found.direction]}.*" in said
    assert f"Right: *{band_words(found.band)}.*" in said
    assert NEXT[following(found)] in said
    assert len(page.warning) == 4


def test_an_answer_needs_all_four_parts_and_no_contradiction():
    page = open_page("practice", case=str(ONE))
    key = f"practice/{ONE}"
    page.checkbox(key=f"{key}/named/{not_made(ONE)}").check()
    page.radio(key=f"{key}/direction").set_value("higher").run()
    page.radio(key=f"{key}/next").set_value("again").run()
    assert page.button(key=f"{key}/commit").disabled
    page.radio(key=f"{key}/band").set_value("1").run()
    assert not page.button(key=f"{key}/commit").disabled
    page.checkbox(key=f"{key}/nothing").check().run()
    assert page.button(key=f"{key}/commit").disabled
    assert "cannot be both" in page.warning[0].value


def test_the_first_answer_counts_and_later_ones_teach():
    found = case(ONE)
    page = answer(open_page("practice", case=str(ONE)), found, named=[not_made(ONE)])
    assert f"{found.possible[0].name}: 0 of 1" in texts(page)
    assert f"{not_made(ONE)}: named 1 × where it was not" in texts(page)
    page.button(key=f"practice/{ONE}/again").click().run()
    assert not page.checkbox(key=f"practice/{ONE}/named/{not_made(ONE)}").value
    page = answer(page, found)
    assert len(page.success) == 4
    assert f"{found.possible[0].name}: 0 of 1" in texts(page)


def test_the_next_case_another_level_and_a_number_are_in_the_address():
    page = open_page("practice")
    assert address(page) == {"case": "1001"}
    page.button(key="practice/next").click().run()
    assert address(page) == {"case": "1038"}
    page.segmented_control(key="practice/level").set_value(3).run()
    assert address(page) == {"case": "3001"}
    page.number_input(key="practice/number").set_value(2041).run()
    assert address(page) == {"case": "2041"}
    assert "case 2041" in html(page)
    assert not page.exception


@pytest.mark.parametrize("given", ["999", "5000", "abc", "-1", "２０４１", "9" * 4000, "", "1e3", "2041.0"])
def test_a_bad_number_is_named_and_a_case_opens(given):
    page = open_page("practice", case=given)
    assert not page.exception
    assert "from 1000 to 4999" in page.warning[0].value.replace("\\", "")
    assert address(page) == {"case": "1001"}


def test_the_cards_say_that_they_are_simulated_and_the_page_what_not_to_do():
    page = open_page("practice", case="2041")
    assert html(page).count("SIMULATED") == 2
    assert "Never correct a real reading" in texts(page)
    assert "not a medical device" in texts(page)


def test_a_display_of_180_stands_beside_its_advice():
    """Before the answer, and from the display alone."""
    high = next(n for n in range(2000, 4000) if mean_of_number(n) >= 180)
    page = open_page("practice", case=str(high))
    assert "call the emergency services at once" in page.warning[0].value
    low = next(n for n in range(2000, 3000) if mean_of_number(n) < 160)
    assert not open_page("practice", case=str(low)).warning


def mean_of_number(number):
    """A case's noise-free systolic display, near enough to look for one."""
    found = case(number)
    return float(found.setup.subject.sbp) + found.bias_mmhg[0] - 2


def test_every_mistake_has_a_lesson():
    lessons, _ = load_all()
    assert all(lesson_on(m.field, lessons) is not None for m in possible())


def test_home_and_masthead_lead_to_the_page():
    page = open_home()
    assert [link.page for link in links(page)].count("practice") == 2


def test_a_setup_of_ones_own_is_measured_and_judged():
    number = FIRST + 3
    page = open_page("practice", case=str(number))
    assert not page.exception
    key = f"practice/{number}"
    assert page.button(key=f"{key}/commit").disabled
    assert 'class="number' not in html(page)
    page.radio(key=f"{key}/bladder").set_value(cupboard()[0].name)
    page.radio(key=f"{key}/support").set_value("lap")
    page.radio(key=f"{key}/moment").set_value("at once").run()
    assert "unmarked" in html(page)
    assert 'class="number' not in html(page)
    page.button(key=f"{key}/commit").click().run()
    assert not page.exception
    assert len(page.warning) == 3
    assert "Set up yourself: cuff: 0 of 1" in texts(page)
    page.button(key=f"{key}/again").click().run()
    right = next(k for k, cm in room(number).heights_cm.items() if cm == 0)
    arm = float(room(number).person.subject.arm_circumference_cm)
    size = next(b.name for b in cupboard() if b.arm_from_cm <= arm <= b.arm_to_cm)
    page.radio(key=f"{key}/bladder").set_value(size)
    page.radio(key=f"{key}/support").set_value(right)
    page.radio(key=f"{key}/moment").set_value(list(MOMENTS)[-1]).run()
    page.button(key=f"{key}/commit").click().run()
    assert not page.warning
    assert "**Good.**" in page.success[0].value
    assert set(SUPPORTS) == set(room(number).heights_cm)
    assert "Set up yourself: cuff: 0 of 1" in texts(page)
