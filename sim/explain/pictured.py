"""What drawings show of a reading that has to be worked out first, as plain numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from sim.body.artery import area
from sim.body.responses import response, responses
from sim.body.subject import Subject
from sim.cuff.course import mean_rate
from sim.cuff.field import PressureField, pressure_field
from sim.cuff.sensor import sensed
from sim.explain.categories import schemes
from sim.explain.variation import figures
from sim.measurement import measure
from sim.record import planned
from sim.setup import Setup
from sim.technique import Technique

FALL_MARGIN_MMHG = 14.0  # of the cuff's way beyond systolic and diastolic
# What the drawing of the beats shows at least, and how finely.
_BEATS_S, _BEATS_HZ = 40.0, 12.5
_SEED = 12
_USUAL_WIDTH = float(Subject().artery_b_mmhg)


@dataclass(frozen=True)
class Settling:
    """Minutes of rest and what each adds [mmHg], systolic and diastolic; this reading's; whom the curve is from."""

    minutes: Sequence[float]
    sbp: Sequence[float]
    dbp: Sequence[float]
    rest_min: float
    here: tuple[float, float]
    usual_min: float
    population: str


def settling(inputs: Setup) -> Settling:
    """The curve of rest [mmHg over minutes], and where this reading is on it."""
    rest = float(inputs.technique.rest_min)
    minutes = np.linspace(0, 30, 61)
    curve, here = (response(Technique(rest_min=m).spread(m.size)) for m in (minutes, np.array([rest])))
    source = responses()["rest_min"]["curve"]
    return Settling(
        minutes.tolist(),
        curve[0].tolist(),
        curve[1].tolist(),
        rest,
        (float(here[0][0]), float(here[1][0])),
        source.usual_min,
        source.population,
    )


@dataclass(frozen=True)
class Visit:
    """What the first, second ... reading of a visit adds on average [mmHg]; which of them this one is."""

    sbp: Sequence[float]
    dbp: Sequence[float]
    number: int
    population: str


def visit(inputs: Setup) -> Visit:
    """The readings of a visit [mmHg], and which this one is."""
    number = round(float(inputs.technique.reading_number))
    count = max(3, number)
    sbp, dbp = response(Technique(reading_number=np.arange(1.0, count + 1)).spread(count))
    return Visit(sbp.tolist(), dbp.tolist(), number, responses()["reading_number"]["1"].population)


