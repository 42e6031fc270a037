"""A subject of a study: what matters to the reading, and the age and sex that a study asks for."""

from __future__ import annotations

from dataclasses import dataclass

from sim.body.subject import Subject
from sim.fields import Values, choice, number


@dataclass(frozen=True, eq=False)
class Person(Subject):
    """A Subject with age and sex, which the model of a reading does not use itself.

    age_years; sex: "female" or "male". Fields are scalars or arrays of shape (n,).
    """

    age_years: Values = number(18, 110, 50, 1, "years", "Age")
    sex: Values = choice({"female": "female", "male": "male"}, "female", "Sex")
