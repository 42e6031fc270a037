"""Schedules: how many readings the guidelines ask for, written out here a second time."""

import pytest

from sim.explain.schedules import LIMITS, Schedule, longer, schedule, schedules, without_dropping
from sim.fields import FieldError

# Readings taken and readings that count. 7 days twice two: 28; without day one 24 (ESH 2021, quoted; AHA 2019,
# DOI 10.1161/HYP.0000000000000087: at least 12 on 3 days). Office: three readings, the last two count.
COUNTS = {
    "home-week-drop": (28, 24),
    "home-week": (28, 28),
    "home-3-days": (12, 12),
    "home-3-days-drop": (12, 8),
    "office-three-last-two": (3, 2),
    "office-two-visits": (4, 4),
    "office-one": (1, 1),
}


@pytest.mark.parametrize("name", COUNTS)
def test_readings_taken_and_counted(name):
    plan, layout = schedule(name), schedule(name).layout()
    assert (plan.taken, plan.counted) == COUNTS[name]
    assert (len(layout), layout.kept.sum()) == COUNTS[name]


def test_every_schedule_is_counted_above_and_has_a_source():
    assert set(schedules()) == set(COUNTS)
    for plan in schedules().values():
        assert plan.source
        assert plan.sure in {"seen", "quoted", "common practice"}


def test_the_first_day_and_the_first_reading_are_what_is_left_out():
    layout = Schedule(3, 2, 3, drop_days=1, drop_readings=1).layout()
    assert set(layout.day[layout.kept]) == {1, 2}
    assert set(layout.number[layout.kept]) == {2, 3}
    assert list(layout.session[:7]) == [0, 0, 0, 1, 1, 1, 2]
    assert without_dropping(Schedule(3, 2, 3, drop_days=1, drop_readings=1)).counted == 18


def test_longer_goes_on_to_the_limit():
    assert [p.days for p in longer(schedule("home-week-drop"))] == list(range(7, int(LIMITS["days"].high) + 1))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"days": 0}, "days = 0: must be a whole number from 1 to 60 days"),
        ({"days": 2.5}, "days = 2.5: must be a whole number"),
        ({"days": 3, "drop_days": 3}, "drop_days = 3: must be fewer than days, which is 3"),
        ({"days": 3, "readings": 2, "drop_readings": 2}, "drop_readings = 2: must be fewer than readings, which is 2"),
        ({"days": 3, "place": "moon"}, "place = 'moon': must be one of home, office, study"),
    ],
)
def test_what_cannot_be_kept_is_named(arguments, said):
    with pytest.raises(FieldError, match=said):
        Schedule(**arguments)


def test_an_unknown_schedule_is_named():
    with pytest.raises(FieldError, match="schedule = 'often': must be one of home-week-drop, home-week"):
        schedule("often")
