"""What someone planned on the page: the study itself, and the command line that carries out the very same."""

from __future__ import annotations

import hashlib
import json
import shlex
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from sim.fields import Choice, Limit
from sim.setup import FIELDS, Setup
from sim.study.axes import Axis, axis, together
from sim.study.plan import Study
from sim.texts import real_minus

# More than this takes too long to wait for in front of a page.
MOST_IN_APP = 20_000
# The inputs that a map can go over, with the values it takes: from, to, how many; None: all options.
MAPPED: dict[str, tuple[float, float, int] | None] = {
    "movement_mmhg": (0, 10, 6),
    "movement": None,
    "heart_rate": (40, 140, 6),
    "arm_circumference_cm": (22, 42, 6),
    "artery_b_mmhg": (10, 60, 6),
    "artery_scale": (0.1, 1.1, 6),
    "form_factor": (0.33, 0.48, 6),
    "rhythm": None,
    "early_beat_share": (0, 0.4, 6),
    "fibrillation_share": (0, 1, 6),
    "pulse_pressure_mmhg": (20, 95, 6),
    "bladder_width_ratio": (0.25, 0.65, 6),
    "deflation_mmhg_per_s": (2, 12, 6),
    "noise_mmhg": (0, 1, 6),
    "slack_cm": (0, 5, 6),
    "sleeve_mm": (0, 10, 6),
    "cuff_turned_deg": (0, 100, 6),
}


@dataclass(frozen=True)
class Plan:
    """A study of named algorithms, and what it is to be read for.

    subjects, readings, people, algorithms, seed: as in sim.study.plan.Study
    changes: fields of technique or instrument that are not as they should be, the same for everybody; without a
        "bladder" among them each arm gets the one that fits
    against: the truth that errors are held to; mapped: no inputs or two of MAPPED
    """

    subjects: int
    readings: int
    people: str
    algorithms: tuple[str, ...]
    seed: int
    changes: Mapping[str, float | str] = field(default_factory=dict)
    against: str = "at_measurement"
    mapped: tuple[str, ...] = ()

    @cached_property
    def study(self) -> Study:
        """The study. Raises FieldError, naming what cannot be."""
        return Study(
            self.subjects,
            self.algorithms,
            seed=self.seed,
            readings=self.readings,
            people=self.people,
            technique=self._setup.technique,
            instrument=self._setup.instrument,
        )

    @property
    def _setup(self) -> Setup:
        return Setup.of(**self.changes)

    @property
    def axes(self) -> tuple[Axis, ...]:
        """The two axes of the map, or none."""
        return tuple(axis(name, _values(name)) for name in self.mapped)

    def mappable(self) -> None:
        """Raises FieldError where the two inputs make no map, of shape (values of y, values of x), of this study."""
        if self.mapped:
            x, y = self.axes
            together(x, y, self._setup.technique)

    @cached_property
    def digest(self) -> str:
        """Tells studies apart: two plans with the same one have the same readings."""
        return hashlib.sha256(json.dumps(self.study.fingerprint(), sort_keys=True).encode()).hexdigest()[:16]

    @property
    def changed(self) -> str:
        """What is not as it should be, in words; "" where everything is."""
        said = []
        for name, value in self.changes.items():
            limit = FIELDS[name]
            if isinstance(limit, Limit):
                said.append(f"{limit.label} {value:g} {limit.unit}".rstrip())
            else:
                said.append(f"{limit.label}: {limit.options[str(value)] if isinstance(limit, Choice) else value}")
        return real_minus("; ".join(said))

    @property
    def command(self) -> str:
        """The line that carries out the same study in a terminal, and keeps it in a folder of its own."""
        words = ["cuffbias", "study", "--subjects", str(self.subjects), "--people", self.people]
        words += ["--readings", str(self.readings), "--seed", str(self.seed)]
        for name in self.algorithms:
            words += ["--estimator", name]
        for name, value in self.changes.items():
            words += ["--with", f"{name}={value:g}" if isinstance(value, float) else f"{name}={value}"]
        words += ["--against", self.against]
        for name in self.mapped:
            words += ["--stress", name if (span := MAPPED[name]) is None else f"{name}={_spanned(span)}"]
        return shlex.join([*words, "--out", f"study-{self.digest[:8]}"])


def _spanned(span: tuple[float, float, int]) -> str:
    return ":".join(f"{end:g}" for end in span)


def _values(name: str) -> list[float | str] | None:
    span = MAPPED[name]
    return None if span is None else [*np.linspace(*span).tolist()]
