"""The view of studies: the plan in the address and as a command line, and how it runs."""

import dataclasses
import re
import shlex

import pytest

from sim.cli import _parser
from sim.commands.study_options import planned, stress_axis
from sim.cuff.bladder import bladders
from sim.estimate.named import NAMED
from sim.screens.algorithms.study import page as study_page
from sim.screens.algorithms.study.plan_form import CHANGED
from sim.study.background.plan import MAPPED, Plan
from sim.study.background.runner import Runner
from sim.study.origin import NOT_CLINICAL
from sim.technique import Technique
from tests.screens.opening import address, buttons, html, texts
from tests.screens.studies import ADDRESS, PLAN


def code(page):
    return [block.value for block in page.code]


def errors(page):
    return [error.value.replace("\\", "") for error in page.error]


@pytest.mark.parametrize(
    "plan",
    [
        PLAN,
        Plan(255, 3, "standard", tuple(NAMED), 1),
        Plan(100_000, 1, "population", ("model-fit",), 2**53 - 1, against="resting"),
        Plan(
            85,
            3,
            "standard",
            ("slope",),
            0,
            {"cuff_below_heart_cm": -7.0, "talking": "conversation", "deflation_mmhg_per_s": 5.5, "course": "steps"},
            "at_cuff",
            ("movement_mmhg", "rhythm"),
        ),
        Plan(85, 3, "standard", ("slope",), 0, {"bladder": "small adult", "slack_cm": 1.5}),
        Plan(85, 3, "standard", ("slope",), 0, against="listener", mapped=("slack_cm", "rhythm")),
        *(Plan(85, 3, "standard", ("slope",), 0, mapped=(name, "slack_cm")) for name in MAPPED if name != "slack_cm"),
    ],
    ids=lambda plan: " ".join(plan.mapped or plan.changes or plan.algorithms),
)
def test_the_command_line_is_the_same_study(plan):
    program, *words = shlex.split(plan.command)
    assert program == "cuffbias"
    options = _parser().parse_args(words)
    assert options.command == "study"
    study = planned(options, options.estimators)
    assert study.fingerprint() == plan.study.fingerprint()
    assert options.against == plan.against
    assert tuple(stress_axis(text) for text in options.stress) == plan.axes
    assert options.out is not None


def test_the_line_for_ones_own_algorithm_is_taken():
    options = _parser().parse_args(shlex.split(study_page.OWN)[1:])
    assert options.command == "score"
    assert options.estimator == "my_algorithm.py:estimate"
    assert (options.subjects, options.people, str(options.out)) == (255, "standard", "my-study")


def test_the_plan_opens_with_an_estimate_and_runs(open_study):
    runner = Runner(workers=1)
    page = open_study(runner, **{**ADDRESS, "by": "fixed-ratio"})
    assert not page.exception
    said = texts(page)
    assert NOT_CLINICAL in said
    assert "40 people, 2 readings each: 80 recordings, each read by one algorithm" in said
    assert re.search(r"About \*\*\d+ s\*\* on this machine: an estimate", said)
    assert "cuffbias score my_algorithm.py:estimate" in code(page)[1]
    assert "never runs code" in said
    next(b for b in page.button if b.label == "Run the study").click().run()
    job = runner.find(dataclasses.replace(PLAN, algorithms=("fixed-ratio",)))
    assert job is not None
    job.wait(30)
    page.run()
    assert not page.exception
    assert "Met both criteria" in html(page)
    assert not [b for b in page.button if b.label in ("Run the study", "Cancel")]


def test_a_link_reopens_the_whole_plan(open_study):
    given = {
        **ADDRESS,
        "truth": "resting",
        "all-cuff_below_heart_cm": "10",
        "all-talking": "conversation",
        "all-bladder": "adult",
        "map-x": "movement_mmhg",
        "map-y": "heart_rate",
    }
    page = open_study(**given)
    assert not page.exception
    assert address(page) == {"view": "many", **given}
    changes: dict[str, float | str] = {"cuff_below_heart_cm": 10.0, "talking": "conversation", "bladder": "adult"}
    plan = dataclasses.replace(PLAN, changes=changes, against="resting", mapped=("movement_mmhg", "heart_rate"))
    assert code(page)[0] == plan.command


