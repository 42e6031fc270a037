"""All that a reading leaves to chance, drawn before the reading is made.

Each source of chance has its own child generator and draws time first, reading second: a longer recording
extends the draws and never reshuffles them, and a change of the deflation rate does not change the beats.
All draws are standardised; what they are worth in mmHg is decided where they are used.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np

from sim.body.responses import DRAWS

BURSTS = 60
BURSTS_OVER_S = 240.0


@dataclass(frozen=True, eq=False)
class Chance:
    """Draws for n readings; rows are readings, as in every other array.

    first_beat: (n,) share of the first beat that has passed when the recording begins
    breath: (n,) share of a breath that has passed
    beats: (n, k, 3) for each beat its interval, systolic and diastolic pressure
    response: (n, DRAWS) how far each of this person's responses lies from the published mean
    cloth: (n, 2) how sleeve and cuff lie, in what they do to systolic and to diastolic pressure
    bursts: (n, BURSTS, 4) movement: uniform draws of time, length, pace and start of the swing
    burst_size: (n, BURSTS) their size
    noise: (n, m) of the sensor
    """

    first_beat: np.ndarray
    breath: np.ndarray
    beats: np.ndarray
    response: np.ndarray
    cloth: np.ndarray
    bursts: np.ndarray
    burst_size: np.ndarray
    noise: np.ndarray
    breathing: float = 1.0

    @classmethod
    def draw(cls, rng: np.random.Generator, n: int, beats: int, samples: int) -> Self:
        """Draws for n readings of at most `beats` beats and `samples` samples."""
        body, breath, response, cloth, movement, sensor = rng.spawn(6)
        return cls(
            first_beat=breath.random(n),
            breath=breath.random(n),
            beats=np.moveaxis(body.standard_normal((beats, 3, n)), 2, 0),
            response=response.standard_normal((DRAWS, n)).T,
            cloth=cloth.standard_normal((2, n)).T,
            bursts=np.moveaxis(movement.random((BURSTS, 4, n)), 2, 0),
            burst_size=movement.standard_normal((BURSTS, n)).T,
            noise=sensor.standard_normal((samples, n), dtype=np.float32).T,
        )

    @classmethod
    def none(cls, n: int, beats: int, samples: int) -> Self:
        """Nothing left to chance: every draw at its mean."""
        zero = np.zeros(n)
        return cls(
            first_beat=zero,
            breath=zero,
            beats=np.broadcast_to(0.0, (n, beats, 3)),
            response=np.broadcast_to(0.0, (n, DRAWS)),
            cloth=np.broadcast_to(0.0, (n, 2)),
            bursts=np.broadcast_to(0.5, (n, BURSTS, 4)),
            burst_size=np.broadcast_to(0.0, (n, BURSTS)),
            noise=np.broadcast_to(np.float32(0), (n, samples)),
            breathing=0.0,
        )

    def steady(self, beats: int, samples: int) -> Self:
        """The same without noise, breathing and beat-to-beat variation: what belongs to a mistake stays as drawn."""
        return replace(
            self.none(len(self.cloth), beats, samples),
            response=self.response,
            cloth=self.cloth,
            bursts=self.bursts,
            burst_size=self.burst_size,
        )

    def take(self, rows: Any, samples: int | None = None) -> Self:
        """The draws of some rows, as far as the given sample."""
        drawn = (f.name for f in fields(self) if f.name not in ("breathing", "noise"))
        noise = self.noise[:, :samples][rows]
        return replace(self, noise=noise, **{name: getattr(self, name)[rows] for name in drawn})
