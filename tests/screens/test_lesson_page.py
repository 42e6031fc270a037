"""A lesson page from the prediction to what to do."""

import re

import pytest

from sim.explain.same_arm import FIRST_SEED
from sim.screens import cache
from sim.screens.cautions.texts import EMERGENCY_TITLE
from sim.screens.lesson.address import STEPS
from sim.screens.words import plain
from sim.teach.lesson import load_all
from tests.screens.opening import address, html, links, open_page, texts
from tests.teach.files import GOOD

LESSONS, _ = load_all()
# All screens are the same code for every lesson: these stand for the others, which are opened once each.
LESSON = pytest.mark.parametrize("lesson", LESSONS[:4], ids=lambda lesson: lesson.name)


def numbers(page):
    """Resting pressure, display and difference as the page shows them."""
    found = re.findall(r'<span class="pair">([−+\d]+)<i>/</i>([−+\d]+)</span>', html(page))
    return [tuple(int(part.replace("−", "-")) for part in pair) for pair in found]


@LESSON
def test_nothing_is_shown_before_a_prediction_is_committed(lesson):
    page = open_page("lesson", lesson=lesson.name)
    assert not page.exception
    assert numbers(page) == []
    assert not page.get("vega_lite_chart")
    assert lesson.summary not in texts(page)
    commit = page.button(key=f"{lesson.name}/commit")
    assert commit.disabled
    page.radio(key=f"{lesson.name}/choice").set_value(0).run()
    assert numbers(page) == []
    page.button(key=f"{lesson.name}/commit").click().run()
    assert len(numbers(page)) == 3
    assert address(page)["predicted"] == "1"


@LESSON
def test_each_prediction_is_answered_for_what_it_was(lesson):
    for number, choice in enumerate(lesson.predict.choices, 1):
        page = open_page("lesson", lesson=lesson.name, predicted=str(number))
        answers = page.success if choice.right else page.warning
        assert len(answers) == 1
        assert choice.reply.removeprefix("Yes. ") in answers[0].value


@LESSON
def test_the_three_numbers_agree_and_a_lever_moves_them(lesson):
    page = open_page("lesson", lesson=lesson.name, predicted="1", chance="no")
    resting, display, difference = numbers(page)
    assert resting == (round(float(lesson.scenario.subject.sbp)), round(float(lesson.scenario.subject.dbp)))
    assert difference == (display[0] - resting[0], display[1] - resting[1])
    before = html(page)
    page.button(key=f"{lesson.name}/tempt").click().run()
    assert not page.exception
    assert numbers(page)[0] == resting
    assert html(page) != before
    assert numbers(page)[1] != display
    lever = lesson.levers[0]
    written = address(page)[lever.field]
    assert written == (f"{lever.tempting:g}" if isinstance(lever.tempting, float) else str(lever.tempting))
    page.button(key=f"{lesson.name}/correct").click().run()
    assert numbers(page)[1] == display


@LESSON
def test_a_link_reopens_the_same_state(lesson):
    page = open_page("lesson", lesson=lesson.name, predicted="2")
    page.button(key=f"{lesson.name}/tempt").click().run()
    page.button(key=f"{lesson.name}/again").click().run()
    assert (address(page)["seed"], address(page)["reading"]) == (str(FIRST_SEED), "2")
    again = open_page("lesson", **address(page))
    assert numbers(again) == numbers(page)
    assert html(again) == html(page)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_every_lesson_opens_with_its_mistakes(lesson):
    values = {field: f"{v:g}" if isinstance(v, float) else v for field, v in lesson.tempting.items()}
    page = open_page("lesson", lesson=lesson.name, predicted="none", **values)
    for step in ("try", "check", "do"):
        page.button_group(key=f"{lesson.name}/step").set_value(step).run()
        assert not page.exception
        assert not page.error
        assert not page.warning or step == "do"
        assert "nan" not in re.findall(r"\w+", (html(page) + texts(page)).lower())


@LESSON
@pytest.mark.parametrize("step", ["try", "why", "check", "do"])
def test_every_step_opens_by_a_link(lesson, step):
    page = open_page("lesson", lesson=lesson.name, predicted="none", step=step)
    assert not page.exception
    assert not page.error
    assert address(page).get("step", "try") == step
    assert "nan" not in re.findall(r"\w+", (html(page) + texts(page)).lower())


@LESSON
def test_evidence_stands_with_its_source_and_how_sure(lesson):
    page = open_page("lesson", lesson=lesson.name, predicted="none", step="why")
    captions = [caption.value for caption in page.caption]
    for evidence in lesson.evidence:
        if evidence.link:
            assert any(evidence.link in caption for caption in captions), evidence.label
    charts = len(page.get("vega_lite_chart"))
    assert charts == sum(1 for e in lesson.evidence if e.model or e.sbp or e.dbp)


@LESSON
def test_each_answer_afterwards_gets_its_reason(lesson):
    page = open_page("lesson", lesson=lesson.name, predicted="none", step="check")
    for number, check in enumerate(lesson.checks):
        for choice_number, choice in enumerate(check.choices):
            page.radio(key=f"{lesson.name}/check-{number}").set_value(choice_number).run()
            answers = page.success if choice.right else page.warning
            assert any(choice.reason in answer.value for answer in answers)