@dataclass(frozen=True)
class Fall:
    """The pulse in the artery (times [s] and pressures [mmHg]), its feet [s]; the cuff's way through it."""

    time_s: Sequence[float]
    artery_mmhg: Sequence[float]
    feet_s: Sequence[float]
    sbp: float
    dbp: float
    heart_rate: float
    rate_mmhg_per_s: float
    course: str = "deflating"
    step_mmhg: float = 10.0
    irregular: bool = False

    @property
    def between_beats_mmhg(self) -> float:
        """How far the cuff's pressure moves from one beat to the next, on average [mmHg]."""
        return self.rate_mmhg_per_s * 60 / self.heart_rate

    @property
    def seconds(self) -> float:
        """Duration of the cuff's way that is drawn [s]."""
        return (self.sbp - self.dbp + 2 * FALL_MARGIN_MMHG) / self.rate_mmhg_per_s

    def cuff(self, time_s: float) -> float:
        """The cuff's pressure [mmHg]; by steps, the step of that moment."""
        gone = self.rate_mmhg_per_s * time_s
        if self.course == "inflating":
            return self.dbp - FALL_MARGIN_MMHG + gone
        if self.course == "steps":
            gone = self.step_mmhg * (gone // self.step_mmhg)
        return self.sbp + FALL_MARGIN_MMHG - gone

    @property
    def between(self) -> list[float]:
        """The beats at which the cuff's pressure is between systolic and diastolic [s]."""
        return [t for t in self.feet_s if 0 <= t <= self.seconds and self.dbp <= self.cuff(t) <= self.sbp]


def fall(inputs: Setup) -> Fall:
    """The cuff's way through the beats [mmHg, s]."""
    subject, instrument = inputs.subject, inputs.instrument
    sbp, dbp, heart_rate = float(subject.sbp), float(subject.dbp), float(subject.heart_rate)
    rate, rhythm = float(mean_rate(instrument, subject.heart_rate)), str(subject.rhythm)
    seconds = max(_BEATS_S, (sbp - dbp + 2 * FALL_MARGIN_MMHG) / rate)
    beats = _beats(sbp, dbp, heart_rate, rhythm, seconds)
    course, step_mmhg = str(instrument.course), float(instrument.step_mmhg)
    return Fall(*beats, sbp, dbp, heart_rate, rate, course, step_mmhg, rhythm != "regular")


@lru_cache(maxsize=60)
def _beats(
    sbp: float, dbp: float, heart_rate: float, rhythm: str, seconds: float
) -> tuple[list[float], list[float], list[float]]:
    """Times [s] and pressures [mmHg] of the pulse in the artery, and the times of its feet [s]: the engine's own."""
    # A slow fall from high up, so that there are beats enough to draw.
    setup = Setup.of(sbp=sbp, dbp=dbp, heart_rate=heart_rate, rhythm=rhythm, deflation_mmhg_per_s=1.5)
    sweep, chance = planned(setup.spread(1), np.random.default_rng(_SEED))
    beats = sweep.beats(chance)
    samples = int(seconds * _BEATS_HZ)
    pressure = beats.pressure(samples, _BEATS_HZ)[0]
    times = np.arange(samples) / _BEATS_HZ
    return times.tolist(), pressure.tolist(), beats.start_s[0].tolist()


@dataclass(frozen=True)
class Yielding:
    """Pressure inside less outside [mmHg]; the artery's area there, and a usual artery's (each over its greatest)."""

    transmural_mmhg: Sequence[float]
    area: Sequence[float]
    usual: Sequence[float]
    width_mmhg: float
    usual_width_mmhg: float
    sbp: float
    dbp: float
    map: float

    def at(self, mmhg: float) -> float:
        """Area at a pressure [mmHg], between the tabulated ones: a share of the greatest, 0 to 1."""
        return float(np.interp(mmhg, self.transmural_mmhg, self.area))


def yielding(inputs: Setup) -> Yielding:
    """The artery's area, as a share of the greatest, over the pressure across its wall [mmHg]."""
    subject = inputs.subject
    across = np.linspace(-30, 90, 61)
    a, b, law = float(subject.artery_a_mmhg), float(subject.artery_b_mmhg), str(subject.artery_law)
    mine, common = area(across, a, b, law) / (a + b), area(across, a, _USUAL_WIDTH) / (a + _USUAL_WIDTH)
    own = float(subject.sbp), float(subject.dbp), float(subject.map)
    return Yielding(across.tolist(), mine.tolist(), common.tolist(), b, _USUAL_WIDTH, *own)


@dataclass(frozen=True)
class Gauges:
    """Applied pressures and what the instrument shows at each [mmHg]; the pair that the dials show."""

    applied_mmhg: Sequence[float]
    shown_mmhg: Sequence[float]
    dial_mmhg: tuple[float, float]
    zero_error_mmhg: float
    gain_error_percent: float
    resolution_mmhg: float


def gauges(inputs: Setup) -> Gauges:
    """What the instrument shows of pressures that a reference knows [mmHg]."""
    subject, instrument = inputs.subject, inputs.instrument
    # The pressure on the dials: this person's systolic, and not a whole number, so that steps show.
    applied = np.array([0.0, 50, 100, 150, 200, float(subject.sbp) + 0.4])
    quiet = instrument.replace(noise_mmhg=0, drift_mmhg=0).spread(1)
    shown = sensed(applied[None, :], quiet, np.zeros((1, len(applied))))[0]
    return Gauges(
        applied[:-1].tolist(),
        shown[:-1].tolist(),
        (float(applied[-1]), float(shown[-1])),
        float(instrument.zero_error_mmhg),
        float(instrument.gain_error_percent),
        float(instrument.resolution_mmhg),
    )


@dataclass(frozen=True)
class Dividing:
    """Resting systolic pressure and what readings average with this technique [mmHg]; their spread; the cuts."""

    resting: float
    average: float
    sd: float
    cuts: Sequence[tuple[float, str]]
    scheme: str


def dividing(inputs: Setup) -> Dividing:
    """Where readings fall against the cuts of a scheme [mmHg]."""
    scheme = next(iter(schemes().values()))
    cuts = [(c.sbp_from, c.name) for c in scheme.categories if np.isfinite(c.sbp_from)]
    # Readings minutes apart, carefully taken: the engine's own lie as far apart, which a test holds it to.
    scatter = figures()["within-visit-healthy"].sbp
    return Dividing(float(inputs.subject.sbp), _average(inputs.key()), scatter, cuts, scheme.label)


@lru_cache(maxsize=60)
def _average(fields: tuple[tuple[str, Any], ...]) -> float:
    """Systolic pressure of a steady reading of these fields [mmHg]; the engine's own."""
    return float(measure(Setup.of(**dict(fields)), ideal=True).reading.sbp[0])


def inside_arm(inputs: Setup) -> PressureField:
    """The pressure inside the arm under the cuff, as a share of the cuff's, (rows, columns)."""
    return pressure_field(*inputs.fitted())
