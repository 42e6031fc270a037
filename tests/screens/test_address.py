"""The address holds the state of a lesson, and bad parameters are named."""

import pytest

from sim.explain.same_arm import FIRST_SEED
from sim.screens.lesson import address
from sim.screens.lesson_pictures import looks
from sim.teach.lesson import load_all

LESSONS, _ = load_all()
ARM = LESSONS[0]
HEIGHT = "technique.cuff_below_heart_cm"


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
@pytest.mark.parametrize("predicted", [0, 1, 2])
def test_what_is_written_is_read_back(lesson, predicted):
    state = address.State(
        predicted=predicted,
        step="why",
        values=dict(lesson.tempting),
        seed=37,
        reading=20,
        ideal=True,
        scheme="esc-2024",
        look=list(looks(lesson))[-1],
    )
    read, problems = address.read(address.write(state, lesson), lesson)
    assert (read, problems) == (state, [])


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_before_the_prediction_the_address_gives_nothing_away(lesson):
    state = address.start(lesson)
    state.values = dict(lesson.tempting)
    assert address.write(state, lesson) == {"lesson": lesson.name}


@pytest.mark.parametrize(
    ("name", "text", "allowed"),
    [
        (HEIGHT, "90", "from -20 to 20"),
        (HEIGHT, "nan", "from -20 to 20"),
        (HEIGHT, "low", "from -20 to 20"),
        ("predicted", "9", "a whole number from 1 to 4, or none"),
        ("predicted", "0", "a whole number from 1 to 4, or none"),
        ("seed", "1.5", "a whole number from 1 to 9999"),
        ("seed", "-3", "a whole number from 1 to 9999"),
        ("seed", "²", "a whole number from 1 to 9999"),
        ("reading", "21", "a whole number from 1 to 20"),
        ("chance", "maybe", "one of yes, no"),
        ("step", "after", "one of try, why, check, do"),
        ("look", "x", "one of steps, recording, envelope, arm."),
        ("scheme", "mine", "one of acc-aha-2017, acc-aha-2025, esc-2024, esh-2023"),
    ],
)
def test_a_bad_parameter_is_named_with_value_and_range_and_falls_back(name, text, allowed):
    state, problems = address.read({"lesson": ARM.name, name: text}, ARM)
    assert state == address.start(ARM)
    assert len(problems) == 1
    assert "\n" not in problems[0]
    assert name in problems[0]
    assert text in problems[0]
    assert allowed in problems[0]


def test_an_unknown_parameter_is_named_with_those_there_are():
    state, problems = address.read({"lesson": ARM.name, "armheight": "3"}, ARM)
    assert state == address.start(ARM)
    assert "armheight = 3" in problems[0]
    assert HEIGHT in problems[0]


def test_one_bad_parameter_leaves_the_others():
    state, problems = address.read({"predicted": "2", HEIGHT: "10", "seed": "zero"}, ARM)
    assert (state.predicted, state.values[HEIGHT], state.seed) == (2, 10.0, FIRST_SEED)
    assert len(problems) == 1


def test_an_overlong_value_is_cut_short():
    _, problems = address.read({"seed": "9" * 10_000}, ARM)
    assert len(problems[0]) < 200
