"""A log under a schedule's rule, worked out by hand beside it."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.explain.schedules import Schedule, schedule
from sim.fields import FieldError
from sim.logs.doubts import doubts, remarks
from sim.logs.log import Log, make_log
from sim.logs.read_csv import read_csv
from sim.logs.summary import COUNTS, EXTRA, FIRST_DAY, FIRST_READING, OTHER_DAYS, summarise
from tests.logs.files import FIRST, week


def rows(*lines):
    return read_csv("date,time,sbp,dbp\n" + "\n".join(lines) + "\n")


def statuses(summary):
    return [row.status for row in summary.rows]


def test_a_week_without_its_first_day_by_hand():
    log = read_csv(week())
    found = summarise(log, schedule("home-week-drop"))
    later = [e for e in log.entries if e.day > FIRST]
    assert found.figures is not None
    assert (found.figures.n, found.first, found.last) == (24, FIRST, FIRST + timedelta(days=6))
    assert found.figures.sbp == pytest.approx(sum(e.sbp for e in later) / 24)
    assert found.figures.sd_dbp == pytest.approx(np.std([e.dbp for e in later], ddof=1))
    assert statuses(found) == [FIRST_DAY] * 4 + [COUNTS] * 24
    assert (found.missing, found.short, found.high) == ((), (), ())
    assert sum(c.probability for c in found.chances) == pytest.approx(1)
    mornings, evenings = found.by_part["morning"], found.by_part["evening"]
    assert (mornings.sbp + evenings.sbp) / 2 == pytest.approx(found.figures.sbp)


def test_the_last_two_of_three_in_the_office():
    log = rows("2024-05-06,09:00,150,90", "2024-05-06,09:02,144,86", "2024-05-06,09:04,140,84")
    found = summarise(log, schedule("office-three-last-two"), "esc-2024")
    assert statuses(found) == [FIRST_READING, COUNTS, COUNTS]
    assert found.figures is not None
    assert (found.figures.sbp, found.figures.dbp) == (142, 85)
    # One visit makes no category, whatever its average.
    assert (found.category, found.chances) == ("", ())
    assert any("at least two days" in reason for reason in found.nameless)
    later = rows(
        "2024-05-06,09:00,150,90", "2024-05-06,09:02,144,86", "2024-05-13,09:00,142,88", "2024-05-13,09:04,140,84"
    )
    assert summarise(later, schedule("office-two-visits"), "esc-2024").category == "hypertension"


def test_of_a_longer_log_the_last_days_count_unless_a_start_is_given():
    log = read_csv(week(days=30))
    last = summarise(log, schedule("home-week"))
    assert (last.first, last.last) == (FIRST + timedelta(days=23), FIRST + timedelta(days=29))
    assert statuses(last).count(OTHER_DAYS) == 92
    early = summarise(log, schedule("home-week"), start=FIRST + timedelta(days=2))
    assert early.first == FIRST + timedelta(days=2)
    with pytest.raises(FieldError, match="start = 2025-01-01: must be a day up to the log's last, 2024-06-04"):
        summarise(log, schedule("home-week"), start=date(2025, 1, 1))


def test_more_readings_than_asked_for_are_shown_and_do_not_count():
    log = rows(*(f"2024-05-06,07:{10 + k},{150 - 10 * k},80" for k in range(4)))
    found = summarise(log, Schedule(1, 2, 2))
    assert statuses(found) == [COUNTS, COUNTS, EXTRA, EXTRA]
    assert found.figures is not None
    assert found.figures.sbp == 145


def test_missing_sessions_are_listed_by_day_and_part():
    text = [line for line in week().splitlines() if not line.startswith(("2024-05-08,19", "2024-05-10"))]
    text.remove(next(line for line in text if line.startswith("2024-05-07,07:11")))
    found = summarise(read_csv("\n".join(text)), schedule("home-week"))
    assert [(m.day.day, m.part, m.readings) for m in found.missing] == [
        (7, "morning", 1),
        (8, "evening", 2),
        (10, "morning", 2),
        (10, "evening", 2),
    ]
    assert found.short == ()


def test_too_few_days_or_readings_are_said():
    found = summarise(read_csv(week(days=2)), schedule("home-week"))
    assert "readings on 2 days, where the schedule needs at least 3 (AHA, Muntner 2019)" in found.short
    assert "8 readings that count, where the schedule needs at least 12 (AHA, Muntner 2019)" in found.short
    assert found.figures is not None
    assert len(found.missing) == 10


def test_nothing_at_all_is_no_error():
    found = summarise(Log(()), schedule("home-week"))
    assert (found.figures, found.usual, found.chances, found.rows) == (None, None, (), ())
    assert found.short


def test_only_a_first_day_leaves_no_mean():
    found = summarise(read_csv(week(days=1)), schedule("home-week-drop"))
    assert (found.figures, found.category) == (None, "")
    assert found.short


def test_doubtful_values_are_marked_and_count_and_leave_their_neighbours_alone():
    lines = week().splitlines()
    lines[10] = lines[10].rsplit(",", 4)[0] + ",232,82,70,"
    log = read_csv("\n".join(lines))
    found = summarise(log, schedule("home-week"))
    doubtful = [row for row in found.rows if row.doubts]
    # Not its neighbour, which is where the log is.
    assert [row.entry.sbp for row in doubtful] == [232]
    assert {row.status for row in doubtful} == {COUNTS}
    assert found.figures is not None
    assert found.without_doubtful is not None
    assert (found.figures.n, found.without_doubtful.n) == (28, 27)
    assert len(log.entries) == 28


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2024-05-08,07:12,86,80", "only 6 above diastolic"),
        ("2024-05-08,07:12,190,60", "130 above diastolic"),
        ("2024-05-08,07:12,230,150", "from the middle of the log"),
        ("2024-05-08,07:12,178,80", "from the nearest of the same session"),
    ],
)
def test_what_makes_a_value_doubtful(line, said):
    log = read_csv(week() + line + "\n")
    marked = dict(zip((e.where for e in log.entries), doubts(log), strict=True))
    assert any(said in reason for reason in marked["line 30"])


@pytest.mark.parametrize("numbers", ["232,82", "104,82", "64,50", "196,86"])
@pytest.mark.parametrize("seed", range(8))
def test_one_typing_error_marks_no_plausible_neighbour(numbers, seed):
    lines = week(seed=seed).splitlines()
    clean = doubts(read_csv("\n".join(lines)))
    lines[10] = ",".join([*lines[10].split(",")[:2], numbers, "70", ""])
    log = read_csv("\n".join(lines))
    marked = {e.where for e, reasons in zip(log.entries, doubts(log), strict=True) if reasons}
    before = {e.where for e, reasons in zip(log.entries, clean, strict=True) if reasons}
    assert marked - before <= {"line 11"}


def test_of_three_readings_the_one_apart_is_marked_and_not_its_neighbour():
    log = rows("2024-05-06,07:10,146,86", "2024-05-07,07:10,147,87", "2024-05-07,07:12,104,84")
    assert [bool(reasons) for reasons in doubts(log)] == [False, False, True]


def test_a_pulse_that_cannot_be_takes_no_pressure_away():
    log = read_csv(week().replace(",70,", ",700,", 1))
    assert doubts(log) == doubts(read_csv(week()))
    assert any("700 in line 2" in remark for remark in remarks(log))


def test_an_honest_week_has_no_doubts():
    marked = sum(bool(reasons) for seed in range(40) for reasons in doubts(read_csv(week(seed=seed))))
    assert marked <= 40 * 28 * 0.01


def test_many_zeros_are_remarked_on():
    rounded = make_log(
        list(rows(*(f"2024-05-{d:02d},07:10,{120 + 10 * (d % 3)},80" for d in range(1, 15))).entries), []
    )
    assert any("14 of 14 systolic values end in 0" in remark for remark in remarks(rounded))
    assert remarks(read_csv(week())) == ()


def test_readings_of_180_over_120_are_put_first():
    log = rows("2024-05-08,07:12,182,80", "2024-05-08,07:14,150,122", "2024-05-08,07:16,150,90")
    assert [(e.sbp, e.dbp) for e in summarise(log, schedule("home-week")).high] == [(182, 80), (150, 122)]


@settings(deadline=None, max_examples=12)
@given(st.permutations(week().splitlines()[1:]))
def test_the_order_of_rows_does_not_matter(lines):
    mixed = summarise(read_csv("date,time,sbp,dbp,pulse,note\n" + "\n".join(lines)), schedule("home-week-drop"))
    straight = summarise(read_csv(week()), schedule("home-week-drop"))
    assert mixed.figures == straight.figures
    assert [c.probability for c in mixed.chances] == pytest.approx([c.probability for c in straight.chances])


@settings(deadline=None, max_examples=12)
@given(st.integers(1, 40), st.integers(0, 20))
def test_higher_readings_never_make_hypertension_less_probable(more_sbp, more_dbp):
    low, high = (
        summarise(read_csv(week(sbp=110 + s, dbp=60 + d)), schedule("home-week"), "esh-2023").chances[-1].probability
        for s, d in ((0, 0), (more_sbp, more_dbp))
    )
    assert high >= low - 1e-6
