"""Tables as people and spreadsheets write them; bad rows named by line, the rest still read."""

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.logs.log import Log, LogError, make_entry, make_log
from sim.logs.read import read_log
from sim.logs.read_csv import read_csv
from sim.logs.write_csv import write_csv
from tests.logs.files import week


def numbers(log):
    return [(e.sbp, e.dbp) for e in log.entries]


def test_a_week_is_read_whole():
    log = read_csv(week())
    assert (len(log.entries), log.faults) == (28, ())
    first = log.entries[0]
    assert (first.when, first.part, first.pulse) == (datetime(2024, 5, 6, 7, 10), "morning", 70)
    assert {e.part for e in log.entries} == {"morning", "evening"}


@pytest.mark.parametrize(
    "text",
    [
        "date,time,sbp,dbp\n2024-05-06,07:10,132,84\n",
        "2024-05-06,07:10,132,84\n",
        "Datum;Uhrzeit;Systolisch (mmHg);Diastolisch (mmHg);Puls\n06.05.2024;07:10;132,0;84,0;70\n",
        "Date\tTime\tBP\n2024/05/06\t7:10 am\t132/84\n",
        "timestamp,SYS,DIA\n2024-05-06T07:10,132,84\n",
        "\n\ndate and time,systolic,diastolic\n2024-05-06 07:10:00,132,84\n\n",
        "dia,sys,date,time\n84,132,2024-05-06,07.10\n",
        'date,time,sbp,dbp,note\n2024-05-06,07:10,132,84,"after coffee, standing"\n',
    ],
)
def test_the_usual_spellings(text):
    (entry,) = read_csv(text).entries
    assert (entry.when.replace(second=0), entry.sbp, entry.dbp) == (datetime(2024, 5, 6, 7, 10), 132, 84)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2024-05-06,07:10,abc,84", "systolic 'abc': must be a number"),
        ("2024-05-06,07:10,1_2,84", "systolic '1_2': must be a number"),
        ("2024-05-06,07:10,nan,84", "systolic 'nan': must be a number"),
        ("2024-05-06,07:10,132000,84", "systolic 132000: must be from 40 to 300 mmHg"),
        ("2024-05-06,07:10,132,", "no diastolic pressure"),
        ("2024-05-06,07:10", "no systolic pressure"),
        ("2024-05-32,07:10,132,84", "date 2024-05-32: there is no such day"),
        ("soon,07:10,132,84", "date 'soon': must be such as 2024-05-31"),
        (",07:10,132,84", "no date"),
        ("2024-05-06,25:10,132,84", "time '25:10': there is no such time"),
        ("2024-05-06,dawn,132,84", "time 'dawn': must be such as 07:30"),
        ("2024-05-06,07:10,132,84,999999", "pulse 999999: must be from 20 to 250 beats/min"),
        ("٢٠٢٤-٠٥-٠٦,07:10,132,84", "date '٢٠٢٤-٠٥-٠٦': must be such as"),
        ("2024-05-06,٠٧:١٠,132,84", "time '٠٧:١٠': must be such as"),
        ("0024-05-06,07:10,132,84", "date 0024-05-06: the year must be from 1900 on"),
    ],
)
def test_a_bad_row_is_named_by_its_line_and_the_rest_is_read(row, said):
    log = read_csv(f"date,time,sbp,dbp,pulse\n2024-05-05,07:10,130,80,70\n{row}\n2024-05-07,07:10,131,81,70\n")
    assert numbers(log) == [(130, 80), (131, 81)]
    (fault,) = log.faults
    assert fault.where == "line 3"
    assert str(fault).startswith(f"line 3: {said}")


def test_a_digit_too_many_is_kept_as_written():
    log = read_csv("date,time,sbp,dbp,pulse\n2024-05-06,07:10,1320,84,70\n2024-05-07,07:10,131,8,999\n")
    assert (numbers(log), log.faults) == ([(1320, 84), (131, 8)], ())
    assert numbers(read_csv(write_csv(log))) == numbers(log)
    assert log.entries[1].pulse == 999


