"""Subject, technique and instrument make a recording; the truth is kept apart from it."""

from __future__ import annotations

import numpy as np

from sim.blocks import blocks
from sim.body.artery import Segment
from sim.body.pulse import Beats, beats
from sim.body.responses import DRAWS, response
from sim.body.subject import Subject
from sim.chance import Chance
from sim.cuff.course import course
from sim.cuff.empirical import at_skin, lost_mmhg
from sim.cuff.instrument import Instrument
from sim.cuff.pneumatics import fill
from sim.cuff.sensor import movement, sensed
from sim.cuff.transmission import PLACES_OVER_WIDTH, transmission
from sim.fields import FieldError
from sim.parameters import ARTERY_ML_PER_MMHG_CM, HYDROSTATIC_MMHG_PER_CM, SLEEVE_HALVING_MM
from sim.results import Pressures, Recording, Truth
from sim.technique import Technique

# How far beyond the pressures at which the artery closes and opens the deflation goes, where the instrument's start
# and end are left to it: a real one listens for the pulse while it pumps, and stops when it has faded.
_START_ABOVE_MMHG = 40.0
_END_BELOW_MMHG = 35.0
_HALF_CLOSED = int(np.searchsorted(PLACES_OVER_WIDTH, 0.24))
_HIGHEST_MMHG = 320.0
_LOWEST_MMHG = 12.0
_LEAST_S = 3.0
# Recordings come in whole blocks: readings of one length can be worked on together.
_BLOCK_S = 2.0


def record(
    subject: Subject, technique: Technique, instrument: Instrument, rng: np.random.Generator | None
) -> tuple[Recording, Truth]:
    """n recordings, and the truth about them; every field an array of n. `rng` None leaves nothing to chance.

    Raises FieldError where the instrument's start, end or sampling cannot be.
    """
    sweep = Sweep(subject, technique, instrument)
    return sweep.record(sweep.chance(rng))


