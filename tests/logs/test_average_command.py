"""`cuffbias average`, used as people use it."""

import json

import jsonschema
import pytest

from sim.cli import main
from sim.explain.schedules import schedule
from sim.logs.read_csv import read_csv
from sim.logs.summary import summarise
from tests.logs.files import week
from tests.logs.r4 import BUNDLE


@pytest.fixture
def log(tmp_path):
    file = tmp_path / "log.csv"
    file.write_text(week(), encoding="utf-8")
    return file


@pytest.fixture
def run(capsys):
    def _run(*arguments):
        status = main([str(a) for a in arguments])
        return status, *capsys.readouterr()

    return _run


def test_the_report_says_mean_spread_and_how_sure(run, log):
    status, out, err = run("average", log)
    found = summarise(read_csv(week()), schedule("home-week-drop"))
    assert found.figures is not None
    assert (status, err) == (0, "")
    assert f"mean of 24{'':20}" in out
    assert f"{found.figures.sbp:.0f}/{found.figures.dbp:.0f}" in out
    assert "(the mean is here)" in out
    assert "No medical device" in out
    assert "a bias stays in every mean" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 78


def test_json_has_the_same_unrounded(run, log):
    status, out, _ = run("average", log, "--schedule", "home-week", "--scheme", "esc-2024", "--json")
    document = json.loads(out)
    found = summarise(read_csv(week()), schedule("home-week"), "esc-2024")
    assert found.figures is not None
    assert status == 0
    assert document["mean"]["sbp"] == found.figures.sbp
    assert [c["probability"] for c in document["categories"]] == [c.probability for c in found.chances]
    assert len(document["readings"]) == 28


def test_it_writes_fhir_and_a_table_that_it_reads_back(run, log, tmp_path):
    fhir, table = tmp_path / "log.json", tmp_path / "again.csv"
    assert run("average", log, "--as-fhir", fhir, "--as-csv", table)[0] == 0
    jsonschema.validate(json.loads(fhir.read_text(encoding="utf-8")), BUNDLE)
    first, *others = (json.loads(run("average", file, "--json")[1]) for file in (log, fhir, table))
    for again in others:
        assert (again["mean"], again["categories"]) == (first["mean"], first["categories"])


def test_what_is_urgent_comes_first_and_bad_rows_are_named(run, log):
    lines = week().splitlines()
    lines[3] = "2024-05-06,19:10,190,100,70,"
    lines[5] = "2024-05-07,07:10,13o,80,70,"
    log.write_text("\n".join(lines), encoding="utf-8")
    status, out, _ = run("average", log)
    assert status == 0
    assert out.startswith("FIRST: readings of 180/120 or more\n  line 4, 2024-05-06 19:10  190/100")
    assert "emergency services at once" in out
    assert "NOT READ: 1 of 28 rows\n  line 6: systolic '13o': must be a number" in out
    assert "mean of 23" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--schedule", "sometimes"], ["--schedule 'sometimes'", "home-week-drop"]),
        (["--scheme", "mine"], ["--scheme 'mine'", "acc-aha-2017"]),
        (["--start", "May"], ["--start 'May'", "2024-05-31"]),
        (["--start", "2030-01-01"], ["--start 2030-01-01", "2024-05-12"]),
        (["--dates", "odd"], ["--dates odd", "day-first"]),
        (["--as-csv", "/nowhere/at/all.csv"], ["--as-csv", "must be a file to write to"]),
    ],
)
def test_a_wrong_option_gets_one_line(run, log, arguments, words):
    status, out, err = run("average", log, *arguments)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert all(word in err for word in words), err


def test_a_file_that_is_none_gets_one_line(run, tmp_path):
    for name, content in (("missing.csv", None), ("fruit.csv", "fruit,colour\napple,green\n")):
        file = tmp_path / name
        if content:
            file.write_text(content, encoding="utf-8")
        status, out, err = run("average", file)
        assert (status, out, err.count("\n")) == (2, "", 1)
        assert name in err
        assert "must be" in err
