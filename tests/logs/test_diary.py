"""Diaries as they are kept on paper: a day a row, columns for mornings and evenings, a reading in a cell."""

import pytest

from sim.explain.schedules import schedules
from sim.logs.log import LogError
from sim.logs.read import read_log
from sim.logs.read_csv import read_csv
from sim.logs.summary import summarise
from sim.logs.write_csv import write_csv


def told(log):
    return [(str(e.day), e.part, e.sbp, e.dbp, e.pulse) for e in log.entries]


@pytest.mark.parametrize(
    "text",
    [
        "date,morning,evening\n2024-05-31,143/90,138/88\n",
        "Date;Morning;Evening\n31.05.2024;143 / 90;138|88\n",
        "evening_1,date,morning_1\n138/88,2024-05-31,143/90\n",
        "Datum\tmorgens\tabends\n31.05.2024\t143/90\t138/88\n",
        "date,AM,PM (mmHg)\n2024-05-31,143/90,138/88\n",
    ],
)
def test_a_morning_and_an_evening(text):
    log = read_csv(text)
    assert log.faults == ()
    assert told(log) == [("2024-05-31", "morning", 143, 90, None), ("2024-05-31", "evening", 138, 88, None)]
    assert not any(entry.timed for entry in log.entries)


def test_several_readings_of_a_part_stand_in_the_order_of_their_numbers_with_pulse_and_note():
    text = (
        "date,morning_2,morning_1,evening_1,evening 2,note\n2024-05-31,140/88,143/90/72,,138/88,tired\n"
        "2024-06-01,–,-,131/80/66,,\n"
    )
    log = read_csv(text)
    assert told(log) == [
        ("2024-05-31", "morning", 143, 90, 72),
        ("2024-05-31", "morning", 140, 88, None),
        ("2024-05-31", "evening", 138, 88, None),
        ("2024-06-01", "evening", 131, 80, 66),
    ]
    assert [entry.note for entry in log.entries] == ["tired"] * 3 + [""]
    assert [entry.where for entry in log.entries[:2]] == ["line 2 morning_1", "line 2 morning_2"]


def test_a_reading_in_one_cell_of_a_table_may_have_its_pulse_there():
    (entry,) = read_csv("date,time,bp\n2024-05-31,07:10,143/90/72\n").entries
    assert (entry.sbp, entry.dbp, entry.pulse) == (143, 90, 72)
    (fault,) = read_csv("date,bp,pulse\n2024-05-31,143/90/72,70\n").faults
    assert "pulse" in str(fault)


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("143-90", "'143-90': must be such as 143/90"),
        ("143", "'143': must be such as 143/90"),
        ("143/90 138/88", "two readings in one cell"),
        ("143/90; 138/88", "two readings in one cell"),
        ("143/", "must be such as 143/90"),
        ("high", "'high': must be such as 143/90"),
        ("143/90/72/3", "must be such as 143/90"),
        ("1430000/90", "systolic '1430000': must be a number"),
        ("<b>", "must be such as 143/90"),
    ],
)
def test_a_cell_that_cannot_be_read_is_named_and_the_rest_of_its_row_is_read(cell, said):
    log = read_csv(f'date,morning,evening\n2024-05-31,"{cell}",138/88\n')
    assert told(log) == [("2024-05-31", "evening", 138, 88, None)]
    (fault,) = log.faults
    assert fault.where == "line 2 morning"
    assert said in str(fault)


def test_a_pressure_in_a_cell_that_cannot_be_read_still_calls_for_help():
    log = read_csv("date,morning,evening\n2024-05-31,190/abc,138/88\n")
    found = summarise(log, next(iter(schedules().values())))
    assert [one.sbp for one in found.high] == [190]


@pytest.mark.parametrize(
    ("headings", "said"),
    [
        ("date,morning,morning", "the columns morning, morning can be meant in two ways: must be morning_1, morning_2"),
        ("date,morning,morning_1", "can be meant in two ways"),
        ("date,evening_1,evening 1", "can be meant in two ways"),
        ("date,morning,pulse,evening", "pulses (write them into the cell: 143/90/72)"),
        ("date,morning,sbp,dbp", "systolic pressures beside morning"),
        ("date,time,morning", "times beside morning"),
        ("morning,evening", "no column date"),
        ("date,morning_sys,morning_dia", "column 'morning sys': must be such as morning or morning_1"),
        ("date,morning_0", "column 'morning 0'"),
    ],
)
def test_headings_that_can_be_meant_in_two_ways_are_refused_plainly(headings, said):
    with pytest.raises(LogError, match="line 1") as error:
        read_csv(f"{headings}\n2024-05-31,143/90,138/88,120/80\n")
    assert said in str(error.value)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("", "no date"),
        ("31/5", "date '31/5'"),
        ("2024-05-31 07:10", "must be a date alone"),
        ("03/04/2024", "two ways"),
    ],
)
def test_a_day_that_cannot_be_read_is_named(day, said):
    (fault,) = read_csv(f"date,morning\n{day},143/90\n").faults
    assert said in str(fault)


def test_a_diary_is_averaged_and_written_out_as_any_log():
    rows = "".join(f"2024-05-{day:02d},143/90,141/88,138/86,136/84\n" for day in range(1, 8))
    log = read_log(f"date,morning_1,morning_2,evening_1,evening_2\n{rows}".encode())
    found = summarise(log, schedules()["home-week"] if "home-week" in schedules() else next(iter(schedules().values())))
    assert found.figures is not None
    assert (found.figures.sbp, found.figures.dbp) == (139.5, 87.0)
    again = read_csv(write_csv(log))
    assert [(e.day, e.part, e.sbp) for e in again.entries] == [(e.day, e.part, e.sbp) for e in log.entries]