def test_a_bad_address_is_passed_over(open_study):
    page = open_study(people="many", each="0", who="nobody", truth="x", **{"study-seed": "-3", "map-x": "weather"})
    assert not page.exception
    assert address(page) == {"view": "many"}


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"study-seed": "20005"}, "Seed 20005: must be outside 20000 to 29999"),
        ({"exactly": "20", "who": "standard"}, "Number of people 20: must be a whole number from 40"),
    ],
)
def test_a_study_that_cannot_be_is_refused_in_one_line(open_study, given, said):
    page = open_study(**{**ADDRESS, **given})
    assert not page.exception
    (error,) = errors(page)
    assert said in error
    assert not buttons(page)


def test_without_an_algorithm_there_is_no_study(open_study):
    page = open_study(**{**ADDRESS, "by": ""})
    assert "Choose at least one algorithm" in texts(page)
    assert not buttons(page)


def test_a_large_study_is_for_the_command_line(open_study):
    page = open_study(**{**ADDRESS, "exactly": "100000"})
    assert "The app measures up to 20,000 people" in texts(page)
    assert not buttons(page)
    assert "--subjects 100000" in code(page)[0]


def test_one_input_twice_is_no_map(open_study):
    page = open_study(**{**ADDRESS, "map-x": "slack_cm", "map-y": "slack_cm"})
    assert "two different inputs" in texts(page)
    assert "--stress" not in code(page)[0]


def test_another_study_is_told_and_can_be_cancelled(open_study):
    runner = Runner(workers=1)
    running = runner.start(Plan(2000, 1, "population", ("fixed-ratio",), 1))
    page = open_study(runner, **ADDRESS)
    assert not page.exception
    assert "Another study is running (2,000 people" in texts(page)
    assert not [b for b in page.button if b.label == "Run the study"]
    next(b for b in page.button if b.label == "Cancel").click().run()
    running.wait(30)
    assert not running.stand.complete
    page.run()
    assert [b for b in page.button if b.label == "Run the study"]


def test_a_cancelled_study_goes_on(open_study):
    runner = Runner(workers=1)
    plan = Plan(401, 1, "population", ("fixed-ratio",), 1)
    job = runner.start(plan)
    job.cancel()
    job.wait(30)
    given = {"people": "other", "exactly": "401", "who": "population", "each": "1", "by": "fixed-ratio"}
    page = open_study(runner, **given)
    assert re.search(r"Stopped, as you asked: \d+ of 401 recordings are done and kept", texts(page))
    next(b for b in page.button if b.label == "Continue").click().run()
    job.wait(30)
    page.run()
    assert "401 recordings" in html(page)


def test_what_can_be_changed_starts_as_it_should_be(open_study):
    page = open_study()
    assert "--with" not in code(page)[0]
    assert all(name in page.session_state for name in (f"asked/all-{field}" for field in CHANGED))
    assert page.session_state["asked/all-cuff_below_heart_cm"] == Technique.LIMITS["cuff_below_heart_cm"].default
    options = next(box for box in page.selectbox if box.label == "Bladder").options
    assert len(options) == 1 + len(bladders())


def test_kinds_of_movement_where_nobody_moves_are_no_map(open_study):
    page = open_study(Runner(workers=1), **ADDRESS, **{"map-x": "movement", "map-y": "heart_rate"})
    (error,) = errors(page)
    assert error == "Map over two inputs: 'movement': must be beside movement_mmhg: with 0 mmHg nobody moves."
    assert not [b for b in page.button if b.label == "Run the study"]
