"""From the fields of a reading to what its drawings are told."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from sim.body.artery import area
from sim.body.responses import response, responses
from sim.body.subject import Subject
from sim.cuff.bladder import FITTING_WIDTH_RATIO
from sim.cuff.sensor import sensed
from sim.explain.categories import schemes
from sim.explain.variation import figures
from sim.measurement import measure
from sim.parameters import DEEP_BREATHS_PER_MIN
from sim.record import planned
from sim.screens.drawings.along import Along
from sim.screens.drawings.artery_curve import Yielding
from sim.screens.drawings.before import NAMES, Before
from sim.screens.drawings.causes import Causes
from sim.screens.drawings.dividing import Dividing
from sim.screens.drawings.fall import Fall
from sim.screens.drawings.gauges import Gauges
from sim.screens.drawings.pose import Scene
from sim.screens.drawings.section import Section
from sim.screens.drawings.settling import Settling
from sim.screens.drawings.visit import Visit
from sim.screens.drawings.week import Week
from sim.setup import Setup
from sim.technique import Technique

# What the drawing of the beats shows at least, and how finely.
_BEATS_S, _BEATS_HZ = 40.0, 12.5
_SEED = 12
_USUAL_WIDTH = float(Subject().artery_b_mmhg)


def scene(inputs: Setup) -> Scene:
    """The person."""
    subject, technique, instrument = inputs.subject, inputs.technique, inputs.instrument
    return Scene(
        cuff_below_heart_cm=float(technique.cuff_below_heart_cm),
        arm_circumference_cm=float(subject.arm_circumference_cm),
        bladder_width_cm=float(instrument.bladder_width_cm),
        sleeve_mm=float(technique.sleeve_mm),
        rolled_up=str(technique.sleeve_rolled_up) == "yes",
        elbow_crease=str(technique.elbow_crease) == "yes",
        talking=str(technique.talking),
        quiet_min=float(technique.quiet_min),
        movement_mmhg=float(technique.movement_mmhg),
        movement=str(technique.movement),
        other_arm=str(technique.other_arm),
        legs=str(technique.legs),
        back=str(technique.back),
        held_up=str(technique.arm_support) == "held-up",
        position=str(technique.position),
        deep_breaths_per_min=DEEP_BREATHS_PER_MIN if str(technique.breathing) == "deep" else 0.0,
        cold=str(technique.cold) == "yes",
    )


def section(inputs: Setup) -> Section:
    """Across the arm."""
    subject, technique, instrument = inputs.subject, inputs.technique, inputs.instrument
    return Section(
        arm_circumference_cm=float(subject.arm_circumference_cm),
        bladder_width_cm=float(instrument.bladder_width_cm),
        bladder_length_cm=float(instrument.bladder_length_cm),
        artery_radius_ratio=float(subject.artery_radius_ratio),
        cuff_turned_deg=float(technique.cuff_turned_deg),
        sleeve_mm=float(technique.sleeve_mm),
        slack_cm=float(technique.slack_cm),
        wrinkle_cm=float(technique.wrinkle_cm),
    )


def along(inputs: Setup) -> Along:
    """Along the arm."""
    subject, technique, instrument = inputs.subject, inputs.technique, inputs.instrument
    crease = str(technique.elbow_crease) == "yes"
    return Along(float(instrument.bladder_width_cm), float(subject.arm_circumference_cm), crease)


def before(inputs: Setup, every: bool = True) -> Before:
    """What came before the reading; `every`: with a line for what might have, too."""
    technique = inputs.technique
    done = {name for name in NAMES if name != "talking" and str(getattr(technique, name)) == "yes"}
    if str(technique.talking) != "no" and float(technique.quiet_min) > 0:
        done.add("talking")
    always = ("caffeine", "nicotine", "meal", "full_bladder") if every else ()
    listed = tuple(name for name in NAMES if name in always or name in done)
    return Before(frozenset(done), listed, float(technique.rest_min), float(technique.quiet_min))


def settling(inputs: Setup) -> Settling:
    """The curve of rest, and where this reading is on it."""
    rest = float(inputs.technique.rest_min)
    minutes, sbp, dbp = _rest_curve()
    curve = responses()["rest_min"]["curve"]
    here = response(Technique(rest_min=rest).spread(1))
    return Settling(minutes, sbp, dbp, rest, (float(here[0][0]), float(here[1][0])), curve.usual_min, curve.population)


def visit(inputs: Setup) -> Visit:
    """The readings of a visit, and which this one is."""
    number = round(float(inputs.technique.reading_number))
    count = max(3, number)
    sbp, dbp = response(Technique(reading_number=np.arange(1.0, count + 1)).spread(count))
    population = responses()["reading_number"]["1"].population
    return Visit(sbp.tolist(), dbp.tolist(), number, population)


def week(inputs: Setup) -> Week:
    """A week of readings, all at this height."""
    return Week(float(inputs.technique.cuff_below_heart_cm), round(float(inputs.technique.reading_number)))


def fall(inputs: Setup) -> Fall:
    """The cuff's way through the beats."""
    subject, instrument = inputs.subject, inputs.instrument
    rate = float(instrument.deflation_mmhg_per_s)
    irregular = str(subject.rhythm) != "regular"
    seconds = max(_BEATS_S, (float(subject.sbp - subject.dbp) + 28) / rate)
    time_s, artery_mmhg, feet_s = _beats(
        float(subject.sbp), float(subject.dbp), float(subject.heart_rate), str(subject.rhythm), seconds
    )
    return Fall(
        time_s,
        artery_mmhg,
        feet_s,
        float(subject.sbp),
        float(subject.dbp),
        float(subject.heart_rate),
        rate,
        str(instrument.course),
        float(instrument.step_mmhg),
        irregular,
    )


