"""All that a reading leaves to chance, drawn before the reading is made.

Each source of chance has a child generator of its own, told by its name, and draws time first, reading second: a longer
recording extends the draws and never reshuffles them, a change of the deflation rate does not change the beats, and a
new source changes no other. All draws are standardised; what they are worth in mmHg is decided where they are used.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np

from sim.body.responses import responses

BURSTS = 60
BURSTS_OVER_S = 240.0
FILL_DRAWS = 4
# Waves that a lasting movement is made of.
WAVES = 12


class Source:
    """Child generators by name, all from one draw of `rng`."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._entropy = rng.integers(2**32, size=4).tolist()

    def child(self, name: str) -> np.random.Generator:
        """The generator of one source of chance; the same name gives the same again."""
        return np.random.default_rng([*self._entropy, *name.encode()])

    def fill(self, n: int) -> np.ndarray:
        """Uniform draws (n, FILL_DRAWS) for where each cuff begins and ends (`sim.cuff.filling`)."""
        return self.child("fill").random((FILL_DRAWS, n)).T


@dataclass(frozen=True, eq=False)
class Chance:
    """Draws for n readings; rows are readings, as in every other array.

    first_beat: (n,) share of the first beat that has passed when the recording begins
    breath: (n,) share of a breath that has passed
    rate: (n,) how far the heart's rate in this reading lies from the usual one
    beats: (n, k, 3) for each beat its interval, systolic and diastolic pressure
    early: (n, k) uniform: whether each beat comes early, where the rhythm has such beats
    response: by field of the technique, (n,) each: how far this person's response lies from the published mean
    cloth: (n, 2) how sleeve and cuff lie, in what they do to systolic and to diastolic pressure
    bursts: (n, BURSTS, 4) movement: uniform draws of time, length, pace and start of the swing
    burst_size: (n, BURSTS) their size
    wave_places: (n, 2 + WAVES) a lasting movement: uniform draws of its pace, its swell and its waves' frequencies
    wave_sizes: (n, WAVES, 2) its waves' sizes
    noise: (n, m) of the sensor
    fill: (n, FILL_DRAWS) uniform: where the cuff begins and ends; 0.5 where nothing is left to chance
    """

    first_beat: np.ndarray
    breath: np.ndarray
    rate: np.ndarray
    beats: np.ndarray
    early: np.ndarray
    response: Mapping[str, np.ndarray]
    cloth: np.ndarray
    bursts: np.ndarray
    burst_size: np.ndarray
    wave_places: np.ndarray
    wave_sizes: np.ndarray
    noise: np.ndarray
    fill: np.ndarray
    breathing: float = 1.0

    @classmethod
    def draw(cls, source: Source, n: int, beats: int, samples: int) -> Self:
        """Draws for n readings of at most `beats` beats and `samples` samples."""
        movement, waves = source.child("movement"), source.child("movement waves")
        return cls(
            first_beat=source.child("first beat").random(n),
            breath=source.child("breath").random(n),
            rate=source.child("rate").standard_normal(n),
            early=source.child("early beats").random((beats, n)).T,
            beats=np.moveaxis(source.child("beats").standard_normal((beats, 3, n)), 2, 0),
            response={field: source.child(f"response {field}").standard_normal(n) for field in responses()},
            cloth=source.child("cloth").standard_normal((2, n)).T,
            bursts=np.moveaxis(movement.random((BURSTS, 4, n)), 2, 0),
            burst_size=movement.standard_normal((BURSTS, n)).T,
            wave_places=waves.random((2 + WAVES, n)).T,
            wave_sizes=np.moveaxis(waves.standard_normal((WAVES, 2, n)), 2, 0),
            noise=source.child("noise").standard_normal((samples, n), dtype=np.float32).T,
            fill=source.fill(n),
        )

    @classmethod
    def none(cls, n: int, beats: int, samples: int) -> Self:
        """Nothing left to chance: every draw at its mean."""
        zero = np.zeros(n)
        return cls(
            first_beat=zero,
            breath=zero,
            rate=zero,
            beats=np.broadcast_to(0.0, (n, beats, 3)),
            early=np.broadcast_to(1.0, (n, beats)),
            response={},
            cloth=np.broadcast_to(0.0, (n, 2)),
            bursts=np.broadcast_to(0.5, (n, BURSTS, 4)),
            burst_size=np.broadcast_to(0.0, (n, BURSTS)),
            wave_places=np.broadcast_to(0.5, (n, 2 + WAVES)),
            wave_sizes=np.broadcast_to(0.0, (n, WAVES, 2)),
            noise=np.broadcast_to(np.float32(0), (n, samples)),
            fill=np.broadcast_to(0.5, (n, FILL_DRAWS)),
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
            wave_places=self.wave_places,
            wave_sizes=self.wave_sizes,
            fill=self.fill,
        )

    def of_average_person(self) -> Self:
        """The same for somebody who responds as people do on average, in every reading."""
        return replace(self, response={})

    def take(self, rows: Any, samples: int | None = None) -> Self:
        """The draws of some rows, as far as the given sample."""
        drawn = (f.name for f in fields(self) if f.name not in ("breathing", "noise", "response"))
        return replace(
            self,
            noise=self.noise[:, :samples][rows],
            response={field: values[rows] for field, values in self.response.items()},
            **{name: getattr(self, name)[rows] for name in drawn},
        )
