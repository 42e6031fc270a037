"""Subject, technique and instrument make a recording; the truth is kept apart from it."""

from __future__ import annotations

import numpy as np

from sim.body.artery import Segment
from sim.body.pulse import Beats, beats
from sim.body.responses import talking_response
from sim.body.subject import Subject
from sim.chance import Chance
from sim.cuff.empirical import lost_mmhg
from sim.cuff.instrument import Instrument
from sim.cuff.pneumatics import deflate
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
_HIGHEST_MMHG = 320.0
_LOWEST_MMHG = 12.0
_LEAST_S = 3.0
# Recordings come in whole blocks: readings of one length can be worked on together.
_BLOCK_S = 2.0
# Rows worked on at a time: what fits in the processor's cache.
_ROWS = 16


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
        moved_sbp, moved_dbp = talking_response(technique, np.zeros(len(subject.sbp)))
        lost = lost_mmhg(technique, np.zeros(len(subject.sbp)))
        share = self.transmission.share[:, 0]
        closes = (subject.sbp + moved_sbp + self.height_mmhg) / share + lost
        opens = (subject.dbp + moved_dbp + self.height_mmhg) / share + lost
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
        moved_sbp, moved_dbp = talking_response(self.technique, chance.response)
        return beats(self.subject, self.subject.sbp + moved_sbp, self.subject.dbp + moved_dbp, chance)

    def record(self, chance: Chance) -> tuple[Recording, Truth]:
        """The recordings, and the truth about them."""
        n = len(self.samples)
        pressure = np.empty((n, int(self.samples.max())))
        order = np.argsort(self.samples, kind="stable")
        truths = []
        for first in range(0, n, _ROWS):
            rows = order[first : first + _ROWS]
            truths.append(self._record_rows(rows, chance, pressure))
        resting = Pressures(self.subject.sbp, self.subject.dbp, self.subject.map)
        back = np.argsort(order)
        at_measurement = Pressures(
            *(np.concatenate([getattr(t, name) for t in truths])[back] for name in ("sbp", "dbp", "map"))
        )
        at_cuff = Pressures(*(getattr(at_measurement, name) + self.height_mmhg for name in ("sbp", "dbp", "map")))
        return Recording(self.sampling_hz, pressure, self.samples), Truth(resting, at_measurement, at_cuff)

    def _record_rows(self, rows: np.ndarray, chance: Chance, pressure: np.ndarray) -> Pressures:
        """Fills `rows` of `pressure`; returns the pressure at measurement of these rows."""
        part = self._take(rows)
        samples = int(part.samples.max())
        drawn = chance.take(rows, samples)
        beats_ = part.beats(drawn)
        artery = beats_.pressure(samples, self.sampling_hz)
        artery += part.height_mmhg.astype(np.float32)[:, None]
        softened = 0.5 ** (part.technique.sleeve_mm / SLEEVE_HALVING_MM)
        segment = Segment(
            part.transmission.share,
            PLACES_OVER_WIDTH * part.transmission.contact_width_cm[:, None],
            part.subject.artery_a_mmhg,
            part.subject.artery_b_mmhg,
        )
        cuff = deflate(
            artery,
            segment,
            ARTERY_ML_PER_MMHG_CM * part.subject.artery_scale * softened,
            lost_mmhg(part.technique, drawn.sleeve),
            part.start_mmhg,
            part.instrument,
            self.sampling_hz,
        )
        if (part.technique.movement_mmhg > 0).any():
            cuff += movement(part.technique.movement_mmhg, drawn, samples, self.sampling_hz)
        seen = sensed(cuff, part.instrument, drawn.noise)
        pressure[rows, :samples] = seen
        for row, end in zip(rows, part.samples, strict=True):
            pressure[row, end:] = np.nan
        return beats_.mean_pressures(part.samples / self.sampling_hz)

    def _take(self, rows: np.ndarray) -> Sweep:
        """The plan of some rows."""
        part = object.__new__(Sweep)
        part.subject, part.technique = self.subject.take(rows), self.technique.take(rows)
        part.instrument, part.sampling_hz = self.instrument.take(rows), self.sampling_hz
        part.transmission = self.transmission.take(rows)
        part.height_mmhg, part.start_mmhg = self.height_mmhg[rows], self.start_mmhg[rows]
        part.samples = self.samples[rows]
        return part