def yielding(inputs: Setup) -> Yielding:
    """The artery's area over the pressure across its wall."""
    subject = inputs.subject
    across = np.linspace(-30, 90, 61)
    a, b, law = float(subject.artery_a_mmhg), float(subject.artery_b_mmhg), str(subject.artery_law)
    mine, common = area(across, a, b, law) / (a + b), area(across, a, _USUAL_WIDTH) / (a + _USUAL_WIDTH)
    return Yielding(
        across.tolist(),
        mine.tolist(),
        common.tolist(),
        b,
        _USUAL_WIDTH,
        float(subject.sbp),
        float(subject.dbp),
        float(subject.map),
    )


def causes(inputs: Setup) -> Causes:
    """What may stand behind a number."""
    subject, technique, instrument = inputs.subject, inputs.technique, inputs.instrument
    low, high = FITTING_WIDTH_RATIO
    return Causes(
        100 * float(instrument.bladder_width_cm / subject.arm_circumference_cm),
        (100 * low, 100 * high),
        str(technique.talking) != "no" and float(technique.quiet_min) == 0,
        float(technique.movement_mmhg),
        (float(subject.sbp), float(subject.dbp)),
    )


def gauges(inputs: Setup) -> Gauges:
    """What the instrument shows of pressures that a reference knows."""
    subject, instrument = inputs.subject, inputs.instrument
    # The pressure on the dials: this person's systolic, and not a whole number, so that steps show.
    applied = np.array([0.0, 50, 100, 150, 200, float(subject.sbp) + 0.4])
    quiet = instrument.replace(noise_mmhg=0).spread(1)
    shown = sensed(applied[None, :], quiet, np.zeros((1, len(applied))))[0]
    return Gauges(
        applied[:-1].tolist(),
        shown[:-1].tolist(),
        (float(applied[-1]), float(shown[-1])),
        float(instrument.zero_error_mmhg),
        float(instrument.gain_error_percent),
        float(instrument.resolution_mmhg),
    )


def dividing(inputs: Setup) -> Dividing:
    """Where readings fall against the cuts of a scheme."""
    subject = inputs.subject
    scheme = next(iter(schemes().values()))
    cuts = [(c.sbp_from, c.name) for c in scheme.categories if np.isfinite(c.sbp_from)]
    sbp = float(subject.sbp)
    # Readings minutes apart, carefully taken: the engine's own lie as far apart, which a test holds it to.
    scatter = figures()["within-visit-healthy"].sbp
    return Dividing(sbp, _average(inputs.key()), scatter, cuts, scheme.label)


@lru_cache(maxsize=1)
def _rest_curve() -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Minutes of rest, and what each adds, systolic and diastolic [mmHg]."""
    minutes = np.linspace(0, 30, 61)
    sbp, dbp = response(Technique(rest_min=minutes).spread(len(minutes)))
    return tuple(minutes.tolist()), tuple(sbp.tolist()), tuple(dbp.tolist())


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


@lru_cache(maxsize=60)
def _average(fields: tuple[tuple[str, Any], ...]) -> float:
    """Systolic pressure of a steady reading of these fields [mmHg]; the engine's own."""
    setup = Setup.of(**dict(fields))
    return float(measure(setup, ideal=True).reading.sbp[0])