@pytest.mark.parametrize("look", ["steps", "recording", "envelope", "arm"])
def test_every_view_has_its_sentence(look):
    page = open_page("lesson", lesson="04-talking", predicted="none", look=look)
    assert not page.exception
    charts = page.get("vega_lite_chart")
    assert charts
    for chart in charts:
        assert re.search(r"\d", chart.proto.alt)


def test_categories_follow_the_scheme_that_was_chosen():
    page = open_page("lesson", lesson="01-arm-height", predicted="none", chance="no")
    assert "elevated" in html(page)
    page.selectbox(key="01-arm-height/scheme").set_value("esh-2023").run()
    assert "elevated" not in html(page)
    assert "ESH 2023" in html(page)
    assert "One reading diagnoses nothing." in html(page)


def test_bad_parameters_are_named_and_the_lesson_still_opens():
    page = open_page(
        "lesson", lesson="01-arm-height", predicted="1", seed="*x*", **{"technique.cuff_below_heart_cm": "90"}
    )
    messages = [warning.value.replace("\\", "") for warning in page.warning]
    assert any("technique.cuff_below_heart_cm = 90: must be a number from -20 to 20" in m for m in messages)
    assert any("seed = *x*: must be a whole number from 1 to 9999" in m for m in messages)
    assert len(numbers(page)) == 3


def test_an_unknown_lesson_is_named_with_those_there_are():
    page = open_page("lesson", lesson="99-nothing")
    message = page.warning[0].value.replace("\\", "")
    assert "lesson = 99-nothing" in message
    assert "01-arm-height" in message


def test_links_for_a_class_start_before_the_prediction():
    page = open_page("lesson", lesson="01-arm-height", predicted="3")
    queries = {link.label: link.query_string for link in links(page)}
    label = next(label for label in queries if label.startswith("Link for your class"))
    assert queries[label] == "lesson=01-arm-height"
    state = queries["Link to this state"]
    assert "predicted=3" in state
    assert "technique.cuff_below_heart_cm=0" in state


def test_where_there_is_no_reading_the_reason_is_shown(lesson_folder):
    moving = GOOD.replace("technique.cuff_below_heart_cm", "technique.movement_mmhg")
    moving = moving.replace("low = -10\nhigh = 30", "low = 0\nhigh = 20").replace("tempting = 12", "tempting = 20")
    (lesson_folder / "01-moving.md").write_text(moving, encoding="utf-8")
    cache.lessons.clear()
    lesson = cache.lessons()[0][0]
    reason = str(
        cache.readings(lesson.inputs({"technique.movement_mmhg": 20}), FIRST_SEED, False).every.reading.reason[0]
    )
    assert reason
    for look in ("steps", "recording", "envelope", "arm"):
        page = open_page("lesson", lesson="01-moving", predicted="1", look=look, **{"technique.movement_mmhg": "20"})
        assert not page.exception
        assert not page.error
        assert "no reading" in html(page)
        assert reason[1:] in html(page)
        assert "nan" not in re.findall(r"\w+", (html(page) + texts(page)).lower())


def test_a_faulty_file_is_reported_and_the_others_still_open(lesson_folder):
    (lesson_folder / "01-good.md").write_text(GOOD, encoding="utf-8")
    (lesson_folder / "02-bad.md").write_text(GOOD.replace("minutes = 5", 'minutes = "five"'), encoding="utf-8")
    cache.lessons.clear()
    page = open_page("lesson", lesson="02-bad")
    message = page.warning[0].value.replace("\\", "")
    assert "02-bad.md" in message
    assert "minutes" in message
    assert not open_page("lesson", lesson="01-good").warning


@pytest.mark.parametrize(("bladder", "sbp", "said"), [("10.5x21", "174", True), ("16x30", "130", False)])
def test_beside_a_very_high_number_stands_what_to_do_at_a_real_one(bladder, sbp, said):
    changes = {"instrument.bladder": bladder, "subject.sbp": sbp}
    page = open_page("lesson", lesson="16-cannot-be-right", predicted="1", **changes)
    assert not page.exception
    assert ("call the emergency services at once" in html(page)) is said


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_a_very_high_reading_stands_before_all_else_that_is_to_be_done(lesson):
    page = open_page("lesson", lesson=lesson.name, predicted="none", step="do")
    words = [str(getattr(element, "value", "")) for element in page.main]
    (urgent,) = (place for place, said in enumerate(words) if EMERGENCY_TITLE in said)
    assert words[urgent - 1] == "What to do"  # the step's heading
    assert urgent < words.index(lesson.takeaway.text)


@pytest.mark.parametrize("step", ["try", "why", "check", "do"])
def test_every_step_has_its_heading(step):
    page = open_page("lesson", lesson=LESSONS[0].name, predicted="none", step=step)
    assert [header.value for header in page.header] == [plain(STEPS[step])]
