"""The people of whom trials are drawn (`sim.study.trial`), measured once, with two observers before and after.

Rules as we understand ISO 81060-2; check them against the standard.

Against the artery the reference is the pressure at the measurement, known exactly. Against the listener it is what two
observers read before and after (`sim.study.listener`). A device of which a true error is asked follows the listener: it
errs about the level at which these observers hear that person, so that what the trial adds is only their own errors and
the change of the pressure from reading to reading. The algorithm as it is knows no listener: it is judged against all
that the listener reads.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.fields import FieldError, generator
from sim.results import Estimator
from sim.study.listener import listened
from sim.study.readings import Readings
from sim.study.repeated_readings import measured, portions
from sim.study.standard import READINGS, TOLERABLE_SHARE
from sim.technique import Technique

# References of a trial, and what they are called.
REFERENCES = {"at_measurement": "the artery, known exactly", "listener": "two observers, before and after"}
# People whose reference readings lie further apart are left out and others take their place: as we understand
# ISO 81060-2, from memory [mmHg].
MOST_SPAN_MMHG = (12.0, 8.0)
# So many people are measured at a time, as in sim.study.agreement; another number draws other readings.
_PORTION = 256


@dataclass(frozen=True, eq=False)
class Pool:
    """Errors of the people whom trials draw from [mmHg]; first axis systolic, diastolic, r readings each.

    asked: how many people were measured; unread: of them, without every reading
    exact, heard: (2, m, r) reading minus artery, and minus listener, of people who may take part in a trial against it
    lasting: (2, m) how far the listener lies from the artery in these people
    wavering: people left out of trials against the listener, whose reference readings lie too far apart
    """

    estimator: str
    asked: int
    unread: int
    wavering: int
    exact: np.ndarray
    heard: np.ndarray
    lasting: np.ndarray

    def errors(self, against: str) -> np.ndarray:
        """Errors, (2, m, r) [mmHg], of the algorithm as it is. Raises FieldError on another reference."""
        if against not in REFERENCES:
            raise FieldError("against", repr(against), "one of " + ", ".join(REFERENCES))
        return self.exact if against == "at_measurement" else self.heard

    def following(self, against: str) -> np.ndarray:
        """The same, (2, m, r) [mmHg], of a device that follows the reference in each person."""
        return self.errors(against) + (self.lasting[:, :, None] if against == "listener" else 0.0)


def pool(
    name: str,
    estimator: Estimator,
    people: Subject,
    rng: np.random.Generator,
    *,
    readings: int = READINGS,
    technique: Technique | None = None,
    instrument: Instrument | None = None,
) -> Pool:
    """Measure people for trials, `readings` times each, with the observers before and after [mmHg].

    Raises FieldError where fewer than 85 % of them have every reading: the method judges no such device.
    """
    generator(rng)
    everybody = people.spread(people.size)
    exact, heard, lasting, span = [], [], [], []
    for rows in portions(people.size, _PORTION):
        some = everybody.take(rows)
        ears = listened(some, readings, rng)  # leaves `rng` as it is
        table = measured(some, {name: estimator}, rng, readings=readings, technique=technique, instrument=instrument)
        exact.append(_errors(table, "at_measurement", readings))
        heard.append(_errors(table, "listener", readings))
        lasting.append(ears.lasting)
        span.append(ears.span)
    artery, ear = np.concatenate(exact, axis=1), np.concatenate(heard, axis=1)
    read = np.isfinite(artery).all(axis=(0, 2))
    if read.mean() < TOLERABLE_SHARE:
        raise FieldError("estimator", name, f"one that reads at least {TOLERABLE_SHARE:.0%} of the people every time")
    still = read & (np.concatenate(span, axis=1) <= np.array(MOST_SPAN_MMHG)[:, None]).all(axis=0)
    return Pool(
        name,
        people.size,
        int((~read).sum()),
        int((read & ~still).sum()),
        artery[:, read],
        ear[:, still],
        np.concatenate(lasting, axis=1)[:, still],
    )


def _errors(table: Readings, against: str, readings: int) -> np.ndarray:
    """Errors (2, m, readings) [mmHg]; NaN where there is no reading."""
    found = np.stack([np.where(table.ok, table.error(p, against), np.nan) for p in ("sbp", "dbp")])
    return found.reshape(2, -1, readings)
