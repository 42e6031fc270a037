"""A study: who is measured, how, and read by what; cut into chunks that each have a seed of their own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import scipy

from sim import PARAMETERS_VERSION, __version__
from sim.cuff.instrument import Instrument
from sim.estimate.from_file import FromFile
from sim.estimate.named import resolved
from sim.fields import FieldError, Fields
from sim.results import Estimator
from sim.study.identity import identity, program
from sim.study.iso_cohort import LEAST
from sim.study.origin import Origin, by_pulse
from sim.study.people import draw, draw_technique, least
from sim.study.readings import Readings
from sim.study.repeated_readings import measured
from sim.study.seeds import STUDY, scoring_seed, stream
from sim.technique import Technique

# How large a study may be. Chosen: a billion readings were thought through (DEVELOPERS.md), and nobody is measured more
# often in a sitting.
MOST_SUBJECTS, MOST_READINGS = 10**9, 100
# Subjects of a chunk. Chosen: one takes about a second (1.4 ms a reading, three each) and the largest process stays
# below 250 MB (benchmarks/study.py); half as many make twice as many files, and another number draws other people.
USUAL_CHUNK = 200


@dataclass(frozen=True, eq=False)
class Study:
    """What is to be done, and nothing of how: the same study gives the same readings on any number of workers.

    subjects: how many people; readings: of each
    estimators: names that sim.estimate.named knows or "file.py:name", or a mapping from names to such texts or to
        estimators themselves (which must pickle, where several processes are to read)
    seed: of everything left to chance; people: names in sim.study.people.PEOPLE, with commas between
    technique, instrument: one for all, by default the correct ones, with the bladder that fits each arm
    chunk: at most so many subjects are worked on together
    algorithms: the estimators themselves by name; one's own file travels with the study to wherever it is measured

    Raises FieldError.
    """

    subjects: int
    estimators: Sequence[str] | Mapping[str, str | Estimator] = ("fixed-ratio",)
    seed: int = 1
    readings: int = 3
    people: str = "population"
    technique: Technique = field(default_factory=Technique)
    instrument: Instrument = field(default_factory=Instrument)
    chunk: int = USUAL_CHUNK
    algorithms: Mapping[str, Estimator] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        scoring_seed(self.seed)
        _whole("subjects", self.subjects, least(self.people), MOST_SUBJECTS)
        _whole("readings", self.readings, 1, MOST_READINGS)
        _whole("chunk", self.chunk, 2 * LEAST, 100_000)
        for record in (self.technique, self.instrument):
            if record is not None and record.size != 1:
                raise FieldError(type(record).__name__.lower(), f"{record.size} values", "one for the whole study")
        if not isinstance(self.estimators, Mapping):
            object.__setattr__(self, "estimators", _by_name(self.estimators))
        assert isinstance(self.estimators, Mapping)
        if not self.estimators:
            raise FieldError("estimators", "none", "at least one")
        found = {name: resolved(given) for name, given in self.estimators.items()}
        object.__setattr__(self, "algorithms", found)

    @property
    def chunks(self) -> int:
        """How many pieces the study comes in.

        >>> Study(1000).chunks
        5
        """
        return max(1, -(-self.subjects // self.chunk))

    @property
    def origin(self) -> Origin:
        """What outputs say about where they come from: how many people and readings, what was changed, and the seed."""
        words = f"{self.subjects} subjects ({self.people}) with {self.readings} readings each"
        changed = [
            f"{name} {value}"
            for record in (self.technique, self.instrument)
            for name, value in _changes(record).items()
        ]
        return Origin(self.seed, ", ".join([words, *changed]) + by_pulse(self.instrument))

    def measure(self, chunk: int) -> Readings:
        """The readings of one chunk, one row each, whatever was done before; chunk: its number, from 0.

        Raises FieldError, EstimatorError; the latter where a file that an estimator reads has changed meanwhile, too.

        >>> Study(5, readings=2).measure(0)["sbp"].shape
        (10,)
        """
        for estimator in self.algorithms.values():
            if isinstance(estimator, FromFile):
                estimator.check_files()
        rows = self._rows(chunk)
        rng, n = stream(self.seed, STUDY, chunk), rows.stop - rows.start
        return measured(
            draw(self.people, n, rng),
            self.algorithms,
            rng,
            readings=self.readings,
            technique=draw_technique(self.people, n, rng, self.technique or Technique()),
            instrument=self.instrument,
            first_subject=rows.start,
        )

    def fingerprint(self) -> dict[str, Any]:
        """All that the readings depend on, as plain values: two studies with the same one have the same readings."""
        return {
            "version": __version__,
            "program": program(),
            "parameters_version": PARAMETERS_VERSION,
            "numpy": np.__version__,
            "scipy": scipy.__version__,
            "seed": self.seed,
            "subjects": self.subjects,
            "readings": self.readings,
            "people": self.people,
            "chunk": self.chunk,
            "technique": _changes(self.technique),
            "instrument": _changes(self.instrument),
            "estimators": {name: identity(given) for name, given in self.algorithms.items()},
        }

    def rows(self, chunk: int) -> int:
        """How many readings a chunk has, those of every estimator counted.

        >>> Study(1000, ("fixed-ratio", "slope")).rows(0)
        1200
        """
        people = self._rows(chunk)
        return (people.stop - people.start) * self.readings * len(self.algorithms)

    def _rows(self, chunk: int) -> slice:
        # Chunks of nearly the same size, so that a cohort with quotas never gets a remainder of a few people.
        first, last = (self.subjects * k // self.chunks for k in (chunk, chunk + 1))
        return slice(first, last)


def measure_chunk(study: Study, chunk: int) -> Readings:
    """`study.measure`, as executors want it: a function of the module; one row a reading."""
    return study.measure(chunk)


def _whole(name: str, value: Any, low: int, high: int) -> None:
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or not low <= value <= high:
        raise FieldError(name, value, f"a whole number from {low} to {high}")


def _by_name(given: Any) -> dict[str, str]:
    """One name or several as a mapping. Raises FieldError."""
    names = [given] if isinstance(given, str) or callable(given) else list(given)
    for name in names:
        if not isinstance(name, str):
            raise FieldError("estimators", repr(name), "names, or a mapping from names to estimators")
    return {name: name for name in names}


def _changes(record: Fields | None) -> dict[str, Any]:
    """Fields that are not as they are by default, as plain values."""
    if record is None:
        return {}
    usual = type(record)()
    return {
        name: np.ravel(getattr(record, name))[0].item()
        for name in record.LIMITS
        if np.ravel(getattr(record, name))[0] != getattr(usual, name)
    }
