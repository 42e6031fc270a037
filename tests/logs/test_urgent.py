"""What to do at 180/120: for every pressure that can be one, and for none that cannot."""

import json

import pytest

from sim.cli import main
from sim.explain.schedules import schedule
from sim.logs.aside import COUNT, LEAVE_OUT, SWAPPED, set_aside
from sim.logs.read_csv import read_csv
from sim.logs.read_fhir import read_fhir
from sim.logs.summary import summarise
from sim.logs.urgent import urgent, urgent_if_so
from sim.logs.write_fhir import write_fhir
from tests.logs.files import week


def log_with(numbers, date="2024-05-08"):
    return read_csv(week() + f"{date},07:12,{numbers},70,\n")


@pytest.mark.parametrize(
    ("numbers", "pair"),
    [
        ("182,95", "182/95"),
        ("150,122", "150/122"),
        ("270,130", "270/130"),  # the diastolic can be
        ("182,190", "182/190"),  # whichever way round
        ("122,122", "122/122"),
        ("190,13", "190/13"),  # a digit lost, but 190 stands there
        ("1460,125", "1460/125"),
        ("190,8o", "190/?"),
        ("190,", "190/?"),
        ("x,125", "?/125"),
    ],
)
def test_a_pressure_that_can_be_and_is_high_is_named_whatever_stands_beside_it(numbers, pair):
    assert [one.pair for one in urgent(log_with(numbers))] == [pair]
    assert [one.pair for one in summarise(log_with(numbers), schedule("home-week")).high] == [pair]


@pytest.mark.parametrize("numbers", ["90,146", "100,190", "290,82", "1460,88", "82,132", "x,90", "30,165"])
def test_what_cannot_be_calls_for_no_advice(numbers):
    assert urgent(log_with(numbers)) == ()


def test_a_row_whose_date_cannot_be_read_is_named_all_the_same():
    (one,) = urgent(log_with("190,100", date="2024-05-32"))
    assert (one.where, one.when, one.pair) == ("line 30", "", "190/100")


def test_in_fhir_a_panel_that_cannot_be_read_is_named_all_the_same():
    document = write_fhir(log_with("190,100"))
    document["entry"][10]["resource"]["effectiveDateTime"] = "soon"
    log = read_fhir(json.dumps(document))
    assert (len(log.faults), [one.pair for one in urgent(log)]) == (1, ["190/100"])


@pytest.mark.parametrize(
    ("numbers", "decision", "pairs"),
    [
        ("100,190", SWAPPED, ["190/100"]),
        ("90,146", SWAPPED, []),
        ("290,82", COUNT, ["290/82"]),
        ("290,82", LEAVE_OUT, []),
    ],
)
def test_what_is_decided_to_be_so_is_named(numbers, decision, pairs):
    assert [one.pair for one in urgent(log_with(numbers), {"line 30": decision})] == pairs


@pytest.mark.parametrize(
    ("numbers", "so"), [("100,190", True), ("290,82", True), ("90,146", False), ("1460,88", False)]
)
def test_until_then_it_is_said_what_would_be(numbers, so):
    assert bool(urgent_if_so(set_aside(log_with(numbers)))) is so


@pytest.mark.parametrize(
    ("numbers", "first", "if_so"), [("90,146", False, False), ("100,190", False, True), ("190,8o", True, False)]
)
def test_the_command_says_the_same(capsys, tmp_path, numbers, first, if_so):
    file = tmp_path / "log.csv"
    file.write_text(week() + f"2024-05-08,07:12,{numbers},70,\n", encoding="utf-8")
    assert main(["average", str(file)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("FIRST: readings of 180/120 or more") is first
    assert ("two numbers were swapped, it is 180/120 or more" in " ".join(out.split())) is if_so
    assert ("call the emergency services at once" in out) is (first or if_so)
    assert max(map(len, out.splitlines())) <= 78
    assert main(["average", str(file), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert (bool(document["high"]), bool(document["high_if_so"])) == (first, if_so)
