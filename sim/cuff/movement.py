"""What shakes the cuff besides the pulse: jolts now and then, or a tremor, shivering, an arm to and fro, a vehicle.

Jolts are bursts at random times. The others last: a sum of waves whose frequencies fill a band and whose sizes are
normal draws, which is noise of that band; its root mean square is movement_mmhg / sqrt(2), so that a swing is so high
on average. The bands and their sources are in movement.toml. How high any of it is in a cuff is assumed; that the blood
in the arm is shaken too, and that muscles at work change the pressure itself, is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.chance import BURSTS_OVER_S, Chance
from sim.data import data
from sim.technique import Technique


@dataclass(frozen=True)
class Band:
    """Frequencies of a lasting movement: between which its middle is drawn and how wide it is [Hz], and its swells."""

    pace_hz: tuple[float, float]
    width_hz: float
    swells_per_min: float


@lru_cache(maxsize=1)
def bands() -> dict[str, Band]:
    """The lasting movements [Hz], by the option of the field `movement` (movement.toml has the sources)."""
    table = data("sim.cuff", "movement.toml")
    return {name: Band(tuple(e["pace_hz"]), e["width_hz"], e["swells_per_min"]) for name, e in table.items()}


def movement(technique: Technique, chance: Chance, samples: int, sampling_hz: float) -> np.ndarray:
    """What a moving arm leaves in n cuffs, (n, samples) [mmHg]; every field of the technique an array of n.

    >>> still = movement(Technique().spread(2), Chance.none(2, beats=4, samples=10), 10, sampling_hz=100.0)
    >>> still.shape, float(still.max())
    ((2, 10), 0.0)
    """
    size_mmhg, kind = technique.movement_mmhg, technique.movement
    total = np.zeros((len(size_mmhg), samples))
    _add_jolts(total, np.where(kind == "jolts", size_mmhg, 0.0), chance, sampling_hz)
    for name, band in bands().items():
        rows = np.flatnonzero((kind == name) & (size_mmhg > 0))
        if rows.size:
            total[rows] = size_mmhg[rows, None] * _waves(band, chance.take(rows), samples, sampling_hz)
    return total


def _waves(band: Band, chance: Chance, samples: int, sampling_hz: float) -> np.ndarray:
    """Noise of a band (n, samples) whose swings are 1 high on average."""
    place, size = chance.wave_places, chance.wave_sizes
    slowest, fastest = band.pace_hz
    hz = (slowest + (fastest - slowest) * place[:, :1]) + band.width_hz * (place[:, 2:] - 0.5)
    time_s = np.arange(samples) / sampling_hz
    total = np.zeros((len(hz), samples))
    for wave in range(hz.shape[1]):
        turn = 2 * np.pi * hz[:, wave, None] * time_s
        total += size[:, wave, :1] * np.cos(turn) + size[:, wave, 1:] * np.sin(turn)
    total /= np.sqrt(2 * hz.shape[1])
    if band.swells_per_min:
        swell = np.sin(2 * np.pi * (band.swells_per_min / 60 * time_s + place[:, 1:2]))
        total *= (1 + swell) / np.sqrt(1.5)  # leaves the root mean square as it was
    return total


def _add_jolts(total: np.ndarray, size_mmhg: np.ndarray, chance: Chance, sampling_hz: float) -> None:
    """Adds bursts to `total` (n, samples).

    size_mmhg: (n,) standard deviation of a burst's height. On average one burst in four seconds, half a second to
    two seconds long, swinging one to three times a second (all assumed).
    """
    samples = total.shape[1]
    middle_s, half_s = chance.bursts[..., 0] * BURSTS_OVER_S, 0.25 + 0.75 * chance.bursts[..., 1]
    # Beyond twice its half length a burst has faded to nothing.
    first, last = (np.clip((middle_s + k * 2 * half_s) * sampling_hz, 0, samples).astype(int) for k in (-1, 1))
    for row, burst in zip(*np.nonzero((size_mmhg > 0)[:, None] & (first < last)), strict=True):
        here = slice(first[row, burst], last[row, burst])
        away_s = np.arange(here.start, here.stop) / sampling_hz - middle_s[row, burst]
        pace, swing = chance.bursts[row, burst, 2:]
        swings = np.sin(2 * np.pi * ((1 + 2 * pace) * away_s + swing))
        height = size_mmhg[row] * chance.burst_size[row, burst]
        total[row, here] += height * swings * np.exp(-2 * (away_s / half_s[row, burst]) ** 2)
