"""The [[lever]] entries of a lesson file."""

from __future__ import annotations

from itertools import product

from sim.fields import Declared, FieldError, Limit
from sim.setup import FIELDS, RECORDS, Setup
from sim.teach.inputs import apply
from sim.teach.keys import Keys, nearest, perhaps
from sim.teach.parse_shows import read_shows
from sim.teach.parts import GROUPS, Lever, Option


def go_together(keys: Keys, levers: tuple[Lever, ...], scenario: Setup | None) -> None:
    """Whatever the learner does with the levers, a reading can be taken."""
    if keys.faults or scenario is None:
        return
    ends = [[lever.correct, lever.tempting, *([] if lever.is_choice else [lever.low, lever.high])] for lever in levers]
    for values in product(*ends):
        try:
            apply(scenario, *({v.group: {v.name: value}} for v, value in zip(levers, values, strict=True)))
        except FieldError as error:
            keys.fault("lever", f"positions that go together: {error.field} {error.allowed}", str(error.value))
            return


def read_lever(keys: Keys, scenario: Setup | None) -> Lever:
    """One entry; faults are added to those of `keys`. `scenario` is None where it is faulty itself."""
    field = keys.text("field", "a field such as technique.cuff_below_heart_cm")
    label, help_text = keys.text("label"), keys.text("help")
    group, _, name = field.partition(".")
    if field and (group not in GROUPS or name not in RECORDS[group].LIMITS):
        known = list(RECORDS[group].LIMITS) if group in GROUPS else []
        near = perhaps(nearest(field, [f"{g}.{n}" for g in GROUPS for n in RECORDS[g].LIMITS]))
        keys.fault("field", "subject., technique. or instrument. and one of its fields" + _listed(known) + near)
        keys.rest()
        return Lever(field, label, help_text, None, None)
    if not field:
        keys.rest()
        return Lever(field, label, help_text, None, None)
    limit = FIELDS[name]
    lever = _number_lever(keys, field, limit) if isinstance(limit, Limit) else _choice_lever(keys, field, limit)
    if "shows" not in keys:
        keys.fault("shows", "a table [lever.shows] that says what the words claim of the readings at `tempting`")
    shows = read_shows(keys.table("shows")) if "shows" in keys else None
    lever = Lever(**{**vars(lever), "label": label, "help": help_text, "shows": shows})
    keys.close()
    if lever.correct is None:
        return lever
    if scenario is not None:
        actual = scenario.values()[name]
        if lever.correct != type(lever.correct)(actual):
            keys.fault("correct", f"the scenario's value, {actual}")
    if lever.correct == lever.tempting:
        keys.fault("tempting", "a wrong value, other than the correct one")
    return lever


def _listed(names: list[str]) -> str:
    return ": " + ", ".join(names) if names else ""


def _number_lever(keys: Keys, field: str, limit: Limit) -> Lever:
    before = len(keys.faults)
    low, high, step = (keys.number(key) or 0.0 for key in ("low", "high", "step"))
    if len(keys.faults) > before:
        keys.rest()
        return Lever(field, "", "", None, None)
    for key, value in (("low", low), ("high", high)):
        if not limit.low <= value <= limit.high:
            keys.fault(key, f"a number {limit.allowed}")
    if not low < high:
        keys.fault("high", f"a number above low, which is {low:g}")
    elif not 0 < step <= high - low:
        keys.fault("step", f"a number above 0 and up to high less low, {high - low:g}")
    if len(keys.faults) > before:
        keys.rest()
        return Lever(field, "", "", None, None)
    ends = {key: _position(keys, key, low, high, step) for key in ("correct", "tempting")}
    return Lever(field, "", "", ends["correct"], ends["tempting"], low, high, step)


def _position(keys: Keys, key: str, low: float, high: float, step: float) -> float | None:
    """A position of a number lever: between its ends and on one of its steps."""
    value = keys.number(key)
    if value is None:
        return None
    steps = (value - low) / step
    if not low <= value <= high or abs(steps - round(steps)) > 1e-6:
        keys.fault(key, f"a position of the lever, from {low:g} to {high:g} in steps of {step:g}")
        return None
    return value


def _choice_lever(keys: Keys, field: str, limit: Declared) -> Lever:
    before = len(keys.faults)
    options = []
    for entry in keys.tables("options", 2, 8):
        value, label = entry.text("value"), entry.text("label")
        entry.close()
        if value:
            try:
                limit.one(field, value)
            except FieldError as error:
                entry.fault("value", error.allowed)
        options.append(Option(value, label))
    values = [o.value for o in options]
    if len(set(values)) < len(values):
        keys.fault("options", "each value once", ", ".join(values))
    if len(keys.faults) > before:
        keys.rest()
        return Lever(field, "", "", None, None)
    correct, tempting = keys.one_of("correct", values), keys.one_of("tempting", values)
    return Lever(field, "", "", correct or None, tempting or None, options=tuple(options))
