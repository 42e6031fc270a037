"""Subject, technique and instrument make a recording; the truth is kept apart from it."""

from __future__ import annotations

import numpy as np

from sim.blocks import blocks
from sim.body.artery import Segment
from sim.body.pulse import Beats, beats
from sim.body.responses import response
from sim.chance import FILL_DRAWS, Chance, Source
from sim.cuff.course import SPARE_BY_BEAT, by_beat, clock_at, course, mean_rate, seconds_by_beat, valve_seconds
from sim.cuff.empirical import at_skin, lost_mmhg
from sim.cuff.filling import span
from sim.cuff.movement import movement
from sim.cuff.pneumatics import fill
from sim.cuff.sensor import sensed
from sim.cuff.transmission import PLACES_OVER_WIDTH, transmission
from sim.fields import FieldError
from sim.parameters import ARTERY_ML_PER_MMHG_CM, HYDROSTATIC_MMHG_PER_CM, SLEEVE_HALVING_MM
from sim.results import Pressures, Recording, Truth
from sim.setup import Setup

# A place of the artery, 0.24 widths from the bladder's middle: where it is closed as far as there, it is closed over
# about half of the width, and a fill is high enough (sim.cuff.filling). Chosen: with one bladder of 12 x 23 cm for 300
# simulated adults, 1.0 % are not pumped high enough, as with 0.15; with 0.31 0.7 %, with 0.43 0.3 %, but then all are
# filled 30 mmHg higher.
_HALF_CLOSED = int(np.searchsorted(PLACES_OVER_WIDTH, 0.24))
# Recordings come in whole blocks [s]: readings of one length can be worked on together. Chosen: a shorter block makes
# more lengths, a longer one records up to so much more at the end.
_BLOCK_S = 2.0
# Beats drawn over those expected: a reading's rate lies above the usual one, at most by a quarter.
_SPARE_BEATS = 1.4


def record(setup: Setup, rng: np.random.Generator | None) -> tuple[Recording, Truth]:
    """n recordings [mmHg], and the truth about them; every field an array of n. `rng` None leaves nothing to chance.

    Raises FieldError where the instrument's start, end or sampling cannot be.

    >>> recording, truth = record(Setup.of(sbp=[120.0, 150.0]).spread(2), np.random.default_rng(1))
    >>> len(recording), truth.resting.sbp
    (2, array([120., 150.]))
    """
    sweep, chance = planned(setup, rng)
    return sweep.record(chance)


def planned(setup: Setup, rng: np.random.Generator | None) -> tuple[Sweep, Chance]:
    """The plan of n recordings, and all that they leave to chance, for a setup whose fields are arrays of n.

    `rng` None leaves nothing to chance. Raises FieldError as `record`.
    """
    source = None if rng is None else Source(rng)
    n = setup.size
    sweep = Sweep(setup, np.full((n, FILL_DRAWS), 0.5) if source is None else source.fill(n))
    size = n, sweep.most_beats, sweep.longest
    return sweep, Chance.none(*size) if source is None else Chance.draw(source, *size)


