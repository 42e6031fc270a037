"""Every way of taking a reading wrongly, and what else the engine can vary for a learner, has a lesson with a lever."""

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.teach.lesson import load_all
from sim.technique import Technique

# Fields that only say more of another mistake: minutes of silence since a talk, the kind of movement.
MODIFIERS = {"technique.quiet_min", "technique.movement"}
# What the person who chooses, keeps or sets the instrument decides. The others describe how it is built (air, cloth,
# sampling, noise), how high a step is, or where the course begins and ends.
INSTRUMENT = {
    "instrument.bladder",
    "instrument.course",
    "instrument.deflation_mmhg_per_s",
    "instrument.zero_error_mmhg",
    "instrument.gain_error_percent",
    "instrument.resolution_mmhg",
}
# What about the person changes how well a reading can be taken.
SUBJECT = {"subject.rhythm"}
# How stiff the artery is: one of the two.
STIFFNESS = {"subject.artery_a_mmhg", "subject.artery_b_mmhg"}


def test_every_field_has_a_lever_in_a_lesson():
    lessons, _ = load_all()
    taught = {lever.field for lesson in lessons for lever in lesson.levers}
    wanted = {f"technique.{name}" for name in Technique.LIMITS} - MODIFIERS | INSTRUMENT | SUBJECT
    missing = sorted(wanted - taught)
    missing += [] if taught & STIFFNESS else [" or ".join(sorted(STIFFNESS))]
    assert not missing, "no lesson teaches " + ", ".join(missing)


def test_the_fields_asked_for_are_fields():
    known = {f"instrument.{name}" for name in (*Instrument.LIMITS, "bladder")}
    assert known >= INSTRUMENT
    assert {f"subject.{name}" for name in Subject.LIMITS} >= SUBJECT | STIFFNESS
    assert {f"technique.{name}" for name in Technique.LIMITS} >= MODIFIERS
