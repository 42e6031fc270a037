"""`cuffbias schedule`, used as people use it."""

import json

import pytest

from sim.cli import main
from sim.explain.averaging import mean_error
from sim.explain.schedules import Schedule, schedule, schedules
from sim.explain.variation import usual


@pytest.fixture
def run(capsys):
    def _run(*arguments):
        status = main(["schedule", *map(str, arguments)])
        return status, *capsys.readouterr()

    return _run


def document(outcome):
    status, out, err = outcome
    assert (status, err) == (0, "")
    return json.loads(out)


def test_all_schedules_are_compared(run):
    status, out, err = run()
    assert (status, err) == (0, "")
    for name in schedules():
        assert name in out
    assert "never correct a real" in out
    assert max(map(len, out.splitlines())) <= 78


def test_the_numbers_are_those_of_the_closed_form(run):
    found = document(run("home-week", "--sbp", 140, "--dbp", 85, "--json"))["schedules"][0]
    law = mean_error(schedule("home-week"), usual("home", 140, 85))
    assert found["mean"]["sbp"] == {"off": law.sbp, "sd": law.sd_sbp, "within": law.within(5)}
    assert found["readings_counted"] == 28


def test_a_schedule_of_ones_own(run):
    found = document(run("--days", 3, "--readings", 3, "--drop-readings", 1, "--json"))["schedules"][0]
    law = mean_error(Schedule(3, 2, 3, drop_readings=1), usual("home", 120, 80))
    assert found["mean"]["sbp"]["sd"] == law.sd_sbp


def test_a_mistake_is_a_bias_that_no_schedule_removes(run):
    right, wrong = (
        document(run("home-week", *more, "--json"))
        for more in ([], ["--cuff-below-heart-cm", 10, "--bladder", "adult"])
    )
    assert right["bias"] is None
    assert wrong["bias"]["sbp"] - wrong["bias"]["algorithm_sbp"] == pytest.approx(7.8, abs=0.6)
    one, mean = (wrong["schedules"][0][which]["sbp"]["off"] for which in ("one_reading", "mean"))
    assert min(one, mean) > wrong["bias"]["sbp"] - 0.1
    assert wrong["schedules"][0]["needed"]["dbp"]["days"] is None


def test_what_dropping_buys_is_said(run):
    _, out, _ = run("home-week-drop", "--over", "weeks")
    assert "DOES LEAVING OUT THE FIRST HELP?" in out
    assert "systolic: 9 days" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["often"], ["NAME 'often'", "home-week"]),
        (["home-week", "--days", "3"], ["NAME home-week", "not together"]),
        (["--days", "0"], ["--days 0", "from 1 to 60"]),
        (["--days", "2", "--drop-days", "2"], ["--drop-days 2", "fewer than days"]),
        (["--margin", "x"], ["--margin 'x'", "from 1 to 30 mmHg"]),
        (["--probability", "100"], ["--probability 100", "from 50 to 99.9 %"]),
        (["--over", "ages"], ["--over 'ages'", "months, weeks"]),
        (["--vary", "9"], ["--vary 9", "from 0.3 to 3"]),
        (["--place", "car"], ["--place 'car'", "home, office, study"]),
        (["--slack-cm", "12"], ["--slack-cm 12", "from 0 to 8 cm"]),
    ],
)
def test_a_wrong_option_gets_one_line(run, arguments, words):
    status, out, err = run(*arguments)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert all(word in err for word in words), err
