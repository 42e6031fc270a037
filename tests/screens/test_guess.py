"""The two numbers of the display are guessed before anything is shown, and kept in the address."""

import pytest

from sim.explain.same_arm import FIRST_SEED, same_arm
from sim.figures.numbers import pair
from sim.screens.charts.guessed import guessed_chart
from sim.screens.lesson import address as addresses
from sim.teach.guess import Guess
from sim.teach.lesson import load_all
from tests.screens.opening import address, open_page, texts

LESSONS, _ = load_all()
ARM = LESSONS[0]
GUESSED = [lesson for lesson in LESSONS if lesson.predict.guess]


def shown(lesson):
    """Mean display and resting pressure of the prediction's scene, straight from the engine."""
    mean = same_arm(lesson.inputs(lesson.predict.shows.at), FIRST_SEED).mean.result
    reading, resting = mean.reading, mean.truth.resting
    return pair(reading.sbp[0], reading.dbp[0]), pair(resting.sbp[0], resting.dbp[0])


def field(page, lesson, name):
    return page.number_input(key=f"{lesson.name}/guess-{name}")


def commit(page, lesson, sbp=None, dbp=None, choice=0):
    page.radio(key=f"{lesson.name}/choice").set_value(choice).run()
    for name, value in (("sbp", sbp), ("dbp", dbp)):
        if value is not None:
            field(page, lesson, name).set_value(value).run()
    page.button(key=f"{lesson.name}/commit").click().run()
    return page


def test_the_fields_are_empty_and_the_resting_pressure_is_told():
    page = open_page("lesson", lesson=ARM.name)
    assert (field(page, ARM, "sbp").value, field(page, ARM, "dbp").value) == (None, None)
    assert "The resting pressure is 128/78." in texts(page)
    assert shown(ARM)[0] not in texts(page)


@pytest.mark.parametrize("lesson", GUESSED, ids=lambda lesson: lesson.name)
def test_guess_display_and_truth_are_told_together(lesson):
    display, resting = shown(lesson)
    page = open_page("lesson", lesson=lesson.name, predicted="1", guess="171/61")
    assert not page.exception
    told = (
        f"You guessed 171/61; the display shows {display} on average in this scene; the resting pressure was {resting}."
    )
    assert told in texts(page)
    assert told in [chart.proto.alt for chart in page.get("vega_lite_chart")]


def test_a_guess_goes_into_the_address_and_comes_back_by_it():
    page = commit(open_page("lesson", lesson=ARM.name), ARM, 142, 88)
    assert address(page)["guess"] == "142/88"
    again = open_page("lesson", **address(page))
    assert "You guessed 142/88;" in texts(again)
    assert address(again) == address(page)


def test_a_guess_may_be_left_out():
    page = commit(open_page("lesson", lesson=ARM.name), ARM)
    assert "guess" not in address(page)
    assert address(page)["predicted"] == "1"
    assert "You guessed" not in texts(page)


@pytest.mark.parametrize(("sbp", "dbp"), [(142, None), (None, 88), (90, 100)])
def test_half_a_guess_is_told_and_nothing_is_shown(sbp, dbp):
    page = commit(open_page("lesson", lesson=ARM.name), ARM, sbp, dbp)
    assert address(page) == {"lesson": ARM.name}
    assert page.warning[0].value.startswith("guess = ")
    field(page, ARM, "sbp").set_value(142).run()
    field(page, ARM, "dbp").set_value(88).run()
    page.button(key=f"{ARM.name}/commit").click().run()
    assert address(page)["guess"] == "142/88"


def test_where_a_number_makes_no_sense_none_is_asked_for():
    lesson = next(lesson for lesson in LESSONS if not lesson.predict.guess)
    page = open_page("lesson", lesson=lesson.name)
    assert not [field for field in page.number_input if "guess" in str(field.key)]
    _, problems = addresses.read({"guess": "142/88"}, lesson)
    assert "guess = 142/88: this lesson has no such parameter" in problems[0]


@pytest.mark.parametrize("text", ["142", "900/88", "80/142", "high/low"])
def test_a_bad_guess_in_an_address_is_named_and_left_out(text):
    state, problems = addresses.read({"guess": text, "predicted": "1"}, ARM)
    assert state.guess is None
    assert len(problems) == 1
    assert f"guess = {text}: must be systolic/diastolic in whole mmHg" in problems[0]


def test_the_guess_is_written_only_after_the_prediction():
    state = addresses.start(ARM)
    state.guess = Guess(142, 88)
    assert addresses.write(state, ARM) == {"lesson": ARM.name}
    state.predicted = 1
    assert addresses.read(addresses.write(state, ARM), ARM) == (state, [])


def go_home(page):
    page.switch_page("sim/screens/page_files/home.py").run()
    return page


def test_the_own_error_over_lessons_stands_on_the_home_page_and_at_the_end_of_a_lesson():
    page = open_page("lesson", lesson=ARM.name)
    assert "You guessed the numbers" not in texts(go_home(page))
    away = []
    for lesson, over in ((LESSONS[0], 10), (LESSONS[1], 4)):
        page.switch_page("sim/screens/page_files/lesson.py")
        page.query_params.clear()
        page.query_params["lesson"] = lesson.name
        page.run()
        sbp, dbp = (int(part) for part in shown(lesson)[0].split("/"))
        commit(page, lesson, sbp + over, dbp - over)
        away.append(over)
    mean = sum(away) / len(away)
    told = (
        f"You guessed the numbers in 2 lessons. Mean distance from the display: {mean:.0f} mmHg systolic, "
        f"{mean:.0f} mmHg diastolic. On average you guess systolic too high (by {mean:.0f} mmHg) and diastolic too low "
        f"(by {mean:.0f} mmHg)."
    )
    page.button_group(key=f"{LESSONS[1].name}/step").set_value("do").run()
    assert told in texts(page)
    assert told in texts(go_home(page))


def test_the_first_guess_of_a_lesson_counts():
    page = commit(open_page("lesson", lesson=ARM.name), ARM, 200, 100)
    page.button(key=f"{ARM.name}/restart").click().run()
    assert "guess" not in address(page)
    commit(page, ARM, *(int(part) for part in shown(ARM)[0].split("/")))
    assert f"You guessed {shown(ARM)[0]};" in texts(page)
    assert "in 1 lesson. Mean distance from the display: 0 mmHg" not in texts(go_home(page))
    assert "You guessed the numbers in 1 lesson." in texts(page)


def test_each_pressure_has_its_three_points_at_their_place_on_its_scale():
    spec = guessed_chart((150.0, 140.0, 130.0), (80.0, 90.0, 84.0))
    points = [layer["data"]["values"][0]["x"] for layer in spec["layer"] if layer["mark"]["type"] == "point"]
    assert points == [10.0, 0.0, -10.0, -5.0, 5.0, -1.0]
    words = [layer["mark"].get("text") for layer in spec["layer"]]
    assert {"your guess 150", "display 140", "truth 130", "your guess 80", "display 90", "truth 84"} <= set(words)
    ticks = {v["text"]: v["x"] for layer in spec["layer"] for v in layer["data"]["values"] if "text" in v}
    assert ticks["140"] == 0.0
    assert ticks["85"] == 0.0
