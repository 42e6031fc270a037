"""Cases to practise on: what a number gives, and that its mistakes are there, large enough, and the only ones."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sim.body.subject import Subject
from sim.cuff.bladder import bladders
from sim.cuff.instrument import Instrument
from sim.fields import FieldError
from sim.measurement import measure
from sim.teach import practice
from sim.teach.practice import LEAST_MMHG, band_of, case, possible
from sim.teach.practice_answers import (
    NEXT,
    Answer,
    band_words,
    following,
    order,
    reply,
    verdict,
)
from sim.teach.practice_score import tally
from sim.technique import Technique

MANY = range(1000, 4000, 25)
FEW = range(1000, 4000, 97)


def right_bladder(arm_cm):
    """The published size whose arms these are; every arm of a case is a whole number, and lies in none of the gaps."""
    return next(b.name for b in bladders() if b.arm_from_cm <= arm_cm <= b.arm_to_cm)


def put_right(found, field):
    """The case with one mistake put right, by the field's default or the published table."""
    arm = float(found.setup.subject.arm_circumference_cm)
    value = right_bladder(arm) if field == "bladder" else Technique.LIMITS[field].default
    return found.setup.replace(**{field: value})


def steady(setups, together=200):
    """Systolic and diastolic of noise-free readings, one row a setup."""
    parts = []
    for first in range(0, len(setups), together):
        some = setups[first : first + together]
        fields = {name: [setup.values()[name].item() for setup in some] for name in some[0].values()}
        reading = measure(some[0].replace(**fields), ideal=True).reading
        assert reading.ok.all()
        parts.append(np.stack([reading.sbp, reading.dbp]))
    return np.concatenate(parts, axis=1)


@cache
def many():
    return [case(number) for number in MANY]


def test_in_many_cases_each_mistake_moves_the_mean_and_nothing_else_is_wrong():
    made = steady([found.setup for found in many()])
    asked = [(row, mistake) for row, found in enumerate(many()) for mistake in found.possible]
    righted = steady([put_right(many()[row], mistake.field) for row, mistake in asked])
    moved = np.abs(made[:, [row for row, _ in asked]] - righted).max(axis=0)
    small = [(many()[row].number, m.name, by) for (row, m), by in zip(asked, moved, strict=True) if by < LEAST_MMHG]
    assert not small
    assert len(asked) > 180


def test_in_many_cases_no_mistake_is_made_that_is_not_named():
    for found in many():
        named = {m.field for m in found.possible}
        assert len(named) == len(found.possible)
        technique, instrument = found.setup.technique, found.setup.instrument
        for name in Technique.LIMITS:
            assert (getattr(technique, name).item() != Technique.LIMITS[name].default) == (name in named), found.number
        arm = float(found.setup.subject.arm_circumference_cm)
        assert (str(instrument.bladder) != right_bladder(arm)) == ("bladder" in named), found.number
        plain = set(Instrument.LIMITS) - {"bladder"}
        assert all(getattr(instrument, n).item() == Instrument.LIMITS[n].default for n in plain)
        assert str(found.setup.subject.rhythm) == Subject.LIMITS["rhythm"].default


def test_a_bladder_is_called_small_where_a_larger_one_fits():
    sizes = [b.name for b in bladders()]
    seen = set()
    for found in many():
        for mistake in found.possible:
            if mistake.field == "bladder":
                fitting = right_bladder(float(found.setup.subject.arm_circumference_cm))
                small = sizes.index(str(found.setup.instrument.bladder)) < sizes.index(fitting)
                assert ("small" in mistake.name) == small
                seen.add(small)
    assert seen == {True, False}


def test_levels_have_as_many_mistakes_as_they_say():
    counts = {level: {len(c.possible) for c in many() if c.level == level} for level in practice.LEVELS}
    assert counts == {1: {0, 1}, 2: {2}, 3: {3}}


def test_three_mistakes_pull_in_both_directions():
    """One by one, against correct technique: at least one up and one down, systolic."""
    for found in [c for c in many() if c.level == 3][::5]:
        fields = [m.field for m in found.possible]
        values = {field: found.setup.values()[field].item() for field in fields}
        right = found.setup
        for field in fields:
            right = put_right(replace(found, setup=right), field)
        sbp = steady([right, *(right.replace(**{field: values[field]}) for field in fields)])[0]
        assert {bool(up) for up in sbp[1:] > sbp[0]} == {True, False}, found.number


def test_the_same_number_gives_the_same_case_and_the_same_readings():
    practice.case.cache_clear()
    first, readings = case(2041), case(2041).readings().result.reading.sbp
    practice.case.cache_clear()
    second = case(2041)
    assert second is not first
    assert second.setup.key() == first.setup.key()
    assert second.words == first.words
    np.testing.assert_array_equal(second.readings().result.reading.sbp, readings)
    assert case(2042).setup.key() != first.setup.key()


