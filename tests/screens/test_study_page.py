"""The view of studies: the plan in the address and as a command line, and what a finished study says on the page."""

import dataclasses
import io
import re
import shlex
import warnings

import numpy as np
import pyarrow.csv
import pyarrow.parquet
import pytest

from sim import PARAMETERS_VERSION, __version__
from sim.cli import _parser
from sim.commands.study_options import planned, stress_axis
from sim.cuff.bladder import bladders
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.named import LABELS, NAMED
from sim.figures.agreement import Picture
from sim.figures.report import parts
from sim.screens.algorithms.study import downloads
from sim.screens.algorithms.study import page as study_page
from sim.screens.algorithms.study.plan_form import CHANGED
from sim.screens.algorithms.study.results import QUESTIONS
from sim.study import in_words
from sim.study.background.plan import MAPPED, Plan
from sim.study.background.runner import Runner
from sim.study.in_words import share
from sim.study.intervals import Estimate
from sim.study.origin import NOT_CLINICAL, OPTIMISTIC
from sim.study.readings import TRUTHS
from sim.technique import Technique
from sim.texts import real_minus
from tests.screens.opening import address, buttons, html, open_page, texts

# The same plan as an object and as an address.
PLAN = Plan(40, 2, "population", ("fixed-ratio", "slope"), 7)
ADDRESS = {"people": "other", "exactly": "40", "who": "population", "each": "2", "study-seed": "7"}
ADDRESS |= {"by": "fixed-ratio,slope"}


def silent(recording):
    """No number for anything, and why."""
    reading = FixedRatio()(recording)
    none = np.full(len(recording), np.nan)
    why = np.full(len(recording), "will <not>")
    return dataclasses.replace(reading, sbp=none, dbp=none, map=none, pulse_rate=none, reason=why)


@pytest.fixture(scope="module")
def done():
    """A runner that has finished the plan, and one with an algorithm that never gives a number."""
    with pytest.MonkeyPatch.context() as patch, warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # means over no readings, where an algorithm gave none
        patch.setitem(NAMED, "silent", silent)
        patch.setitem(LABELS, "silent", "nothing")
        runner = Runner(workers=1)
        for names in (PLAN.algorithms, ("silent",), ("fixed-ratio", "silent")):
            plan = dataclasses.replace(PLAN, algorithms=names)
            job = runner.start(plan)
            job.wait(60)
            assert job.stand.complete, job.stand.error
            assert not job.stand.error
        yield runner
        runner.close()


@pytest.fixture
def open_study(monkeypatch):
    """Opens the view with these parameters and this runner, by default a new one."""

    def opened(runner=None, **parameters):
        used = runner or Runner(workers=1)
        monkeypatch.setattr(study_page, "runner", lambda: used)
        return open_page("algorithms", view="many", **parameters)

    return opened


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


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_has_an_answer(open_study, done, question):
    page = open_study(done, **ADDRESS, ask=question)
    assert not page.exception
    shown = texts(page) + html(page)
    assert f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 7" in shown.replace("\\", "")
    assert TRUTHS["at_measurement"] in shown
    assert not re.search(r"\bnan\b", shown.lower())
    assert len(page.get("download_button")) == 4
    expected = {
        "pass": ("criteria", "Probability that another study of 85 such people", "Universal rule"),
        "far": ("Bland-Altman", "lower limit of agreement", "10 mmHg"),
        "where": ("readings without a number", "arm circumference", "lowest fifth"),
        "better": ("fixed-ratio against slope, on the same recordings", "mean |error|"),
    }[question]
    for words in expected:
        assert words in shown
    if question == "pass":
        assert OPTIMISTIC in shown.replace("\\", "")


def test_every_figure_is_the_reports(open_study, done):
    found = done.find(PLAN).report(PLAN)
    shown = html(open_study(done, **ADDRESS, ask="better"))
    low = found.comparisons[0].sbp.mean_absolute.low
    assert real_minus(f"({low:+.1f} to ") in shown
    shown = html(open_study(done, **ADDRESS))
    for a in found.agreements:
        assert share(a.dbp.passing.both) in shown


