"""Readings that cannot be as written: set aside, named, decided about; a mean that would depend on them is withheld."""

import json

import pytest

from sim.cli import main
from sim.explain.schedules import schedule, schedules
from sim.fields import FieldError
from sim.logs.aside import COUNT, LEAVE_OUT, SWAPPED, set_aside
from sim.logs.doubts import doubts
from sim.logs.read_csv import read_csv
from sim.logs.summary import LEFT_OUT, SET_ASIDE, summarise
from sim.logs.write_csv import write_csv
from tests.logs.files import week

WEEK = week().splitlines()
WHERE = "line 11"


def with_row(numbers, place=10):
    """A week in which one row's numbers are others."""
    lines = list(WEEK)
    date, time, *_ = lines[place].split(",")
    lines[place] = f"{date},{time},{numbers},70,"
    return read_csv("\n".join(lines))


@pytest.mark.parametrize(
    "numbers", ["82,132", "90,146", "100,100", "290,82", "132,170", "58,40", "1460,88", "46,88", "146,8", "190,13"]
)
def test_what_cannot_be_is_set_aside_and_no_mean_depends_on_it(numbers):
    log = with_row(numbers)
    found = summarise(log, schedule("home-week"))
    assert [aside.entry.where for aside in found.aside] == [WHERE]
    assert (found.figures, found.without_doubtful, found.usual, found.category, found.chances) == (None,) * 3 + ("", ())
    assert "cannot be right as written: decide about it first" in found.short[0]
    assert [row.status for row in found.rows].count(SET_ASIDE) == 1
    assert len(found.rows) == len(log.entries) == 28


def test_a_reading_written_down_twice_is_set_aside_once():
    log = read_csv("date,time,sbp,dbp\n2024-05-08,07:12,130,80\n2024-05-08,07:12,130,80\n2024-05-08,07:13,130,80\n")
    (aside,) = set_aside(log)
    assert aside.entry.where == "line 3"
    assert aside.reason == "the same time and the same numbers as line 2"
    assert doubts(log) == ((), (), ())


def test_the_same_numbers_a_second_later_are_no_second_copy():
    assert set_aside(read_csv("date,time,sbp,dbp\n2024-05-08,07:12:05,130,80\n2024-05-08,07:12:55,130,80\n")) == ()


def test_a_digit_too_many_can_only_be_left_out_and_is_still_in_the_log():
    log = with_row("1460,88")
    (aside,) = set_aside(log)
    assert aside.choices == (LEAVE_OUT,)
    assert "1460 is hardly possible" in aside.reason
    found = summarise(log, schedule("home-week"), decisions={WHERE: LEAVE_OUT})
    others = [row.entry for row in found.rows if row.entry.where != WHERE]
    assert found.figures is not None
    assert found.figures.sbp == sum(e.sbp for e in others) / 27
    assert "1460,88" in write_csv(log)


def test_what_waits_for_a_decision_is_not_expected_again():
    assert summarise(with_row("90,146"), schedule("home-week")).missing == ()


def test_left_out_by_decision_it_stays_in_the_list():
    log = with_row("82,132")
    found = summarise(log, schedule("home-week"), decisions={WHERE: LEAVE_OUT})
    assert found.figures is not None
    assert found.figures.n == 27
    assert [row.status for row in found.rows if row.entry.where == WHERE] == [LEFT_OUT]
    assert found.aside == ()


def test_swapped_by_decision_it_counts_the_other_way_round():
    clean, log = read_csv("\n".join(WEEK)), with_row("82,132")
    found = summarise(log, schedule("home-week"), decisions={WHERE: SWAPPED})
    other = summarise(with_row("132,82"), schedule("home-week"))
    assert found.figures == other.figures
    assert found.figures != summarise(clean, schedule("home-week")).figures