class Sweep:
    """n deflations, planned: from where to where, how long. Every field of the inputs is an array of n.

    fill: (n, FILL_DRAWS) draws for where each begins and ends
    """

    def __init__(self, setup: Setup, fill: np.ndarray) -> None:
        self.setup = setup
        subject, technique, instrument = setup.subject, setup.technique, setup.instrument
        rates = np.unique(instrument.sampling_hz)
        if len(rates) != 1:
            raise FieldError("sampling_hz", f"{rates[0]:g} and {rates[1]:g}", "the same for all readings made together")
        self.sampling_hz = float(rates[0])
        self.transmission = transmission(subject, technique, instrument)
        self.height_mmhg = HYDROSTATIC_MMHG_PER_CM * technique.cuff_below_heart_cm
        self.rate_mmhg_per_s = mean_rate(instrument, subject.heart_rate)
        self.start_mmhg, end = span(instrument, *self._closes_and_opens(), fill, self.rate_mmhg_per_s)
        self._valve_s = valve_seconds(self.start_mmhg, end, instrument, self.rate_mmhg_per_s)
        # The most: a valve that follows the heart takes what the beats make of it.
        self.samples = self._whole_blocks(np.where(by_beat(instrument), SPARE_BY_BEAT, 1.0) * self._valve_s)

    def _whole_blocks(self, seconds: np.ndarray) -> np.ndarray:
        """Samples of whole blocks that are as long, (n,)."""
        return (np.ceil(seconds / _BLOCK_S) * _BLOCK_S * self.sampling_hz).astype(np.int64)

    def _closes_and_opens(self) -> tuple[np.ndarray, np.ndarray]:
        """Cuff pressures, (n,) each, at which the artery closes and opens, for the mean response: what is drawn of a
        response does not change the plan."""
        sbp, dbp = response(self.setup.technique)
        lost = lost_mmhg(self.setup.technique, np.zeros((len(sbp), 2)))
        # Under a bladder narrow for its arm, the artery closes over half the width only well above its pressure.
        inside = np.stack([self.setup.subject.sbp + sbp, self.setup.subject.dbp + dbp], axis=1)
        inside += self.height_mmhg[:, None]
        outside = inside / self.transmission.share(inside)[:, :, _HALF_CLOSED] + lost
        return outside[:, 0], outside[:, 1]

    @property
    def longest(self) -> int:
        """How many samples the longest of these deflations has."""
        return int(self.samples.max())

    @property
    def most_beats(self) -> int:
        """How many beats the longest of these deflations can hold, and some to spare."""
        seconds = self.samples / self.sampling_hz
        return int(np.ceil((seconds * self.setup.subject.heart_rate / 60).max() * _SPARE_BEATS)) + 4

    def steady(self, chance: Chance) -> Chance:
        """Draws for these n deflations, arrays of n, without noise, breathing and variation from beat to beat."""
        return chance.steady(self.most_beats, self.longest)

    def beats(self, chance: Chance) -> Beats:
        """The heart's beats at heart level during these deflations, (n, k) [mmHg, s]."""
        moved_sbp, moved_dbp = response(self.setup.technique, chance.response)
        sbp, dbp = self.setup.subject.sbp + moved_sbp, self.setup.subject.dbp + moved_dbp
        return beats(self.setup.subject, sbp, dbp, self.setup.technique.breathing == "deep", chance)

    def recorded(self, feet_s: np.ndarray) -> np.ndarray:
        """How many samples each recording has, (n,), with beats that begin at (n, k + 1) [s]."""
        follows = by_beat(self.setup.instrument)
        if not follows.any():
            return self.samples
        clock_s = clock_at(feet_s, self.setup.instrument, self.rate_mmhg_per_s)
        by_heart = self._whole_blocks(seconds_by_beat(clock_s, feet_s, self._valve_s))
        return np.where(follows, np.minimum(by_heart, self.samples), self.samples)

    def driven(self, feet_s: np.ndarray, samples: int) -> np.ndarray:
        """Cuff pressure that valve or pump drive, (n, samples) [mmHg], with beats that begin at (n, k + 1) [s]."""
        instrument, rate = self.setup.instrument, self.rate_mmhg_per_s
        return course(self.start_mmhg, samples, instrument, self.sampling_hz, rate, feet_s)

    def record(self, chance: Chance) -> tuple[Recording, Truth]:
        """The recordings, (n, m) [mmHg], the longest of m samples, and the truth about them, (n,) [mmHg]."""
        every_beat = self.beats(chance)
        samples = self.recorded(every_beat.start_s)
        pressure = np.empty((len(samples), samples.max()))
        seconds = samples / self.sampling_hz
        at_measurement, rate = every_beat.mean_pressures(seconds), every_beat.mean_rate(seconds)
        for rows, length in blocks(samples):
            part = self.take(rows)
            seen = part._record_block(every_beat.take(rows), chance.take(rows, length), length)
            for row, line in zip(rows, seen, strict=True):
                pressure[row, :length], pressure[row, length:] = line, np.nan
        resting = Pressures(self.setup.subject.sbp, self.setup.subject.dbp, self.setup.subject.map)
        at_cuff = Pressures(*(getattr(at_measurement, name) + self.height_mmhg for name in ("sbp", "dbp", "map")))
        return Recording(self.sampling_hz, pressure, samples), Truth(resting, at_measurement, at_cuff, rate)

    def _record_block(self, beats_: Beats, drawn: Chance, samples: int) -> np.ndarray:
        """Recorded pressure (n, samples) [mmHg] of a plan whose recordings are all of one length."""
        artery = beats_.pressure(samples, self.sampling_hz)
        artery += self.height_mmhg.astype(np.float32)[:, None]
        softened = 0.5 ** (self.setup.technique.sleeve_mm / SLEEVE_HALVING_MM)
        driven = self.driven(beats_.start_s, samples)
        cuff = fill(
            artery,
            self._under,
            ARTERY_ML_PER_MMHG_CM * self.setup.subject.artery_scale * softened,
            at_skin(
                driven, lost_mmhg(self.setup.technique, drawn.cloth), self.setup.subject.sbp, self.setup.subject.dbp
            ),
            driven,
            self.setup.instrument,
        )
        if (self.setup.technique.movement_mmhg > 0).any():
            cuff += movement(self.setup.technique, drawn, samples, self.sampling_hz)
        return sensed(cuff, self.setup.instrument, drawn.noise)

    def _under(self, skin_mmhg: np.ndarray) -> Segment:
        """The stretch of artery under the cuff at pressures (n, j) on the skin [mmHg]."""
        share, place_cm = self.transmission.share(skin_mmhg), self.transmission.place_cm(skin_mmhg)
        subject = self.setup.subject
        return Segment(skin_mmhg, share, place_cm, subject.artery_a_mmhg, subject.artery_b_mmhg, subject.artery_law)

    def take(self, rows: np.ndarray) -> Sweep:
        """The plan of some rows; rows: their numbers, (k,)."""
        part = object.__new__(Sweep)
        part.setup, part.sampling_hz = self.setup.take(rows), self.sampling_hz
        part.transmission = self.transmission.take(rows)
        part.height_mmhg, part.start_mmhg = self.height_mmhg[rows], self.start_mmhg[rows]
        part.rate_mmhg_per_s, part.samples = self.rate_mmhg_per_s[rows], self.samples[rows]
        part._valve_s = self._valve_s[rows]
        return part
