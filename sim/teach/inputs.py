"""Fields of a reading as a lesson file names them: checked against the limits that the engine itself keeps."""

from __future__ import annotations

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.fields import FieldError, Fields
from sim.teach.keys import Keys
from sim.teach.parts import GROUPS, Changes
from sim.technique import Technique

RECORDS: dict[str, type[Fields]] = {"subject": Subject, "technique": Technique, "instrument": Instrument}
Inputs = tuple[Subject, Technique, Instrument]


def read_changes(keys: Keys, groups: tuple[str, ...] = GROUPS) -> Changes:
    """The tables [subject], [technique], [instrument] of `keys`: each field known and each value allowed."""
    changes: Changes = {}
    for group in groups:
        table = keys.table(group, f"a table of fields of the {group}", optional=True)
        changes[group] = {}
        for name, value in table.rest().items():
            declared = RECORDS[group].LIMITS.get(name)
            if declared is None:
                table.fault(name, f"a field of the {group}: {', '.join(RECORDS[group].LIMITS)}")
                continue
            try:
                changes[group][name] = declared.one(name, value)
            except FieldError as error:
                table.fault(name, error.allowed)
    return changes


def read_inputs(keys: Keys) -> Inputs | None:
    """A person and a reading: the defaults with the changes in the tables of `keys`; None where they are faulty.

    Closes `keys`: whatever else stands in the table must have been asked for before.
    """
    before = len(keys.faults)
    changes = read_changes(keys)
    keys.close()
    if len(keys.faults) > before:
        return None
    try:
        return apply((Subject(), Technique(), Instrument()), changes)
    except FieldError as error:
        keys.fault(f"subject, {error.field}", error.allowed, error.value)
        return None


def apply(inputs: Inputs, *changes: Changes) -> Inputs:
    """The inputs with all changes made. Raises FieldError where they do not go together."""
    subject, technique, instrument = inputs
    merged: Changes = {group: {k: v for c in changes for k, v in c.get(group, {}).items()} for group in GROUPS}
    return (
        subject.replace(**merged["subject"]),
        technique.replace(**merged["technique"]),
        instrument.replace(**merged["instrument"]),
    )