@pytest.mark.parametrize("number", FEW)
def test_what_is_shown_of_a_case_is_what_its_answers_say(number):
    """In whole mmHg, as they stand on the page."""
    found = case(number)
    mean = found.readings().mean().result
    shown = round(float(mean.reading.sbp[0])) - round(float(found.setup.subject.sbp))
    assert band_of(shown) == found.band
    expected = "alike" if abs(shown) < 3 else "higher" if shown > 0 else "lower"
    assert found.direction == expected


@pytest.mark.parametrize("number", [999, 4000, 0, True, 2041.0, "2041"])
def test_a_number_that_is_no_case_is_refused(number):
    with pytest.raises(FieldError, match="from 1000 to 3999"):
        case(number)


def test_every_mistake_is_drawn_or_told():
    """Else nobody could see it; and where nothing is wrong with what is told, that is told, too."""
    for mistake in possible():
        if mistake.field == "bladder":
            continue
        drawn = set(Technique.LIMITS[mistake.field].drawn) & {"person", "across"}
        assert drawn or (mistake.tell and mistake.tell_right), mistake.name


def test_the_order_of_what_may_be_named_says_nothing_about_what_was_made():
    assert [m.name for m in order(2041)] == [m.name for m in order(2041)]
    assert {m.name for m in order(2041)} == {m.name for m in possible()}
    places = [
        [m.name for m in order(c.number)].index(made.name) / (len(possible()) - 1)
        for c in many()
        for made in c.possible
    ]
    # The mean place of n uniform ones is 0.5 with a standard deviation of 0.31 / sqrt(n): four of these.
    assert abs(np.mean(places) - 0.5) < 4 * 0.31 / np.sqrt(len(places))


def test_one_thing_is_right_to_do_next_and_every_choice_is_answered():
    seen = set()
    for number in FEW:
        found = case(number)
        right = following(found)
        seen.add(right)
        replies = {chosen: reply(found, chosen) for chosen in NEXT}
        assert right in ("again", "wait", "keep")
        assert all(replies.values())
        assert [chosen for chosen in NEXT if verdict(found, Answer((), "alike", 0, chosen)).following] == [right]
        for chosen in set(NEXT) - {right}:
            assert replies[chosen] != replies[right]
        for mistake in found.possible:
            assert mistake.put_right in replies["correct"]
    assert seen == {"again", "wait", "keep"}


def test_nobody_is_told_to_write_down_a_corrected_number():
    for number in FEW:
        assert following(case(number)) not in ("correct", "cancel")


def test_an_answer_is_told_apart_into_found_missed_and_named_falsely():
    found = case(3002)
    made = [m.name for m in found.possible]
    other = next(m.name for m in possible() if m.name not in made)
    judged = verdict(found, Answer((made[0], other), found.direction, found.band, "keep"))
    assert (judged.found, judged.missed, judged.false) == ((made[0],), tuple(made[1:]), (other,))
    assert (judged.direction, judged.band, judged.following, judged.mistakes) == (True, True, False, False)
    assert verdict(found, Answer(tuple(made), "lower", 0, "keep")).mistakes


def test_the_score_counts_by_kind_of_mistake():
    found = case(3002)
    made = [m.name for m in found.possible]
    other = next(m.name for m in possible() if m.name not in made)
    judged = verdict(found, Answer((made[0], other), found.direction, (found.band + 1) % 4, "wait"))
    counts = {c.what: c for c in tally({3002: judged})}
    assert (counts[made[0]].right, counts[made[0]].asked) == (1, 1)
    assert (counts[made[1]].right, counts[made[1]].asked) == (0, 1)
    assert (counts[other].asked, counts[other].falsely) == (0, 1)
    assert counts["Direction"].right == 1
    assert counts["Size"].right == 0
    assert set(counts) == {*made, other, "Direction", "Size", "What to do next"}


def test_the_mean_of_readings_is_theirs_and_its_steps_add_up():
    found = case(2041).readings()
    mean = found.mean()
    reading, ok = found.result.reading, found.result.reading.ok
    assert mean.result.reading.sbp[0] == pytest.approx(np.mean(reading.sbp[ok]))
    for name in ("sbp", "dbp"):
        total = sum(float(getattr(c, name)[0]) for c in mean.contributions)
        assert total == pytest.approx(float(getattr(mean.result.bias, name)[0]), abs=1e-9)


def test_bands_meet_without_gap_or_overlap():
    words = [band_words(band) for band in range(4)]
    assert words == ["less than 3 mmHg", "3 to 7 mmHg", "8 to 14 mmHg", "15 mmHg or more"]
    assert [band_of(d) for d in (0, 2, -2, 3, 7, 8, -14, 15, 40)] == [0, 0, 0, 1, 1, 2, 2, 3, 3]
