"""All that a reading is made of: who is measured, how, and with what."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Self

import numpy as np

from sim.body.subject import Subject
from sim.cuff.bladder import fitted
from sim.cuff.instrument import Instrument
from sim.fields import Declared, FieldError, Fields
from sim.technique import Technique

RECORDS: dict[str, type[Fields]] = {"subject": Subject, "technique": Technique, "instrument": Instrument}
# Every field of the three, by its name: no name stands in two of them.
FIELDS: dict[str, Declared] = {name: limit for record in RECORDS.values() for name, limit in record.LIMITS.items()}


def group_of(name: str) -> str:
    """The record that holds a field: "subject", "technique" or "instrument". Raises FieldError where there is none."""
    for group, record in RECORDS.items():
        if name in record.LIMITS:
            return group
    raise FieldError("input", repr(name), "one of " + ", ".join(FIELDS))


@dataclass(frozen=True, eq=False)
class Setup:
    """One setup of a reading, or n: a person, a technique and an instrument, whose fields are scalars or arrays of n.

    >>> setup = Setup(Subject(sbp=130)).replace(cuff_below_heart_cm=10, bladder="12x23")
    >>> float(setup.subject.sbp), float(setup.technique.cuff_below_heart_cm), str(setup.instrument.bladder)
    (130.0, 10.0, '12x23')
    """

    subject: Subject = field(default_factory=Subject)
    technique: Technique = field(default_factory=Technique)
    instrument: Instrument = field(default_factory=Instrument)

    @classmethod
    def of(cls, **fields: Any) -> Self:
        """A setup by the names of its fields. Raises FieldError, naming the field."""
        return cls().replace(**fields)

    def __iter__(self) -> Iterator[Any]:
        return iter((self.subject, self.technique, self.instrument))

    @property
    def size(self) -> int:
        """How many readings it describes: 1 where all fields are scalars."""
        return max(record.size for record in self)

    def spread(self, n: int) -> Self:
        """The same with every field an array of n, and bladders that fit. Raises FieldError where it cannot be."""
        fitted = self.fitted()
        return type(self)(fitted.subject.spread(n), fitted.technique.spread(n), fitted.instrument.spread(n))

    def fitted(self) -> Self:
        """The same with the published size for the arm where a bladder is only said to be "fitting"."""
        bladder = fitted(self.instrument.bladder, self.subject.arm_circumference_cm)
        return type(self)(self.subject, self.technique, self.instrument.replace(bladder=bladder))

    def take(self, rows: Any) -> Self:
        """The setup of some rows (an index array, mask or slice); scalars stay as they are."""
        return type(self)(self.subject.take(rows), self.technique.take(rows), self.instrument.take(rows))

    def replace(self, **changes: Any) -> Self:
        """A copy with some fields changed, whichever record holds them. Raises FieldError, naming the field."""
        own: dict[str, dict[str, Any]] = {group: {} for group in RECORDS}
        for name, value in changes.items():
            own[group_of(name)][name] = value
        return type(self)(
            self.subject.replace(**own["subject"]),
            self.technique.replace(**own["technique"]),
            self.instrument.replace(**own["instrument"]),
        )

    def values(self) -> Mapping[str, np.ndarray]:
        """Every field by its name."""
        return {name: getattr(record, name) for record in self for name in record.LIMITS}

    def key(self) -> tuple[Hashable, ...]:
        """All fields as plain values: equal for setups that describe the same readings."""
        return tuple((name, _plain(value)) for name, value in self.values().items())


def _plain(value: np.ndarray) -> Hashable:
    return value.item() if value.ndim == 0 else tuple(value.tolist())
