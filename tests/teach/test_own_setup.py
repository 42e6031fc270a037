"""Set it up yourself: what is chosen is what is measured, and good where nothing is wrong."""

from itertools import product

import pytest

from sim.explain.mistakes import mistakes
from sim.fields import FieldError
from sim.teach.own_setup import MOMENTS, SUPPORTS, Chosen, readings, remarks, room, set_up
from sim.teach.practice import cupboard

ROOMS = range(4000, 5000, 23)
ALL = [Chosen(*each) for each in product([b.name for b in cupboard()], SUPPORTS, MOMENTS)]


@pytest.mark.parametrize("number", ROOMS)
def test_a_choice_is_good_exactly_where_the_model_knows_no_mistake(number):
    found = room(number)
    good = []
    for chosen in ALL:
        wrong = {m.field for m in mistakes(set_up(found, chosen).spread(1))}
        said = {remark.about: remark.right for remark in remarks(found, chosen)}
        assert said["cuff"] == ("bladder" not in wrong)
        assert said["support"] == ("cuff_below_heart_cm" not in wrong)
        assert said["moment"] == (not wrong & {"rest_min", "caffeine", "nicotine"})
        assert wrong <= {"bladder", "cuff_below_heart_cm", "rest_min", "caffeine", "nicotine"}
        good += [chosen] if not wrong else []
    assert len({(c.bladder, c.support) for c in good}) == 1
    assert {c.moment for c in good} == ({"another"} if found.before else {"five", "another"})


def test_rooms_differ_in_all_that_is_to_be_found():
    found = [room(number) for number in ROOMS]
    assert {next(k for k, cm in r.heights_cm.items() if cm == 0) for r in found} == {"table", "pillows"}
    assert {r.before for r in found} == {None, "caffeine", "nicotine"}
    right = {str(set_up(r, c).instrument.bladder) for r in found for c in ALL if remarks(r, c)[0].right}
    assert right == {b.name for b in cupboard()}


def test_nothing_that_is_told_before_the_choice_holds_the_pressure():
    found = room(4003)
    other = found.person.replace(sbp=found.person.subject.sbp + 7, dbp=found.person.subject.dbp + 5)
    assert type(found)(found.number, other, found.heights_cm, found.before).words == found.words


def test_the_breakdown_holds_what_was_chosen_wrongly():
    found = room(4003)
    good = next(c for c in ALL if all(r.right for r in remarks(found, c)))
    bad = Chosen(good.bladder, "lap", "at once")
    fields = {c.field for c in readings(found, bad).mean().contributions if c.field}
    assert {"cuff_below_heart_cm", "rest_min"} <= fields
    assert not {c.field for c in readings(found, good).mean().contributions if c.field}


@pytest.mark.parametrize("number", [3999, 5000, True, "4000"])
def test_a_number_that_is_no_room_is_refused(number):
    with pytest.raises(FieldError, match="from 4000 to 4999"):
        room(number)
