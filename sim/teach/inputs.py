"""Fields of a reading as a lesson file names them: checked against the limits that the engine itself keeps."""

from __future__ import annotations

from sim.fields import FieldError
from sim.setup import RECORDS, Setup
from sim.teach.keys import Keys, nearest, perhaps
from sim.teach.parts import GROUPS, Changes


def read_changes(keys: Keys, groups: tuple[str, ...] = GROUPS) -> Changes:
    """The tables [subject], [technique], [instrument] of `keys`: each field known and each value allowed."""
    changes: Changes = {}
    for group in groups:
        table = keys.table(group, f"a table of fields of the {group}", optional=True)
        changes[group] = {}
        for name, value in table.rest().items():
            declared = RECORDS[group].LIMITS.get(name)
            if declared is None:
                known = RECORDS[group].LIMITS
                table.fault(name, f"a field of the {group}: {', '.join(known)}{perhaps(nearest(name, known))}")
                continue
            try:
                changes[group][name] = declared.one(name, value)
            except FieldError as error:
                table.fault(name, error.allowed)
    return changes


def read_inputs(keys: Keys) -> Setup | None:
    """A person and a reading: the defaults with the changes in the tables of `keys`; None where they are faulty.

    Closes `keys`: whatever else stands in the table must have been asked for before.
    """
    before = len(keys.faults)
    changes = read_changes(keys)
    keys.close()
    if len(keys.faults) > before:
        return None
    try:
        return apply(Setup(), changes)
    except FieldError as error:
        keys.fault(f"subject, {error.field}", error.allowed, error.value)
        return None


def apply(setup: Setup, *changes: Changes) -> Setup:
    """The setup with all changes made, later over earlier ones. Raises FieldError where they do not go together."""
    merged = {name: value for change in changes for fields in change.values() for name, value in fields.items()}
    return setup.replace(**merged)
