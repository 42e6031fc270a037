"""What a finished study says on the page, and what can be taken away."""

import dataclasses
import io
import re
import warnings

import numpy as np
import pyarrow.csv
import pyarrow.parquet
import pytest

from sim import PARAMETERS_VERSION, __version__
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.named import LABELS, NAMED
from sim.figures.agreement import Picture
from sim.figures.report import parts
from sim.screens.algorithms.study import downloads
from sim.screens.algorithms.study.results import QUESTIONS
from sim.study import in_words
from sim.study.background.runner import Runner
from sim.study.in_words import share
from sim.study.intervals import Estimate
from sim.study.origin import NOT_CLINICAL, OPTIMISTIC
from sim.study.readings import TRUTHS
from sim.texts import real_minus
from tests.screens.opening import address, html, texts
from tests.screens.studies import ADDRESS, PLAN


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
        assert not page.error
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
