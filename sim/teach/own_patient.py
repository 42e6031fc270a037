"""My patient, my cuffs: numbers that an educator sets in place of those of a lesson or a case, and the clinic's cuffs.

They stand in the link, as query parameters that begin with "my."; what is not set stays as the lesson or the case has
it. Age only says how stiff the artery is, by the rule that simulated cohorts have (`sim.study.cohort`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from sim.body.subject import Subject
from sim.cuff.bladder import fits, name_of, named, nearest
from sim.fields import FieldError, Limit
from sim.say import say
from sim.setup import FIELDS
from sim.study.cohort import usual_artery_b_mmhg
from sim.study.person import Person

PREFIX = "my."
CUFFS = "cuffs"
# What is in the link is no longer than this where it was meant; more is not repeated in full.
_LONGEST = 60


@dataclass(frozen=True)
class OwnPatient:
    """What was set; None or () where it was not.

    sbp, dbp: resting [mmHg];  heart_rate [beats/min];  arm_circumference_cm [cm];  age_years
    cuffs: names of the bladders that the clinic has, smallest first
    """

    sbp: float | None = None
    dbp: float | None = None
    heart_rate: float | None = None
    arm_circumference_cm: float | None = None
    age_years: float | None = None
    cuffs: tuple[str, ...] = ()

    @property
    def set(self) -> bool:
        """Whether anything is set.

        >>> OwnPatient().set, OwnPatient(sbp=150).set
        (False, True)
        """
        return self != NOBODY

    @property
    def changes(self) -> dict[str, float]:
        """The fields of a subject that it sets, by name."""
        found = {name: getattr(self, name) for name in NUMBERS if name in FIELDS}
        if self.age_years is not None:
            found["artery_b_mmhg"] = usual_artery_b_mmhg(self.age_years)
        return {name: float(value) for name, value in found.items() if value is not None}

    def cuff_for(self, arm_circumference_cm: float) -> str:
        """The nearest of the clinic's bladders that fits this arm [cm]; "" where none does, or none is set."""
        best = nearest(self.cuffs, arm_circumference_cm) if self.cuffs else ""
        return best if best and bool(fits(np.array([best]), np.array([arm_circumference_cm]))[0]) else ""

    @property
    def words(self) -> str:
        """In a few words; "" where nothing is set.

        >>> OwnPatient(sbp=150, dbp=85, arm_circumference_cm=38, cuffs=("regular",)).words
        '150/85 mmHg, arm 38 cm, 1 size of cuff'
        """
        told = [self._pressures]
        told += [say("heart rate {rate:g}", rate=self.heart_rate)] if self.heart_rate is not None else []
        told += [say("arm {cm:g} cm", cm=self.arm_circumference_cm)] if self.arm_circumference_cm is not None else []
        told += [say("age {years:g}", years=self.age_years)] if self.age_years is not None else []
        sizes = len(self.cuffs)
        told += [say("1 size of cuff") if sizes == 1 else say("{sizes} sizes of cuff", sizes=sizes)] if sizes else []
        return ", ".join(part for part in told if part)

    @property
    def _pressures(self) -> str:
        if self.sbp is not None and self.dbp is not None:
            return f"{self.sbp:g}/{self.dbp:g} mmHg"
        if self.sbp is not None:
            return say("systolic {sbp:g} mmHg", sbp=self.sbp)
        return "" if self.dbp is None else say("diastolic {dbp:g} mmHg", dbp=self.dbp)


# Nothing is set.
NOBODY = OwnPatient()


def _limit(declared: Any) -> Limit:
    assert isinstance(declared, Limit)
    return declared


# What is a number, with its range.
NUMBERS: dict[str, Limit] = {
    name: _limit(Person.LIMITS[name]) for name in (field.name for field in fields(OwnPatient)) if name != CUFFS
}


def read(parameters: Mapping[str, str]) -> tuple[OwnPatient, list[str]]:
    """What query parameters set, and a line for each that could not be taken; the rest is kept.

    >>> read({"my.sbp": "150", "my.dbp": "85", "lesson": "01-arm-height"})[0].words
    '150/85 mmHg'
    """
    found: dict[str, Any] = {}
    problems: list[str] = []
    for parameter, given in parameters.items():
        if not parameter.startswith(PREFIX):
            continue
        name = parameter.removeprefix(PREFIX)
        text = given if len(given) <= _LONGEST else given[:_LONGEST] + "…"
        try:
            found[name] = _cuffs(given) if name == CUFFS else _number(name, text)
        except FieldError as error:
            problems.append(f"{parameter[:_LONGEST]} = {text}: must be {error.allowed}. It is left out.")
    patient = OwnPatient(**found)
    if fault := _together(patient):
        problems.append(fault)
        patient = replace(patient, sbp=None, dbp=None)
    return patient, problems


def write(patient: OwnPatient) -> dict[str, str]:
    """The query parameters that `read` turns back into this patient.

    >>> write(OwnPatient(sbp=150, cuffs=("regular", "large adult")))
    {'my.sbp': '150', 'my.cuffs': 'regular,large adult'}
    """
    found = {PREFIX + name: f"{value:g}" for name in NUMBERS if (value := getattr(patient, name)) is not None}
    return found | ({PREFIX + CUFFS: ",".join(patient.cuffs)} if patient.cuffs else {})


def _number(name: str, text: str) -> float:
    if name not in NUMBERS:
        raise FieldError(name, text, "one of " + ", ".join(PREFIX + known for known in (*NUMBERS, CUFFS)))
    return NUMBERS[name].from_text(name, text)


def _cuffs(text: str) -> tuple[str, ...]:
    """Names of bladders out of names or sizes with commas between them; raises FieldError."""
    known = [size.name for size in named()]
    allowed = "some of " + ", ".join(f"{size.name} ({size.width_cm:g}x{size.length_cm:g})" for size in named())
    chosen = set()
    for part in text.split(",")[: len(known) + 1]:
        try:
            name = name_of(part.strip())
        except FieldError:
            name = ""
        if not name:
            raise FieldError(CUFFS, text, allowed)
        chosen.add(name)
    return tuple(name for name in known if name in chosen)


def _together(patient: OwnPatient) -> str:
    """Why the two pressures cannot be those of one person; "" where they can."""
    if patient.sbp is None or patient.dbp is None:
        return ""
    try:
        Subject(sbp=patient.sbp, dbp=patient.dbp)
    except FieldError as error:
        return f"{PREFIX}dbp = {patient.dbp:g}: must be {error.allowed}. Both pressures are left out."
    return ""