@pytest.mark.parametrize(
    ("numbers", "decision"), [("82,132", COUNT), ("290,82", SWAPPED), ("100,100", SWAPPED), ("82,132", "mend")]
)
def test_what_makes_no_sense_cannot_be_decided(numbers, decision):
    with pytest.raises(FieldError, match="decide = line 11"):
        summarise(with_row(numbers), schedule("home-week"), decisions={WHERE: decision})
    with pytest.raises(FieldError, match="a reading that is set aside"):
        summarise(with_row(numbers), schedule("home-week"), decisions={"line 2": LEAVE_OUT})


def test_outside_the_rules_days_it_holds_up_no_mean():
    lines = week(days=9).splitlines()
    lines[1] = "2024-05-06,07:10,82,132,70,"
    found = summarise(read_csv("\n".join(lines)), schedule("home-week"))
    assert found.figures is not None
    assert len(found.aside) == 1


def test_few_readings_make_no_category_and_it_is_said_how_many_are_needed_and_by_whom():
    rows = [f"2024-05-{6 + k // 4:02d},{(7, 19)[k // 2 % 2]}:{10 + k % 2},{165 - k},{98 - k % 3}" for k in range(28)]
    for name, plan in schedules().items():
        for count in (1, 3, 5):
            spread = ["date,time,sbp,dbp", *rows[: 4 * count : 4]]
            close = ["date,time,sbp,dbp", *rows[:count]]
            for lines in (spread, close):
                found = summarise(read_csv("\n".join(lines)), plan)
                if plan.place == "home" or count == 1:
                    assert (found.category, found.chances) == ("", ()), (name, count)
                    assert any("at least" in reason and "(" in reason for reason in found.nameless), name
    enough = summarise(read_csv("\n".join(["date,time,sbp,dbp", *rows[:12]])), schedule("home-3-days-drop"))
    assert (enough.figures and enough.figures.n, enough.days) == (8, 2)
    assert enough.category == "hypertension"


@pytest.mark.parametrize("name", ["home-week-drop", "home-3-days-drop"])
def test_one_reading_a_day_for_three_days_is_too_little_where_the_first_day_is_left_out(name):
    log = read_csv("date,time,sbp,dbp\n2024-05-06,07:10,165,98\n2024-05-07,07:12,168,99\n2024-05-08,07:14,162,97\n")
    found = summarise(log, schedule(name))
    assert (found.category, found.chances) == ("", ())
    assert found.nameless == ("2 readings that count, where the schedule needs at least 8 (ESH, Stergiou 2021)",)


def test_rule_and_categories_go_together_unless_they_are_mixed_and_that_is_said():
    log = read_csv("\n".join(WEEK))
    for name, plan in schedules().items():
        if plan.scheme:
            found = summarise(log, plan)
            assert (found.scheme, found.mixed) == (plan.scheme, ""), name
    mixed = summarise(log, schedule("home-week-drop"), "acc-aha-2017")
    assert mixed.mixed.startswith("the rule goes with the categories of ESH 2023")
    assert summarise(log, schedule("office-one")).mixed.startswith("the rule is of no guideline")


def run(capsys, *arguments):
    status = main([str(a) for a in arguments])
    return status, *capsys.readouterr()


def test_the_command_withholds_and_takes_decisions(capsys, tmp_path):
    file = tmp_path / "log.csv"
    lines = list(WEEK)
    lines[10] = ",".join([*lines[10].split(",")[:2], "90", "146", "70", ""])
    file.write_text("\n".join(lines), encoding="utf-8")
    status, out, _ = run(capsys, "average", file)
    assert status == 0
    assert "SET ASIDE: 1 reading" in out
    assert "mean of" not in out
    assert max(map(len, out.splitlines())) <= 78
    document = json.loads(run(capsys, "average", file, "--json")[1])
    assert (document["mean"], document["category"]) == (None, None)
    assert document["set_aside"][0]["where"] == WHERE
    for decided in (f"{WHERE}=leave-out", "11=swapped", "all=leave-out"):
        assert "mean of" in run(capsys, "average", file, "--decide", decided)[1]
    for wrong in ("11=mend", "11", "all=swapped", "12=leave-out"):
        status, out, err = run(capsys, "average", file, "--decide", wrong)
        assert (status, out, err.count("\n")) == (2, "", 1), wrong
        assert "decide" in err