class Sweep:
    """n deflations, planned: from where to where, how long. Every field of the inputs is an array of n."""

    def __init__(self, subject: Subject, technique: Technique, instrument: Instrument) -> None:
        self.subject, self.technique, self.instrument = subject, technique, instrument
        rates = np.unique(instrument.sampling_hz)
        if len(rates) != 1:
            raise FieldError("sampling_hz", f"{rates[0]:g} and {rates[1]:g}", "the same for all readings made together")
        self.sampling_hz = float(rates[0])
        self.transmission = transmission(subject, technique, instrument)
        self.height_mmhg = HYDROSTATIC_MMHG_PER_CM * technique.cuff_below_heart_cm
        # The plan is made for the mean response, so that it does not depend on what is drawn.
        moved_sbp, moved_dbp = response(technique, np.zeros((len(subject.sbp), DRAWS)))
        lost = lost_mmhg(technique, np.zeros((len(subject.sbp), 2)))
        # Under a bladder narrow for its arm, the artery closes over half the width only well above its pressure.
        share = self.transmission.share[:, _HALF_CLOSED]
        closes = (subject.sbp + moved_sbp + self.height_mmhg) / share + lost[:, 0]
        opens = (subject.dbp + moved_dbp + self.height_mmhg) / share + lost[:, 1]
        self.start_mmhg = np.where(
            instrument.start_mmhg > 0, instrument.start_mmhg, np.minimum(closes + _START_ABOVE_MMHG, _HIGHEST_MMHG)
        )
        end = np.where(instrument.end_mmhg > 0, instrument.end_mmhg, np.maximum(opens - _END_BELOW_MMHG, _LOWEST_MMHG))
        low = end > self.start_mmhg - _LEAST_S * instrument.deflation_mmhg_per_s
        if low.any():
            row = int(np.argmax(low))
            raise FieldError(
                "start_mmhg",
                f"{self.start_mmhg[row]:g}",
                f"far enough above the end of deflation, {end[row]:.0f} mmHg, for {_LEAST_S:g} s of recording",
            )
        seconds = (self.start_mmhg - end) / instrument.deflation_mmhg_per_s
        self.samples = (np.ceil(seconds / _BLOCK_S) * _BLOCK_S * self.sampling_hz).astype(np.int64)

    def chance(self, rng: np.random.Generator | None) -> Chance:
        """Draws enough for these deflations; none where `rng` is None."""
        size = len(self.samples), self._most_beats(), int(self.samples.max())
        return Chance.none(*size) if rng is None else Chance.draw(rng, *size)

    def steady(self, chance: Chance) -> Chance:
        """Draws for these deflations without noise, breathing and variation from beat to beat."""
        return chance.steady(self._most_beats(), int(self.samples.max()))

    def _most_beats(self) -> int:
        """Beats that the longest of these deflations can hold, and some to spare."""
        seconds = self.samples / self.sampling_hz
        return int(np.ceil((seconds * self.subject.heart_rate / 60).max() * 1.3)) + 4

    def beats(self, chance: Chance) -> Beats:
        """The heart's beats at heart level during these deflations."""
        moved_sbp, moved_dbp = response(self.technique, chance.response)
        sbp, dbp = self.subject.sbp + moved_sbp, self.subject.dbp + moved_dbp
        return beats(self.subject, sbp, dbp, self.technique.breathing == "deep", chance)

    def record(self, chance: Chance) -> tuple[Recording, Truth]:
        """The recordings, and the truth about them."""
        n = len(self.samples)
        pressure = np.empty((n, int(self.samples.max())))
        at_measurement = Pressures(np.empty(n), np.empty(n), np.empty(n))
        every_beat = self.beats(chance)
        for rows, length in blocks(self.samples):
            part = self._take(rows)
            seen, true = part._record_block(every_beat.take(rows), chance.take(rows, length), length)
            pressure[rows, :length], pressure[rows, length:] = seen, np.nan
            for name in ("sbp", "dbp", "map"):
                getattr(at_measurement, name)[rows] = getattr(true, name)
        resting = Pressures(self.subject.sbp, self.subject.dbp, self.subject.map)
        at_cuff = Pressures(*(getattr(at_measurement, name) + self.height_mmhg for name in ("sbp", "dbp", "map")))
        return Recording(self.sampling_hz, pressure, self.samples), Truth(resting, at_measurement, at_cuff)

    def _record_block(self, beats_: Beats, drawn: Chance, samples: int) -> tuple[np.ndarray, Pressures]:
        """Recorded pressure (n, samples) of a plan whose recordings are all of one length, and the truth about it."""
        artery = beats_.pressure(samples, self.sampling_hz)
        artery += self.height_mmhg.astype(np.float32)[:, None]
        softened = 0.5 ** (self.technique.sleeve_mm / SLEEVE_HALVING_MM)
        segment = Segment(
            self.transmission.share,
            PLACES_OVER_WIDTH * self.transmission.contact_width_cm[:, None],
            self.subject.artery_a_mmhg,
            self.subject.artery_b_mmhg,
            self.subject.artery_law,
        )
        driven = course(self.start_mmhg, samples, self.instrument, self.sampling_hz)
        cuff = fill(
            artery,
            segment,
            ARTERY_ML_PER_MMHG_CM * self.subject.artery_scale * softened,
            at_skin(driven, lost_mmhg(self.technique, drawn.cloth), self.subject.sbp, self.subject.dbp),
            driven,
            self.instrument,
        )
        if (self.technique.movement_mmhg > 0).any():
            cuff += movement(self.technique.movement_mmhg, drawn, samples, self.sampling_hz)
        seen = sensed(cuff, self.instrument, drawn.noise)
        return seen, beats_.mean_pressures(self.samples / self.sampling_hz)

    def _take(self, rows: np.ndarray) -> Sweep:
        """The plan of some rows."""
        part = object.__new__(Sweep)
        part.subject, part.technique = self.subject.take(rows), self.technique.take(rows)
        part.instrument, part.sampling_hz = self.instrument.take(rows), self.sampling_hz
        part.transmission = self.transmission.take(rows)
        part.height_mmhg, part.start_mmhg = self.height_mmhg[rows], self.start_mmhg[rows]
        part.samples = self.samples[rows]
        return part
