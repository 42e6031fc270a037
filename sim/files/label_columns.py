"""The labels of a data set as its columns, and what cannot be in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

import numpy as np

from sim.files.units import PRESSURE_MMHG
from sim.labels import Labels
from sim.results import Recording

PREFIX = "label."
NAMES = tuple(PREFIX + field.name for field in fields(Labels))
# Labels that say yes or no of each beat or sample.
YES_OR_NO = (PREFIX + "beat_early", PREFIX + "movement")
_BEATS = tuple(name for name in NAMES if name.startswith(PREFIX + "beat_"))


def columns_of(labels: Labels | None) -> dict[str, np.ndarray]:
    """Each label under its column's name, a row for each recording; nothing where there are none."""
    return {} if labels is None else {PREFIX + f.name: getattr(labels, f.name) for f in fields(labels)}


def lengths(columns: Mapping[str, np.ndarray], samples: np.ndarray) -> dict[str, np.ndarray]:
    """How many values of each row of each label are no padding, (n,); samples: (n,) those of the recordings."""
    beats = np.isfinite(columns[_BEATS[0]]).sum(axis=1)
    of_beats = dict.fromkeys(_BEATS, beats)
    all_of_it = {name: np.full(len(samples), columns[name].shape[1]) for name in NAMES if name not in _BEATS}
    return all_of_it | of_beats | {PREFIX + "movement": samples}


def taken(columns: Mapping[str, np.ndarray]) -> Labels | None:
    """The labels among these columns, None where there are none. Raises ValueError where one is missing or unknown."""
    found = {name for name in columns if name.startswith(PREFIX)}
    if not found:
        return None
    if found != set(NAMES):
        name = min(found ^ set(NAMES))
        raise ValueError(f"{name[:50]} is {'no label' if name in found else 'missing'}")
    return Labels(**{name.removeprefix(PREFIX): np.asarray(columns[name]) for name in NAMES})


def amiss(labels: Labels, recording: Recording) -> str:
    """What does not go together in labels that were read, in words, or ""; the recording itself is in order."""
    columns, n = columns_of(labels), len(recording)
    for name, values in columns.items():
        if values.dtype.kind != ("b" if name in YES_OR_NO else "f"):
            return f"{name} must hold {'yes or no' if name in YES_OR_NO else 'numbers'}"
        if values.ndim != 2 or len(values) != n:
            return f"{name} must have a row for each recording"
    return _beats_amiss(columns, recording) or _envelope_amiss(labels) or _movement_amiss(labels, recording)


def _beats_amiss(columns: Mapping[str, np.ndarray], recording: Recording) -> str:
    time_s = columns[PREFIX + "beat_time_s"]
    there = np.isfinite(time_s)
    if (np.diff(there.astype(np.int8), axis=1) > 0).any():
        return "label.beat_time_s must have its beats first, and nothing after them"
    for name in _BEATS:
        values = columns[name]
        if values.shape != time_s.shape:
            return f"{name} must have a value for each beat"
        if name in YES_OR_NO:
            if values[~there].any():
                return f"{name} must be no where there is no beat"
        elif not np.array_equal(np.isfinite(values), there) or not np.isnan(values[~there]).all():
            return f"{name} must be a number for each beat, and nothing after them"
    end_s = (recording.samples / recording.sampling_hz)[:, None]
    peak_s = columns[PREFIX + "beat_peak_s"]
    if not ((time_s >= 0) & (time_s <= peak_s) & (peak_s <= end_s) | ~there).all():
        return "each beat must lie within its recording, its peak after its foot"
    if (np.diff(time_s, axis=1) <= 0).any():
        return "label.beat_time_s must rise"
    for name in _BEATS:
        if name.endswith("_mmhg") and not _plausible(columns[name][there]):
            return _RANGE.format(name)
    return ""


def _envelope_amiss(labels: Labels) -> str:
    if labels.envelope_mmhg.shape != labels.envelope_cuff_mmhg.shape or not labels.envelope_mmhg.size:
        return "label.envelope_mmhg must have a value for each of label.envelope_cuff_mmhg"
    for name in ("envelope_cuff_mmhg", "envelope_mmhg"):
        if not _plausible(getattr(labels, name)):
            return _RANGE.format(PREFIX + name)
    return ""


def _movement_amiss(labels: Labels, recording: Recording) -> str:
    if labels.movement.shape != recording.pressure_mmhg.shape:
        return "label.movement must have a value for each sample"
    after = np.arange(labels.movement.shape[1]) >= recording.samples[:, None]
    return "label.movement must be no after the end of a recording" if (labels.movement & after).any() else ""


_RANGE = f"{{}} must be from {PRESSURE_MMHG[0]:g} to {PRESSURE_MMHG[1]:g} mmHg"


def _plausible(values: np.ndarray) -> bool:
    return bool(((values >= PRESSURE_MMHG[0]) & (values <= PRESSURE_MMHG[1])).all())