def test_lines_are_counted_as_in_the_file_with_empty_ones_and_line_breaks_in_notes():
    log = read_csv('date,time,sbp,dbp,note\n\n2024-05-05,07:10,130,80,"two\nlines"\n\n2024-05-06,07:10,x,80,\n')
    assert log.entries[0].note == "two\nlines"
    assert log.faults[0].where == "line 6"


def test_dates_with_slashes_are_read_only_where_the_file_tells_their_order():
    rows = "date,time,sbp,dbp\n03/04/2024,07:10,130,80\n{},07:10,131,81\n"
    day_first, month_first = read_csv(rows.format("25/04/2024")), read_csv(rows.format("04/25/2024"))
    assert day_first.entries[0].when.month == 4
    assert month_first.entries[0].when.month == 3
    unknown = read_csv(rows.format("05/04/2024"))
    assert unknown.entries == ()
    assert "can be read two ways" in str(unknown.faults[0])
    assert read_csv(rows.format("05/04/2024"), order="month first").entries[1].when.month == 5


@pytest.mark.parametrize("headings", ["time,sbp,dbp,date", "time,sbp,dbp,when"])
def test_a_row_that_ends_before_its_date_is_named_and_the_rest_is_read(headings):
    log = read_csv(f"{headings}\n07:10,130,80,2024-05-05\n07:10,132\n")
    assert numbers(log) == [(130, 80)]
    assert [fault.where for fault in log.faults] == ["line 3"]


def test_the_part_of_the_day_may_stand_for_the_time():
    log = read_csv("date,part,sbp,dbp\n2024-05-06,evening,131,81\n2024-05-06,morning,132,82\n2024-05-06,noonish,1,1\n")
    assert [(e.part, e.timed, e.sbp) for e in log.entries] == [("morning", False, 132), ("evening", False, 131)]
    assert "must be morning or evening" in str(log.faults[0])


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (b"\n \n", "the file is empty"),
        (b"fruit,colour\napple,green\n", "headings"),
        (b"date,sbp\n2024-05-06,120\n", "no column dbp"),
        (b"PK\x03\x04\x00\x00", "no text"),
        (b"x" * 2_100_000, "must be at most 2,000,000"),
        (b"date,sbp,dbp\n" + b"x\n" * 900_000, "more than 20,000 readings"),
        (b'date,sbp,dbp\n"2024-05-06' + b"x" * 200_000, "cannot be taken apart"),
    ],
)
def test_what_is_no_log_says_so(content, said):
    with pytest.raises(LogError, match=said):
        read_log(content)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_encodings_of_spreadsheets(encoding):
    text = "date,time,sbp,dbp,note\n2024-05-06,07:10,132,84,müde\n"
    assert read_log(text.encode(encoding)).entries[0].note == "müde"


moments = st.datetimes(min_value=datetime(1950, 1, 1), max_value=datetime(2090, 1, 1)).map(
    lambda t: t.replace(microsecond=0)
)
pressures = st.tuples(
    st.one_of(st.integers(40, 300), st.floats(40, 300).map(lambda x: round(x, 2))), st.integers(20, 220)
)
texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=20).map(str.strip)
entries = st.builds(
    lambda when, pair, pulse, note: make_entry(
        when, True, {"sbp": float(pair[0]), "dbp": float(pair[1]), "pulse": pulse}, note=note
    ),
    moments,
    pressures,
    st.one_of(st.none(), st.integers(20, 250).map(float)),
    texts,
)


@settings(deadline=None)
@given(st.lists(entries, min_size=1, max_size=8))
def test_what_is_written_is_read_back(found):
    log = make_log(found, [])
    again = read_csv(write_csv(log))
    assert again.faults == ()
    assert [_kept(e) for e in again.entries] == [_kept(e) for e in log.entries]


@settings(deadline=None)
@given(st.text(max_size=200))
def test_no_text_brings_it_down(text):
    try:
        log = read_log(text.encode())
    except LogError:
        return
    assert isinstance(log, Log)


def _kept(entry):
    return entry.when, entry.part, entry.sbp, entry.dbp, entry.pulse, entry.note
