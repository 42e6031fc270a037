"""A data set as .npz: arrays by name, the origin as JSON in `origin`."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from sim.files.kind import origin_of
from sim.files.sizes import read_arrays
from sim.results import Recording


def write_npz(file: Path, recording: Recording, columns: Mapping[str, np.ndarray], origin: Mapping[str, Any]) -> None:
    """Write recordings, n rows of every column and the origin. Raises OSError."""
    arrays: dict[str, Any] = {
        "origin": np.array(json.dumps(dict(origin))),
        "sampling_hz": np.array(recording.sampling_hz),
        "pressure_mmhg": recording.pressure_mmhg,
        "samples": recording.samples,
        **columns,
    }
    packed = io.BytesIO()  # written in one piece: what packs the arrays would complain by itself of a full disk
    np.savez_compressed(packed, **arrays)
    file.write_bytes(packed.getbuffer())


def read_npz(file: Path) -> tuple[Recording, dict[str, np.ndarray], dict[str, Any]]:
    """Recordings, columns and origin. Raises what a damaged file makes its readers raise."""
    columns = read_arrays(file)
    origin = origin_of(str(columns.pop("origin")))
    rate = float(columns.pop("sampling_hz"))
    return Recording(rate, columns.pop("pressure_mmhg"), columns.pop("samples")), columns, origin