def test_another_truth_scores_the_same_readings(open_study, done):
    page = open_study(done, **ADDRESS, truth="resting", ask="far", about="slope")
    assert not page.exception
    assert TRUTHS["resting"] in texts(page)
    assert not [b for b in page.button if b.label == "Run the study"]


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.filterwarnings("ignore::RuntimeWarning")  # means over no readings
def test_an_algorithm_without_any_number_is_told_as_such(open_study, done, monkeypatch, question):
    monkeypatch.setitem(NAMED, "silent", silent)
    monkeypatch.setitem(LABELS, "silent", "nothing")
    for by, about in (("silent", ""), ("fixed-ratio,silent", "silent")):
        page = open_study(done, **{**ADDRESS, "by": by, "ask": question, "about": about})
        assert not page.exception
        assert not errors(page)
        shown = texts(page) + html(page)
        assert not re.search(r"\bnan\b", shown.lower())
        assert "<not>" not in shown
        if question in ("pass", "where"):
            assert "80 of 80 recordings gave no number" in shown.replace("\\", "")


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
def test_files_name_where_they_come_from(done):
    job = done.find(PLAN)
    bare = dataclasses.replace(job.report(PLAN), agreements=(), scatters=(), comparisons=())  # pictures take seconds
    text = downloads.page(bare).decode()
    assert f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, seed 7" in text
    assert NOT_CLINICAL in text
    assert downloads.paper(bare).startswith(b"%PDF")
    as_csv = pyarrow.csv.read_csv(io.BytesIO(downloads.readings(job, ".csv")))
    as_parquet = pyarrow.parquet.read_table(io.BytesIO(downloads.readings(job, ".parquet")))
    for table in (as_csv, as_parquet):
        assert table.num_rows == 2 * 80
        assert set(table["seed"].to_pylist()) == {7}
        assert {str(v) for v in table["parameters_version"].to_pylist()} == {PARAMETERS_VERSION}
        assert {str(v) for v in table["version"].to_pylist()} == {__version__}


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
def test_files_of_a_silent_algorithm_hold_no_nan(done, monkeypatch):
    monkeypatch.setitem(NAMED, "silent", silent)
    plan = dataclasses.replace(PLAN, algorithms=("silent",))
    found = done.find(plan).report(plan)
    text = downloads.page(found).decode()
    assert not re.search(r"\bnan\b", text.lower())
    assert "will &lt;not&gt;" in text
    assert downloads.paper(found).startswith(b"%PDF")
    plan = dataclasses.replace(PLAN, algorithms=("fixed-ratio", "silent"))
    found = done.find(plan).report(plan)
    pictures = [part.words for part in parts(found) if isinstance(part, Picture)]
    assert len(pictures) == 3  # criterion 2, and two of the one that reads
    assert not [words for words in pictures if "nan" in words or "silent" in words]


def test_what_can_be_changed_starts_as_it_should_be(open_study):
    page = open_study()
    assert "--with" not in code(page)[0]
    assert all(name in page.session_state for name in (f"asked/all-{field}" for field in CHANGED))
    assert page.session_state["asked/all-cuff_below_heart_cm"] == Technique.LIMITS["cuff_below_heart_cm"].default
    options = next(box for box in page.selectbox if box.label == "Bladder").options
    assert len(options) == 1 + len(bladders())


def test_an_algorithm_taken_out_of_the_plan_is_asked_about_no_more(open_study, done):
    others = dataclasses.replace(PLAN, algorithms=("fixed-ratio", "corrected-ratio"))
    done.start(others).wait(30)
    page = open_study(done, **ADDRESS, ask="far", about="slope")
    assert "slope: readings" not in html(page)
    assert "Bland\\-Altman plot of slope" in texts(page)
    for box in page.checkbox:
        if box.key == "asked/by/slope":
            box.uncheck()
        if box.key == "asked/by/corrected-ratio":
            box.check()
    page.run()
    assert not page.exception
    assert "Bland\\-Altman plot of fixed\\-ratio" in texts(page)
    assert "about" not in address(page)


def test_a_pass_over_the_easy_recordings_is_told_as_one(done):
    a = done.find(dataclasses.replace(PLAN, algorithms=("fixed-ratio", "silent"))).report(PLAN).agreements[0]
    assert in_words.standing(a) == "Met both criteria in this study"
    assert in_words.few(a) == "A study by the standard counts 85 people; here 40 count."
    counts = dataclasses.replace(a.counts, failed=8, failed_share=Estimate(0.1, 0.05, 0.19), complete=36)
    part = dataclasses.replace(a, counts=counts)
    assert in_words.standing(part) == "Met both criteria over the 36 of 40 people with every reading"
    assert "4 of 40 people lack a reading" in in_words.failures(part)
    assert "the missing recordings are the difficult ones" in in_words.failures(part)
    assert list(in_words.odds(a)) == ["systolic", "diastolic", "both together"]


def test_who_is_nearer_follows_the_interval(done):
    c = done.find(PLAN).report(PLAN).comparisons[0]

    def said(low, high):
        mean = Estimate((low + high) / 2, low, high)
        return in_words.better(dataclasses.replace(c, sbp=dataclasses.replace(c.sbp, mean_absolute=mean)))[0]

    assert "**fixed-ratio** is nearer the truth, by 1.00 mmHg in mean |error| (95 % interval 0.50 to 1.50)" in said(
        -1.5, -0.5
    )
    assert "**slope** is nearer the truth, by 1.00" in said(0.5, 1.5)
    assert "**no difference shown**" in said(-0.5, 1.5)
    assert "too few recordings" in said(np.nan, np.nan)


def test_kinds_of_movement_where_nobody_moves_are_no_map(open_study):
    page = open_study(Runner(workers=1), **ADDRESS, **{"map-x": "movement", "map-y": "heart_rate"})
    (error,) = (one.value.replace("\\", "") for one in page.error)
    assert error == "Map over two inputs: 'movement': must be beside movement_mmhg: with 0 mmHg nobody moves."
    assert not [b for b in page.button if b.label == "Run the study"]
